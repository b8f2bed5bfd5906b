package check

import (
	"slices"

	"pourweek/model"
)

// planned is a pour of the problem with its plan.
type planned struct {
	q               *model.Pour
	*model.PourPlan // nil if it is carried or left out
	where           Where
	sound           bool       // its steps are there and can be reckoned with
	cured           model.Tick // end of the cure, for pours that are demolded
	out             model.Tick // when it leaves its rack
}

func (x *planned) step(name string) Where { return Where{Pour: x.q.ID, Step: name} }

// listPours finds which pours are planned and which are carried.
func (c *checker) listPours() {
	ix := index(c.p.Pours, func(q *model.Pour) string { return q.ID })
	carried := make([]bool, len(c.p.Pours))
	for i := range c.p.Pours {
		c.pours[i].q = &c.p.Pours[i]
		c.pours[i].where = Where{Pour: c.p.Pours[i].ID}
	}
	for _, id := range c.plan.Carried {
		i, ok := ix[id]
		where := Where{Pour: id}
		switch {
		case !ok:
			c.add(fault{Known, where, id, 0}, "the plan carries the pour %q, which the problem does not have", id)
			continue
		case carried[i]:
			c.add(fault{Twice, where, id, 0}, "pour %q stands twice among the carried", id)
		case c.pours[i].q.Stage != model.New:
			c.add(fault{Carried, where, id, 0}, "pour %q is carried, but it is %s and cannot wait", id, c.pours[i].q.Stage)
		case c.pours[i].q.Pin != nil:
			c.add(fault{Carried, where, id, 0}, "pour %q is carried, but it is pinned", id)
		}
		carried[i] = true
	}
	for k := range c.plan.Pours {
		x := &c.plan.Pours[k]
		i, ok := ix[x.ID]
		where := Where{Pour: x.ID}
		switch {
		case !ok:
			c.add(fault{Known, where, x.ID, 0}, "the plan has the pour %q, which the problem does not have", x.ID)
			continue
		case c.pours[i].PourPlan != nil:
			c.add(fault{Twice, where, x.ID, 0}, "pour %q stands twice in the plan", x.ID)
			continue
		case carried[i]:
			c.add(fault{Planned, where, x.ID, 0}, "pour %q is both planned and carried", x.ID)
		}
		c.pours[i].PourPlan = x
		c.pours[i].sound = c.shape(&c.pours[i])
	}
	for i := range c.pours {
		if x := &c.pours[i]; x.PourPlan == nil && !carried[i] {
			c.add(fault{Planned, x.where, x.q.ID, 0}, "pour %q is neither planned nor carried", x.q.ID)
		}
	}
}

// pour judges a sound pour by section 5.
func (c *checker) pour(x *planned) {
	c.places(x)
	last := model.Tick(0)
	if x.q.Stage == model.New {
		c.body(x)
		c.feed(x)
	}
	if x.q.Stage != model.Racked {
		c.takeOut(x)
		last = x.Demold.To()
	}
	for k := range x.q.Finish {
		if f := x.Finish[k]; f != nil {
			c.finish(x, k, last)
			last = f.To()
		}
	}
	if x.Ready != last {
		c.add(fault{Ready, x.where, "", x.Ready}, "pour %q is stated ready at %s; its last step ends at %s", x.ID, c.at(x.Ready), c.at(last))
	}
	c.spans(x)
}

// places judges which mold and rack the pour is on.
func (c *checker) places(x *planned) {
	q, mold := x.q, string(x.Mold)
	switch q.Stage {
	case model.New:
		if !slices.ContainsFunc(q.Molds, func(m model.MoldChoice) bool { return m.Mold == mold }) {
			c.add(fault{MoldChoice, x.where, mold, 0}, "pour %q is in the mold %q, which is none of its molds", x.ID, mold)
		}
	case model.Curing:
		if mold != q.Mold {
			c.add(fault{MoldChoice, x.where, mold, 0}, "pour %q is stated in the mold %q; it is curing in %q", x.ID, mold, q.Mold)
		}
	case model.Racked:
		if mold != "" {
			c.add(fault{MoldChoice, x.where, mold, 0}, "pour %q is stated in the mold %q; it has been demolded", x.ID, mold)
		}
		if x.Rack != q.Rack {
			c.add(fault{RackChoice, x.where, x.Rack, 0}, "pour %q is stated on the rack %q; it is on %q", x.ID, x.Rack, q.Rack)
		}
		return
	}
	if !slices.Contains(q.Racks, x.Rack) {
		c.add(fault{RackChoice, x.where, x.Rack, 0}, "pour %q is on the rack %q, which is none of its racks", x.ID, x.Rack)
	}
}

// body judges a new pour from prep to cover.
func (c *checker) body(x *planned) {
	q := x.q
	prep, first := *x.Prep, x.Layers[0].From()
	if i := slices.IndexFunc(q.Molds, func(m model.MoldChoice) bool { return m.Mold == string(x.Mold) }); i >= 0 {
		c.task(x.step("prep"), demand{q.Molds[i].Work, q.Prep.Crew, q.Prep.Station, q.Prep.When, true}, prep, x.Who.Prep)
	}
	if prep.From() < q.Release {
		c.add(fault{Release, x.step("prep"), "", prep.From()}, "prep of pour %q starts at %s, before its release at %s", x.ID, c.at(prep.From()), c.at(q.Release))
	}
	c.firstLayer(x, prep.To(), first)
	for j := range q.Layers {
		l := &q.Layers[j]
		if j > 0 {
			c.gap(x.step(l.ID), l.Gap, x.Layers[j-1].To(), x.Layers[j].From())
		}
		c.task(x.step(l.ID), demand{l.Work, l.Crew, l.Station, l.When, false}, x.Layers[j], x.Who.Layers[j])
	}
	c.gap(x.step("cover"), q.Cover.Gap, x.Layers[len(x.Layers)-1].To(), x.Cover.From())
	c.task(x.step("cover"), demand{q.Cover.Work, q.Cover.Crew, q.Cover.Station, q.Cover.When, false}, *x.Cover, x.Who.Cover)
}

func (c *checker) firstLayer(x *planned, prepared, first model.Tick) {
	q, where := x.q, x.step(x.q.Layers[0].ID)
	if first < prepared {
		c.add(fault{Prepared, where, "", first}, "%s starts at %s, before prep ends at %s", where, c.at(first), c.at(prepared))
	}
	if q.PrepMax != nil && first-prepared > *q.PrepMax {
		c.add(fault{PrepMax, where, "", first}, "%s starts at %s, %s after prep ends at %s; at most %d are allowed",
			where, c.at(first), many(first-prepared, "tick"), c.at(prepared), *q.PrepMax)
	}
	if first >= c.p.PourUntil {
		c.add(fault{PourUntil, where, "", first}, "%s starts at %s; a first layer starts before %s", where, c.at(first), c.at(c.p.PourUntil))
	}
	if pin := q.Pin; pin != nil && (first != pin.Start || string(x.Mold) != pin.Mold) {
		c.add(fault{Pin, where, string(x.Mold), first}, "%s is in the mold %q at %s; it is pinned to %q at %s",
			where, string(x.Mold), c.at(first), pin.Mold, c.at(pin.Start))
	}
}

func (c *checker) gap(where Where, lim model.Interval, end, start model.Tick) {
	if gap := start - end; gap < lim.From() || gap > lim.To() {
		c.add(fault{Gap, where, "", start}, "%s starts at %s, %s after the step before ends at %s; %d to %d are allowed",
			where, c.at(start), many(gap, "tick"), c.at(end), lim.From(), lim.To())
	}
}

// takeOut judges cure and demold.
func (c *checker) takeOut(x *planned) {
	q, where, start := x.q, x.step("demold"), x.Demold.From()
	if q.Stage == model.New {
		x.cured = x.Cover.To()
		if i := slices.IndexFunc(c.p.Cures, func(u model.Cure) bool { return u.ID == q.Cure }); i >= 0 {
			x.cured += model.Tick(c.p.Cures[i].Lag.At(x.Cover.To()))
		}
		if q.MoldMax != nil && start-x.Cover.To() > *q.MoldMax {
			c.add(fault{MoldMax, where, "", start}, "%s starts at %s, %s after the cover ends at %s; at most %d are allowed",
				where, c.at(start), many(start-x.Cover.To(), "tick"), c.at(x.Cover.To()), *q.MoldMax)
		}
	} else {
		x.cured = q.CureEnd
		if q.MoldUntil != nil && start > *q.MoldUntil {
			c.add(fault{MoldUntil, where, "", start}, "%s starts at %s; it may start until %s", where, c.at(start), c.at(*q.MoldUntil))
		}
	}
	if q.Stage == model.New && *x.CureEnd != x.cured { // what a plan repeats of the problem has no standing
		c.add(fault{CureEnd, x.where, "", x.cured}, "pour %q is stated cured at %s; it is at %s", x.ID, c.at(*x.CureEnd), c.at(x.cured))
	}
	if start < x.cured {
		c.add(fault{Cured, where, "", start}, "%s starts at %s, before it is cured at %s", where, c.at(start), c.at(x.cured))
	}
	c.task(where, demand{q.Demold.Work, q.Demold.Crew, q.Demold.Station, q.Demold.When, false}, *x.Demold, x.Who.Demold)
}

// finish judges finish step k; last is the end of the step before.
func (c *checker) finish(x *planned, k int, last model.Tick) {
	f, iv := &x.q.Finish[k], *x.Finish[k]
	where, s := x.step(f.ID), iv.From()
	if x.q.Stage == model.Racked && k == x.q.Next {
		if s < x.q.From {
			c.add(fault{From, where, "", s}, "%s starts at %s; it may not start before %s", where, c.at(s), c.at(x.q.From))
		}
		if m := x.q.FromMax; m != nil && s > *m {
			c.add(fault{FromMax, where, "", s}, "%s starts at %s; it may start until %s", where, c.at(s), c.at(*m))
		}
	} else {
		if s-last < f.Rest {
			c.add(fault{Rest, where, "", s}, "%s starts at %s, %s after the step before ends at %s; it rests at least %d",
				where, c.at(s), many(s-last, "tick"), c.at(last), f.Rest)
		}
		if f.RestMax != nil && s-last > *f.RestMax {
			c.add(fault{RestMax, where, "", s}, "%s starts at %s, %s after the step before ends at %s; at most %d are allowed",
				where, c.at(s), many(s-last, "tick"), c.at(last), *f.RestMax)
		}
	}
	c.task(where, demand{f.Work, f.Crew, f.Station, f.When, f.Pausable}, iv, x.Who.Finish[k])
}

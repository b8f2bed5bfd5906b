package model

import (
	"fmt"
	"slices"
	"strings"
)

func (v *validator) pours() {
	p := v.p
	if len(p.Pours) > maxPours {
		v.add("pours", "%d pours; at most %d", len(p.Pours), maxPours)
	}
	in := map[string]string{} // the curing pour in each mold
	for i := range p.Pours {
		q, at := &p.Pours[i], fmt.Sprintf("pours[%d]", i)
		v.anyTick(at+".due", "due", q.Due)
		v.price(at+".late_per_tick", "late_per_tick", q.LatePerTick)
		bounded(v, at+".places", "places", q.Places, 0, maxTick)
		switch q.Stage {
		case New:
			v.newPour(at, q)
			v.toDemold(at, q)
		case Curing:
			v.known(at+".mold", "mold", q.Mold, v.molds)
			if other, ok := in[q.Mold]; ok {
				v.add(at+".mold", "pours %q and %q are both curing in the mold %q, which holds one", other, q.ID, q.Mold)
			}
			in[q.Mold] = q.ID
			v.anyTick(at+".cure_end", "cure_end", q.CureEnd)
			if q.MoldUntil != nil {
				v.anyTick(at+".mold_until", "mold_until", *q.MoldUntil)
			}
			v.toDemold(at, q)
		case Racked:
			v.racked(at, q)
		default:
			v.add(at+".stage", "stage %q of pour %q; stages are new, curing, racked", string(q.Stage), q.ID)
			continue
		}
		for k := range q.Finish {
			v.finish(fmt.Sprintf("%s.finish[%d]", at, k), &q.Finish[k])
		}
		v.stepIDs(at, q)
		v.spans(at, q)
	}
}

// task judges what all tasks have.
func (v *validator) task(at string, work Tick, d Demand) {
	v.ticks(at+".work", "work", work, 1)
	v.needs(at, d)
}

func (v *validator) needs(at string, d Demand) {
	v.crew(at+".crew", d.Crew)
	v.station(at+".station", d.Station)
	v.intervals(at+".when", d.When)
}

func (v *validator) newPour(at string, q *Pour) {
	v.anyTick(at+".release", "release", q.Release)
	v.price(at+".carry", "carry", q.Carry)
	molds := make(map[string]bool, len(q.Molds))
	for k, m := range q.Molds {
		path := fmt.Sprintf("%s.molds[%d]", at, k)
		v.known(path+".mold", "mold", m.Mold, v.molds)
		v.ticks(path+".work", "work", m.Work, 1)
		if molds[m.Mold] {
			v.add(path+".mold", "mold %q stands twice in a list", m.Mold)
		}
		molds[m.Mold] = true
	}
	v.needs(at+".prep", q.Prep)
	v.optTicks(at+".prep_max", "prep_max", q.PrepMax)
	if len(q.Layers) == 0 {
		v.add(at+".layers", "pour %q has no layer; it has at least one", q.ID)
	}
	for j := range q.Layers {
		l, path := &q.Layers[j], fmt.Sprintf("%s.layers[%d]", at, j)
		v.task(path, l.Work, Demand{l.Crew, l.Station, l.When})
		if j > 0 { // the gap of the first says nothing
			v.gap(path+".gap", "a gap", l.Gap)
		}
	}
	v.draws(at, q)
	v.task(at+".cover", q.Cover.Work, Demand{q.Cover.Crew, q.Cover.Station, q.Cover.When})
	v.gap(at+".cover.gap", "a gap", q.Cover.Gap)
	v.known(at+".cure", "cure", q.Cure, v.cures)
	v.optTicks(at+".mold_max", "mold_max", q.MoldMax)
	if q.Base != nil {
		v.anyTick(at+".base.start", "start", q.Base.Start)
	}
	v.pin(at+".pin", q)
}

func (v *validator) draws(at string, q *Pour) {
	for k := range q.Draws {
		d, path := &q.Draws[k], fmt.Sprintf("%s.draws[%d]", at, k)
		v.known(path+".mix", "mix", d.Mix, v.mixes)
		bounded(v, path+".grams", "grams", d.Grams, 1, maxGrams)
		if len(d.Layers) == 0 {
			v.add(path+".layers", "a draw for no layer; name the layers that it feeds, counted from 0")
		}
		for n, j := range d.Layers {
			to := fmt.Sprintf("%s.layers[%d]", path, n)
			if j < 0 || j >= len(q.Layers) {
				v.add(to, "layer %d; pour %q has %s, counted from 0", j, q.ID, many(len(q.Layers), "layer"))
			}
			if slices.Contains(d.Layers[:n], j) {
				v.add(to, "layer %d stands twice in a draw", j)
			}
		}
	}
}

func (v *validator) pin(path string, q *Pour) {
	pin := q.Pin
	if pin == nil {
		return
	}
	if !slices.ContainsFunc(q.Molds, func(m MoldChoice) bool { return m.Mold == pin.Mold }) {
		v.add(path+".mold", "pour %q is pinned to the mold %q, which is none of its molds", q.ID, pin.Mold)
	}
	if pin.Start < v.p.Now || pin.Start >= v.p.PourUntil {
		v.add(path+".start", "pour %q is pinned to tick %d; a pin lies from now, %d, to before pour_until, %d", q.ID, pin.Start, v.p.Now, v.p.PourUntil)
	}
}

func (v *validator) toDemold(at string, q *Pour) {
	v.task(at+".demold", q.Demold.Work, Demand{q.Demold.Crew, q.Demold.Station, q.Demold.When})
	v.distinct(at+".racks", "rack", q.Racks, v.racks)
}

func (v *validator) racked(at string, q *Pour) {
	v.known(at+".rack", "rack", q.Rack, v.racks)
	if q.Next < 0 || q.Next >= len(q.Finish) {
		v.add(at+".next", "next %d; it is the index of a step still to do, and pour %q has %s, counted from 0", q.Next, q.ID, many(len(q.Finish), "finish step"))
	}
	v.anyTick(at+".from", "from", q.From)
	if q.FromMax != nil {
		v.anyTick(at+".from_max", "from_max", *q.FromMax)
	}
}

func (v *validator) finish(at string, f *Finish) {
	v.task(at, f.Work, Demand{f.Crew, f.Station, f.When})
	v.ticks(at+".rest", "rest", f.Rest, 0)
	if f.RestMax != nil && (*f.RestMax < f.Rest || *f.RestMax > maxTick) {
		v.add(at+".rest_max", "rest_max %d; it is at least the rest, %d, and at most %d", *f.RestMax, f.Rest, Tick(maxTick))
	}
}

// stepIDs judges that a step's id means one step.
func (v *validator) stepIDs(at string, q *Pour) {
	seen := map[string]bool{"prep": true, "cover": true, "demold": true}
	judge := func(path, id string) {
		switch {
		case id == "":
			v.add(path, "an empty id; every step of pour %q has one", q.ID)
		case id == "prep" || id == "cover" || id == "demold":
			v.add(path, "id %q of a step of pour %q; prep, cover and demold are steps that every pour has", id, q.ID)
		case seen[id]:
			v.add(path, "id %q stands twice in pour %q; every step has its own", id, q.ID)
		}
		seen[id] = true
	}
	for j := range q.Layers {
		judge(fmt.Sprintf("%s.layers[%d].id", at, j), q.Layers[j].ID)
	}
	for k := range q.Finish {
		judge(fmt.Sprintf("%s.finish[%d].id", at, k), q.Finish[k].ID)
	}
}

// spans judges that spans run from a moment of the pour's life to a later one.
func (v *validator) spans(at string, q *Pour) {
	for k, s := range q.Spans {
		path := fmt.Sprintf("%s.spans[%d]", at, k)
		v.known(path+".station", "station", s.Station, v.stations)
		from, okFrom := q.moment(s.From)
		to, okTo := q.moment(s.To)
		if !okFrom {
			v.add(path+".from", "no moment %q in pour %q; moments are %s", s.From, q.ID, q.moments())
		}
		if !okTo {
			v.add(path+".to", "no moment %q in pour %q; moments are %s", s.To, q.ID, q.moments())
		}
		if okFrom && okTo && to < from {
			v.add(path, "a span from %s to %s, which comes before it; the first moment comes first", s.From, s.To)
		}
	}
}

// moment is the rank of a moment in the pour's life. The layers of a pour that
// is past them are not known: any other id then means one of them.
func (q *Pour) moment(name string) (rank int, ok bool) {
	dot := strings.LastIndexByte(name, '.')
	if dot <= 0 {
		return 0, false
	}
	step, part := name[:dot], name[dot+1:]
	if part != "start" && part != "end" {
		return 0, false
	}
	end := 0
	if part == "end" {
		end = 1
	}
	const layers, cover = 10, 10 + 2*maxStepsOfPour
	switch step {
	case "prep":
		return end, true
	case "cover":
		return cover + end, true
	case "demold":
		return cover + 2 + end, true
	}
	if j := slices.IndexFunc(q.Layers, func(l Layer) bool { return l.ID == step }); j >= 0 {
		return layers + 2*j + end, true
	}
	if k := slices.IndexFunc(q.Finish, func(f Finish) bool { return f.ID == step }); k >= 0 {
		return cover + 4 + 2*k + end, true
	}
	return layers, q.Stage != New
}

func (q *Pour) moments() string {
	steps := []string{"prep"}
	for i := range q.Layers {
		steps = append(steps, q.Layers[i].ID)
	}
	steps = append(steps, "cover", "demold")
	for i := range q.Finish {
		steps = append(steps, q.Finish[i].ID)
	}
	return "the .start and .end of " + quoted(steps)
}

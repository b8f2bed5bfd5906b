package why

import (
	"slices"

	"pourweek/model"
	"pourweek/solve/inst"
	"pourweek/solve/sat"
)

// prepWorks lists the works that the molds of a new pour ask, ascending.
func prepWorks(x *inst.Pour) []int32 {
	var works []int32
	for i := range x.Molds {
		works = append(works, x.Molds[i].Prep.Work)
	}
	slices.Sort(works)
	return slices.Compact(works)
}

// choose makes the choice of mold of a new pour: one of its molds, or, for the
// pour that is asked about, one of its own while the fact does not hold.
func (k *kernel) choose(c *casting) {
	x := c.pour
	some := sat.Clause{c.on.Not()}
	c.own = sat.False
	if c.asked {
		c.own = k.m.Bool("own mold")
		k.m.Add(sat.Clause{c.own.Not(), k.rules.holds(Fact{Molds, ""}).Not()})
		some = append(some, c.own)
	}
	for i := range x.Molds {
		m := &x.Molds[i]
		on := c.on
		switch {
		case x.PinMold != inst.None && x.PinMold != m.Mold:
			on = sat.False
		case len(x.Molds) > 1 || c.asked:
			on = k.m.Bool("in " + k.in.Molds[m.Mold].ID)
		}
		c.molds = append(c.molds, on)
		some = append(some, on)
	}
	k.m.Add(some)
	for i := range x.Molds {
		k.place(c, i)
	}
	k.prepare(c)
}

// place keeps a pour out of a mold that is not free yet, and of one that is down
// while that fact holds.
func (k *kernel) place(c *casting, i int) {
	m := &k.in.Molds[c.pour.Molds[i].Mold]
	k.keepOut(c, i, away(m.FreeFrom, nil), sat.True)
	k.keepOut(c, i, away(0, m.Down), k.rules.holds(Fact{Down, m.ID}))
}

// keepOut keeps a pour out of a mold in some times while gate holds.
func (k *kernel) keepOut(c *casting, i int, times []block, gate sat.Lit) {
	to := point{vs: c.steps[c.demold()], end: true}
	for _, b := range times {
		if int(b.from) > k.by {
			continue
		}
		for _, v := range c.steps[0] {
			out := k.reached(&to, &to.vs[0], int(b.from))
			k.m.Add(sat.Clause{gate.Not(), c.molds[i].Not(), v.on.Not(), out, k.m.StartLE(v.task, min(int(b.to)-1, k.by)).Not()})
		}
	}
}

// away lists when a mold or mixer cannot be used, without overlaps.
func away(free int32, down []model.Interval) []block {
	var bs []block
	for _, d := range model.Union([]model.Interval{{0, model.Tick(free)}}, down) {
		bs = append(bs, block{int32(d[0]), int32(d[1]), 1})
	}
	return bs
}

// prepare ties the work of the prep to the mold.
func (k *kernel) prepare(c *casting) {
	works := prepWorks(c.pour)
	if len(works) == 1 {
		return
	}
	least := works[0]
	for _, v := range c.steps[0] {
		may := sat.Clause{v.on.Not()}
		for i := range c.pour.Molds {
			if c.pour.Molds[i].Prep.Work == v.work {
				may = append(may, c.molds[i])
			}
		}
		if v.work == least {
			may = append(may, c.own)
		}
		k.m.Add(may)
	}
}

// molds keeps pours apart that could share a mold: the pour that is asked about
// from each other one by their order, and all by how many hold molds of a set
// at a time.
func (k *kernel) molds() {
	for i := range k.cast {
		c := &k.cast[i]
		for j := range k.cast {
			d := &k.cast[j]
			switch {
			case i == j || c.pour.Stage != inst.New:
			case d.pour.Stage == inst.Curing:
				k.follows(c, d)
			case d.pour.Stage == inst.New && c.asked:
				k.either(c, d)
			}
		}
	}
	for _, set := range k.moldSets() {
		k.countMolds(set)
		k.limitMolds(set)
	}
}

// follows keeps a new pour out of a mold until a curing one is out of it.
func (k *kernel) follows(c, d *casting) {
	for i := range c.pour.Molds {
		if c.pour.Molds[i].Mold == d.pour.Mold {
			k.after(d, c, c.molds[i], c.on)
		}
	}
}

// either has one of two new pours of a mold follow the other.
func (k *kernel) either(c, d *casting) {
	first := sat.Lit(0)
	for i := range c.pour.Molds {
		for j := range d.pour.Molds {
			if c.pour.Molds[i].Mold != d.pour.Molds[j].Mold {
				continue
			}
			if first == 0 {
				first = k.m.Bool("first")
			}
			both := k.m.Bool("both")
			k.m.Add(sat.Clause{both, c.molds[i].Not(), d.molds[j].Not()})
			k.after(c, d, both, first)
			k.after(d, c, both, first.Not())
		}
	}
}

// after demands that d is prepared when c is out of the mold, if all of when
// holds.
func (k *kernel) after(c, d *casting, when ...sat.Lit) {
	out := point{vs: c.steps[c.demold()], end: true}
	for _, v := range d.steps[0] {
		for _, s := range v.starts {
			if s > k.by {
				break
			}
			cl := sat.Clause{c.on.Not(), v.on.Not(), k.m.StartLE(v.task, s).Not(), k.reached(&out, &out.vs[0], s)}
			for _, l := range when {
				cl = append(cl, l.Not())
			}
			k.m.Add(cl)
		}
	}
}

// maxMoldSets bounds the sets of molds that are counted.
const maxMoldSets = 24

// moldSets lists sets of molds that some pours cannot do without: those of each
// new pour, and the unions of two that touch.
func (k *kernel) moldSets() [][]int32 {
	var sets [][]int32
	add := func(s []int32) {
		if len(sets) < maxMoldSets && !slices.ContainsFunc(sets, func(o []int32) bool { return slices.Equal(o, s) }) {
			sets = append(sets, s)
		}
	}
	for _, c := range k.cast {
		if c.pour.Stage == inst.New {
			var s []int32
			for i := range c.pour.Molds {
				s = append(s, c.pour.Molds[i].Mold)
			}
			add(s)
		}
	}
	for i, n := 0, len(sets); i < n; i++ {
		for j := range i {
			u := slices.Compact(slices.Sorted(slices.Values(slices.Concat(sets[i], sets[j]))))
			if len(u) < len(sets[i])+len(sets[j]) {
				add(u)
			}
		}
	}
	return sets
}

// limitMolds demands that the pours which have no mold outside of the set hold
// no more than it has: those that are free by now, and while all facts of molds
// that are down hold, those that are not down. A mold in which a pour cures is not
// counted as down.
func (k *kernel) limitMolds(set []int32) {
	r := resource{gate: sat.True, places: func(int32) int { return len(set) }}
	in := func(m int32) bool { return slices.Contains(set, m) }
	cures := map[int32]bool{}
	for i := range k.cast {
		c := &k.cast[i]
		out := point{vs: nil, end: true}
		switch c.pour.Stage {
		case inst.Curing:
			if out.vs = c.steps[c.demold()]; in(c.pour.Mold) {
				cures[c.pour.Mold] = true
				r.holders = append(r.holders, holder{point{}, out, c.on, sat.False, 1})
			}
		case inst.New:
			if slices.ContainsFunc(c.pour.Molds, func(m inst.Choice) bool { return !in(m.Mold) }) {
				continue
			}
			out.vs = c.steps[c.demold()]
			r.holders = append(r.holders, holder{point{vs: c.steps[0]}, out, c.on, c.own, 1})
		}
	}
	var down []Fact
	all := r
	for _, i := range set {
		if m := &k.in.Molds[i]; !cures[i] {
			r.blocks = append(r.blocks, away(m.FreeFrom, nil)...)
			all.blocks = append(all.blocks, away(m.FreeFrom, m.Down)...)
			if len(m.Down) > 0 {
				down = append(down, Fact{Down, m.ID})
			}
		}
	}
	k.limit(&r)
	if len(down) > 0 {
		all.gate = k.rules.holds(down...)
		k.limit(&all)
	}
}

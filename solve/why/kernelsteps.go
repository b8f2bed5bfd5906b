package why

import (
	"pourweek/solve/inst"
	"pourweek/solve/sat"
)

// faraway is more than any number of ticks: steps that may start after the time
// that is asked for get one start for all of that, faraway times their place.
const faraway = 1 << 20

// variant is one way to do a step: straight on or put down for overtime, a prep
// by its work. The kernel's starts and ends are ticks; a start above the time
// that is asked for stands for any later one, and then takes no time.
type variant struct {
	task   sat.TaskID
	on     sat.Lit
	starts []int
	ends   []int
	calm   bool // put down: it takes the regular ticks alone
	work   int32
}

// node is a step of a pour before it is laid: its task, the works it may take,
// the lag from the step before, and the window of its starts.
type node struct {
	name           string
	task           *inst.Task
	works          []int32 // ascending; one but for a prep
	gapMin, gapMax int32   // from the end before; -1: no most
	cured          bool    // the lag is the cure
	lo, hi         int32   // the window of starts
	by             int32   // the latest end
}

func (n *node) least() int32 { return n.works[0] }

// chain lists the steps of a pour that are still to do.
func (k *kernel) chain(x *inst.Pour) []node {
	in := k.in
	var c []node
	add := func(name string, t *inst.Task, gapMin, gapMax int32) *node {
		c = append(c, node{name: name, task: t, works: []int32{t.Work}, gapMin: gapMin, gapMax: gapMax, lo: in.Now, hi: in.H, by: in.H})
		return &c[len(c)-1]
	}
	if x.Stage == inst.New {
		n := add("prep", &x.Molds[0].Prep, 0, -1)
		n.works = prepWorks(x)
		n.lo = max(in.Now, x.Release)
		for j := range x.Layers {
			y := &x.Layers[j]
			n := add("layer", &y.Task, y.GapMin, y.GapMax)
			if j > 0 {
				continue
			}
			n.gapMin, n.gapMax, n.hi = 0, x.PrepMax, in.PourUntil-1
			if x.PinMold != inst.None {
				n.lo, n.hi = x.PinStart, x.PinStart
			}
		}
		add("cover", &x.Cover, x.CoverGapMin, x.CoverGapMax)
	}
	if x.Stage != inst.Racked {
		n := add("demold", &x.Demold, 0, x.MoldMax)
		n.cured = x.Stage == inst.New
		if x.Stage == inst.Curing {
			n.lo, n.gapMax = max(in.Now, x.CuredAt), -1
			if x.MoldUntil >= 0 {
				n.hi = x.MoldUntil
			}
		}
	}
	for j := range x.Finish {
		if x.Stage == inst.Racked && int32(j) < x.Next {
			continue
		}
		f := &x.Finish[j]
		n := add("finish", &f.Task, f.Rest, f.RestMax)
		if x.Stage == inst.Racked && int32(j) == x.Next {
			n.lo = max(in.Now, x.From)
			if x.FromMax >= 0 {
				n.hi = x.FromMax
			}
		}
	}
	return c
}

// windows narrows the starts of a chain whose last step ends by the tick. False
// if nothing is left.
func (k *kernel) windows(x *inst.Pour, c []node, by int32) bool {
	for i := range c {
		n := &c[i]
		if i > 0 {
			end := k.straight(&c[i-1], c[i-1].lo)
			if n.cured {
				n.lo = max(n.lo, x.CureEnd[end])
			} else {
				n.lo = max(n.lo, end+n.gapMin)
			}
		}
		for n.lo <= n.hi && (n.lo >= k.in.H || k.straight(n, n.lo) < 0) {
			n.lo++
		}
		if n.lo > n.hi {
			return false
		}
	}
	for i := len(c) - 1; i >= 0; i-- {
		n := &c[i]
		n.by = by
		for n.hi = min(n.hi, k.in.H-1); n.hi >= n.lo; n.hi-- {
			if e := k.straight(n, n.hi); e >= 0 && e <= by {
				break
			}
		}
		if n.hi < n.lo {
			return false
		}
		by = n.hi - n.gapMin
		for n.cured && by > 0 && x.CureEnd[by] > n.hi {
			by--
		}
	}
	return true
}

// straight is the end of the step straight on from s with its least work, -1 if
// it may not start there.
func (k *kernel) straight(n *node, s int32) int32 { return k.end(n, n.least(), s, false) }

func (k *kernel) end(n *node, work, s int32, calm bool) int32 {
	switch {
	case s < 0 || s >= k.in.H || !n.task.Starts(s):
		return -1
	case calm:
		return k.in.PutDownEnd(s, work)
	case n.task.Pausable:
		return k.in.StraightEnd(s, work)
	}
	return k.in.SteadyEnd(s, work)
}

// lay makes the variants of a step that is there while on holds.
func (k *kernel) lay(n *node, place int, on sat.Lit) []variant {
	var vs []variant
	for _, work := range n.works {
		for _, calm := range []bool{false, true} {
			if v, ok := k.starts(n, work, place, calm); ok {
				vs = append(vs, v)
			}
		}
	}
	some := sat.Clause{on.Not()}
	for i := range vs {
		vs[i].on = on
		if len(vs) > 1 {
			vs[i].on = k.m.Bool(n.name)
			some = append(some, vs[i].on)
		}
		vs[i].task = k.m.AddTask(sat.Task{Name: n.name, Starts: vs[i].starts, Ends: vs[i].ends, Presence: vs[i].on})
		k.size += len(vs[i].starts)
	}
	if len(vs) != 1 {
		k.m.Add(some)
	}
	return vs
}

// starts lists the starts and ends of one way to do a step. What differs in
// nothing from straight on is left out.
func (k *kernel) starts(n *node, work int32, place int, calm bool) (variant, bool) {
	v := variant{calm: calm, work: work}
	if calm && !n.task.Pausable {
		return v, false
	}
	for s := n.lo; s <= n.hi; s++ {
		e := k.end(n, work, s, calm)
		switch {
		case e < 0 || e > n.by || calm && e == k.end(n, work, s, false):
			continue
		case int(s) > k.by && !calm:
			later := (2 + place) * faraway
			v.starts, v.ends = append(v.starts, later), append(v.ends, later)
			return v, true
		case int(s) > k.by:
			return v, len(v.starts) > 0
		}
		v.starts, v.ends = append(v.starts, int(s)), append(v.ends, int(e))
	}
	return v, len(v.starts) > 0
}

// lags ties a step to the one before.
func (k *kernel) lags(x *inst.Pour, n *node, before, after []variant) {
	for i := range before {
		for j := range after {
			a, b := &before[i], &after[j]
			if n.cured {
				k.cures(x, a, b)
			} else {
				k.m.Add(sat.Lag{From: sat.End(a.task), To: sat.Start(b.task), Min: int(n.gapMin)})
			}
			k.m.Add(sat.Lag{From: sat.Start(a.task), To: sat.Start(b.task), Min: a.shortest() + int(n.gapMin)})
			if n.gapMax >= 0 {
				k.noLater(a, b, int(n.gapMax))
			}
		}
	}
}

// shortest is the least time that a start of the variant takes.
func (v *variant) shortest() int {
	least := faraway
	for i, s := range v.starts {
		if s < faraway {
			least = min(least, v.ends[i]-s)
		}
	}
	return least % faraway
}

// noLater demands that b starts at most so many ticks after a ends. Beyond the
// time that is asked for nothing is demanded.
func (k *kernel) noLater(a, b *variant, most int) {
	for i, s := range a.starts {
		if t := a.ends[i] + most; t <= k.by || s < faraway && b.last() < faraway {
			k.m.Add(sat.Clause{a.on.Not(), b.on.Not(), k.m.StartLE(a.task, s).Not(), k.m.StartLE(b.task, t)})
		}
	}
}

func (v *variant) last() int { return v.starts[len(v.starts)-1] }

// cures demands that b starts when what a covers has cured.
func (k *kernel) cures(x *inst.Pour, a, b *variant) {
	for i, s := range a.starts {
		if s >= faraway {
			k.m.Add(sat.Clause{a.on.Not(), b.on.Not(), k.m.StartLE(a.task, s-1), k.m.StartLE(b.task, faraway-1).Not()})
			continue
		}
		cured := int(x.CureEnd[a.ends[i]])
		k.m.Add(sat.Clause{a.on.Not(), b.on.Not(), k.m.StartLE(a.task, s-1), k.m.StartLE(b.task, cured-1).Not()})
	}
}

package why

import (
	"slices"

	"pourweek/solve/inst"
	"pourweek/solve/sat"
)

// This file says what follows from the rest by counting alone. A clause-learning
// solver would have to try the orders of a crowd one by one to see that there is
// no room for all.

// effort is work of n heads or places for w open ticks, on the axis of open
// ticks: not before est, the start not after lst, the end not after end. Where
// it is loose it may be put down for overtime, so that only its window counts.
type effort struct {
	n, w          int
	est, lst, end int
	loose         bool
	on            sat.Lit
}

// within is the least that an effort takes in [a, b): started as early or as
// late as it can be.
func (e *effort) within(a, b int) int {
	w := min(e.w, b-a, e.est+e.w-a, b-e.lst)
	if e.loose {
		w = 0
		if a <= e.est && e.end <= b {
			w = e.w
		}
	}
	return e.n * max(w, 0)
}

// efforts lists the steps that ask for n > 0.
func (k *kernel) efforts(ask func(t *inst.Task) int) []effort {
	var es []effort
	for _, c := range k.cast {
		for i := range c.nodes {
			x := &c.nodes[i]
			n, w := ask(x.task), x.least()
			if n == 0 || w == 0 {
				continue
			}
			e := effort{n: n, w: int(w), est: int(k.in.OpenIndex(x.lo)), lst: int(k.in.OpenIndex(x.hi)), on: c.on}
			e.end = e.lst + e.w
			if x.task.Pausable && len(k.in.RegAt) < len(k.in.OpenAt) {
				e.loose = true
				for s := x.hi; s >= x.lo; s-- {
					if end := k.in.PutDownEnd(s, w); end >= 0 && end <= x.by {
						e.end = max(e.end, int(k.in.OpenIndex(end)))
						break
					}
				}
			}
			es = append(es, e)
		}
	}
	return es
}

// overload looks for an interval in which the efforts take more than there is;
// sum is what there is before each open tick. It returns the literals of what
// takes part.
func overload(es []effort, sum []int) ([]sat.Lit, bool) {
	var from, to []int
	for _, e := range es {
		from, to = append(from, e.est), append(to, e.end)
	}
	slices.Sort(from)
	slices.Sort(to)
	for _, a := range slices.Compact(from) {
		for _, b := range slices.Compact(to) {
			if b <= a || b >= len(sum) {
				continue
			}
			taken, on := 0, []sat.Lit{}
			for i := range es {
				if n := es[i].within(a, b); n > 0 {
					taken, on = taken+n, append(on, es[i].on)
				}
			}
			if taken > sum[b]-sum[a] {
				slices.Sort(on)
				return slices.Compact(on), true
			}
		}
	}
	return nil, false
}

// forbidOverload says of an overload that not all of it can be while gate holds.
func (k *kernel) forbidOverload(es []effort, have func(t int32) int, gate sat.Lit) {
	sum := make([]int, 1, len(k.in.OpenAt)+1)
	for i, t := range k.in.OpenAt {
		sum = append(sum, sum[i]+max(have(t), 0))
	}
	if on, yes := overload(es, sum); yes {
		c := sat.Clause{gate.Not()}
		for _, l := range on {
			c = append(c, l.Not())
		}
		k.m.Add(c)
	}
}

// countCrew counts the work for a set of skills.
func (k *kernel) countCrew(set uint64) {
	es := k.efforts(func(t *inst.Task) int { return heads(t.Crew, set) })
	for i := range k.loads {
		l := &k.loads[i]
		if n := heads(l.mix.Crew, set); l.own && n > 0 && l.mix.Mix > 0 && l.mixV.last() < faraway {
			first, last := k.in.OpenIndex(int32(l.mixV.starts[0])), k.in.OpenIndex(int32(l.mixV.last()))
			es = append(es, effort{n: n, w: int(l.mix.Mix), est: int(first), lst: int(last), end: int(last + l.mix.Mix), on: l.on})
		}
	}
	gate := k.crewHolds(set)
	k.forbidOverload(es, func(t int32) int { return k.have(set) - k.fixedHeads(set, t) }, gate)
	hours := k.rules.holds(append(k.crewFacts(set), Fact{Hours, ""})...)
	k.forbidOverload(es, func(t int32) int { return k.here(set, t) - k.fixedHeads(set, t) }, hours)
}

// countStation counts the steps at a station.
func (k *kernel) countStation(s int32, r *resource) {
	es := k.efforts(func(t *inst.Task) int {
		if t.Station == s {
			return 1
		}
		return 0
	})
	k.forbidOverload(es, func(t int32) int {
		n := r.places(t)
		for _, b := range r.blocks {
			if b.from <= t && t < b.to {
				n -= b.n
			}
		}
		return n
	}, r.gate)
}

// countMolds counts how often the molds of a set can be used in a window, each
// time by the quickest of the pours, and compares that with the pours that must
// be in and out of them within it.
func (k *kernel) countMolds(set []int32) {
	var in []*casting
	for i := range k.cast {
		c := &k.cast[i]
		if c.pour.Stage == inst.New && !slices.ContainsFunc(c.pour.Molds, func(m inst.Choice) bool { return !slices.Contains(set, m.Mold) }) {
			in = append(in, c)
		}
	}
	if len(in) <= len(set) {
		return
	}
	out := k.soonestOut(in)
	for _, first := range in {
		for _, last := range in {
			a, b := first.nodes[0].lo, last.outBy()
			c := sat.Clause{}
			n := 0
			for _, x := range in {
				if x.nodes[0].lo >= a && x.outBy() <= b {
					n++
					c = append(c, x.on.Not(), x.own)
				}
			}
			if n <= len(set) {
				continue
			}
			room := 0
			for _, m := range set {
				for t := max(a, k.in.Molds[m].FreeFrom); t < k.in.H && out[t] <= b && out[t] > t; t = out[t] {
					room++
				}
			}
			if n > room {
				k.m.Add(c)
				return
			}
		}
	}
}

// outBy is the latest end of the pour's demold.
func (c *casting) outBy() int32 {
	n := &c.nodes[c.demold()]
	return n.hi + n.least()
}

// soonestOut gives by tick the soonest end of a demold of a pour that is prepared
// from then on, one past the horizon where there is none.
func (k *kernel) soonestOut(in []*casting) []int32 {
	out := slices.Repeat([]int32{k.in.H + 1}, int(k.in.H)+1)
	for _, c := range in {
		n := &c.nodes[0]
		if c.out == nil {
			for s := n.lo; s <= n.hi; s++ {
				c.out = append(c.out, k.outFrom(c, s))
			}
		}
		for i, e := range c.out {
			if s := n.lo + int32(i); e >= 0 {
				out[s] = min(out[s], e)
			}
		}
	}
	for t := k.in.H - 1; t >= 0; t-- {
		out[t] = min(out[t], out[t+1])
	}
	return out
}

// outFrom is the soonest end of the demold of a pour prepared from s, -1 if it
// may not be.
func (k *kernel) outFrom(c *casting, s int32) int32 {
	end := k.straight(&c.nodes[0], s)
	for i := 1; end >= 0 && i <= c.demold(); i++ {
		n := &c.nodes[i]
		lo := end + n.gapMin
		if n.cured {
			lo = c.pour.CureEnd[end]
		}
		for lo = max(lo, n.lo); lo <= n.hi && k.straight(n, lo) < 0; lo++ {
		}
		if lo > n.hi {
			return -1
		}
		end = k.straight(n, lo)
	}
	return end
}

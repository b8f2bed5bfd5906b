package bound

import (
	"fmt"

	"pourweek/solve/inst"
)

// fill is a range of an arena.
type fill struct{ from, to int32 }

// choice is the best batch of a state: its mix, and what its pattern owes.
type choice struct{ mix, owes int32 }

// mixerClass is a set of mixers alike in everything. A path of a mixer is a
// sequence of batches that do not overlap. Its state ahead of a batch is the
// number of batches before it in its run (its rank) and the number that must
// still come in the run, the batch included, less one (its debt).
type mixerClass struct {
	n        int64
	capacity int64
	mixes    []int32
	from     int32
	downSum  []int32   // down ticks before a tick
	starts   [][]bool  // by mix and open tick: a batch may start
	pattern  [][]int32 // by mix and open tick: the best pattern of the last pass
	filled   [][]fill  // by mix and place, and open tick: what its best pattern is filled with
	arena    []int32   // stretches (local) of all fills
	pricing  pricing

	ranks, debts, owes int32
	places             int
	last               []int32    // by open tick: the last start in reach
	w                  [][]int64  // by state and open tick: what a batch started there and all after it earn
	choice             [][]choice // by state and open tick
	far                []int64    // by open tick: the most that runs from here on earn
	promised           [][]int64  // by mix and open tick: at least what a batch pays
	best               []int64    // the most of it over the mixes, at least 0
	bonus              []int64    // what the batches before in a run may pay at most
	hold               int32      // least open ticks that a batch holds the mixer
	soon               [][]int64  // by state: the most over the starts from the k-th after a batch on, in its reach
	soonAt             int32
	after              []int64    // by rank and what is owed after a batch: what it earns after it, less its crew
	followed           []followed // by mix: after of the mix, or of one that is mixed and cleaned up alike
	alike              []int32    // by mix: the first one like it
}

// followed is what follow found last.
type followed struct {
	at    int32
	after []int64
	wash  [][]int32 // by open tick: starts of clean-ups after a batch
}

func newMixers(l *lagrangian) []*mixerClass {
	in := l.ax.in
	at := map[string]*mixerClass{}
	var list []*mixerClass
	reach := l.needs()
	var ids []int32
	for i := range in.Mixers {
		x := &in.Mixers[i]
		c := &mixerClass{n: 1, capacity: x.Capacity}
		for m := range in.Mixes {
			for _, y := range in.Mixes[m].Mixers {
				if int(y) == i {
					c.mixes = append(c.mixes, int32(m))
				}
			}
		}
		if l.ties(int32(i)) { // a path has one batch at a tick, but so many paths have all
			c.n = l.draws()
		}
		key := fmt.Sprint(x.Capacity, x.FreeFrom, x.Down, c.mixes)
		if old := at[key]; old != nil {
			old.n += c.n
			continue
		}
		at[key] = c
		list, ids = append(list, c), append(ids, int32(i))
		c.layOut(l, x)
	}
	for i, c := range list {
		c.layRuns(l, ids[i], reach)
	}
	return list
}

// draws counts the draws of all new pours.
func (l *lagrangian) draws() int64 {
	n := int64(0)
	for _, g := range l.groups {
		n += g.n * int64(len(g.pour.Draws))
	}
	return n
}

func (c *mixerClass) layOut(l *lagrangian, x *inst.Mixer) {
	in, n := l.ax.in, l.ax.n
	c.from = max(l.ax.first, in.OpenIndex(x.FreeFrom))
	c.downSum = make([]int32, in.H+1)
	for t, d := range inst.Mask(x.Down, in.H) {
		c.downSum[t+1] = c.downSum[t]
		if d {
			c.downSum[t+1]++
		}
	}
	c.starts, c.pattern = grid[bool](len(c.mixes), n), grid[int32](len(c.mixes), n)
	for j, id := range c.mixes {
		m := &in.Mixes[id]
		for i := c.from; i < n; i++ {
			s := l.ax.tick[i]
			c.starts[j][i] = l.mixes[id].serves(i) && l.mixes[id].work[i] >= 0 && s+m.Ready <= in.H && c.downSum[s+m.Ready] == c.downSum[s]
		}
	}
}

// layWashes lists the starts of clean-ups after batches of each mix.
func (c *mixerClass) layWashes(l *lagrangian) {
	at := map[string]int32{}
	c.followed, c.alike = make([]followed, len(c.mixes)), make([]int32, len(c.mixes))
	for j, id := range c.mixes {
		m := &l.ax.in.Mixes[id]
		key := fmt.Sprint(m.Mix, m.Ready, m.Remix, m.Crew, m.GapMin, m.GapMax, m.LeastWash())
		k, ok := at[key]
		if !ok {
			k = int32(j)
			at[key] = k
			c.followed[j] = followed{at: -1, after: make([]int64, c.places), wash: make([][]int32, l.ax.n)}
		}
		c.alike[j] = k
		wash := c.followed[k].wash
		for i := c.from; i < l.ax.n; i++ {
			if c.starts[j][i] && wash[i] == nil {
				wash[i] = c.washes(l, m, i)
			}
		}
	}
}

// washes lists the starts of clean-ups after a batch started at i; the batch's
// end where there is none to do.
func (c *mixerClass) washes(l *lagrangian, m *inst.Mix, i int32) []int32 {
	w := m.LeastWash()
	if w == 0 {
		return []int32{i + m.Ready}
	}
	in, t := l.ax.in, l.ax.tick[i]+m.Ready
	list := []int32{}
	for z := in.OpenIndex(t + m.GapMin); z < l.ax.n && l.ax.tick[z] <= t+m.GapMax; z++ {
		if e := in.SteadyEnd(l.ax.tick[z], w); e >= 0 && c.downSum[e] == c.downSum[l.ax.tick[i]] {
			list = append(list, z)
		}
	}
	return list
}

// walk counts the batches of the best path for all mixers of the class.
func (c *mixerClass) walk(l *lagrangian) {
	n := int32(c.n)
	for i := c.from; i < l.ax.n && c.far[i] > 0; {
		if c.far[i] == c.far[i+1] {
			i++
			continue
		}
		rank, debt := int32(0), int32(0)
		for more := true; more; {
			i, rank, debt, more = c.walkBatch(l, i, rank, debt, n)
		}
	}
}

// walkBatch counts the best batch of a state that starts at i. It returns the
// start and the state of the next batch of the run, or, and false, the index
// from which the mixer is free.
func (c *mixerClass) walkBatch(l *lagrangian, i, rank, debt, n int32) (next, r, d int32, more bool) {
	ch := c.choice[c.state(rank, debt)][i]
	x := &l.mixes[c.mixes[ch.mix]]
	m := x.m
	use := func(a, b int32) {
		l.useAll[x.crew][a] += n
		l.useAll[x.crew][b] -= n
	}
	ready := i + m.Ready
	use(i, i+m.Mix)
	use(ready-m.Remix, ready)
	f := c.filled[c.place(ch.mix, rank, ch.owes)][i]
	for _, j := range c.arena[f.from:f.to] {
		k := &l.kinds[x.kinds[j]]
		best, to := int64(0), int32(-1)
		for a := x.wlo[j][i]; a <= x.whi[j][i]; a++ {
			if y := l.stretchPrice(k, a); y > best {
				best, to = y, a
			}
		}
		if to >= 0 {
			l.useStretch(k, to, -n)
		}
	}
	owed := max(debt, ch.owes)
	r, d = min(rank+1, c.ranks-1), max(owed-1, 0)
	best, wash := -inf, int32(0)
	take := func(v int64, z, at int32, near bool) {
		if v > best {
			best, wash, next, more = v, z, at, near
		}
	}
	all := l.crewAll[x.crew]
	for _, z := range c.followed[c.alike[ch.mix]].wash[i] {
		e := max(z+x.least, i+1)
		crew := all[z+x.least] - all[z]
		if owed == 0 {
			take(c.far[e]-crew, z, e, false)
		}
		if c.owes > 0 {
			w := c.w[c.state(r, d)]
			for k := e; k <= c.last[i]; k++ {
				take(w[k]-crew, z, k, true)
			}
		}
	}
	if x.least > 0 {
		use(wash, wash+x.least)
	}
	return next, r, d, more
}

func (c *mixerClass) state(rank, debt int32) int32 { return rank*c.debts + debt }

func (c *mixerClass) place(mix, rank, owes int32) int32 {
	return mix*int32(c.places) + rank*(c.owes+1) + owes
}

package bound

import (
	"fmt"

	"pourweek/solve/inst"
)

// fill is a range of an arena.
type fill struct{ from, to int32 }

// mixerClass is a set of mixers alike in everything. A path of a mixer is a
// sequence of batches that do not overlap.
type mixerClass struct {
	n        int64
	capacity int64
	mixes    []int32
	from     int32
	downSum  []int32   // down ticks before a tick
	earned   []int64   // by open tick: the most that batches from here on earn
	starts   [][]bool  // by mix and open tick: a batch may start
	pattern  [][]int32 // by mix and open tick: the best pattern of the last pass
	filled   [][]fill  // what it is filled with
	arena    []int32   // stretches (local) of all fills
	gain     [][]int64 // what it earns with all that follows
	pricing  pricing
}

func newMixers(l *lagrangian) []*mixerClass {
	in := l.ax.in
	at := map[string]*mixerClass{}
	var list []*mixerClass
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
		key := fmt.Sprint(x.Capacity, x.FreeFrom, x.Down, c.mixes)
		if old := at[key]; old != nil {
			old.n++
			continue
		}
		at[key] = c
		list = append(list, c)
		c.layOut(l, x)
	}
	return list
}

func (c *mixerClass) layOut(l *lagrangian, x *inst.Mixer) {
	in, n := l.ax.in, l.ax.n
	c.earned = make([]int64, n+1)
	c.from = max(l.ax.first, in.OpenIndex(x.FreeFrom))
	c.downSum = make([]int32, in.H+1)
	for t, d := range inst.Mask(x.Down, in.H) {
		c.downSum[t+1] = c.downSum[t]
		if d {
			c.downSum[t+1]++
		}
	}
	c.filled = grid[fill](len(c.mixes), n)
	c.starts, c.pattern, c.gain = grid[bool](len(c.mixes), n), grid[int32](len(c.mixes), n), grid[int64](len(c.mixes), n)
	for j, id := range c.mixes {
		m := &in.Mixes[id]
		for i := c.from; i < n; i++ {
			s := l.ax.tick[i]
			c.starts[j][i] = l.mixes[id].work[i] >= 0 && s+m.Ready <= in.H && c.downSum[s+m.Ready] == c.downSum[s]
		}
	}
}

// washOf is the least length of a clean-up of the mix.
func washOf(m *inst.Mix) int32 {
	w := m.Wash
	for _, b := range m.Before {
		if b >= 0 {
			w = min(w, b)
		}
	}
	return w
}

// earn fills the path of the mixer and returns what its batches earn.
func (c *mixerClass) earn(l *lagrangian) int64 {
	n := l.ax.n
	c.earned[n] = 0
	c.arena = c.arena[:0]
	for i := n - 1; i >= c.from; i-- {
		c.earned[i] = c.earned[i+1]
		for j, id := range c.mixes {
			c.gain[j][i] = 0
			if !c.starts[j][i] {
				continue
			}
			c.pricing.l, c.pricing.x = l, &l.mixes[id]
			v, found := c.pricing.price(i, c.capacity, c.pattern[j][i])
			if v <= 0 {
				continue
			}
			from := int32(len(c.arena))
			c.arena = append(c.arena, c.pricing.chosen...)
			c.filled[j][i] = fill{from, int32(len(c.arena))}
			v += c.after(l, id, i)
			c.gain[j][i], c.pattern[j][i] = v, found
			c.earned[i] = max(c.earned[i], v)
		}
	}
	return c.earned[min(c.from, n)]
}

// after is what the mixer earns after a batch started at i, less the crew of
// the batch.
func (c *mixerClass) after(l *lagrangian, id, i int32) int64 {
	x := &l.mixes[id]
	m := x.m
	all := l.crewAll[x.crew]
	ready := i + m.Ready
	v := -(all[i+m.Mix] - all[i]) - (all[ready] - all[ready-m.Remix])
	w, _ := c.wash(l, x, i)
	return v + w
}

// wash is the best that follows a batch started at i: what the mixer earns
// after its clean-up, less the crew of that, and the clean-up's start.
func (c *mixerClass) wash(l *lagrangian, x *mix, i int32) (int64, int32) {
	m, w := x.m, x.least
	if w == 0 {
		return c.earned[i+m.Ready], i + m.Ready
	}
	in, t := l.ax.in, l.ax.tick[i]+m.Ready
	all := l.crewAll[x.crew]
	best, at := -inf, int32(-1)
	for z := in.OpenIndex(t + m.GapMin); z < l.ax.n && l.ax.tick[z] <= t+m.GapMax; z++ {
		e := in.SteadyEnd(l.ax.tick[z], w)
		if e < 0 || c.downSum[e] != c.downSum[l.ax.tick[i]] {
			continue
		}
		if v := c.earned[z+w] - (all[z+w] - all[z]); v > best {
			best, at = v, z
		}
	}
	return best, at
}

// walk counts the batches of the best path for all mixers of the class.
func (c *mixerClass) walk(l *lagrangian) {
	n := int32(c.n)
	for i := c.from; i < l.ax.n && c.earned[i] > 0; {
		if c.earned[i] == c.earned[i+1] {
			i++
			continue
		}
		for j, id := range c.mixes {
			if c.gain[j][i] == c.earned[i] {
				f := c.filled[j][i]
				i = c.walkBatch(l, &l.mixes[id], c.arena[f.from:f.to], i, n)
				break
			}
		}
	}
}

// walkBatch counts one batch and returns the index from which the mixer is free.
func (c *mixerClass) walkBatch(l *lagrangian, x *mix, pattern []int32, i, n int32) int32 {
	m := x.m
	use := func(a, b int32) {
		l.useAll[x.crew][a] += n
		l.useAll[x.crew][b] -= n
	}
	ready := i + m.Ready
	use(i, i+m.Mix)
	use(ready-m.Remix, ready)
	for _, j := range pattern {
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
	_, z := c.wash(l, x, i)
	if x.least > 0 {
		use(z, z+x.least)
		return z + x.least
	}
	return ready
}

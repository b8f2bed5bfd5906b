package bound

import "slices"

// A pour whose stretches need several batches ties batches together: between
// the batch of one stretch and that of the next lie at most the gap between
// their layers and the working time. Where one mixer makes both, the first of
// them starts earlier on the same mixer. A *run* is a sequence of batches of a
// mixer of which each starts within reach of the one before. So a stretch
// stands in a batch that has at least `need` batches before it in its run, and
// at least `owes` after it, whatever the other pours are. No batch of other
// pours can do for the first or the last of a run what needs a middle one.

// needs works out need and owes of all stretches, and the reach of each mixer's
// runs in ticks.
func (l *lagrangian) needs() []int32 {
	reach := make([]int32, len(l.ax.in.Mixers))
	for _, g := range l.groups {
		if g.loose {
			continue
		}
		// Stretches stand by their first layer, so all before one stand before it.
		for _, id := range g.kinds {
			k := &l.kinds[id]
			k.need = g.fewest(l, k, func(a *kind) bool { return a.b == g.drawnBefore(k.a) }, func(a *kind) int32 {
				return l.link(g, a, k, reach, a.need)
			})
		}
		for i := len(g.kinds) - 1; i >= 0; i-- {
			k := &l.kinds[g.kinds[i]]
			k.owes = g.fewest(l, k, func(b *kind) bool { return g.drawnBefore(b.a) == k.b }, func(b *kind) int32 {
				return l.link(g, k, b, reach, b.owes)
			})
		}
	}
	return reach
}

// maxChain is the most that need and owes tell apart.
const maxChain = 2

// fewest is the least of what the stretches that may stand beside k count, 0 if
// there is none.
func (g *group) fewest(l *lagrangian, k *kind, beside func(*kind) bool, count func(*kind) int32) int32 {
	least := int32(-1)
	for _, id := range g.kinds {
		if o := &l.kinds[id]; o != k && beside(o) {
			if c := count(o); least < 0 || c < least {
				least = c
			}
		}
	}
	return min(max(least, 0), maxChain)
}

// drawnBefore is the last layer before layer a that has a draw, -1 if none.
func (g *group) drawnBefore(a int32) int32 {
	last := int32(-1)
	for i := range g.pour.Draws {
		for _, j := range g.pour.Draws[i].Layers {
			if j < a {
				last = max(last, j)
			}
		}
	}
	return last
}

// link is 1 + far where the batches of stretch b and of the stretch a before it
// must stand in one run, and 0 where they need not; it widens the reach.
func (l *lagrangian) link(g *group, a, b *kind, reach []int32, far int32) int32 {
	x, y := &l.mixes[a.mix], &l.mixes[b.mix]
	if len(x.m.Mixers) != 1 || len(y.m.Mixers) != 1 || x.m.Mixers[0] != y.m.Mixers[0] || l.ties(x.m.Mixers[0]) {
		return 0
	}
	lo, hi := int32(0), int32(0)
	for j := a.b + 1; j <= b.a; j++ {
		lo += g.pour.Layers[j].GapMin
		hi += g.pour.Layers[j].GapMax
		if j < b.a {
			lo += g.pour.Layers[j].Work
			hi += g.pour.Layers[j].Work
		}
	}
	// The batch of b starts at least so long after that of a. If it were the
	// earlier one, it would start sooner than a by all that it holds the mixer for.
	after := x.m.Ready + a.length + lo - y.m.Ready - y.longest + b.length
	if after <= -(y.m.Ready + y.m.LeastWash()) {
		return 0
	}
	reach[x.m.Mixers[0]] = max(reach[x.m.Mixers[0]], x.m.Ready+x.longest+hi-y.m.Ready)
	return 1 + far
}

// ties reports whether batches of a mixer may start at one tick: one of them
// takes no time, to mix and to wash.
func (l *lagrangian) ties(mixer int32) bool {
	for i := range l.ax.in.Mixes {
		m := &l.ax.in.Mixes[i]
		if slices.Contains(m.Mixers, mixer) && m.Instant() {
			return true
		}
	}
	return false
}

// layRuns tells the mixer how its runs go.
func (c *mixerClass) layRuns(l *lagrangian, mixer int32, reach []int32) {
	c.ranks, c.debts = 1, 1
	for _, id := range c.mixes {
		for _, k := range l.mixes[id].kinds {
			c.ranks, c.owes = max(c.ranks, l.kinds[k].need+1), max(c.owes, l.kinds[k].owes)
		}
	}
	// Who needs a batch before its own is only served where one may owe it, and
	// the other way round: what the two count differs where a pour can be cut
	// into stretches in several ways.
	c.ranks = max(c.ranks, c.owes+1)
	c.owes = c.ranks - 1
	c.debts = max(c.owes, 1)
	n := l.ax.n
	c.hold = n
	for _, id := range c.mixes {
		c.hold = min(c.hold, max(l.mixes[id].m.Ready+l.mixes[id].m.LeastWash(), 1))
	}
	c.w, c.choice = grid[int64](int(c.ranks*c.debts), n+1), grid[choice](int(c.ranks*c.debts), n+1)
	c.far, c.bonus, c.best = make([]int64, n+1), make([]int64, n+1), make([]int64, n+1)
	c.last = make([]int32, n)
	for i := range c.last {
		c.last[i] = l.ax.in.OpenIndex(l.ax.tick[i]+reach[mixer]+1) - 1
	}
	c.soon = make([][]int64, len(c.w))
	c.places = int(c.ranks * (c.owes + 1))
	c.layWashes(l)
	c.promised = grid[int64](len(c.mixes), n)
	c.filled = grid[fill](len(c.mixes)*c.places, n)
}

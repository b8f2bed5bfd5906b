package bound

// earn fills the path of the mixer and returns what its batches earn.
func (c *mixerClass) earn(l *lagrangian) int64 {
	n := l.ax.n
	c.far[n], c.arena, c.soonAt = 0, c.arena[:0], -1
	for s := range c.w {
		c.w[s][n] = -inf
	}
	for j := range c.followed {
		c.followed[j].at = -1
	}
	c.promises(l)
	for i := n - 1; i >= c.from; i-- {
		for s := range c.w {
			c.w[s][i] = -inf
		}
		for j := range c.mixes {
			if c.starts[j][i] {
				c.batches(l, int32(j), i)
			}
		}
		c.far[i] = max(c.far[i+1], c.w[0][i])
	}
	return c.far[min(c.from, n)]
}

// promises bounds from above what a batch pays at each start, and what all
// batches before it in its run may pay.
func (c *mixerClass) promises(l *lagrangian) {
	clear(c.best)
	for j, id := range c.mixes {
		for i := c.from; i < l.ax.n; i++ {
			if c.starts[j][i] {
				c.pricing.at(l, &l.mixes[id], i, c.capacity)
				v := c.pricing.promise(i)
				c.promised[j][i] = v
				c.best[i] = max(c.best[i], v)
			}
		}
	}
	if c.owes == 0 {
		return
	}
	clear(c.bonus)
	for i := c.from; i < l.ax.n; i++ {
		for k := i + c.hold; k <= c.last[i]; k++ {
			c.bonus[k] = max(c.bonus[k], c.best[i]+c.bonus[i])
		}
	}
}

// threshold is what a batch of a rank that owes so much must pay at i, more
// than that, to be of use: the path from its start on must earn more than one
// that starts later. One that pays a debt may earn less by what the batches
// before it in its run pay.
func (c *mixerClass) threshold(i, rank, owes int32) int64 {
	t := c.far[i+1] - c.after[rank*(c.owes+1)+owes]
	if rank > 0 {
		t -= c.bonus[i]
	}
	return t
}

// batches prices batches of the j-th mix started at i, of every rank and debt.
func (c *mixerClass) batches(l *lagrangian, j, i int32) {
	x := &l.mixes[c.mixes[j]]
	c.follow(l, x, j, i)
	if c.promised[j][i] <= c.threshold(i, c.ranks-1, 0) {
		return
	}
	p := &c.pricing
	p.at(l, x, i, c.capacity)
	var top priced
	for r := c.ranks - 1; r >= 0; r-- {
		for o := c.owes; o >= 0; o-- {
			thr := c.threshold(i, r, o)
			if thr >= inf/2 || top.known && top.v <= thr {
				continue
			}
			at := place{r, o}
			if !top.known || !top.within(at) {
				v, found, ok := p.price(i, at, thr, c.pattern[j][i])
				if r == c.ranks-1 && o == c.owes {
					top = priced{known: true, v: v, found: ok}
					if ok {
						c.pattern[j][i] = found
					}
				}
				if !ok {
					continue
				}
				from := int32(len(c.arena))
				c.arena = append(c.arena, p.chosen...)
				c.put(j, i, at, v, fill{from, int32(len(c.arena))})
				if r == c.ranks-1 && o == c.owes {
					top.hold(l, x, p.chosen)
					top.fill = c.filled[c.place(j, r, o)][i]
				}
				continue
			}
			c.put(j, i, at, top.v, top.fill)
		}
	}
}

// priced is the best pattern of any place.
type priced struct {
	known, found bool
	v            int64
	at           place // the least place that holds it
	fill         fill
}

func (p *priced) hold(l *lagrangian, x *mix, chosen []int32) {
	for _, j := range chosen {
		k := &l.kinds[x.kinds[j]]
		p.at.need, p.at.owes = max(p.at.need, k.need), max(p.at.owes, k.owes)
	}
}

// within reports whether it is the best pattern of the place as well.
func (p *priced) within(at place) bool {
	return p.found && p.at.need <= at.need && p.at.owes <= at.owes
}

// put takes a pattern that pays v as the batch of each state in which it earns
// more.
func (c *mixerClass) put(j, i int32, at place, v int64, f fill) {
	c.filled[c.place(j, at.need, at.owes)][i] = f
	a := c.after[at.need*(c.owes+1):]
	for d := int32(0); d < c.debts; d++ {
		s := c.state(at.need, d)
		if e := v + a[max(at.owes, d)]; e > c.w[s][i] && a[max(at.owes, d)] > -inf/2 {
			c.w[s][i] = e
			c.choice[s][i] = choice{j, at.owes}
		}
	}
}

// follow sets after to what the mixer earns after a batch of the j-th mix
// started at i, less the crew of the batch.
func (c *mixerClass) follow(l *lagrangian, x *mix, j, i int32) {
	f := &c.followed[c.alike[j]]
	c.after = f.after
	if f.at == i {
		return
	}
	f.at = i
	m := x.m
	all := l.crewAll[x.crew]
	ready := i + m.Ready
	less := (all[i+m.Mix] - all[i]) + (all[ready] - all[ready-m.Remix])
	for s := range c.after {
		c.after[s] = -inf
	}
	if c.owes > 0 {
		c.near(i)
	}
	best := -inf
	for _, z := range f.wash[i] {
		e := max(z+x.least, i+1)
		crew := all[z+x.least] - all[z]
		best = max(best, c.far[e]-crew)
		if c.owes == 0 || e > c.last[i] {
			continue
		}
		for r := int32(0); r < c.ranks; r++ {
			a := c.after[r*(c.owes+1):]
			next := min(r+1, c.ranks-1)
			a[0] = max(a[0], c.soon[c.state(next, 0)][e-i]-less-crew)
			for o := int32(1); o <= c.owes; o++ {
				a[o] = max(a[o], c.soon[c.state(next, o-1)][e-i]-less-crew)
			}
		}
	}
	for r := int32(0); r < c.ranks; r++ {
		a := &c.after[r*(c.owes+1)]
		*a = max(*a, best-less)
	}
}

// near works out the most that a batch in reach of one started at i earns, by
// its state and the earliest start.
func (c *mixerClass) near(i int32) {
	if c.soonAt == i {
		return
	}
	c.soonAt = i
	n := int(c.last[i] - i + 1)
	for s, w := range c.w {
		if len(c.soon[s]) < n+1 {
			c.soon[s] = make([]int64, n+1)
		}
		c.soon[s] = c.soon[s][:cap(c.soon[s])]
		b := c.soon[s]
		best := -inf
		for k := n - 1; k >= 1; k-- {
			best = max(best, w[int(i)+k])
			b[k] = best
		}
	}
}

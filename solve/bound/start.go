package bound

// start sets the prices of the first pass: nothing for resources, what a full
// mixer costs by the gram for stretches, and for each pour what planning it
// must cost by itself. The bound is then the sum of what each pour costs alone,
// in the empty shop, with batches counted by mass.
func (r *run) start(bs []*block) {
	l := r.lag
	clear(l.u)
	alone := l.aloneAll()
	r.lackPlace(alone)
	r.packing(alone)
	for i := range l.mixes {
		x := &l.mixes[i]
		rate := x.leastRate(l)
		for _, id := range x.kinds {
			k := &l.kinds[id]
			for j := k.off; j < k.off+int(k.hi-k.lo); j++ {
				l.beta[j] = rate(k)
			}
		}
	}
	for g, a := range l.aloneAll() {
		l.u[g] = max(min(a, l.groups[g].leave), 0)
	}
	for _, b := range bs {
		b.take()
	}
}

// aloneAll is by group the least cost of one of its pours at the prices, less
// its price of planning and the credit for its grams; inf where it fits nowhere.
func (l *lagrangian) aloneAll() []int64 {
	l.sums()
	l.priceGroups()
	alone := make([]int64, len(l.groups))
	for g := range alone {
		alone[g] = inf
	}
	for i, c := range l.classes {
		if c.lead != i {
			continue
		}
		for _, it := range c.items {
			alone[it.g.id] = min(alone[it.g.id], c.alone(l, it))
		}
	}
	return alone
}

// take makes the relaxation's prices the block's.
func (b *block) take() {
	for i, p := range b.price {
		b.y[i] = float64(p) / scale
	}
	copy(b.best, b.y)
}

// leastRate gives the price of a stretch that no batch can be paid more than
// its cost with: what the fullest mixer costs, by the gram. (A batch of net
// grams costs at least batch + waste * (net + loss), which by the gram falls
// as net grows.)
func (x *mix) leastRate(l *lagrangian) func(k *kind) int64 {
	most := l.capacity(x.m) - x.m.Loss
	if most <= 0 {
		return func(*kind) int64 { return 0 }
	}
	rate := float64(l.leastCost(x.m, most)) / float64(most)
	return func(k *kind) int64 { return int64(rate * float64(k.grams)) }
}

// alone is the least cost of one pour of the item in the class's molds at the
// prices, whatever comes before and after it.
func (c *class) alone(l *lagrangian, it *item) int64 {
	best := inf
	it.prep.price(l)
	for _, seg := range c.segs {
		b := it.g.bodies[0]
		b.reset(seg.end)
		b.extend(l, it, l.zero, seg, seg.from)
		for i := seg.from; i < seg.end; i++ {
			best = min(best, b.z[i])
		}
	}
	return best
}

package exact

// guide knows what is still to come, at least, from each state of a recorded
// sweep with loose tails: no plan below its limit costs less from there on. A
// state that the sweep did not reach is on no such plan.
type guide struct {
	*sweep
}

// reached notes that the state in hand ends at so much more.
func (x *sweep) reached(cost int64) {
	b := x.buckets[x.t]
	b.room()
	b.rest[x.slot] = min(b.rest[x.slot], cost)
}

// room makes place for what is to come, unknown as yet.
func (b *bucket) room() {
	for len(b.rest) < len(b.cost) {
		b.rest = append(b.rest, inf64)
	}
}

// newGuide works out what is still to come, backward along the ways.
func (x *sweep) newGuide() *guide {
	for t := len(x.buckets) - 1; t >= 0; t-- {
		b := x.buckets[t]
		if b == nil {
			continue
		}
		b.room()
		for _, y := range b.ways {
			if y.t == int32(t) {
				continue
			}
			if a := x.buckets[y.t]; a != nil && b.rest[y.to] < inf64 {
				a.room()
				a.rest[y.slot] = min(a.rest[y.slot], int64(y.cost)+b.rest[y.to])
			}
		}
	}
	return &guide{x}
}

// least is the least that is still to come of the steps that the guide follows.
func (g *guide) least(s *state, t int32) int64 {
	v := &g.next
	*v = *s
	for i := range g.pours {
		if g.tables[i] != nil && int(v.step[i]) >= g.ends[i] {
			v.step[i], v.run[i], v.at[i] = uint8(g.ends[i]), waiting, free
		}
	}
	if g.complete(v) { // it is in no bucket, as all its work was paid for before
		return -g.refund(t, g.in.H)
	}
	b := g.buckets[t]
	if b == nil {
		return inf64
	}
	g.encode(g.key, v)
	if g.alike != nil {
		g.settle(g.key)
	}
	if k := b.find(g.key); k >= 0 {
		return b.rest[k]
	}
	return inf64
}

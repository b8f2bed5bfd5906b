package bound

// walk counts what the cheapest path of the class uses, for all its molds.
func (c *class) walk(l *lagrangian) {
	n, v := int32(c.n), c.states[0].v
	i := c.free
	if q := c.curing; q != nil {
		best := inf
		at := q.lo
		for k := q.lo; k <= q.hi; k++ {
			if x := c.curingCost(l, v, k); x < best {
				best, at = x, k
			}
		}
		q.tail.walkDemold(l, &q.demold, at, n)
		i = max(at+q.demold.sh.work, c.free)
	}
	l.taken = l.taken[:0]
	for k := 0; i < l.ax.n && c.states[k].v[i] < 0; {
		v := c.states[k].v
		if v[i] == v[i+1]+l.idle*(l.ax.reg[i+1]-l.ax.reg[i]) {
			i++
			continue
		}
		m := c.taken(k, i)
		l.taken = append(l.taken, m.item)
		i, k = m.b.walk(l, c.items[m.item], i, n, c.segment(i)), m.to
	}
	l.note(c.lead, l.taken)
}

// segment is the stretch of time that index i lies in.
func (c *class) segment(i int32) segment {
	for _, s := range c.segs {
		if s.from <= i && i < s.end {
			return s
		}
	}
	return segment{}
}

// taken is the pour whose prep starts at i on the cheapest path of state k.
func (c *class) taken(k int, i int32) *move {
	for _, m := range c.states[k].moves {
		if c.moves[m].b.z[i] == c.states[k].v[i] {
			return &c.moves[m]
		}
	}
	panic("bound: a mold path leads nowhere")
}

// walk counts a pour whose prep starts at i, n times, and returns the index at
// which the mold is free again.
func (b *body) walk(l *lagrangian, it *item, i, n int32, seg segment) int32 {
	g, sh := b.group, it.prep.sh
	l.useGroup[g.id] += int64(n)
	at, v := b.findFirst(l, it, i, sh.e1[i], 0, seg)
	put := false
	if f := sh.e2[i]; f > 0 && f <= seg.end {
		if at2, v2 := b.findFirst(l, it, i, f, 1, seg); it.prep.c2[i]+v2 < it.prep.c1[i]+v {
			at, put = at2, true
		}
	}
	it.prep.use(l, i, put, n)
	if l.firsts != nil {
		l.firsts[g.id][at] += n
	}
	i = b.walkLayers(l, at, n, seg)
	g.cover.use(l, i, false, n)
	from, to := g.cure.lo[i], seg.end-1
	if g.cure.hi != nil {
		to = min(to, g.cure.hi[i])
	}
	best := inf * 2
	for k := from; k <= to; k++ {
		if b.rawH[k] < best {
			best, i = b.rawH[k], k
			if g.cure.hi == nil && best == b.h[from] {
				break
			}
		}
	}
	g.tail.walkDemold(l, &g.demold, i, n)
	return i + g.demold.sh.work
}

// findFirst is the best start of layer 1 after a prep from i to e, and its
// cost with the idle time since e.
func (b *body) findFirst(l *lagrangian, it *item, i, e int32, way int, seg segment) (int32, int64) {
	last := min(seg.end, b.end) - 1
	limited := b.pour.PrepMax >= 0
	if limited {
		last = min(last, it.after[way].hi[i])
	}
	best, at := inf*2, e
	for k := e; k <= last; k++ {
		if b.raw[k] < best {
			best, at = b.raw[k], k
			if !limited && best == b.y[e] {
				break
			}
		}
	}
	return at, best - l.idle*l.ax.reg[e]
}

// walkLayers counts the layers from a start of layer 1 at i on, and returns
// the start of the cover.
func (b *body) walkLayers(l *lagrangian, i, n int32, seg segment) int32 {
	for at := b.first; at != srcCover; {
		o := &b.ops[at]
		if o.st == nil {
			at = b.walkChoice(l, o, i, n)
			continue
		}
		o.st.use(l, i, false, n)
		src, _ := b.source(o.src[0])
		best, to := inf*2, i
		for k := o.w.lo[i]; k <= min(o.w.hi[i], seg.end-1, b.end-1); k++ {
			if src[k] < best {
				best, to = src[k], k
			}
		}
		i, at = to, o.src[0]
	}
	return i
}

func (b *body) walkChoice(l *lagrangian, o *op, i, n int32) int {
	if b.loose {
		for _, id := range b.kinds {
			if k := &l.kinds[id]; int(k.a) == b.layerOf(o) {
				l.useStretch(k, i, n)
			}
		}
		return o.src[0]
	}
	best, at := inf*2, 0
	for x, s := range o.src {
		v := b.rows[s].dst[i]
		if id := o.kind[x]; id >= 0 {
			v += l.stretchPrice(&l.kinds[id], i)
		}
		if v < best {
			best, at = v, x
		}
	}
	if id := o.kind[at]; id >= 0 {
		l.useStretch(&l.kinds[id], i, n)
	}
	return o.src[at]
}

package bound

// walk counts what the cheapest path of the class uses, for all its molds.
func (c *class) walk(l *lagrangian, v []int64) {
	n := int32(c.n)
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
	for i < l.ax.n && v[i] < 0 {
		if v[i] == v[i+1]+l.idle*(l.ax.reg[i+1]-l.ax.reg[i]) {
			i++
			continue
		}
		i = c.walkPour(l, v, i, n)
	}
}

// walkPour counts the pour whose prep starts at i on the cheapest path, and
// returns the index at which the mold is free again.
func (c *class) walkPour(l *lagrangian, v []int64, i, n int32) int32 {
	var seg segment
	for _, s := range c.segs {
		if s.from <= i && i < s.end {
			seg = s
		}
	}
	for _, it := range c.items {
		if it.g.scr.z[i] == v[i] {
			return it.walk(l, i, n, seg)
		}
	}
	panic("bound: a mold path leads nowhere")
}

func (it *item) walk(l *lagrangian, i, n int32, seg segment) int32 {
	g := it.g
	s, sh := &g.scr, it.prep.sh
	l.useGroup[g.id] += int64(n)
	at, v := it.findFirst(l, i, sh.e1[i], 0, seg)
	put := false
	if f := sh.e2[i]; f > 0 && f <= seg.end {
		if at2, v2 := it.findFirst(l, i, f, 1, seg); it.prep.c2[i]+v2 < it.prep.c1[i]+v {
			at, put = at2, true
		}
	}
	it.prep.use(l, i, put, n)
	if l.firsts != nil {
		l.firsts[g.id][at] += n
	}
	i = g.walkLayers(l, at, n, seg)
	g.cover.use(l, i, false, n)
	a, b := g.cure.lo[i], seg.end-1
	if g.cure.hi != nil {
		b = min(b, g.cure.hi[i])
	}
	best := inf * 2
	for k := a; k <= b; k++ {
		if s.rawH[k] < best {
			best, i = s.rawH[k], k
			if g.cure.hi == nil && best == s.h[a] {
				break
			}
		}
	}
	g.tail.walkDemold(l, &g.demold, i, n)
	return i + g.demold.sh.work
}

// findFirst is the best start of layer 1 after a prep from i to e, and its
// cost with the idle time since e.
func (it *item) findFirst(l *lagrangian, i, e int32, way int, seg segment) (int32, int64) {
	s := &it.g.scr
	b := min(seg.end, it.g.end) - 1
	limited := it.g.pour.PrepMax >= 0
	if limited {
		b = min(b, it.after[way].hi[i])
	}
	best, at := inf*2, e
	for k := e; k <= b; k++ {
		if s.raw[k] < best {
			best, at = s.raw[k], k
			if !limited && best == s.y[e] {
				break
			}
		}
	}
	return at, best - l.idle*l.ax.reg[e]
}

// walkLayers counts the layers from a start of layer 1 at i on, and returns
// the start of the cover.
func (g *group) walkLayers(l *lagrangian, i, n int32, seg segment) int32 {
	for at := g.first; at != srcCover; {
		o := &g.ops[at]
		if o.st == nil {
			at = g.walkChoice(l, o, i, n)
			continue
		}
		o.st.use(l, i, false, n)
		src, _ := g.source(o.src[0])
		best, to := inf*2, i
		for k := o.w.lo[i]; k <= min(o.w.hi[i], seg.end-1, g.end-1); k++ {
			if src[k] < best {
				best, to = src[k], k
			}
		}
		i, at = to, o.src[0]
	}
	return i
}

func (g *group) walkChoice(l *lagrangian, o *op, i, n int32) int {
	if g.loose {
		for _, id := range g.kinds {
			if k := &l.kinds[id]; int(k.a) == g.layerOf(o) {
				l.useStretch(k, i, n)
			}
		}
		return o.src[0]
	}
	best, at := inf*2, 0
	for x, s := range o.src {
		v := g.ops[s].dst[i]
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

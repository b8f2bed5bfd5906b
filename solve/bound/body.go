package bound

import (
	"slices"

	"pourweek/solve/inst"
)

// body holds what a pour of a group costs in one mold, by what may follow it
// there; all by start index.
type body struct {
	*group
	rows []row // by op
	at   [frontiers]int32

	d    []int64 // demold at i, all after it, and the mold's path after that
	h    []int64 // d plus held from a fixed tick; suffix minimum, or by cover start where mold_max ends the wait
	cov  []int64 // cover at i and all after it
	y    []int64 // layer 1 plus idle from a fixed tick; suffix minimum, or by prep start where prep_max ends the wait
	z    []int64 // prep at i and all after it
	raw  []int64 // the source of y
	rawH []int64 // the source of h
	sl   [3]slider
	bufs [3][]int32
}

// op fills one row of a body backward in time, from its sources. A step op: its
// step at i, then the least of the source over the window. A choice op: the
// least of its sources, each plus the price of a stretch.
type op struct {
	st   *step
	w    window
	src  []int // ops; srcCover is the cover
	kind []int32
	wide bool
}

// row is what an op fills.
type row struct {
	dst  []int64
	at   int32   // frontier: dst is known from here on
	four []int64 // of a wide step op: minima of four sources from an index on
	fAt  int32   // frontier of four
}

const srcCover = -1

// program lays out the ops from the last layer to the first. The last op is the
// start of layer 1.
func (g *group) program(l *lagrangian) {
	nl := len(g.layers)
	best := make([]int, nl+1) // the choice op by layer
	best[nl] = srcCover
	inner := map[[2]int]int{}
	add := func(o op) int {
		o.wide = o.st != nil && o.w.widest() >= wide
		g.ops = append(g.ops, o)
		return len(g.ops) - 1
	}
	for j := nl - 1; j >= 0; j-- {
		c := op{}
		inner[[2]int{j, j}] = add(op{st: &g.layers[j], w: g.gaps[j], src: []int{best[j+1]}})
		for _, id := range g.kinds {
			k := &l.kinds[id]
			if g.loose {
				continue
			}
			if int(k.a) <= j && j < int(k.b) {
				key := [2]int{j, int(k.b)}
				if _, ok := inner[key]; !ok {
					inner[key] = add(op{st: &g.layers[j], w: g.innerGap(l, k, j), src: []int{inner[[2]int{j + 1, int(k.b)}]}})
				}
			}
			if int(k.a) == j {
				c.src = append(c.src, inner[[2]int{j, int(k.b)}])
				c.kind = append(c.kind, id)
			}
		}
		if g.loose || !g.drawn(j) { // a layer without a draw may lie between stretches
			c.src, c.kind = append(c.src, inner[[2]int{j, j}]), append(c.kind, -1)
		}
		if len(c.src) == 1 && c.kind[0] < 0 && !g.loose {
			best[j] = c.src[0]
			continue
		}
		best[j] = add(c)
	}
	g.first = best[0]
}

// drawn reports whether a draw of the pour goes into layer j.
func (g *group) drawn(j int) bool {
	return slices.ContainsFunc(g.pour.Draws, func(d inst.Draw) bool { return slices.Contains(d.Layers, int32(j)) })
}

// innerGap is the window between two layers inside a stretch, cut to what the
// longest working time of the mix leaves.
func (g *group) innerGap(l *lagrangian, k *kind, j int) window {
	p := g.pour
	hi := min(p.Layers[j+1].GapMax, max(l.mixes[k.mix].longest-k.length, 0)+p.Layers[j+1].GapMin)
	sh := g.layers[j].sh
	return l.ax.lagWindow(func(i int32) int32 { return endOr(sh.e1[i], func() int32 { return sh.end1(l.ax, i) }) }, p.Layers[j+1].GapMin, hi)
}

// wide is the window width from which minima of four in a row pay.
const wide = 6

// extendRow runs an op down to where its sources reach, not below from.
func (b *body) extendRow(l *lagrangian, k int, from, end int32) {
	o, r := &b.ops[k], &b.rows[k]
	if o.st == nil {
		b.choose(l, o, r, from)
		return
	}
	src, fr := b.source(o.src[0])
	if o.wide {
		r.extendWide(o, src, fr, from, end)
		return
	}
	c, lo, hi, dst := o.st.c1, o.w.lo, o.w.hi, r.dst
	i := r.at - 1
	for ; i >= from; i-- {
		a, b := lo[i], min(hi[i], end-1)
		if a < fr {
			break
		}
		v := inf
		for k := a; k <= b; k++ {
			v = min(v, src[k])
		}
		dst[i] = min(v+c[i], inf)
	}
	r.at = i + 1
}

// extendWide is extendRow with the minima of four: a window is covered by them,
// overlapping at its end.
func (r *row) extendWide(o *op, src []int64, fr, from, end int32) {
	four := r.four
	for k := r.fAt - 1; k >= fr; k-- {
		if k+3 < end {
			four[k] = min(src[k], src[k+1], src[k+2], src[k+3])
		}
	}
	r.fAt = min(r.fAt, fr)
	c, lo, hi, dst := o.st.c1, o.w.lo, o.w.hi, r.dst
	i := r.at - 1
	for ; i >= from; i-- {
		a, b := lo[i], min(hi[i], end-1)
		if a < fr {
			break
		}
		v := inf
		if b-a >= 3 {
			k := a
			for ; k < b-3; k += 4 {
				v = min(v, four[k])
			}
			v = min(v, four[b-3])
		} else {
			for k := a; k <= b; k++ {
				v = min(v, src[k])
			}
		}
		dst[i] = min(v+c[i], inf)
	}
	r.at = i + 1
}

func (b *body) choose(l *lagrangian, o *op, r *row, from int32) {
	fr := from
	for _, s := range o.src {
		fr = max(fr, b.rows[s].at)
	}
	if b.loose {
		src := b.rows[o.src[0]].dst
		for i := r.at - 1; i >= fr; i-- {
			v := src[i]
			for _, id := range b.kinds {
				if k := &l.kinds[id]; int(k.a) == b.layerOf(o) {
					v += l.stretchPrice(k, i)
				}
			}
			r.dst[i] = min(v, inf)
		}
		r.at = min(r.at, fr)
		return
	}
	for x, s := range o.src {
		src, dst := b.rows[s].dst, r.dst
		if o.kind[x] < 0 {
			for i := r.at - 1; i >= fr; i-- {
				dst[i] = pick(x, dst[i], src[i])
			}
			continue
		}
		k := &l.kinds[o.kind[x]]
		for i := r.at - 1; i >= fr; i-- {
			dst[i] = pick(x, dst[i], src[i]+l.stretchPrice(k, i))
		}
	}
	r.at = min(r.at, fr)
}

func pick(x int, a, b int64) int64 {
	if x == 0 {
		return b
	}
	return min(a, b)
}

// layerOf is the layer whose choice op o is, for loose groups, which have a
// step op and a choice op for each layer.
func (g *group) layerOf(o *op) int {
	st := g.ops[o.src[0]].st
	for j := range g.layers {
		if st == &g.layers[j] {
			return j
		}
	}
	return -1
}

// source is the row of an op or the cover, and from where it is known.
func (b *body) source(s int) ([]int64, int32) {
	if s == srcCover {
		return b.cov, b.at[atCover]
	}
	return b.rows[s].dst, b.rows[s].at
}

// The frontiers of the arrays that are no ops.
const (
	atDemold = iota
	atCover
	atFirst
	atPrep
	frontiers
)

// reset forgets everything from end on: nothing of the body happens there, and
// nothing up to the cover from b.end on.
func (b *body) reset(end int32) {
	for i := range b.at {
		b.at[i] = end
	}
	b.at[atCover], b.at[atFirst] = min(end, b.end), min(end, b.end)
	for i := range b.rows {
		b.rows[i].at, b.rows[i].fAt = b.at[atCover], b.at[atCover]
	}
	b.h[end], b.y[b.at[atFirst]] = inf, inf
	b.sl[0] = newSlider(b.bufs[0], end)
	b.sl[1], b.sl[2] = newSlider(b.bufs[1], b.at[atFirst]), newSlider(b.bufs[2], b.at[atFirst])
}

// extend carries the body of a pour in one mold backward as far as the mold's
// path v is known, which is from known on; seg bounds the usable time.
func (b *body) extend(l *lagrangian, it *item, v []int64, seg segment, known int32) {
	// Nothing after the prep comes before the first start of layer 1.
	late := segment{min(max(seg.from, b.lo), seg.end), seg.end}
	b.extendDemold(l, v, late, known)
	b.extendCover(l, late)
	for i := range b.rows {
		b.extendRow(l, i, late.from, min(seg.end, b.end))
	}
	b.extendFirst(l, it, seg, late.from)
	b.extendPrep(l, it, seg)
}

func (b *body) extendDemold(l *lagrangian, v []int64, seg segment, known int32) {
	wd, held, reg := b.demold.sh.work, l.held, l.ax.reg
	i := b.at[atDemold] - 1
	less := l.u[b.id] + b.credit
	for ; i >= seg.from && i+wd >= known; i-- {
		x := inf
		if i+wd <= seg.end {
			x = min(b.tailCost[i]+v[i+wd]-less, inf)
		}
		b.d[i] = x
		b.rawH[i] = x + held*reg[i]
		b.h[i] = min(b.rawH[i], b.h[i+1])
	}
	b.at[atDemold] = i + 1
}

func (b *body) extendCover(l *lagrangian, seg segment) {
	held, reg := l.held, l.ax.reg
	c, lo, hi := b.cover.c1, b.cure.lo, b.cure.hi
	i := b.at[atCover] - 1
	for ; i >= seg.from; i-- {
		a := lo[i]
		if a < b.at[atDemold] {
			break
		}
		x := inf
		if a < seg.end {
			if hi == nil {
				x = b.h[a]
			} else if e := min(hi[i], seg.end-1); a <= e {
				x = b.sl[0].min(b.rawH, a, e)
			}
			x -= held * reg[a]
		}
		b.cov[i] = min(x+c[i], inf)
	}
	b.at[atCover] = i + 1
}

// extendFirst puts on layer 1 what its start in this mold costs: none at or
// after pour_until or out of the group's window, a pin, a move away from the base.
func (b *body) extendFirst(l *lagrangian, it *item, seg segment, from int32) {
	reg := l.ax.reg
	src, fr := b.source(b.first)
	if fr <= from {
		fr = seg.from
	}
	for i := b.at[atFirst] - 1; i >= fr; i-- {
		x := inf
		if i >= b.lo && i < b.hi && i < l.lastStart {
			x = src[i]
		}
		if it.special && x < inf {
			x += it.firstCost(l, b.pour, i)
		}
		b.raw[i] = x + l.idle*reg[i]
		b.y[i] = min(b.raw[i], b.y[i+1])
	}
	b.at[atFirst] = min(fr, b.at[atFirst])
}

func (b *body) extendPrep(l *lagrangian, it *item, seg segment) {
	sh := it.prep.sh
	c1, c2 := it.prep.c1, it.prep.c2
	fr, end := b.at[atFirst], min(seg.end, b.end)
	i := b.at[atPrep] - 1
	for ; i >= seg.from; i-- {
		e := sh.e1[i]
		if e > 0 && e < fr {
			break
		}
		x := inf
		if i >= b.release && e > 0 && e <= end {
			x = c1[i] + b.wait(l, it, i, e, seg, 1)
			if f := sh.e2[i]; f > 0 && f <= end {
				x = min(x, c2[i]+b.wait(l, it, i, f, seg, 2))
			}
		}
		b.z[i] = x
	}
	b.at[atPrep] = i + 1
}

// wait is the cost of layer 1 after a prep that started at i and ended at e.
func (b *body) wait(l *lagrangian, it *item, i, e int32, seg segment, way int) int64 {
	if b.pour.PrepMax < 0 {
		return b.y[e] - l.idle*l.ax.reg[e]
	}
	w := it.after[way-1]
	last := min(w.hi[i], seg.end-1, b.end-1)
	if e > last {
		return inf
	}
	return b.sl[way].min(b.raw, e, last) - l.idle*l.ax.reg[e]
}

// firstCost is what a start of layer 1 at i costs because of a pin or a base.
func (it *item) firstCost(l *lagrangian, p *inst.Pour, i int32) int64 {
	at := l.ax.tick[i]
	if p.PinMold != inst.None && at != p.PinStart {
		return inf
	}
	if p.BaseMold == inst.None {
		return 0
	}
	d := at - p.BaseStart
	if it.atBase && d <= l.ax.in.MoveTolerance && -d <= l.ax.in.MoveTolerance {
		return 0
	}
	return l.move
}

func newBody(l *lagrangian, g *group) *body {
	n := l.ax.n + 1
	f := func() []int64 { return make([]int64, n) }
	b := &body{group: g, d: f(), h: f(), cov: f(), y: f(), z: f(), raw: f(), rawH: f()}
	for i := range b.bufs {
		b.bufs[i] = make([]int32, n)
	}
	for i := range g.ops {
		r := row{dst: f()}
		if g.ops[i].wide {
			r.four = f()
		}
		b.rows = append(b.rows, r)
	}
	return b
}

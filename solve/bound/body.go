package bound

import (
	"slices"

	"pourweek/solve/inst"
)

// scratch holds the costs of one group in one mold, all by start index.
type scratch struct {
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

// op fills one array of the body of a pour backward in time, from its sources.
// A step op: its step at i, then the least of the source over the window. A
// choice op: the least of its sources, each plus the price of a stretch.
type op struct {
	dst  []int64
	st   *step
	w    window
	src  []int // ops; srcCover is the cover
	kind []int32
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
		o.dst = make([]int64, l.ax.n+1)
		if o.st != nil && o.w.widest() >= wide {
			o.four = make([]int64, l.ax.n+1)
		}
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

// extend runs the op down to where its sources reach, not below from.
func (o *op) extend(l *lagrangian, g *group, from, end int32) {
	if o.st == nil {
		o.choose(l, g, from)
		return
	}
	src, fr := g.source(o.src[0])
	if o.four != nil {
		o.extendWide(src, fr, from, end)
		return
	}
	c, lo, hi, dst := o.st.c1, o.w.lo, o.w.hi, o.dst
	i := o.at - 1
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
	o.at = i + 1
}

// extendWide is extend with the minima of four: a window is covered by them,
// overlapping at its end.
func (o *op) extendWide(src []int64, fr, from, end int32) {
	four := o.four
	for k := o.fAt - 1; k >= fr; k-- {
		if k+3 < end {
			four[k] = min(src[k], src[k+1], src[k+2], src[k+3])
		}
	}
	o.fAt = min(o.fAt, fr)
	c, lo, hi, dst := o.st.c1, o.w.lo, o.w.hi, o.dst
	i := o.at - 1
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
	o.at = i + 1
}

func (o *op) choose(l *lagrangian, g *group, from int32) {
	fr := from
	for _, s := range o.src {
		fr = max(fr, g.ops[s].at)
	}
	if g.loose {
		src := g.ops[o.src[0]].dst
		for i := o.at - 1; i >= fr; i-- {
			v := src[i]
			for _, id := range g.kinds {
				if k := &l.kinds[id]; int(k.a) == g.layerOf(o) {
					v += l.stretchPrice(k, i)
				}
			}
			o.dst[i] = min(v, inf)
		}
		o.at = min(o.at, fr)
		return
	}
	for x, s := range o.src {
		src, dst := g.ops[s].dst, o.dst
		if o.kind[x] < 0 {
			for i := o.at - 1; i >= fr; i-- {
				dst[i] = pick(x, dst[i], src[i])
			}
			continue
		}
		k := &l.kinds[o.kind[x]]
		for i := o.at - 1; i >= fr; i-- {
			dst[i] = pick(x, dst[i], src[i]+l.stretchPrice(k, i))
		}
	}
	o.at = min(o.at, fr)
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

// source is the array of an op or the cover, and from where it is known.
func (g *group) source(s int) ([]int64, int32) {
	if s == srcCover {
		return g.scr.cov, g.at[atCover]
	}
	return g.ops[s].dst, g.ops[s].at
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
// nothing up to the cover from g.end on.
func (g *group) reset(end int32) {
	for i := range g.at {
		g.at[i] = end
	}
	g.at[atCover], g.at[atFirst] = min(end, g.end), min(end, g.end)
	for i := range g.ops {
		g.ops[i].at, g.ops[i].fAt = g.at[atCover], g.at[atCover]
	}
	s := &g.scr
	s.h[end], s.y[g.at[atFirst]] = inf, inf
	s.sl[0] = newSlider(s.bufs[0], end)
	s.sl[1], s.sl[2] = newSlider(s.bufs[1], g.at[atFirst]), newSlider(s.bufs[2], g.at[atFirst])
}

// extend carries the body of a pour in one mold backward as far as the mold's
// path v is known, which is from known on; from and end bound the usable time.
func (g *group) extend(l *lagrangian, it *item, v []int64, seg segment, known int32) {
	g.extendDemold(l, v, seg, known)
	g.extendCover(l, seg)
	for i := range g.ops {
		g.ops[i].extend(l, g, seg.from, min(seg.end, g.end))
	}
	g.extendFirst(l, it, seg)
	g.extendPrep(l, it, seg)
}

func (g *group) extendDemold(l *lagrangian, v []int64, seg segment, known int32) {
	s, wd, held, reg := &g.scr, g.demold.sh.work, l.held, l.ax.reg
	i := g.at[atDemold] - 1
	less := l.u[g.id] + g.credit
	for ; i >= seg.from && i+wd >= known; i-- {
		x := inf
		if i+wd <= seg.end {
			x = min(g.tailCost[i]+v[i+wd]-less, inf)
		}
		s.d[i] = x
		s.rawH[i] = x + held*reg[i]
		s.h[i] = min(s.rawH[i], s.h[i+1])
	}
	g.at[atDemold] = i + 1
}

func (g *group) extendCover(l *lagrangian, seg segment) {
	s, held, reg := &g.scr, l.held, l.ax.reg
	c, lo, hi := g.cover.c1, g.cure.lo, g.cure.hi
	i := g.at[atCover] - 1
	for ; i >= seg.from; i-- {
		a := lo[i]
		if a < g.at[atDemold] {
			break
		}
		x := inf
		if a < seg.end {
			if hi == nil {
				x = s.h[a]
			} else if b := min(hi[i], seg.end-1); a <= b {
				x = s.sl[0].min(s.rawH, a, b)
			}
			x -= held * reg[a]
		}
		s.cov[i] = min(x+c[i], inf)
	}
	g.at[atCover] = i + 1
}

// extendFirst puts on layer 1 what its start in this mold costs: none at or
// after pour_until or out of the group's window, a pin, a move away from the base.
func (g *group) extendFirst(l *lagrangian, it *item, seg segment) {
	s, reg := &g.scr, l.ax.reg
	src, fr := g.source(g.first)
	for i := g.at[atFirst] - 1; i >= fr; i-- {
		x := src[i]
		if i >= l.lastStart || i < g.lo || i >= g.hi {
			x = inf
		}
		if it.special && x < inf {
			x += it.firstCost(l, g.pour, i)
		}
		s.raw[i] = x + l.idle*reg[i]
		s.y[i] = min(s.raw[i], s.y[i+1])
	}
	g.at[atFirst] = min(fr, g.at[atFirst])
}

func (g *group) extendPrep(l *lagrangian, it *item, seg segment) {
	s, sh := &g.scr, it.prep.sh
	c1, c2 := it.prep.c1, it.prep.c2
	fr, end := g.at[atFirst], min(seg.end, g.end)
	i := g.at[atPrep] - 1
	for ; i >= seg.from; i-- {
		e := sh.e1[i]
		if e > 0 && e < fr {
			break
		}
		x := inf
		if i >= g.release && e > 0 && e <= end {
			x = c1[i] + g.wait(l, it, i, e, seg, 1)
			if f := sh.e2[i]; f > 0 && f <= end {
				x = min(x, c2[i]+g.wait(l, it, i, f, seg, 2))
			}
		}
		s.z[i] = x
	}
	g.at[atPrep] = i + 1
}

// wait is the cost of layer 1 after a prep that started at i and ended at e.
func (g *group) wait(l *lagrangian, it *item, i, e int32, seg segment, way int) int64 {
	s := &g.scr
	if g.pour.PrepMax < 0 {
		return s.y[e] - l.idle*l.ax.reg[e]
	}
	w := it.after[way-1]
	b := min(w.hi[i], seg.end-1, g.end-1)
	if e > b {
		return inf
	}
	return s.sl[way].min(s.raw, e, b) - l.idle*l.ax.reg[e]
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

func newScratch(n int32) scratch {
	f := func() []int64 { return make([]int64, n) }
	s := scratch{d: f(), h: f(), cov: f(), y: f(), z: f(), raw: f(), rawH: f()}
	for i := range s.bufs {
		s.bufs[i] = make([]int32, n)
	}
	return s
}

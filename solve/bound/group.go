package bound

import (
	"slices"

	"pourweek/solve/inst"
)

// kind is a stretch: consecutive draws of one mix, of the pours of one group,
// that one batch serves, from layer a to layer b. Its price says what it pays
// a batch, by the start of layer a.
type kind struct {
	group, mix int32
	a, b       int32
	grams      int64
	length     int32 // least ticks from the start of layer a to the end of layer b
	local      int32 // index in the mix's list
	lo, hi     int32 // indices of possible starts, [lo, hi)
	need, owes int32 // batches that stand before and after its own in a run at least
	key        uint64
	off        int // price of start i at off + i - lo
}

// group is a set of new pours alike in everything, as the relaxation sees them.
type group struct {
	id       int32
	in       int // index in inst.Inst.Groups
	n        int64
	lo, hi   int32 // layer 1 starts in [lo, hi), as indices
	pour     *inst.Pour
	layers   []step
	cover    step
	demold   step
	tail     *tail
	shared   bool     // the tail and its costs are another part's of the same pours; demold is not priced then
	gaps     []window // by layer: starts of the next layer (or the cover) after its start
	cure     window   // demold starts by cover start
	kinds    []int32  // its stretches
	loose    bool     // draws are priced one by one
	grams    int64
	credit   int64 // waste price of all its grams
	leave    int64 // what leaving one out costs; inf when pinned
	tailCost []int64
	anyPrep  step  // carries the spans of prep, whatever the mold
	release  int32 // first index at or after release
	end      int32 // index from which no layer or cover starts
	ops      []op
	first    int     // the op whose row is the start of layer 1
	bodies   []*body // room for the molds, one class of them at a time
}

func newGroup(l *lagrangian, x part) *group {
	in := l.ax.in
	p := &in.Pours[in.Groups[x.in][0]]
	g := &group{in: x.in, id: int32(len(l.groups)), n: x.n, lo: x.lo, hi: x.hi, pour: p}
	for j := range p.Layers {
		g.layers = append(g.layers, newStep(l, &p.Layers[j].Task))
	}
	g.cover = newStep(l, &p.Cover)
	g.demold = newStep(l, &p.Demold)
	for j := range g.layers {
		lo, hi := p.CoverGapMin, p.CoverGapMax
		if j+1 < len(g.layers) {
			lo, hi = p.Layers[j+1].GapMin, p.Layers[j+1].GapMax
		}
		sh := g.layers[j].sh
		g.gaps = append(g.gaps, l.ax.lagWindow(func(i int32) int32 { return endOr(sh.e1[i], func() int32 { return sh.end1(l.ax, i) }) }, lo, hi))
	}
	g.cure = cureWindow(l.ax, p, g.cover.sh)
	for _, d := range p.Draws {
		g.grams += d.Grams
	}
	g.credit = int64(in.Costs.Waste) * g.grams * scale
	g.leave = p.Carry * scale
	if p.BaseMold != inst.None {
		g.leave += int64(in.Costs.Move) * scale
	}
	if p.PinMold != inst.None {
		g.leave = inf
	}
	if len(p.Layers) == 0 {
		g.leave = 0 // no path plans it, so nothing may be claimed for it
	}
	if k := slices.IndexFunc(l.groups, func(y *group) bool { return y.in == x.in }); k >= 0 {
		g.tail, g.tailCost, g.shared = l.groups[k].tail, l.groups[k].tailCost, true
	} else {
		g.tail, g.tailCost = newTail(l, p, g.demold.sh, 0), make([]int64, l.ax.n+1)
	}
	g.release = l.ax.in.OpenIndex(p.Release)
	late := in.PourUntil
	if x.hi < l.ax.n {
		late = min(late, l.ax.tick[x.hi])
	}
	for j := range p.Layers {
		late += p.Layers[j].Work
		if j > 0 {
			late += min(p.Layers[j].GapMax, in.H)
		}
	}
	g.end = in.OpenIndex(min(late+min(p.CoverGapMax, in.H), in.H))
	return g
}

// cureWindow is the range of demold starts by the start of the cover.
func cureWindow(ax *axis, p *inst.Pour, cover *shape) window {
	w := window{lo: make([]int32, ax.n)}
	if p.MoldMax >= 0 {
		w.hi = make([]int32, ax.n)
	}
	pl, ph := ax.n, ax.n-1
	for i := ax.n - 1; i >= 0; i-- {
		if cover.e1[i] > 0 {
			e := cover.end1(ax, i)
			pl = min(pl, ax.in.OpenIndex(p.CureEnd[e]))
			if p.MoldMax >= 0 {
				ph = min(ph, ax.in.OpenIndex(e+p.MoldMax+1)-1)
			}
		}
		w.lo[i] = pl
		if w.hi != nil {
			w.hi[i] = ph
		}
	}
	return w
}

// stretches finds the kinds of a group. Draws whose layers overlap, or whose
// mixes come back, are priced one by one.
func (g *group) stretches(l *lagrangian) {
	p := g.pour
	var order []int
	for i := range p.Draws {
		if len(p.Draws[i].Layers) > 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(p.Draws[a].Layers[0] - p.Draws[b].Layers[0]) })
	seen := map[int32]bool{}
	for i, x := range order {
		d := &p.Draws[x]
		ls := d.Layers
		if int(ls[len(ls)-1]-ls[0]) != len(ls)-1 {
			g.loose = true
		}
		if i > 0 {
			q := &p.Draws[order[i-1]]
			if q.Layers[len(q.Layers)-1] >= ls[0] || (q.Mix != d.Mix && seen[d.Mix]) {
				g.loose = true
			}
		}
		seen[d.Mix] = true
	}
	for i, x := range order {
		grams := int64(0)
		for j := i; j < len(order); j++ {
			d := &p.Draws[order[j]]
			if d.Mix != p.Draws[x].Mix || (g.loose && j > i) {
				break
			}
			grams += d.Grams
			if j > i && g.lengthOf(p.Draws[x].Layers[0], d.Layers[len(d.Layers)-1]) > l.mixes[d.Mix].longest {
				break // no batch can serve it
			}
			if j >= i+2 {
				// The first and the last of them may share a batch that does not serve the middle.
				g.loosen(l)
				return
			}
			g.addKind(l, kind{mix: d.Mix, a: p.Draws[x].Layers[0], b: d.Layers[len(d.Layers)-1], grams: grams})
		}
	}
}

// loosen begins the stretches again, with draws priced one by one.
func (g *group) loosen(l *lagrangian) {
	for _, id := range g.kinds {
		m := &l.mixes[l.kinds[id].mix]
		m.kinds = m.kinds[:len(m.kinds)-1]
	}
	l.kinds = l.kinds[:len(l.kinds)-len(g.kinds)]
	g.kinds, g.loose = nil, true
	g.stretches(l)
}

// lengthOf is the least number of ticks from the start of layer a to the end of layer b.
func (g *group) lengthOf(a, b int32) int32 {
	n := int32(0)
	for j := a; j <= b; j++ {
		n += g.pour.Layers[j].Work
		if j > a {
			n += g.pour.Layers[j].GapMin
		}
	}
	return n
}

// addKind finishes a kind and lists it.
func (g *group) addKind(l *lagrangian, k kind) {
	ax, p := l.ax, g.pour
	k.group, k.length = g.id, g.lengthOf(k.a, k.b)
	m := &l.mixes[k.mix]
	k.local = int32(len(m.kinds))
	// The first layer starts before pour_until, the last of a stretch no later
	// than all gaps and works allow after that.
	early, late := max(ax.tick[g.lo], ax.in.Now), ax.in.PourUntil
	if g.hi < ax.n {
		late = min(late, ax.tick[g.hi])
	}
	for j := int32(1); j <= k.a; j++ {
		early += p.Layers[j-1].Work + p.Layers[j].GapMin
		late += p.Layers[j-1].Work + p.Layers[j].GapMax
	}
	k.lo = max(ax.in.OpenIndex(early), ax.first)
	k.hi = max(ax.in.OpenIndex(late), k.lo)
	id := int32(len(l.kinds))
	m.kinds = append(m.kinds, id)
	l.kinds = append(l.kinds, k)
	g.kinds = append(g.kinds, id)
}

// spansOf adds the prices of the pour's spans at the moments still to come. A
// span that began in a step already done costs nothing at its start, and one
// that ended in one is over.
func spansOf(p *inst.Pour, at func(m inst.Moment) *step) {
	for _, s := range p.Spans {
		to := at(s.To)
		if to == nil {
			continue
		}
		from := at(s.From)
		if from != nil {
			from.add(s.From.End, pot{station: s.Station, sign: -1})
		}
		to.add(s.To.End, pot{s.Station, 1, from == nil})
	}
}

func (s *step) add(end bool, p pot) {
	if end {
		s.end = append(s.end, p)
	} else {
		s.start = append(s.start, p)
	}
}

package bound

import (
	"math"
	"slices"
)

// offer is what the stretches of one type pay at one batch start.
type offer struct {
	typ  int32
	from int32 // the payers stand in payers[from:to], dearest first
	to   int32
	sums []int64 // sums[c]: what the c dearest pay
	rate float64 // dearest pay by what a stretch takes
}

// payer is a stretch that pays, once for each pour that there is.
type payer struct {
	kind, group int32 // kind is local
	pay         int64
	n           int32
}

// place is where in a run of batches a batch stands: what it may hold (see needs).
type place struct{ need, owes int32 }

// within reports whether a stretch may be in a batch at the place.
func (k *kind) within(at place) bool { return k.need <= at.need && k.owes <= at.owes }

// pricing finds the pattern that pays most at one batch start.
type pricing struct {
	l      *lagrangian
	x      *mix
	offs   []offer
	payers []payer
	// By offer, of it and all after it: what they can pay at most, together, by
	// the gram, and by the unit of the scarcest resource.
	rest          []int64
	byGram, byUse []float64
	work, open    int32 // working time in ticks, and open ones
	most          int64 // net grams that the mixer takes at most
	units         int64 // of the scarcest resource within the working time
	cap           int64
	waste         float64
	count         []int32 // by offer: stretches in the pattern that is looked at
	best          int64
	found         int32
	chosen        []int32 // stretches (local) of the best pattern
	left          int     // nodes that may still be looked at
	bound         int64   // what patterns that were not looked at can pay at most
	over          bool
	filler
}

// filler fills one pattern.
type filler struct {
	fill    []int32
	inGroup []int32 // by group, and for loose ones by kind after all groups
	fillMax int64   // the best so far
	tries   int
}

// Nodes that a proof looks at for one batch start, and ways to fill one pattern.
// Where that is not enough, it takes what the patterns left out could pay at
// most. A quick pass looks at fewer (quickNodes, quickTries), takes the best
// pattern found, and proves nothing where that was not enough.
const (
	soundNodes = 5000
	soundTries = 500
)

// at sets the pricing to batches of mix x started at i.
func (p *pricing) at(l *lagrangian, x *mix, i int32, capacity int64) {
	p.l, p.x, p.work, p.open, p.cap = l, x, x.work[i], x.open[i], capacity
	p.most, p.units = capacity-x.m.Loss, x.units[i]
	p.waste = float64(l.ax.in.Costs.Waste) * scale
	if p.inGroup == nil {
		p.inGroup = make([]int32, len(l.groups)+len(l.kinds))
	}
}

// promise is at least what any pattern pays at batch start i less its cost.
func (p *pricing) promise(i int32) int64 {
	x := p.x
	sum, gram, use := int64(0), 0.0, 0.0
	for j, v := range x.row(i) {
		if v == 0 {
			continue
		}
		f := float64(v)
		y := &x.locals[j]
		sum += v * int64(y.n)
		gram = max(gram, f*y.perGram)
		use = max(use, f*y.perUse)
	}
	return p.ceiling(0, 0, sum, gram, use)
}

// price returns the most that a pattern at the place pays at batch start i less
// its cost, the pattern, and whether that is above thr; if not, it is no more
// than thr. last is a pattern that may be good. A batch that nobody pays counts
// as a pattern.
func (p *pricing) price(i int32, at place, thr int64, last int32) (int64, int32, bool) {
	p.best, p.found, p.left, p.over, p.bound = thr, -1, quickNodes, false, -inf
	p.chosen = p.chosen[:0]
	if v := -p.x.nodes[0].cost; v > thr {
		p.best, p.found = v, 0
	}
	if p.l.sound {
		p.left = soundNodes
	}
	if p.work >= 0 {
		p.collect(i, at)
		p.sort()
		p.suffixes()
		p.try(last)
		p.dive(0, 0, 0)
	}
	if p.over && p.bound > p.best {
		if p.l.sound {
			return p.bound, max(p.found, 0), true
		}
		p.l.guessed = true
	}
	return p.best, p.found, p.found >= 0
}

// collect lists what pays at batch start i.
func (p *pricing) collect(i int32, at place) {
	x := p.x
	p.offs, p.payers = p.offs[:0], p.payers[:0]
	row := x.row(i)
	for t := range x.types {
		from := len(p.payers)
		for _, j := range x.types[t].kinds {
			v := row[j]
			if v <= 0 {
				continue
			}
			k := &p.l.kinds[x.kinds[j]]
			if k.within(at) {
				p.payers = append(p.payers, payer{j, k.group, v, x.locals[j].n})
			}
		}
		if len(p.payers) > from {
			p.addOffer(int32(t), int32(from), int32(len(p.payers)))
		}
	}
}

// addOffer uses the sums of an old offer again.
func (p *pricing) addOffer(t, from, to int32) {
	n := len(p.offs)
	if n == cap(p.offs) {
		p.offs = append(p.offs, offer{})
	}
	p.offs = p.offs[:n+1]
	p.offs[n] = offer{typ: t, from: from, to: to, sums: p.offs[n].sums}
}

// sort puts the offers that pay most for what they take first, and in each the
// dearest payers.
func (p *pricing) sort() {
	for a := range p.offs {
		o := &p.offs[a]
		y := &p.x.types[o.typ]
		list := p.payers[o.from:o.to]
		for b := 1; b < len(list); b++ {
			for c := b; c > 0 && list[c].pay > list[c-1].pay; c-- {
				list[c], list[c-1] = list[c-1], list[c]
			}
		}
		o.sums = append(o.sums[:0], 0)
		for _, q := range list {
			for c := int32(0); c < q.n && int32(len(o.sums)) <= y.most; c++ {
				o.sums = append(o.sums, o.sums[len(o.sums)-1]+q.pay)
			}
		}
		g := float64(y.grams) / float64(max(p.most, 1))
		u := float64(y.load) / float64(max(p.units, 1))
		o.rate = float64(list[0].pay) / max(g, u, 1e-9)
	}
	for b := 1; b < len(p.offs); b++ {
		for c := b; c > 0 && p.offs[c].rate > p.offs[c-1].rate; c-- {
			p.offs[c], p.offs[c-1] = p.offs[c-1], p.offs[c]
		}
	}
}

func (p *pricing) suffixes() {
	n := len(p.offs)
	p.rest = append(p.rest[:0], make([]int64, n+1)...)
	p.byGram = append(p.byGram[:0], make([]float64, n+1)...)
	p.byUse = append(p.byUse[:0], make([]float64, n+1)...)
	p.count = append(p.count[:0], make([]int32, n)...)
	for a := n - 1; a >= 0; a-- {
		o := &p.offs[a]
		y := &p.x.types[o.typ]
		p.rest[a] = p.rest[a+1] + o.sums[len(o.sums)-1]
		// +Inf where it weighs or takes nothing.
		p.byGram[a] = max(p.byGram[a+1], float64(p.payers[o.from].pay)/float64(y.grams))
		p.byUse[a] = max(p.byUse[a+1], float64(p.payers[o.from].pay)/float64(y.load))
	}
}

// try looks at one pattern first.
func (p *pricing) try(at int32) {
	nd := &p.x.nodes[at]
	if at == 0 || !p.fits(nd) {
		return
	}
	paid := int64(0)
	for a := at; a > 0; a = p.x.nodes[a].parent {
		t := p.x.nodes[a].typ
		k := slices.IndexFunc(p.offs, func(o offer) bool { return o.typ == t })
		if k < 0 {
			paid = -inf
			break
		}
		if p.count[k]++; int(p.count[k]) >= len(p.offs[k].sums) {
			paid = -inf
			break
		}
	}
	if paid == 0 {
		for k, c := range p.count {
			paid += p.offs[k].sums[c]
		}
		p.offer(at, paid)
	}
	clear(p.count)
}

// limit is the most that a pattern from node at on can pay less its cost when
// stretches of offers from a on are added.
func (p *pricing) limit(at int32, a int, paid int64) int64 {
	return p.ceiling(at, paid, p.rest[a], p.byGram[a], p.byUse[a])
}

// ceiling is the most that a pattern from node at on can pay less its cost when
// what pays is added: by what that pays together; by the mass left, each gram
// costing at least its waste price; by the scarcest resource left.
func (p *pricing) ceiling(at int32, paid, rest int64, gram, use float64) int64 {
	nd := &p.x.nodes[at]
	v := paid + rest - nd.cost
	if !math.IsInf(gram, 1) {
		more := int64(max(gram-p.waste, 0)*float64(max(p.most-nd.grams, 0))) + 1
		v = min(v, paid+more-p.x.base-scale*int64(p.l.ax.in.Costs.Waste)*nd.grams)
	}
	if !math.IsInf(use, 1) {
		v = min(v, paid+int64(use*float64(max(p.units-nd.load, 0)))+1-nd.cost)
	}
	return v
}

// fits reports whether the pattern can be laid in the working time and mixed.
func (p *pricing) fits(nd *node) bool {
	return nd.need <= p.work && (!nd.gapless || nd.need <= p.open) && (nd.load <= p.units || p.x.places == 0) && p.x.m.Mixed(nd.grams) <= p.cap
}

// dive looks at all patterns that add stretches of offers from a on to node at.
func (p *pricing) dive(at int32, a int, paid int64) {
	for ; a < len(p.offs); a++ {
		lim := p.limit(at, a, paid)
		if lim <= p.best || p.over && lim <= p.bound {
			return
		}
		if p.left--; p.left < 0 {
			p.over = true
			p.bound = max(p.bound, lim)
			return
		}
		o := &p.offs[a]
		if int(p.count[a])+1 >= len(o.sums) {
			continue
		}
		c := p.x.child(p.l, at, o.typ)
		if c < 0 {
			continue
		}
		nc := &p.x.nodes[c]
		if !p.fits(nc) {
			continue
		}
		p.count[a]++
		v := paid + o.sums[p.count[a]] - o.sums[p.count[a]-1]
		p.offer(c, v)
		p.dive(c, a, v)
		p.count[a]--
	}
}

// offer takes a pattern as the best if it pays more, filled with different
// pours in different molds. paid is what it would pay with the dearest
// stretches of each type.
func (p *pricing) offer(at int32, paid int64) {
	cost := p.x.nodes[at].cost
	if paid-cost <= p.best {
		return
	}
	p.fill, p.fillMax = p.fill[:0], p.best+cost
	p.tries = quickTries
	if p.l.sound {
		p.tries = soundTries
	}
	before := p.fillMax
	p.put(0, 0, 0, paid)
	if p.fillMax > before {
		p.best, p.found = p.fillMax-cost, at
	}
	if p.tries < 0 {
		p.over = true
		p.bound = max(p.bound, paid-cost)
	}
}

// put fills the pattern from the c-th stretch of offer a on, with payers from
// index q on; top is what can be paid at most in all.
func (p *pricing) put(a int, c int32, q int32, top int64) {
	for a < len(p.offs) && c == p.count[a] {
		a, c, q = a+1, 0, 0
	}
	if top <= p.fillMax || p.tries < 0 {
		return
	}
	if a == len(p.offs) {
		p.tries--
		p.fillMax = top
		p.chosen = append(p.chosen[:0], p.fill...)
		return
	}
	o := &p.offs[a]
	if q == 0 {
		q = o.from
	}
	planned := o.sums[c+1] - o.sums[c]
	for ; q < o.to; q++ {
		y := &p.payers[q]
		key := &p.inGroup[y.group]
		if p.l.groups[y.group].loose {
			key = &p.inGroup[len(p.l.groups)+int(p.x.kinds[y.kind])]
		}
		if *key >= y.n {
			continue
		}
		// What is left can pay no more than planned; payers only get cheaper.
		if top-planned+y.pay <= p.fillMax {
			return
		}
		*key++
		p.fill = append(p.fill, y.kind)
		if p.x.separate(p.l, p.fill) {
			p.put(a, c+1, q, top-planned+y.pay)
		}
		p.fill = p.fill[:len(p.fill)-1]
		*key--
		if p.tries < 0 {
			return
		}
	}
	p.tries--
}

package bound

import (
	"cmp"
	"math"
	"slices"
)

// offer is a stretch that pays something at a batch start.
type offer struct {
	kind int32 // local
	pay  int64
	most int64 // pays if taken as often as there are pours
	rate float64
}

// pricing finds the pattern that pays most at one batch start.
type pricing struct {
	l    *lagrangian
	x    *mix
	offs []offer
	// By offer, of it and all after it: what they can pay at most, together, by
	// the gram, and by the unit of the scarcest resource.
	rest          []int64
	byGram, byUse []float64
	work          int32
	most          int64 // net grams that the mixer takes at most
	units         int64 // of the scarcest resource within the working time
	cap           int64
	waste         float64
	best          int64
	found         int32
	left          int // nodes that may still be looked at
	over          bool
	bound         int64 // once over: the most that what was left out can pay
}

// Nodes that the pricing of one batch start may look at. Where that is not
// enough, a quick pass takes the best pattern found, and proves nothing; a sound
// one takes what the patterns left out could pay at most.
const (
	quickNodes = 80
	soundNodes = 5000
)

// price returns the most that a pattern pays less its cost at batch start i,
// and the pattern; 0 and none if nothing pays. capacity is the mixer's.
// last is a pattern that may be good.
func (p *pricing) price(i int32, capacity int64, last int32) (int64, int32) {
	x := p.x
	p.work, p.cap = x.work[i], capacity
	if p.work < 0 {
		return 0, 0
	}
	p.offs = p.offs[:0]
	sum := int64(0)
	for j := range x.kinds {
		if v := x.pays[j][i]; v > 0 {
			g := p.l.groups[p.l.kinds[x.kinds[j]].group]
			p.offs = append(p.offs, offer{kind: int32(j), pay: v, most: v * g.n})
			sum += v * g.n
		}
	}
	if sum <= x.nodes[0].cost {
		return 0, 0
	}
	p.most, p.units = capacity-x.m.Loss, x.places*int64(p.work)
	p.waste = float64(p.l.ax.in.Costs.Waste) * scale
	p.sort()
	p.suffixes()
	p.best, p.found, p.left, p.over, p.bound = 0, 0, quickNodes, false, 0
	if p.l.sound {
		p.left = soundNodes
	}
	p.try(i, last)
	p.dive(0, 0, 0)
	if p.over && !p.l.sound {
		p.l.guessed = true
		return p.best, p.found
	}
	return max(p.best, p.bound), p.found
}

// sort puts the offers that pay most for what they take first.
func (p *pricing) sort() {
	for a := range p.offs {
		o := &p.offs[a]
		g := float64(p.l.kinds[p.x.kinds[o.kind]].grams) / float64(max(p.most, 1))
		u := float64(p.x.loads[o.kind]) / float64(max(p.units, 1))
		o.rate = float64(o.pay) / max(g, u, 1e-9)
	}
	slices.SortStableFunc(p.offs, func(a, b offer) int { return cmp.Compare(b.rate, a.rate) })
}

// try takes a pattern as the best so far if it pays.
func (p *pricing) try(i, at int32) {
	nd := &p.x.nodes[at]
	if at == 0 || nd.need > p.work || p.x.m.Mixed(nd.grams) > p.cap {
		return
	}
	v := -nd.cost
	for a := at; a > 0; a = p.x.nodes[a].parent {
		v += p.x.pays[p.x.nodes[a].kind][i]
	}
	if v > p.best {
		p.best, p.found = v, at
	}
}

func (p *pricing) suffixes() {
	n := len(p.offs)
	p.rest = append(p.rest[:0], make([]int64, n+1)...)
	p.byGram = append(p.byGram[:0], make([]float64, n+1)...)
	p.byUse = append(p.byUse[:0], make([]float64, n+1)...)
	for a := n - 1; a >= 0; a-- {
		o := p.offs[a]
		k := &p.l.kinds[p.x.kinds[o.kind]]
		p.rest[a] = p.rest[a+1] + o.most
		// +Inf where it weighs or takes nothing.
		p.byGram[a] = max(p.byGram[a+1], float64(o.pay)/float64(k.grams))
		p.byUse[a] = max(p.byUse[a+1], float64(o.pay)/float64(p.x.loads[o.kind]))
	}
}

// limit is the most that a pattern from node at on can pay less its cost when
// offers from a on are added: by what they pay together; by the mass left, each
// gram costing at least its waste price; by the scarcest resource left.
func (p *pricing) limit(at int32, a int, paid int64) int64 {
	nd := &p.x.nodes[at]
	v := paid + p.rest[a] - nd.cost
	if r := p.byGram[a]; !math.IsInf(r, 1) {
		more := int64(max(r-p.waste, 0)*float64(max(p.most-nd.grams, 0))) + 1
		v = min(v, paid+more-p.l.leastCost(p.x.m, nd.grams))
	}
	if r := p.byUse[a]; !math.IsInf(r, 1) {
		v = min(v, paid+int64(r*float64(max(p.units-nd.load, 0)))+1-nd.cost)
	}
	return v
}

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
		o := p.offs[a]
		c := p.x.child(p.l, at, o.kind)
		if c < 0 {
			continue
		}
		nc := &p.x.nodes[c]
		if nc.need > p.work || p.x.m.Mixed(nc.grams) > p.cap {
			continue
		}
		v := paid + o.pay
		if v-nc.cost > p.best {
			p.best, p.found = v-nc.cost, c
		}
		p.dive(c, a, v)
	}
}

package bound

import (
	"math"
	"slices"

	"pourweek/solve/inst"
)

// mix is a mix and its batches. A batch's content is a pattern: a multiset of
// stretches, at most one of a pour and one in a mold, that fits the mixer and
// can be laid within the working time. Patterns are found on demand and kept
// in a tree; a node adds one stretch to its parent, in ascending order.
type mix struct {
	m       *inst.Mix
	kinds   []int32
	crew    int32
	least   int32   // least length of a clean-up
	longest int32   // longest working time of any start, in ticks
	work    []int32 // by start index: working time in ticks, -1 where mixing cannot start
	nodes   []node
	pays    [][]int64 // by stretch: best price in the window of a batch, by batch start
	wlo     [][]int32 // by stretch: its windows
	whi     [][]int32
}

// node is a pattern. need is the least working time in which it can be laid.
type node struct {
	kind, parent int32 // local kind; the root has kind -1
	grams        int64
	need         int32
	cost         int64   // batch price and waste price of all that is mixed
	child        []int32 // by local kind; 0 unknown, -1 not possible
}

func newMix(l *lagrangian, m *inst.Mix) mix {
	x := mix{m: m, work: make([]int32, l.ax.n)}
	for i := range x.work {
		s := l.ax.tick[i]
		x.work[i] = -1
		if int32(i) < l.ax.first || l.ax.in.Run[s] < m.Ready || m.Ready == 0 && !l.ax.in.Open[s] {
			continue
		}
		x.work[i] = max(m.PotEnd[s]-s-m.Ready, -1)
		x.longest = max(x.longest, x.work[i])
	}
	return x
}

// windows lays out where a batch finds the stretches that it can serve.
func (x *mix) windows(l *lagrangian) {
	x.nodes = []node{{kind: -1, cost: l.batchCost(x.m, 0)}}
	for _, id := range x.kinds {
		k := &l.kinds[id]
		lo, hi := make([]int32, l.ax.n), make([]int32, l.ax.n)
		for i := range lo {
			lo[i], hi[i] = 0, -1
			if x.work[i] < k.length {
				continue
			}
			s := l.ax.tick[i] + x.m.Ready
			lo[i] = max(l.ax.in.OpenIndex(s), k.lo)
			hi[i] = min(l.ax.in.OpenIndex(s+x.work[i]-k.length+1), k.hi) - 1
		}
		x.wlo, x.whi = append(x.wlo, lo), append(x.whi, hi)
		x.pays = append(x.pays, make([]int64, l.ax.n))
	}
}

// batchCost is the price of a batch with so much net content: the batch, and
// all that is mixed at the price of waste. (What goes into pours is credited
// to the pours, so that filling a batch for nothing never pays.)
func (l *lagrangian) batchCost(m *inst.Mix, net int64) int64 {
	c := l.ax.in.Costs
	return scale * (int64(c.Batch) + int64(c.Waste)*m.Mixed(net))
}

// offers works out what each stretch pays a batch by its start.
func (x *mix) offers(l *lagrangian) {
	for j, id := range x.kinds {
		k := &l.kinds[id]
		price := l.beta[k.off : k.off+int(k.hi-k.lo)]
		lo, hi, pays := x.wlo[j], x.whi[j], x.pays[j]
		for i := l.ax.first; i < l.ax.n; i++ {
			v := int64(0)
			for a := lo[i]; a <= hi[i]; a++ {
				v = max(v, price[a-k.lo])
			}
			pays[i] = v
		}
	}
}

// child is the node of a pattern with one more stretch, -1 if there is none.
func (x *mix) child(l *lagrangian, at, k int32) int32 {
	if c := x.nodes[at].child; c == nil {
		x.nodes[at].child = make([]int32, len(x.kinds))
	}
	if c := x.nodes[at].child[k]; c != 0 {
		return c
	}
	c := int32(-1)
	grams := x.nodes[at].grams + l.kinds[x.kinds[k]].grams
	if x.m.Mixed(grams) <= l.capacity(x.m) {
		list := append(x.content(at), x.kinds[k])
		if need := l.layable(list, x.longest); need >= 0 && l.separate(list) {
			c = int32(len(x.nodes))
			x.nodes = append(x.nodes, node{kind: k, parent: at, grams: grams, need: need, cost: l.batchCost(x.m, grams)})
		}
	}
	x.nodes[at].child[k] = c
	return c
}

// content lists the stretches of a pattern, ascending.
func (x *mix) content(at int32) []int32 {
	var list []int32
	for ; at > 0; at = x.nodes[at].parent {
		list = append(list, x.kinds[x.nodes[at].kind])
	}
	slices.Reverse(list)
	return list
}

// capacity is that of the largest mixer that takes the mix.
func (l *lagrangian) capacity(m *inst.Mix) int64 {
	c := int64(0)
	for _, i := range m.Mixers {
		c = max(c, l.ax.in.Mixers[i].Capacity)
	}
	return c
}

// separate reports whether the stretches can be of different pours in
// different molds: not more of a group than it has pours, and a mold for each.
func (l *lagrangian) separate(list []int32) bool {
	count := map[int32]int64{}
	for _, id := range list {
		g := l.groups[l.kinds[id].group]
		key := g.id
		if g.loose {
			key = -1 - id
		}
		if count[key]++; count[key] > g.n {
			return false
		}
	}
	taken := map[int32]int{}
	for x := range list {
		if l.groups[l.kinds[list[x]].group].loose {
			continue
		}
		if !l.match(list, x, taken, map[int32]bool{}) {
			return false
		}
	}
	return true
}

// match finds a mold for stretch x by augmenting paths.
func (l *lagrangian) match(list []int32, x int, taken map[int32]int, seen map[int32]bool) bool {
	p := l.groups[l.kinds[list[x]].group].pour
	for _, c := range p.Molds {
		if seen[c.Mold] || p.PinMold != inst.None && c.Mold != p.PinMold {
			continue
		}
		seen[c.Mold] = true
		y, ok := taken[c.Mold]
		if !ok || l.match(list, y, taken, seen) {
			taken[c.Mold] = x
			return true
		}
	}
	return false
}

// offer is a stretch that pays something at a batch start.
type offer struct {
	kind int32 // local
	pay  int64
	most int64 // pays if taken as often as there are pours
}

// pricing finds the pattern that pays most at one batch start.
type pricing struct {
	l     *lagrangian
	x     *mix
	offs  []offer
	rest  []int64 // by offer: the most that it and all after it can pay
	rate  []float64
	work  int32
	cap   int64
	best  int64
	found int32
	left  int // nodes that may still be looked at
	over  bool
}

// maxNodes ends the pricing of one batch start; what the offers could pay
// together is then taken instead, which is still a bound.
const maxNodes = 3000

// price returns the most that a pattern pays less its cost at batch start i,
// and the pattern; 0 and none if nothing pays. cap is the mixer's capacity.
func (p *pricing) price(i int32, capacity int64) (int64, int32) {
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
			p.offs = append(p.offs, offer{int32(j), v, v * g.n})
			sum += v * g.n
		}
	}
	if sum <= p.l.batchCost(x.m, 0) {
		return 0, 0
	}
	n := len(p.offs)
	p.rest = append(p.rest[:0], make([]int64, n+1)...)
	p.rate = append(p.rate[:0], make([]float64, n+1)...)
	for a := n - 1; a >= 0; a-- {
		o := p.offs[a]
		k := &p.l.kinds[x.kinds[o.kind]]
		p.rest[a] = p.rest[a+1] + o.most
		p.rate[a] = max(p.rate[a+1], float64(o.pay)/float64(k.grams)) // +Inf where it weighs nothing
	}
	p.best, p.found, p.left, p.over = 0, 0, maxNodes, false
	p.dive(0, 0, 0)
	if p.over {
		return max(p.best, min(p.rest[0], p.byMass(0, 0))-p.l.batchCost(x.m, 0)), p.found
	}
	return p.best, p.found
}

// byMass is the most that offers from a on can pay for the mass that is left.
func (p *pricing) byMass(a int, grams int64) int64 {
	if math.IsInf(p.rate[a], 1) {
		return inf
	}
	return int64(p.rate[a]*float64(p.cap-p.x.m.Loss-grams)) + 1
}

func (p *pricing) dive(at int32, a int, paid int64) {
	for ; a < len(p.offs); a++ {
		nd := &p.x.nodes[at]
		most := min(p.rest[a], p.byMass(a, nd.grams))
		if paid+most-nd.cost <= p.best {
			return
		}
		if p.left--; p.left < 0 {
			p.over = true
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

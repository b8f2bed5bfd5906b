package bound

import (
	"math/rand/v2"
	"slices"

	"pourweek/solve/inst"
)

// mix is a mix and its batches. A batch's content is a pattern: a multiset of
// stretches, at most one of a pour and one in a mold, that fits the mixer and
// can be laid within the working time. Patterns are found on demand and kept;
// a node adds one stretch to its parent, in the order in which it was found
// first.
type mix struct {
	m       *inst.Mix
	kinds   []int32
	crew    int32
	least   int32   // least length of a clean-up
	longest int32   // longest working time of any start, in ticks
	work    []int32 // by start index: working time in ticks, -1 where mixing cannot start
	nodes   []node
	known   map[uint64]int32 // nodes by the sum of their stretches' keys
	keys    []uint64         // by local kind
	pays    [][]int64        // by stretch: best price in the window of a batch, by batch start
	wlo     [][]int32        // by stretch: its windows
	whi     [][]int32
	loads   []int64 // by stretch: what it takes of the scarcest resource, in place ticks or head ticks
	places  int64   // what there is of that at most per tick
}

// node is a pattern. need is the least working time in which it can be laid.
type node struct {
	kind, parent int32 // local kind; the root has kind -1
	grams, load  int64
	key          uint64
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
	x.known = map[uint64]int32{}
	r := rand.New(rand.NewPCG(1, 2)) // fixed: keys only have to differ
	for _, id := range x.kinds {
		x.keys = append(x.keys, r.Uint64())
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
	x.loads = make([]int64, len(x.kinds))
	for s := range l.ax.in.Stations {
		x.scarcest(l, int64(l.ax.in.Stations[s].Places), func(sh *shape) int64 {
			if sh.station == int32(s) {
				return 1
			}
			return 0
		})
	}
	for s := range l.sets {
		x.scarcest(l, l.sets[s].most, func(sh *shape) int64 { return int64(l.headsIn(s, sh.crew)) })
	}
}

// scarcest takes the resource as the mix's scarcest if its stretches ask more
// of it, by what there is, than of the one so far.
func (x *mix) scarcest(l *lagrangian, places int64, asks func(sh *shape) int64) {
	loads := make([]int64, len(x.kinds))
	sum, old := int64(0), int64(0)
	for j, id := range x.kinds {
		k := &l.kinds[id]
		for y := k.a; y <= k.b; y++ {
			sh := l.groups[k.group].layers[y].sh
			loads[j] += asks(sh) * int64(sh.work)
		}
		sum += loads[j]
		old += x.loads[j]
	}
	if places > 0 && (x.places == 0 || sum*x.places > old*places) {
		x.loads, x.places = loads, places
	}
}

// batchCost is the price of a batch with so much net content: the batch, and
// all that is mixed at the price of waste. (What goes into pours is credited
// to the pours, so that filling a batch for nothing never pays.)
func (l *lagrangian) batchCost(m *inst.Mix, net int64) int64 {
	c := l.ax.in.Costs
	return scale * (int64(c.Batch) + int64(c.Waste)*m.Mixed(net))
}

// leastCost is at most batchCost, and linear.
func (l *lagrangian) leastCost(m *inst.Mix, net int64) int64 {
	c := l.ax.in.Costs
	return scale * (int64(c.Batch) + int64(c.Waste)*(net+m.Loss))
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
	key := x.nodes[at].key + x.keys[k]
	c, ok := x.known[key]
	if !ok {
		c = x.newNode(l, at, k, key)
		x.known[key] = c
	}
	x.nodes[at].child[k] = c
	return c
}

// newNode adds the pattern of node at and one more stretch, if it is possible.
func (x *mix) newNode(l *lagrangian, at, k int32, key uint64) int32 {
	grams := x.nodes[at].grams + l.kinds[x.kinds[k]].grams
	if x.m.Mixed(grams) > l.capacity(x.m) {
		return -1
	}
	list := append(x.content(at), x.kinds[k])
	slices.Sort(list)
	need := l.layable(list, x.longest)
	if need < 0 || !l.separate(list) {
		return -1
	}
	x.nodes = append(x.nodes, node{kind: k, parent: at, grams: grams, load: x.nodes[at].load + x.loads[k], key: key,
		need: need, cost: l.batchCost(x.m, grams)})
	return int32(len(x.nodes) - 1)
}

// content lists the stretches of a pattern.
func (x *mix) content(at int32) []int32 {
	var list []int32
	for ; at > 0; at = x.nodes[at].parent {
		list = append(list, x.kinds[x.nodes[at].kind])
	}
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

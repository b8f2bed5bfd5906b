package bound

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"

	"pourweek/solve/inst"
)

// mix is a mix and its batches. Stretches that are laid alike are of one type. A
// batch's content is a pattern: so many stretches of each type that fit the
// mixer and can be laid within the working time, filled with stretches of
// different pours, in different molds where none can be cast in twice by then.
// Patterns are found on demand and kept; a node adds one stretch to its parent.
type mix struct {
	m       *inst.Mix
	kinds   []int32
	types   []stretchType
	crew    int32
	least   int32   // least length of a clean-up
	longest int32   // longest working time of any start, in ticks
	twice   bool    // a mold may be cast in twice within the working time
	work    []int32 // by start index: working time in ticks, -1 where mixing cannot start
	open    []int32 // by start index: open ticks of it
	units   []int64 // by start index: what there is of the scarcest resource in it
	nodes   []node
	known   map[uint64]int32 // nodes by the sum of their types' keys
	pays    []int64          // by batch start and stretch: best price in the batch's window
	locals  []local          // by stretch
	base    int64            // price of a batch and its loss
	wlo     [][]int32        // by stretch: its windows
	whi     [][]int32
	places  int64                 // what there is of the scarcest resource per tick at most
	asks    func(sh *shape) int64 // what a task asks of that
	apart   map[uint64]bool       // memory of separate, by the sum of the stretches' keys
}

// stretchType is a set of stretches of a mix that are laid alike.
type stretchType struct {
	kinds []int32 // local
	key   uint64
	grams int64
	load  int64   // what one takes of the scarcest resource, in place ticks or head ticks
	most  int32   // in one batch, for want of pours or molds
	molds []int32 // that its pours can be in; nil where they do not matter
}

// local is what pricing asks of a stretch.
type local struct {
	n               int32   // stretches like it in one batch at most
	perGram, perUse float64 // one by what it weighs and takes; +Inf for nothing
}

// row is what the stretches pay a batch started at i.
func (x *mix) row(i int32) []int64 {
	n := len(x.kinds)
	return x.pays[int(i)*n : int(i)*n+n]
}

// node is a pattern. need is the least working time in which it can be laid;
// where nothing in it waits for a gap, all that time is open.
type node struct {
	typ, parent int32 // the root has type -1
	grams, load int64
	key         uint64
	need        int32
	gapless     bool
	cost        int64   // batch price and waste price of all that is mixed
	child       []int32 // by type; 0 unknown, -1 not possible
}

func newMix(l *lagrangian, m *inst.Mix) mix {
	x := mix{m: m, work: make([]int32, l.ax.n), open: make([]int32, l.ax.n)}
	for i := range x.work {
		s := l.ax.tick[i]
		x.work[i] = -1
		if int32(i) < l.ax.first || l.ax.in.Run[s] < m.Ready || m.Ready == 0 && !l.ax.in.Open[s] {
			continue
		}
		x.work[i] = max(m.PotEnd[s]-s-m.Ready, -1)
		x.longest = max(x.longest, x.work[i])
		if x.work[i] > 0 {
			x.open[i] = l.ax.in.OpenIndex(m.PotEnd[s]) - l.ax.in.OpenIndex(s+m.Ready)
		}
	}
	return x
}

// windows lays out where a batch finds the stretches that it can serve.
func (x *mix) windows(l *lagrangian) {
	x.nodes = []node{{typ: -1, gapless: true, cost: l.batchCost(x.m, 0)}}
	x.known, x.apart = map[uint64]int32{}, map[uint64]bool{}
	x.twice = l.leastCure() < x.longest
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
	}
	x.pays = make([]int64, int(l.ax.n)*len(x.kinds))
	x.base = l.leastCost(x.m, 0)
	x.sortTypes(l)
	x.units = make([]int64, l.ax.n)
	for s := range l.ax.in.Stations {
		x.scarcest(l, l.stationCap[s], int64(l.ax.in.Stations[s].Places), func(sh *shape) int64 {
			if sh.station == int32(s) {
				return 1
			}
			return 0
		})
	}
	for s := range l.sets {
		x.scarcest(l, l.sets[s].have, l.sets[s].most, func(sh *shape) int64 { return int64(l.headsIn(s, sh.crew)) })
	}
	x.locals = make([]local, len(x.kinds))
	for t := range x.types {
		y := &x.types[t]
		for _, j := range y.kinds {
			g := l.groups[l.kinds[x.kinds[j]].group]
			n := int32(min(g.n, 1<<20))
			if !g.loose && !x.twice {
				n = min(n, int32(len(g.pour.Molds)))
			}
			x.locals[j] = local{n, 1 / float64(y.grams), 1 / float64(y.load)}
		}
	}
}

// serves reports whether a batch started at i finds a stretch in time.
func (x *mix) serves(i int32) bool {
	for j := range x.kinds {
		if x.wlo[j][i] <= x.whi[j][i] {
			return true
		}
	}
	return false
}

// sortTypes sorts the stretches by how they are laid.
func (x *mix) sortTypes(l *lagrangian) {
	at := map[string]int{}
	r := rand.New(rand.NewPCG(1, 2)) // fixed: keys only have to differ
	for j, id := range x.kinds {
		k := &l.kinds[id]
		g := l.groups[k.group]
		key := fmt.Sprint(k.grams, g.loose)
		for y := k.a; y <= k.b; y++ {
			p := &g.pour.Layers[y]
			key += fmt.Sprint(" ", p.Work, p.Crew, p.Station)
			if y > k.a {
				key += fmt.Sprint(p.GapMin, p.GapMax)
			}
		}
		t, ok := at[key]
		if !ok {
			t = len(x.types)
			at[key] = t
			x.types = append(x.types, stretchType{key: r.Uint64(), grams: k.grams})
		}
		x.types[t].kinds = append(x.types[t].kinds, int32(j))
		l.kinds[id].key = r.Uint64()
	}
	for t := range x.types {
		y := &x.types[t]
		molds := map[int32]bool{}
		n := int64(0)
		for _, j := range y.kinds {
			g := l.groups[l.kinds[x.kinds[j]].group]
			n += g.n
			for _, c := range g.pour.Molds {
				molds[c.Mold] = true
			}
			if g.loose {
				n += 1 << 20
			}
		}
		y.most = int32(min(n, 1<<20))
		if n < 1<<20 && !x.twice {
			y.most = min(y.most, int32(len(molds)))
			y.molds = slices.Sorted(maps.Keys(molds))
		}
	}
}

// leastCure is the least number of ticks that a new pour cures.
func (l *lagrangian) leastCure() int32 {
	least := l.ax.in.H
	for _, g := range l.groups {
		least = min(least, g.pour.LeastCure())
	}
	return least
}

// scarcest takes the resource as the mix's scarcest if its stretches ask more
// of it, by what there is, than of the one so far.
func (x *mix) scarcest(l *lagrangian, have []int64, places int64, asks func(sh *shape) int64) {
	loads := make([]int64, len(x.types))
	sum, old := int64(0), int64(0)
	for t := range x.types {
		k := &l.kinds[x.kinds[x.types[t].kinds[0]]]
		g := l.groups[k.group]
		for y := k.a; y <= k.b && !g.loose; y++ {
			sh := g.layers[y].sh
			loads[t] += asks(sh) * int64(sh.work)
		}
		sum += loads[t]
		old += x.types[t].load
	}
	if places > 0 && (x.places == 0 || sum*x.places > old*places) {
		x.places, x.asks = places, asks
		for i, n := range x.open {
			x.units[i] = 0
			if n > 0 {
				from := l.ax.in.OpenIndex(l.ax.tick[i] + x.m.Ready)
				for _, h := range have[from : from+n] {
					x.units[i] += h
				}
			}
		}
		for t := range x.types {
			x.types[t].load = loads[t]
		}
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
	n := len(x.kinds)
	for j, id := range x.kinds {
		k := &l.kinds[id]
		price := l.beta[k.off : k.off+int(k.hi-k.lo)]
		lo, hi := x.wlo[j], x.whi[j]
		for i := l.ax.first; i < l.ax.n; i++ {
			v := int64(0)
			if hi[i] >= lo[i] {
				for _, y := range price[lo[i]-k.lo : hi[i]+1-k.lo] {
					v = max(v, y)
				}
			}
			x.pays[int(i)*n+j] = v
		}
	}
}

// child is the node of a pattern with one more stretch of type t, -1 if there
// is none.
func (x *mix) child(l *lagrangian, at, t int32) int32 {
	if c := x.nodes[at].child; c == nil {
		x.nodes[at].child = make([]int32, len(x.types))
	}
	if c := x.nodes[at].child[t]; c != 0 {
		return c
	}
	key := x.nodes[at].key + x.types[t].key
	c, ok := x.known[key]
	if !ok {
		c = x.newNode(l, at, t, key)
		x.known[key] = c
	}
	x.nodes[at].child[t] = c
	return c
}

// newNode adds the pattern of node at and one more stretch, if it is possible.
func (x *mix) newNode(l *lagrangian, at, t int32, key uint64) int32 {
	y := &x.types[t]
	grams := x.nodes[at].grams + y.grams
	if x.m.Mixed(grams) > l.capacity(x.m) {
		return -1
	}
	list := []int32{x.kinds[y.kinds[0]]}
	count := int32(1)
	for a := at; a > 0; a = x.nodes[a].parent {
		list = append(list, x.kinds[x.types[x.nodes[a].typ].kinds[0]])
		if x.nodes[a].typ == t {
			count++
		}
	}
	slices.Sort(list)
	if count > y.most {
		return -1
	}
	if !x.spread(l, at, t) {
		return -1
	}
	need := l.layable(list, x.longest)
	if need < 0 {
		return -1
	}
	gapless := x.nodes[at].gapless
	for _, id := range list {
		k := &l.kinds[id]
		gapless = gapless && k.a == k.b
	}
	x.nodes = append(x.nodes, node{typ: t, parent: at, gapless: gapless, grams: grams, load: x.nodes[at].load + y.load, key: key,
		need: need, cost: l.batchCost(x.m, grams)})
	return int32(len(x.nodes) - 1)
}

// capacity is that of the largest mixer that takes the mix.
func (l *lagrangian) capacity(m *inst.Mix) int64 {
	c := int64(0)
	for _, i := range m.Mixers {
		c = max(c, l.ax.in.Mixers[i].Capacity)
	}
	return c
}

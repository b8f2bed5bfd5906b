package exact

import (
	"math"
	"slices"

	"pourweek/solve/inst"
)

// week is a structure with its tables.
type week struct {
	*shop
	st        *structure
	tables    []*tables // by pour, nil for the carried
	before    []int32   // pour before in the mold (curing ones too), -1: none
	least     *cheapest
	bodies    []int32 // pours to be cast, those of a mold in order
	any       bool    // batches may be shared by all pours
	single    bool    // every task needs the one person there is
	leastCure int32   // ticks that any piece cures at least
	planned,
	allDraws uint32 // bits by draw number
}

// newWeek lays out the tables of a structure, empty.
func (s *shop) newWeek(st *structure) *week { return s.weekOf(st, false) }

// weekOf is newWeek; with any, batches are shared as if every pour were planned
// and in a mold of its own, which holds for each structure.
func (s *shop) weekOf(st *structure, any bool) *week {
	w := &week{any: any, shop: s, st: st, tables: make([]*tables, len(s.pours)), before: make([]int32, len(s.pours))}
	for i := range s.pours {
		w.before[i] = -1
		switch s.pours[i].Stage {
		case inst.Curing:
			w.tables[i] = s.newTables(i, s.pours[i].Mold)
		case inst.Racked:
			w.tables[i] = s.newTables(i, inst.None)
		}
	}
	for m, chain := range st.chains {
		last := int32(-1)
		for i := range s.pours {
			if s.pours[i].Stage == inst.Curing && s.pours[i].Mold == int32(m) {
				last = int32(i)
			}
		}
		for _, i := range chain {
			w.tables[i] = s.newTables(int(i), int32(m))
			w.before[i] = last
			w.bodies = append(w.bodies, i)
			if last >= 0 {
				w.tables[last].next = w.tables[i]
			}
			last = i
		}
	}
	ds := s.all(w.isPlanned)
	for _, o := range ds {
		w.allDraws |= 1 << o.at
	}
	w.leastCure = math.MaxInt32
	for i := range s.pours {
		for e, c := range s.pours[i].CureEnd {
			w.leastCure = min(w.leastCure, c-int32(e))
		}
	}
	w.shares()
	if !any {
		w.least = w.cheapest(ds)
	}
	for _, i := range w.bodies {
		var before *pour
		if b := w.before[i]; b >= 0 {
			before = &s.pours[b]
		}
		w.tables[i].solo = w.newSolo(w.tables[i], before)
	}
	w.single = w.isSingle()
	return w
}

// isSingle reports whether there is a row of one head that every task needs.
func (w *week) isSingle() bool {
	for r := range w.rows {
		ok := slices.Max(w.have[r]) <= 1
		for _, c := range w.crews {
			ok = ok && (c.need[r] > 0 || c.heads == 0 && w.isHold(c))
		}
		if ok {
			return true
		}
	}
	return false
}

func (s *shop) isHold(c *crew) bool {
	return slices.ContainsFunc(s.mixes, func(m mix) bool { return m.hold == c })
}

// fillAll works out every table, those of later pours first.
func (w *week) fillAll(all bool) {
	for i, b := range w.tables {
		if b != nil && w.before[i] < 0 {
			w.fillChain(b, all)
		}
	}
}

func (w *week) fillChain(b *tables, all bool) {
	if b.next != nil {
		w.fillChain(b.next, all)
	}
	w.fill(b, all)
}

// root is the least priced cost of a pour that nothing stands before.
func (w *week) root(b *tables) int32 {
	switch b.p.Stage {
	case inst.Racked:
		return at(b.finFrom[b.p.Next], max(b.p.From, w.in.Now))
	case inst.Curing:
		return at(b.demFrom, w.cured(b.p, 0))
	}
	return w.fromFree(b, 0)
}

// bound is the Lagrangian bound at the prices of the shop: the priced cost of
// all chains and tails, the least batches, less what all people are worth.
// Chains, tails and batches hold different terms of the cost; priced work is in
// each task once, and a batch's mixing in shares that sum to at most 1.
func (w *week) bound() int64 {
	sum := w.st.fixed + int64(w.least.least(w.allDraws)) - w.yLeft[0]
	for i, b := range w.tables {
		if b != nil && w.before[i] < 0 {
			v := w.root(b)
			if v >= inf {
				return maxCost
			}
			sum += int64(v)
		}
	}
	return sum
}

// usage adds the work of the cheapest paths to use, by row and open tick.
func (w *week) usage(use [][]float64) {
	for i, b := range w.tables {
		if b != nil && w.before[i] < 0 {
			switch b.p.Stage {
			case inst.Racked:
				w.useFinish(use, b, int(b.p.Next), max(b.p.From, w.in.Now))
			case inst.Curing:
				w.useDemold(use, b, w.cured(b.p, 0))
			default:
				w.usePour(use, b, 0)
			}
		}
	}
}

// firstAt is the first start at or after t at which waiting in a from table
// ends. The table falls to the start's value by the waiting rate alone.
func (s *shop) firstAt(from, start []int32, t int32) int32 {
	for ; t < s.in.H; t++ {
		if start[t] < inf && start[t] <= from[t] {
			return t
		}
	}
	return -1
}

func (s *shop) use(use [][]float64, c *crew, a, b int32, f float64, regular bool) {
	for i := s.in.OpenIndex(a); i < s.in.OpenIndex(b); i++ {
		if regular && s.in.Overtime[s.in.OpenAt[i]] {
			continue
		}
		for r, n := range c.need {
			if regular && r >= len(s.rows) {
				break
			}
			use[r][i] += f * float64(n)
		}
	}
}

// way picks the way of a task at x whose cost and what follows is v, uses it
// and returns its end.
func (s *shop) way(use [][]float64, t *task, x, v int32, after func(e int32) int32) int32 {
	if e := t.end[x]; e >= 0 && add(t.cost[x], after(e)) <= v {
		s.use(use, t.crew, x, e, 1, false)
		return e
	}
	e := t.putEnd[x]
	s.use(use, t.crew, x, e, 1, true)
	return e
}

func (w *week) useFinish(use [][]float64, b *tables, k int, t int32) {
	for ; k < len(b.p.finish); k++ {
		x := w.firstAt(b.finFrom[k], b.finStart[k], t)
		e := w.way(use, b.p.finish[k], x, b.finStart[k][x], func(e int32) int32 { return w.afterFinish(b, k, e) })
		if k+1 < len(b.p.finish) {
			t = max(e+b.p.Finish[k+1].Rest, w.in.Now)
		}
	}
}

func (w *week) useDemold(use [][]float64, b *tables, t int32) {
	x := w.firstAt(b.demFrom, b.demStart, t)
	e := b.p.demold.end[x]
	w.use(use, b.p.demold.crew, x, e, 1, false)
	if len(b.p.finish) > 0 {
		w.useFinish(use, b, 0, max(e+b.p.Finish[0].Rest, w.in.Now))
	}
	if b.next != nil {
		w.usePour(use, b.next, e)
	}
}

func (w *week) usePour(use [][]float64, b *tables, free int32) {
	if t := max(free, w.in.Now); b.solo != nil && at(b.solo.least[0], t) >= w.fromFree(b, free) {
		w.useSolo(use, b.solo, t)
		return
	}
	x := w.firstAt(b.prepFrom[0], b.prepStart[0], max(free, w.in.Now, w.in.Molds[b.mold].FreeFrom))
	e := w.way(use, b.prepTask, x, b.prepStart[0][x], func(e int32) int32 { return at(b.layerFrom[0], e) })
	for j, t := range b.p.layers {
		v := b.layerStart[0][j]
		if j == 0 {
			x = w.firstAt(b.layerFrom[0], v, e)
		} else {
			x = w.argWindow(v, e+b.p.Layers[j].GapMin, e+b.p.Layers[j].GapMax)
		}
		e = t.end[x]
		w.use(use, t.crew, x, e, 1, false)
		for d := range b.p.draws {
			if q := &b.p.draws[d]; q.first == j {
				w.useBatch(use, q, x)
			}
		}
	}
	x = w.argWindow(b.coverStart, e+b.p.CoverGapMin, e+b.p.CoverGapMax)
	e = b.p.cover.end[x]
	w.use(use, b.p.cover.crew, x, e, 1, false)
	w.useDemold(use, b, w.cured(b.p, e))
}

func (s *shop) argWindow(v []int32, lo, hi int32) int32 {
	best := lo
	for u := lo; u <= min(hi, s.in.H-1); u++ {
		if v[u] < v[best] {
			best = u
		}
	}
	return best
}

func (w *week) useBatch(use [][]float64, d *draw, x int32) {
	_, b := w.bestBatch(d, x)
	m := &w.mixes[d.mix]
	f := 1 / float64(d.share)
	ready := b + m.Ready
	w.use(use, m.crew, b, b+m.Mix.Mix, f, false)
	w.use(use, m.crew, ready-m.Remix, ready, f, false)
	w.use(use, m.hold, b+m.holdA, b+m.holdB, f, false)
	if m.wash == 0 {
		return
	}
	for z := ready + m.GapMin; z <= ready+m.GapMax; z++ {
		if w.steady(m.washer, z, z+m.wash) == w.washPrice(m, ready+m.GapMin, ready+m.GapMax) {
			w.use(use, m.washer, z, z+m.wash, f, false)
			return
		}
	}
}

// ascend improves the prices by at most steps subgradient steps towards upper
// and leaves the best prices, with their tables, in place. It returns their
// bound.
func (w *week) ascend(steps int, upper int64) int64 {
	y := make([][]float64, len(w.y))
	dir := make([][]float64, len(w.y))
	use := make([][]float64, len(w.y))
	for r := range y {
		y[r], dir[r], use[r] = make([]float64, w.open), make([]float64, w.open), make([]float64, w.open)
		for i := range y[r] {
			y[r][i] = float64(w.y[r][i])
		}
	}
	best, bestY := int64(math.MinInt64), clone(w.y)
	lambda, stale := lambda0, 0
	w.limitPrices()
	for range steps {
		w.reprice()
		w.fillAll(false)
		v := w.bound()
		if v > best {
			best, stale = v, 0
			copyInto(bestY, w.y)
		} else if stale++; stale > staleMost {
			lambda, stale = lambda*fade, 0
		}
		if v >= upper || lambda < 0.01 {
			break
		}
		for r := range use {
			clear(use[r])
		}
		w.usage(use)
		// Without a plan in hand the aim is a guess.
		w.move1(y, dir, use, lambda*float64(min(upper-v, max(v, -v)/8+100*w.unit)))
	}
	copyInto(w.y, bestY)
	w.reprice()
	return best
}

// limitPrices sets the highest price: all people at it are worth no more than
// half the highest cost.
func (s *shop) limitPrices() {
	sum := int64(1)
	for r := range s.have {
		for _, n := range s.have[r] {
			sum += int64(n)
		}
	}
	s.yMost = float64(maxCost / 2 / sum)
}

// move1 is one deflected subgradient step of Polyak's length.
func (w *week) move1(y, dir, use [][]float64, gain float64) {
	norm := 0.0
	first := w.in.OpenIndex(w.in.Now)
	for r := range y {
		for i := range y[r] {
			g := use[r][i] - float64(w.have[r][i])
			if y[r][i] <= 0 && g < 0 || int32(i) < first {
				g = 0
			}
			dir[r][i] = momentum*dir[r][i] + g
			if y[r][i] <= 0 && dir[r][i] < 0 {
				dir[r][i] = 0
			}
			norm += dir[r][i] * dir[r][i]
		}
	}
	if norm == 0 {
		return
	}
	step := gain / norm
	for r := range y {
		for i := range y[r] {
			y[r][i] = min(max(0, y[r][i]+step*dir[r][i]), w.yMost)
			w.y[r][i] = int32(y[r][i])
		}
	}
}

func clone(y [][]int32) [][]int32 {
	out := make([][]int32, len(y))
	for r := range y {
		out[r] = append([]int32{}, y[r]...)
	}
	return out
}

func copyInto(dst, src [][]int32) {
	for r := range dst {
		copy(dst[r], src[r])
	}
}

var (
	staleMost = 15
	fade      = 0.6
	momentum  = 0.7
	lambda0   = 1.0
)

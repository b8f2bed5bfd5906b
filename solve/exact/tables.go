package exact

import "pourweek/solve/inst"

// tables holds, for one pour in its place of a structure, the least priced cost
// from each step on: own cost terms, priced work, its share of priced mixing,
// and, up to the demold, all pours after it in its mold. They ignore every
// other pour and the longest allowed times before prep, layer 1, demold and
// finish steps.
//
// start tables are by the start of a step; from tables by the tick from which
// the step may start, waiting paid; tables "after" by the end of the step
// before. Layer tables are by the set of the pour's draws that have a batch.
type tables struct {
	p          *pour
	at         int // number of the pour
	mold       int32
	prepTask   *task
	next       *tables // after it in the mold
	prepStart  [][]int32
	prepFrom   [][]int32
	layerStart [][][]int32 // [draws linked][layer][tick]
	layerAfter [][][]int32 // from layer 2 on
	layerFrom  [][]int32   // layer 1
	coverStart []int32
	coverAfter []int32
	demStart   []int32
	demFrom    []int32
	finStart   [][]int32
	finFrom    [][]int32
	solo       *solo   // nil where its argument does not hold
	span       []ticks // of the starts of each step in a corridor, nil: anywhere
}

// startsOf is starts for a step that is this task, with its costs worked out.
func (s *shop) startsOf(b *tables, step int, t *task) (from, lo, hi int32) {
	from, lo, hi = s.starts(b, step)
	if s.lazy {
		s.priceTask(t, lo, hi)
	}
	return from, lo, hi
}

// starts is the half-open range in which a step of the pour may start; from is the
// first tick at which anything may wait for it.
func (s *shop) starts(b *tables, step int) (from, lo, hi int32) {
	if b.span == nil {
		return 0, 0, s.in.H
	}
	if step > b.first() {
		from = b.span[step-1].from
	}
	return from, b.span[step].from, b.span[step].to
}

// first is the first step of the pour that is still to be done.
func (b *tables) first() int {
	switch b.p.Stage {
	case inst.Curing:
		return b.p.dem()
	case inst.Racked:
		return b.p.dem() + 1 + int(b.p.Next)
	}
	return 0
}

func filled(n int32) []int32 {
	v := make([]int32, n)
	for i := range v {
		v[i] = inf
	}
	return v
}

// maxCost is a cost that no search here goes beyond. A priced cost of inf or more
// less what the people are worth, at most maxCost/2, is more than maxCost, so
// that sums may stop at inf.
const maxCost = int64(inf) / 2

// at reads a table that has nothing beyond the horizon.
func at(v []int32, t int32) int32 {
	if t < 0 || int(t) >= len(v) {
		return inf
	}
	return v[t]
}

func add(a, b int32) int32 { return min(inf, a+b) }

// waitTable turns a start table into a from table at the given rate per regular
// tick, for the ticks [lo, hi).
func (s *shop) waitTable(from, start []int32, rate, lo, hi int32) {
	best := inf
	for t := hi - 1; t >= lo; t-- {
		if best < inf && s.in.Open[t] && !s.in.Overtime[t] {
			best = add(best, rate)
		}
		best = min(best, start[t])
		from[t] = best
	}
}

// windowTable is the least of start over the closed window [t+lo, t+hi], by t, where
// start has something in the ticks [from, to) alone.
func (s *shop) windowTable(after, start []int32, lo, hi, from, to int32) {
	for t := max(0, from-hi); t < min(s.in.H, to-lo); t++ {
		best := inf
		for u := t + lo; u <= min(t+hi, s.in.H-1); u++ {
			best = min(best, start[u])
		}
		after[t] = best
	}
}

// newTables makes empty tables for a pour; mold is inst.None for those that are
// in none to choose.
func (s *shop) newTables(i int, mold int32) *tables {
	p, h := &s.pours[i], s.in.H
	b := &tables{p: p, at: i, mold: mold}
	for range p.finish {
		b.finStart, b.finFrom = append(b.finStart, filled(h)), append(b.finFrom, filled(h))
	}
	if p.Stage != inst.Racked {
		b.demStart, b.demFrom = filled(h), filled(h)
	}
	if p.Stage != inst.New {
		return b
	}
	b.prepTask = p.prep[mold]
	b.coverStart, b.coverAfter = filled(h), filled(h)
	n := 1 << len(p.draws)
	for range n {
		b.prepStart, b.prepFrom = append(b.prepStart, filled(h)), append(b.prepFrom, filled(h))
		b.layerFrom = append(b.layerFrom, filled(h))
		var ls, la [][]int32
		for range p.layers {
			ls, la = append(ls, filled(h)), append(la, filled(h))
		}
		b.layerStart, b.layerAfter = append(b.layerStart, ls), append(b.layerAfter, la)
	}
	return b
}

// fill works the tables out; next must be filled before. With all false only
// the tables for no linked draw are filled.
func (s *shop) fill(b *tables, all bool) {
	s.fillTail(b)
	if b.p.Stage == inst.Racked {
		return
	}
	s.fillDemold(b)
	if b.p.Stage != inst.New {
		return
	}
	s.fillCover(b)
	n := 1
	if all {
		n = len(b.prepStart)
	}
	for set := range n {
		s.fillBody(b, set)
	}
	if b.solo != nil {
		b.solo.fill()
	}
}

// finished is the lateness of a pour that is ready at e.
func (b *tables) finished(e int32) int32 {
	return int32(min(int64(inf), b.p.LatePerTick*int64(max(0, e-b.p.Due))))
}

// afterFinish is the least cost after the end e of finish step k; k is -1 after
// the demold.
func (s *shop) afterFinish(b *tables, k int, e int32) int32 {
	if k+1 == len(b.p.finish) {
		return b.finished(e)
	}
	return at(b.finFrom[k+1], max(e+b.p.Finish[k+1].Rest, s.in.Now))
}

func (s *shop) fillTail(b *tables) {
	first := 0
	if b.p.Stage == inst.Racked {
		first = int(b.p.Next)
	}
	for k := len(b.p.finish) - 1; k >= first; k-- {
		t := b.p.finish[k]
		from, lo, hi := s.startsOf(b, b.p.dem()+1+k, t)
		for x := lo; x < hi; x++ {
			v := inf
			if e := t.end[x]; e >= 0 {
				v = add(t.cost[x], s.afterFinish(b, k, e))
			}
			if t.putEnd != nil && t.putEnd[x] >= 0 {
				v = min(v, add(t.putCost[x], s.afterFinish(b, k, t.putEnd[x])))
			}
			b.finStart[k][x] = v
		}
		s.waitTable(b.finFrom[k], b.finStart[k], int32(s.in.Costs.RackWait), from, hi)
	}
}

// afterDemold is the least cost after a demold that ends at e: the pour's tail
// and the pours after it in the mold.
func (s *shop) afterDemold(b *tables, e int32) int32 {
	v := s.afterFinish(b, -1, e)
	if b.next != nil {
		v = add(v, s.fromFree(b.next, e))
	}
	return v
}

// fromFree is the least cost of a pour and all after it in its mold when the
// mold is free from e on.
func (s *shop) fromFree(b *tables, e int32) int32 {
	v := at(b.prepFrom[0], max(e, s.in.Now, s.in.Molds[b.mold].FreeFrom))
	if b.solo != nil {
		v = max(v, at(b.solo.least[0], max(e, s.in.Now)))
	}
	return v
}

func (s *shop) fillDemold(b *tables) {
	t := b.p.demold
	from, lo, hi := s.startsOf(b, b.p.dem(), t)
	for x := lo; x < hi; x++ {
		b.demStart[x] = inf
		if e := t.end[x]; e >= 0 {
			b.demStart[x] = add(t.cost[x], s.afterDemold(b, e))
		}
	}
	s.waitTable(b.demFrom, b.demStart, int32(s.in.Costs.Held), from, hi)
}

// cured is the tick from which a pour whose cover ends at e may be demolded.
func (s *shop) cured(p *pour, e int32) int32 {
	if p.Stage == inst.Curing {
		return max(p.CuredAt, s.in.Now)
	}
	return max(p.CureEnd[e], s.in.Now)
}

func (s *shop) fillCover(b *tables) {
	t := b.p.cover
	_, lo, hi := s.startsOf(b, b.p.cov(), t)
	for x := lo; x < hi; x++ {
		b.coverStart[x] = inf
		if e := t.end[x]; e >= 0 {
			b.coverStart[x] = add(t.cost[x], at(b.demFrom, s.cured(b.p, e)))
		}
	}
	s.windowTable(b.coverAfter, b.coverStart, b.p.CoverGapMin, b.p.CoverGapMax, lo, hi)
}

// afterLayer is the least cost after layer j has ended at e.
func (b *tables) afterLayer(set, j int, e int32) int32 {
	if j+1 == len(b.p.layers) {
		return at(b.coverAfter, e)
	}
	return at(b.layerAfter[set][j+1], e)
}

func (s *shop) fillBody(b *tables, set int) {
	p := b.p
	for j := len(p.layers) - 1; j >= 0; j-- {
		v := b.layerStart[set][j]
		t := p.layers[j]
		from, lo, hi := s.startsOf(b, 1+j, t)
		for x := lo; x < hi; x++ {
			v[x] = inf
			if e := t.end[x]; e >= 0 && !(j == 0 && !s.mayPour(p, b.mold, x)) {
				v[x] = add(t.cost[x], b.afterLayer(set, j, e))
				if j == 0 {
					v[x] = add(v[x], s.move(p, b.mold, x))
				}
			}
		}
		for d := range p.draws {
			if e := &p.draws[d]; set>>d&1 == 0 && e.first == j {
				s.addShare(v, e, lo, hi)
			}
		}
		if j > 0 {
			s.windowTable(b.layerAfter[set][j], v, p.Layers[j].GapMin, p.Layers[j].GapMax, lo, hi)
		} else {
			s.waitTable(b.layerFrom[set], v, int32(s.in.Costs.Idle), from, hi)
		}
	}
	t, v := b.prepTask, b.prepStart[set]
	from, lo, hi := s.startsOf(b, 0, t)
	for x := lo; x < hi; x++ {
		v[x] = inf
		if x < p.Release || s.isDown(b.mold, x, x+1) {
			continue
		}
		if e := t.end[x]; e >= 0 {
			v[x] = add(t.cost[x], at(b.layerFrom[set], e))
		}
		if t.putEnd != nil && t.putEnd[x] >= 0 {
			v[x] = min(v[x], add(t.putCost[x], at(b.layerFrom[set], t.putEnd[x])))
		}
	}
	s.waitTable(b.prepFrom[set], v, int32(s.in.Costs.Idle), from, hi)
}

// mayPour reports whether layer 1 may start at x as week and pin go.
func (s *shop) mayPour(p *pour, mold, x int32) bool {
	return x < s.in.PourUntil && (p.PinMold == inst.None || p.PinMold == mold && p.PinStart == x)
}

// move is the cost of moving a pour from its base.
func (s *shop) move(p *pour, mold, x int32) int32 {
	if p.BaseMold == inst.None || p.BaseMold == mold && max(x-p.BaseStart, p.BaseStart-x) <= s.in.MoveTolerance {
		return 0
	}
	return int32(s.in.Costs.Move)
}

func (s *shop) isDown(mold, a, b int32) bool {
	for _, d := range s.in.Molds[mold].Down {
		if a < int32(d[1]) && int32(d[0]) < b {
			return true
		}
	}
	return false
}

// addShare adds to layer starts in [lo, hi) the draw's share of the cheapest batch that can
// feed it. Shares of a batch's draws never sum to more than the batch: with n
// draws in it each has a share of at most 1/n.
func (s *shop) addShare(v []int32, e *draw, lo, hi int32) {
	for x := lo; x < hi; x++ {
		if v[x] < inf {
			c, _ := s.bestBatch(e, x)
			v[x] = add(v[x], c)
		}
	}
}

// bestBatch is the least share of a batch start that can feed a draw whose first
// layer starts at x, and that start.
func (s *shop) bestBatch(e *draw, x int32) (cost, start int32) {
	m := &s.mixes[e.mix]
	cost, start = inf, -1
	for b := x - m.Ready; b >= s.in.Now; b-- {
		if m.PotEnd[b] < x+e.span {
			if x-b > maxPot(m) {
				break
			}
			continue
		}
		v := s.batchPrice(m, b)
		if c := v / e.share; v < inf && c < cost {
			cost, start = c, b
		}
	}
	return cost, start
}

func maxPot(m *mix) int32 {
	if m.longest == 0 {
		for at, e := range m.PotEnd {
			m.longest = max(m.longest, e-int32(at))
		}
	}
	return m.longest
}

package search

import (
	"math"
	"slices"

	"pourweek/solve/inst"
)

// worker searches on its own copy of everything but the problem.
type worker struct {
	q    *prob
	s    *state // the state at work
	cur  *state // the accepted plan
	best *state
	r    rng
	rank int   // its place among the workers
	work int64 // insertions done

	log   log
	bs    bodySearch
	ts    tailSearch
	owner []int32 // by task: its pour

	// Scratch of one insertion.
	slots     []slot
	heap      []stream
	near      []int32 // batches that may be joined
	joinBits  []uint64
	masks     masks
	barren    barren
	tries     []trial  // by pour and open index of layer 1
	crews     []uint64 // by kind of task and word: starts with a free crew
	crewAt    []int32  // the stamp of masks for which it holds
	still     bool     // the state is the one that masks are of
	memo      []tailPlan
	tight     []tightPlan // by open index of the cure's end, tightWays each
	laidOut   []int32     // memory for more plans of tails
	memoStamp int32
	pick      []int16
	seen      []int16
	counts    []uint64
	torn      []int32
	feeds     []mixFeed
	drawBits  []uint64
	fresh     []int64 // by pour and mix: the least cost of batches of its own seen, none
	// freshLeast is what new batches for all draws would cost.
	freshLeast int64
	joinLeast  int64   // what draws cost at least near batches
	spare      int32   // where to look for an unused batch
	turn       int32   // which mixer to try first
	body       []int32 // by pour: the shortest body seen, in ticks from layer 1 to the end of the cover; 0: none yet

	// Habits of one recreation.
	stir            bool
	keep            bool  // where a pour was in the accepted plan is tried first
	delay           int32 // one step of a tail in so many starts later than it could
	loose           int32 // one insertion in so many lays its later layers late
	layerAt         int32 // 0 early, 1 later layers late, 2 and batches ahead of time
	prepAt, coverAt int32 // as washAt
	washAt          int32 // 0 early, 1 late, 2 anywhere
	blinks          int32 // in 1024: starts passed over
	blur            int32 // in 1024: costs made worse at random
	evalMax         int
	banned          int32 // a mold that may not be used, none
	only            int32 // the one mold that may be used, none: any
	ahead           bool  // slots behind a pour without tail may be used
	windowLo        int32 // with windowHi > 0: open indices of layer 1
	windowHi        int32

	ruin   ruinScratch
	hoods  []hood
	weight []float64
	base   []float64 // weights at first
	lately []payback
	before []stat // stats at the last change of the weights
	stats  []stat
	wheel  []int32 // by pour: how much earlier it is built
	left   []int32 // by pour: how often it was left out lately
	heat   float64

	wholeHabit, tailHabit []habit // by pour
	ceiling               int64   // a step that ends above it is dropped
	allow                 int64   // what the insertion at hand may cost
	dear                  int64   // eighths by which leaving out costs more than it does
	generous              bool    // pours of shipments may cost more than leaving them out
	unstaffed             bool    // the fixed work found no people
}

func newWorker(q *prob, seed uint64) *worker {
	w := &worker{q: q, s: newState(q), cur: newState(q), best: newState(q), r: rng{seed}, only: none, banned: none}
	heads, most, layers := int32(1), 1, int32(0)
	for i := range q.pours {
		p := &q.pours[i]
		most, layers = max(most, len(p.tail)), max(layers, p.layers)
		for _, t := range p.tail {
			heads = max(heads, t.heads)
		}
		for _, t := range p.coat {
			heads = max(heads, t.heads)
		}
		for _, t := range p.prep {
			heads = max(heads, t.heads)
		}
		heads = max(heads, p.cover.heads)
	}
	for i := range q.fixed {
		heads = max(heads, q.fixed[i].heads)
	}
	heads = max(heads, q.mixHead)
	w.pick = make([]int16, heads+1)
	w.counts = make([]uint64, heads+1)
	w.owner = make([]int32, q.tasks)
	for i := range w.owner {
		w.owner[i] = none
	}
	for i := range q.pours {
		p := &q.pours[i]
		for t := p.t0; t < p.t0+3+p.layers+int32(len(p.Finish)); t++ {
			w.owner[t] = int32(i)
		}
	}
	w.joinBits = make([]uint64, q.words)
	draws := 0
	for i := range q.pours {
		draws = max(draws, len(q.pours[i].Draws))
	}
	w.drawBits = make([]uint64, draws*int(q.words))
	w.fresh = make([]int64, len(q.pours)*len(q.mixes))
	for i := range w.fresh {
		w.fresh[i] = none
	}
	w.body = make([]int32, len(q.pours))
	w.masks, w.barren = newMasks(q), newBarren(q, layers)
	w.tries = make([]trial, int32(len(q.pours))*q.n)
	w.crews = make([]uint64, int32(len(q.kinds))*q.words)
	w.crewAt = make([]int32, int32(len(q.kinds))*q.words)
	w.memo = make([]tailPlan, q.n+1)
	w.tight = make([]tightPlan, (q.n+1)*tightWays)
	for i := range w.memo {
		w.memo[i] = newTailPlan(most)
	}
	w.ts.cur, w.ts.best = newTailPlan(most), newTailPlan(most)
	w.bs.tail = newTailPlan(most)
	w.evalMax, w.delay, w.loose, w.allow = 40, 40, 16, math.MaxInt64
	w.hoods = hoods
	w.weight = make([]float64, len(w.hoods))
	for i := range w.weight {
		w.weight[i] = hoods[i].weight
		if hoods[i].name == "shipment" && len(q.Ships) > 0 {
			w.weight[i] = 1.5
		}
	}
	w.stats = make([]stat, len(w.hoods))
	w.base = append(w.base, w.weight...)
	w.lately, w.before = make([]payback, len(w.hoods)), make([]stat, len(w.hoods))
	w.wheel, w.left = make([]int32, len(q.pours)), make([]int32, len(q.pours))
	w.ruin.init(q)
	w.wholeHabit, w.tailHabit = make([]habit, len(q.pours)), make([]habit, len(q.pours))
	return w
}

// begin empties the shop and puts in what stands there: curing pours in their
// molds, fixed work with its people. False if the fixed work finds no people.
func (w *worker) begin() bool {
	q, s := w.q, w.s
	s.reset(q)
	for i := range q.pours {
		switch q.pours[i].Stage {
		case inst.Curing:
			s.stage[i] = poured
			m := q.pours[i].Mold
			s.next[i] = s.head[m]
			if s.head[m] >= 0 {
				s.prev[s.head[m]] = int32(i)
			}
			s.head[m] = int32(i)
		case inst.Racked:
			s.stage[i] = poured
		}
	}
	for i := range q.Fixed {
		f := &q.Fixed[i]
		if f.Station >= 0 {
			s.stationAdd(q, f.Station, f.Start, f.End, 1)
		}
	}
	return w.placeFixed()
}

// placeFixed gives fixed work its people: in order of time, again in random
// order where that fails.
func (w *worker) placeFixed() bool {
	q, s := w.q, w.s
	order := make([]int32, len(q.fixed))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortStableFunc(order, func(a, b int32) int { return int(q.Fixed[a].Start - q.Fixed[b].Start) })
	stir := w.stir
	defer func() { w.stir = stir }()
	for try := range 200 {
		ok := true
		done := 0
		for _, i := range order {
			d := &q.fixed[i]
			g := segs{} // in a closed shop anyone with the skill stands for it
			if d.work > 0 {
				g = straight(q.oi[q.Fixed[i].Start], d.work)
			}
			if !w.choose(d, &g) {
				ok = false
				break
			}
			copy(s.who[q.whoOff[q.fix0+i]:], w.pick[:d.heads])
			if d.work > 0 {
				w.markFixed(i, true)
			}
			done++
		}
		if ok {
			return true
		}
		bad := order[done]
		for _, i := range order[:done] {
			if q.fixed[i].work > 0 {
				w.markFixed(i, false)
			}
		}
		// The one that failed goes first; others are shuffled now and then.
		copy(order[1:done+1], order[:done])
		order[0] = bad
		if try%3 == 2 {
			w.shuffle(order)
		}
		w.stir = true
	}
	return false
}

// markFixed makes the people of fixed work busy, or free again.
func (w *worker) markFixed(i int32, busy bool) {
	q, s := w.q, w.s
	d := &q.fixed[i]
	a := q.oi[q.Fixed[i].Start]
	off := q.whoOff[q.fix0+i]
	for _, x := range s.who[off : off+d.heads] {
		if busy {
			set64(s.busy[int32(x)*q.words:], a, a+d.work)
		} else {
			unset64(s.busy[int32(x)*q.words:], a, a+d.work)
		}
	}
}

func (w *worker) shuffle(l []int32) {
	for i := len(l) - 1; i > 0; i-- {
		k := w.r.n(int32(i + 1))
		l[i], l[k] = l[k], l[i]
	}
}

// limitOf is what an insertion of the pour may cost at most: leaving it out
// is the other choice. The first late pour of a shipment pays for all of them,
// so that recreations are generous to shipments now and then.
func (w *worker) limitOf(p *pour) int64 {
	return min(w.omit(p), w.allow)
}

// omit is what leaving a pour out is worth.
func (w *worker) omit(p *pour) int64 {
	if p.must {
		return missed
	}
	if w.generous && p.Ship >= 0 {
		x := &w.q.Ships[p.Ship]
		return w.outCost(p) + x.LatePerTick*int64(max(0, w.q.h-x.Due))
	}
	return 0
}

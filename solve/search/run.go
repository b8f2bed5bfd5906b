package search

import (
	"context"
	"math"
	"sync"
	"time"

	"pourweek/model"
	"pourweek/solve/inst"
)

// Options steers a run of the search.
type Options struct {
	Seed    uint64
	Work    int64         // insertions in all workers together; 0: no limit
	Time    time.Duration // wall time; 0: no limit
	Timed   bool          // Time counts, even if none is left
	Workers int
	// Between, if not nil, is called in each pause between rounds; true ends
	// the run.
	Between func(Status) bool
}

// Status says how far a run has come in a pause.
type Status struct {
	Cost model.Mils // of the best plan, -1 when there is none
	Work int64
	Half bool // this is the pause half way
}

// Result is the best plan of a run.
type Result struct {
	Plan    *model.Plan // nil if none was found; without Terms and Bound
	Cost    model.Mils
	Work    int64
	Missing int    // pours that must be planned and could not be
	Reason  string // why there is no plan
	Stats   []Stat
}

// Stat counts what one neighborhood did.
type Stat struct {
	Name              string
	Tried, Kept, Best int64
	Gain              model.Mils
	Work              int64
}

type stat struct{ tried, kept, best, gain, work int64 }

// rounds is how often the workers meet.
const rounds = 24

// Run searches for a cheap plan until work or time is used up, or the context
// ends. The same instance, seed, work and workers give the same plan.
func Run(ctx context.Context, in *inst.Inst, o Options) (*Result, error) {
	q, err := newProb(in)
	if err != nil {
		return nil, err
	}
	begin := time.Now()
	ws := make([]*worker, max(o.Workers, 1))
	for i := range ws {
		ws[i] = newWorker(q, o.Seed*0x9e3779b97f4a7c15+uint64(i)*0x51ed2701)
		ws[i].rank = i
	}
	clk := &clock{ctx: ctx, begin: begin, o: o, share: (o.Work + int64(len(ws)) - 1) / int64(len(ws))}
	clk.cycled = clk.isLong(q)
	together(ws, func(w *worker) { w.start(clk) })
	for _, w := range ws {
		if w.unstaffed {
			return &Result{Reason: "the fixed work cannot be staffed"}, nil
		}
	}
	for round := 0; round < rounds && !clk.over(ws); round++ {
		if clk.cycled {
			reheat(ws, round)
		}
		clk.apart = clk.cycled && round >= cycles[1] && round < cycles[2]
		clk.from, clk.to = float64(round)/rounds, float64(round+1)/rounds
		dear := clk.dearAt()
		for _, w := range ws {
			w.setDear(dear)
		}
		together(ws, func(w *worker) { w.anneal(clk) })
		if !clk.apart {
			exchange(ws)
		}
		for _, w := range ws {
			w.adapt()
			w.setDear(0)
		}
		st := Status{Cost: -1, Work: total(ws), Half: round == rounds/2}
		if b := bestOf(ws); b.best.missing == 0 {
			st.Cost = model.Mils(b.best.cost)
		}
		if o.Between != nil && o.Between(st) {
			break
		}
	}
	return result(ws), nil
}

func together(ws []*worker, f func(*worker)) {
	var wg sync.WaitGroup
	for _, w := range ws[1:] {
		wg.Go(func() { f(w) })
	}
	f(ws[0])
	wg.Wait()
}

func total(ws []*worker) (n int64) {
	for _, w := range ws {
		n += w.work
	}
	return n
}

func bestOf(ws []*worker) *worker {
	b := ws[0]
	for _, w := range ws[1:] {
		if w.best.cost < b.best.cost {
			b = w
		}
	}
	return b
}

// exchange gives the plan in hand of the worker that stands best to those that
// stand much worse.
func exchange(ws []*worker) {
	b := ws[0]
	for _, w := range ws[1:] {
		if w.cur.cost < b.cur.cost {
			b = w
		}
	}
	for _, w := range ws {
		if w != b && w.cur.cost > b.cur.cost+int64(2*w.heat) {
			w.cur.copyFrom(b.cur)
		}
	}
}

func result(ws []*worker) *Result {
	b := bestOf(ws)
	r := &Result{Work: total(ws), Missing: int(b.best.missing), Cost: model.Mils(b.best.cost)}
	for h := range hoods {
		s := Stat{Name: hoods[h].name}
		for _, w := range ws {
			x := &w.stats[h]
			s.Tried += x.tried
			s.Kept += x.kept
			s.Best += x.best
			s.Gain += model.Mils(x.gain)
			s.Work += x.work
		}
		r.Stats = append(r.Stats, s)
	}
	if b.best.missing == 0 {
		b.s.copyFrom(b.best)
		r.Plan = b.plan()
	} else {
		r.Cost = 0
		r.Reason = b.lacking()
	}
	return r
}

// clock says how far a run has come.
type clock struct {
	ctx      context.Context
	begin    time.Time
	o        Options
	share    int64 // work of one worker
	from, to float64
	cycled   bool // the run is done in cycles
	apart    bool // the workers go their own ways
}

// done is how much of the run is over, from 0 to 1, as the worker sees it.
func (c *clock) done(w *worker) float64 {
	d := 0.0
	if c.share > 0 {
		d = float64(w.work) / float64(c.share)
	}
	if c.o.Time > 0 || c.o.Timed {
		d = max(d, float64(time.Since(c.begin))/float64(max(c.o.Time, 1)))
	}
	if c.ctx.Err() != nil {
		return 1
	}
	return d
}

func (c *clock) over(ws []*worker) bool {
	for _, w := range ws {
		if c.done(w) >= 1 {
			return true
		}
	}
	return false
}

// start builds first plans by several rules and keeps the cheapest.
func (w *worker) start(c *clock) {
	w.best.cost = math.MaxInt64
	for rule := range int32(40) {
		if !w.build(rule) {
			w.unstaffed = true
			return
		}
		if w.s.cost < w.best.cost {
			w.best.copyFrom(w.s)
		}
		if (rule >= 3 && w.best.missing == 0) || (rule > 0 && c.done(w) > 0.05 && w.best.missing == 0) || c.done(w) > 0.3 {
			break
		}
	}
	w.cur.copyFrom(w.best)
}

// In long runs the anneal is done in three cycles that begin with these rounds.
// In the second one the first worker goes on from the best plan, cooler, while
// the others set out from theirs, hotter than before, by themselves; the third
// is cool for all.
var cycles = [3]int{0, 9, 17}

// long is the work for each pour and worker from which on cycles pay.
const long = 2000

// isLong reports whether a run is long for its size. A worker does some 25
// insertions in a millisecond.
func (c *clock) isLong(q *prob) bool {
	work := c.share
	if c.o.Time > 0 {
		work = int64(c.o.Time/time.Millisecond) * 25
	}
	return work > long*int64(len(q.pours))
}

// reheat gives the workers the best plans to start a cycle from: the first the
// best of all, the others their own.
func reheat(ws []*worker, round int) {
	if round != cycles[1] && round != cycles[2] {
		return
	}
	b := bestOf(ws)
	for k, w := range ws {
		if k == 0 {
			w.cur.copyFrom(b.best)
			continue
		}
		w.cur.copyFrom(w.best)
	}
}

// heatAt is the temperature of a worker at the share d of the run.
func (c *clock) heatAt(w *worker, d float64) float64 {
	hot, cold := w.q.heat*10000, w.q.heat*150
	if c.cycled {
		a, b := float64(cycles[1])/rounds, float64(cycles[2])/rounds
		switch {
		case d < a:
			d /= a
		case d < b && w.rank == 0:
			d, hot = (d-a)/(b-a), 0.4*hot
		case d < b:
			d, hot = (d-a)/(b-a), 2*hot
		default:
			d, hot = (d-b)/(1-b), 0.25*hot
		}
	}
	return hot * exp(d*ln(cold/hot))
}

// anneal runs steps until the round of the clock is over.
func (w *worker) anneal(c *clock) {
	for {
		d := c.done(w)
		if d >= c.to || d >= 1 {
			return
		}
		w.heat = c.heatAt(w, d)
		w.step(w.heat)
	}
}

// dearAt is by how many eighths leaving a pour out costs more in this round: in
// long runs, in the first half of the first two cycles.
func (c *clock) dearAt() int64 {
	a, b, d := float64(cycles[1])/rounds, float64(cycles[2])/rounds, c.from
	switch {
	case !c.cycled || d >= b:
		return 0
	case d < a:
		d /= a
	default:
		d = (d - a) / (b - a)
	}
	return int64(max(0, dearest*(1-2*d)))
}

package search

import (
	"context"
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
	Done float64 // share of the rounds that are over
}

// Result is the best plan of a run.
type Result struct {
	Plan    *model.Plan   // nil if none was found; without Terms and Bound
	Others  []*model.Plan // the best of the other workers that cost something else
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
		ws[i] = newWorker(q, streamOf(o.Seed, i))
		ws[i].rank = i
	}
	clk := &clock{ctx: ctx, begin: begin, o: o, share: (o.Work + int64(len(ws)) - 1) / int64(len(ws))}
	clk.plan(q, clk.guess())
	together(ws, func(w *worker) { w.start(clk) })
	for _, w := range ws {
		if w.unstaffed {
			return &Result{Reason: "the fixed work cannot be staffed"}, nil
		}
	}
	for round := 0; round < rounds && !clk.over(ws); round++ {
		if round == 1 {
			clk.pace(ws)
		}
		clk.race(ws, round)
		clk.reheat(ws, round)
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
		st := Status{Cost: -1, Work: total(ws), Done: clk.to}
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
		r.Plan = b.bestPlan()
		for _, w := range ws {
			if w.best.missing == 0 && w.best.cost != b.best.cost {
				r.Others = append(r.Others, w.bestPlan())
			}
		}
	} else {
		r.Cost = 0
		r.Reason = b.lacking()
	}
	return r
}

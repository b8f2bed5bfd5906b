package solve

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/solve/inst"
	"pourweek/solve/search"
)

// workers is the number of goroutines that search. It is fixed, so that seed
// and work give the same plan on any number of cores.
const workers = 2

// Solve answers a problem: it searches for a cheap plan until the work or time
// of the options is used up, the context ends, or the plan is proven optimal.
// A cancelled context is no error: the best plan so far is returned.
//
// Every plan is judged by the independent checker before it is returned; one
// that is refused is a bug in the search and comes back as an error, without
// the plan.
func Solve(ctx context.Context, p *model.Problem, o Options) (*Result, error) {
	in, err := inst.Compile(p)
	if err != nil {
		return nil, err
	}
	begin := time.Now()
	so := search.Options{Seed: o.Seed, Work: o.Work, Time: o.Time, Workers: workers}
	if so.Work == 0 && so.Time == 0 {
		so.Work = defaultWork(in)
	}
	searching, stop := context.WithCancel(ctx)
	defer stop()
	v := &prover{in: in, stop: stop, cost: -1}
	var done atomic.Int64
	if o.Progress != nil {
		v.tell = func() {
			b, _ := v.now()
			o.Progress(Progress{Elapsed: time.Since(begin), Work: done.Load(), Cost: v.upper(), Bound: b})
		}
	}
	so.Better = func(cost model.Mils, work int64) {
		done.Store(work)
		v.found(cost)
		if v.tell != nil {
			v.tell()
		}
	}
	so.Enough = func() model.Mils { b, _ := v.now(); return b }
	r, err := v.run(ctx, searching, so)
	if err != nil {
		return nil, err
	}
	return v.answer(p, r)
}

// run searches and proves. A timed run does both at once for its time; a
// counted one bounds beside the search by counted passes, and searches small
// weeks to the end afterward, so that each part depends on counts alone.
func (v *prover) run(ctx, searching context.Context, so search.Options) (*search.Result, error) {
	if so.Work == 0 {
		timed, done := context.WithTimeout(searching, so.Time)
		defer done()
		wait := v.alongside(timed, so.Time)
		r, err := search.Run(searching, v.in, so)
		done()
		wait()
		return r, err
	}
	var wg sync.WaitGroup
	bounding, done := context.WithCancel(ctx)
	defer done()
	wg.Go(func() { v.lagrange(bounding, passes(v.in, so.Work), so.Time) })
	r, err := search.Run(searching, v.in, so)
	if err == nil && r.Plan != nil {
		v.found(r.Cost)
	}
	wg.Wait()
	if err == nil && small(v.in) && ctx.Err() == nil {
		v.exactly(ctx, so.Work*exactNodes)
	}
	return r, err
}

// exactNodes is the number of states that the exact search may expand for each
// unit of work: both take some ten microseconds.
const exactNodes = 10

// passes is the number of passes of the Lagrangian relaxation that take about
// as long as the search takes for its work: a pass takes some 0.2 microseconds
// for each pour and open tick, a unit of work some 40 with two workers.
func passes(in *inst.Inst, work int64) int64 {
	return max(20, work*200/int64(1+len(in.OpenAt)*len(in.Pours)))
}

// answer has the best plan checked and says what is known of it.
func (v *prover) answer(p *model.Problem, r *search.Result) (*Result, error) {
	res := &Result{Status: Unknown, Reason: r.Reason, Work: r.Work, Stats: stats(r)}
	res.Bound, res.BoundSource = v.now()
	if v.plan != nil && (r.Plan == nil || v.plan.Cost < r.Cost) {
		r.Plan, r.Cost = v.plan, v.plan.Cost
	}
	if r.Plan == nil {
		return res, nil
	}
	if err := approve(p, r); err != nil {
		return nil, err
	}
	if res.Bound > r.Plan.Cost {
		return nil, fmt.Errorf("the bound %d (%s) is above the cost %d of an allowed plan (a bug)", res.Bound, res.BoundSource, r.Plan.Cost)
	}
	res.Status, res.Plan, res.Reason = Feasible, r.Plan, ""
	r.Plan.Bound = res.Bound
	if res.Bound == r.Plan.Cost {
		res.Status = Optimal
	}
	return res, nil
}

// defaultWork is the work of a run without limits: about ten seconds.
func defaultWork(in *inst.Inst) int64 {
	return 250_000 * 40 / int64(40+len(in.Pours))
}

func stats(r *search.Result) []Stat {
	var l []Stat
	for _, s := range r.Stats {
		l = append(l, Stat{Name: s.Name, Tried: s.Tried, Kept: s.Kept, Best: s.Best, Gain: s.Gain})
	}
	return l
}

// approve has the plan judged by the checker, and takes cost and terms from it.
func approve(p *model.Problem, r *search.Result) error {
	r.Plan.Cost = model.Unstated
	v := check.Check(p, r.Plan)
	if !v.Allowed {
		return fmt.Errorf("the search made a plan that the checker refuses (a bug): %s", v.Broken[0].Text)
	}
	if v.Cost != r.Cost {
		return fmt.Errorf("the search counts %d mils for a plan that costs %d (a bug)", r.Cost, v.Cost)
	}
	r.Plan.Terms, r.Plan.Cost = v.Terms, v.Cost
	return nil
}

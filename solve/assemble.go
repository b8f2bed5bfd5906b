package solve

import (
	"context"
	"fmt"
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
	if o.Progress != nil {
		so.Better = func(cost model.Mils, work int64) {
			o.Progress(Progress{Elapsed: time.Since(begin), Work: work, Cost: cost})
		}
	}
	r, err := search.Run(ctx, in, so)
	if err != nil {
		return nil, err
	}
	res := &Result{Status: Unknown, Reason: r.Reason, Work: r.Work, Stats: stats(r)}
	if r.Plan == nil {
		return res, nil
	}
	if err := approve(p, r); err != nil {
		return nil, err
	}
	res.Status, res.Plan, res.Reason = Feasible, r.Plan, ""
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

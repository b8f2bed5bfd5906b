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
	if why := impossible(in); why != "" {
		return &Result{Status: Infeasible, Reason: why}, nil
	}
	if o.Work == 0 && o.Time == 0 {
		o.Work = DefaultWork(p)
	}
	v, proving := newProver(ctx, in, o, begin)
	if v.tiny(proving) {
		return answer(p, &search.Result{}, v.stop(ctx))
	}
	v.start(proving, o.Work)
	share := improveShare(in, o)
	part := 1 - share
	work := int64(part * float64(o.Work))
	if o.Work > 0 {
		work = max(1, work) // 0 is no limit
	}
	r, err := search.Run(ctx, in, search.Options{
		Seed: o.Seed, Work: work, Time: time.Duration(part*float64(o.Time)) - time.Since(begin), Timed: o.Time > 0, Workers: workers,
		Between: func(s search.Status) bool {
			if s.Cost >= 0 {
				v.found(s.Cost)
			}
			if o.Progress != nil {
				o.Progress(Progress{Elapsed: time.Since(begin), Work: s.Work, Cost: v.best(), Bound: v.known()})
			}
			return v.between(ctx, s.Done, o.Work)
		},
	})
	if err == nil {
		v.improve(ctx, r, share)
	}
	known := v.stop(ctx)
	if err != nil {
		return nil, err
	}
	return answer(p, r, known)
}

// answer puts together what search and proof have found.
func answer(p *model.Problem, r *search.Result, v proven) (*Result, error) {
	res := &Result{Status: Unknown, Reason: r.Reason, Work: r.Work, Stats: stats(r), Bound: v.bound, BoundSource: v.source}
	if v.plan != nil && (r.Plan == nil || v.plan.Cost < r.Cost) {
		r.Plan, r.Cost = v.plan, v.plan.Cost
	}
	switch {
	case r.Plan == nil && v.none != "":
		return &Result{Status: Infeasible, Reason: v.none, Work: r.Work, Stats: res.Stats}, nil
	case r.Plan == nil:
		return res, nil
	case v.none != "":
		return nil, fmt.Errorf("there is a plan, though it was proven that there is none: %s (a bug)", v.none)
	}
	if err := approve(p, r); err != nil {
		return nil, err
	}
	if res.Bound > r.Cost {
		return nil, fmt.Errorf("a plan costs %d mils, less than the bound of %d that the argument %q gave (a bug)", r.Cost, res.Bound, res.BoundSource)
	}
	res.Status, res.Plan, res.Reason = Feasible, r.Plan, v.broken
	if res.Plan.Bound = res.Bound; res.Bound == r.Cost {
		res.Status = Optimal
	}
	return res, nil
}

// DefaultWork is the work of a run without limits, in counted units: about ten
// seconds of two cores, twice or three times that for hundreds of pours.
func DefaultWork(p *model.Problem) int64 {
	return 800_000 + 12_000*int64(len(p.Pours))
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

package solve

import (
	"context"
	"sync"
	"time"

	"pourweek/model"
	"pourweek/solve/exact"
	"pourweek/solve/inst"
	"pourweek/solve/search"
)

// One part in improvePart of a run goes into improving plans of the search in a
// corridor, and less of a run that is short for its pours: there the search itself
// gains more. For each plan, unitEffort states are looked at in the time that a unit
// of work takes.
const (
	improvePart = 4
	fullSearch  = 40_000 // units for each pour
	unitEffort  = 5
)

// improveShare is the share of a run in which plans are improved. A worker does some
// 100 units in a millisecond.
func improveShare(in *inst.Inst, o Options) float64 {
	if !exact.Improvable(in) {
		return 0
	}
	work := o.Work
	if o.Time > 0 {
		work = workers * 100 * o.Time.Milliseconds()
	}
	full := float64(int64(max(len(in.Pours), 1)) * fullSearch)
	return min(1, float64(work)/full) / improvePart
}

// improve looks around the best plans of all workers for a cheaper one, side by
// side, and puts it into the result.
func improve(ctx context.Context, in *inst.Inst, o Options, begin time.Time, r *search.Result) {
	effort := max(1, int64(improveShare(in, o)*float64(o.Work))*unitEffort)
	if o.Time > 0 {
		effort = 0
		var cancel context.CancelFunc
		ctx, cancel = context.WithDeadline(ctx, begin.Add(o.Time))
		defer cancel()
	}
	from := append([]*model.Plan{r.Plan}, r.Others...)
	plans, did := make([]*model.Plan, len(from)), make([]exact.Improved, len(from))
	var all sync.WaitGroup
	for k := range from {
		all.Go(func() {
			from[k].Cost = model.Unstated
			plans[k], did[k] = exact.Improve(ctx, in, from[k], exact.ImproveOptions{Seed: o.Seed, Effort: effort})
		})
	}
	all.Wait()
	s := search.Stat{Name: "corridor"}
	for k, p := range plans {
		s.Tried += did[k].Sweeps
		s.Kept += did[k].Better
		if p != nil && p.Cost < r.Cost {
			s.Best++
			s.Gain += r.Cost - p.Cost
			r.Plan, r.Cost = p, p.Cost
		}
	}
	r.Stats = append(r.Stats, s)
}

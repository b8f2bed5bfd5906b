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
// corridor, and less of a run that is short for the square of its pours: there the
// search itself gains more. For each plan, unitEffort states are looked at in the
// time that a unit of work takes. (Values from trials on the small and medium weeks.)
const (
	improvePart = 4
	fullSearch  = 4000 // units for each pair of pours
	unitEffort  = 5

	leastImprove = 4000 // units: what is less is better left to the search
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
	n := float64(max(len(in.Pours), 1))
	share := min(1, float64(work)/float64(n*n*fullSearch)) / improvePart
	if float64(share*float64(work)) < leastImprove {
		return 0
	}
	return share
}

// improve looks around the best plans of all workers for a cheaper one, side by
// side, with the share of the run that is left for it, and puts it into the result.
func (v *prover) improve(ctx context.Context, r *search.Result, share float64) {
	if r.Plan == nil || ctx.Err() != nil {
		return
	}
	if !v.timed() {
		v.running.Wait() // nothing may depend on what is proven by now
	}
	if share == 0 || v.met() {
		return
	}
	o := exact.ImproveOptions{Seed: v.o.Seed, Bound: v.known, Report: v.improved(r.Work)}
	if v.timed() {
		var cancel context.CancelFunc
		ctx, cancel = context.WithDeadline(ctx, v.begin.Add(v.o.Time))
		defer cancel()
	} else {
		o.Effort = int64(share*float64(v.o.Work)) * unitEffort
	}
	from := append([]*model.Plan{r.Plan}, r.Others...)
	plans, did := make([]*model.Plan, len(from)), make([]exact.Improved, len(from))
	var all sync.WaitGroup
	for k := range from {
		all.Go(func() {
			defer v.spare("an improvement")
			from[k].Cost = model.Unstated
			plans[k], did[k] = exact.Improve(ctx, v.in, from[k], o)
		})
	}
	all.Wait()
	s := search.Stat{Name: "corridor"}
	effort := int64(0)
	for k, p := range plans {
		effort = max(effort, did[k].Effort)
		s.Tried += did[k].Sweeps
		s.Kept += did[k].Better
		if p != nil && p.Cost < r.Cost {
			s.Best++
			s.Gain += r.Cost - p.Cost
			r.Plan, r.Cost = p, p.Cost
		}
	}
	r.Stats = append(r.Stats, s)
	r.Work += effort / unitEffort
	v.found(r.Cost)
}

// improved is told what a plan costs while plans are improved, and shows how far the
// run has come; work is what was done before.
func (v *prover) improved(work int64) func(model.Mils) {
	var mu sync.Mutex
	return func(cost model.Mils) {
		v.found(cost)
		if v.o.Progress == nil {
			return
		}
		mu.Lock()
		defer mu.Unlock()
		v.o.Progress(Progress{Elapsed: time.Since(v.begin), Work: work, Cost: v.best(), Bound: v.known()})
	}
}

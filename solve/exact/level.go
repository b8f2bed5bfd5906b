package exact

import (
	"context"
	"sync"
)

// level proves of all structures that they cost the limit or more, or lowers it
// to the cheapest way. The easy ones come first; then ways are looked for in the
// hard ones, as the limit decides how hard they are. It returns false when it
// could not finish.
func (r *runner) level(ctx context.Context, limit, slack int64) bool {
	var open, hard []*structure
	for _, st := range r.sts {
		if st.bound < limit && !st.closed {
			open = append(open, st)
		}
	}
	try := func(ctx context.Context, v *runner, st *structure, limit *int64) bool {
		st.hard = false
		if st.bound >= *limit {
			return true
		}
		w := v.ready(st, *limit, slack)
		if w == nil {
			return true
		}
		x := w.newSweep(*limit, min(v.left, v.try))
		if v.settled(x, x.run(ctx), limit) {
			return true
		}
		st.hard = true
		return x.expands >= v.try && !x.spilled && ctx.Err() == nil
	}
	if !r.beside(ctx, open, &limit, try) {
		return false
	}
	for _, st := range open {
		if st.hard {
			hard = append(hard, st)
		}
	}
	look := func(ctx context.Context, v *runner, st *structure, limit *int64) bool {
		return v.look(ctx, st, limit, slack)
	}
	if !r.beside(ctx, hard, &limit, look) {
		return false
	}
	sweep := func(ctx context.Context, v *runner, st *structure, limit *int64) bool {
		return v.sweepOne(ctx, st, limit, slack)
	}
	return r.beside(ctx, hard, &limit, sweep) && r.left > 0
}

// look follows the best states of a structure for a cheaper plan.
func (r *runner) look(ctx context.Context, st *structure, limit *int64, slack int64) bool {
	if r.blind {
		return true
	}
	if w := r.ready(st, *limit, slack); w != nil {
		x := w.newSweep(*limit, r.left)
		x.beam = beam
		x.run(ctx)
		r.take(x)
		*limit = min(*limit, r.cost)
	}
	return true
}

// scout looks for a cheaper plan in the structures of the least bounds, before
// the limit rises to where the plan is.
func (r *runner) scout(ctx context.Context) {
	if r.o.Upper < 0 || r.left < scoutNodes {
		return
	}
	r.sort()
	limit := r.cost
	r.beside(ctx, r.sts[:min(len(r.sts), scouted)], &limit, func(ctx context.Context, v *runner, st *structure, limit *int64) bool {
		return v.look(ctx, st, limit, 0)
	})
}

// job is done by a runner with one structure; it may lower the limit. False
// ends the run.
type job func(ctx context.Context, v *runner, st *structure, limit *int64) bool

// beside does a job with all structures of a list, some side by side if there
// are workers. It returns false when it could not finish.
func (r *runner) beside(ctx context.Context, list []*structure, limit *int64, do job) bool {
	if r.o.Workers < 2 || len(list) < 2 {
		for _, st := range list {
			if !do(ctx, r, st, limit) {
				return false
			}
		}
		return true
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var mu sync.Mutex
	var all sync.WaitGroup
	next, ok := 0, true
	for _, v := range r.helpers() {
		all.Go(func() {
			for {
				mu.Lock()
				if next == len(list) || !ok {
					mu.Unlock()
					return
				}
				st := list[next]
				next++
				mine := *limit
				v.left, v.cost, v.plan = r.left, r.cost, nil
				was := v.left
				mu.Unlock()
				done := do(ctx, v, st, &mine)
				mu.Lock()
				*limit = min(*limit, mine)
				r.left -= was - v.left
				if v.plan != nil && v.cost < r.cost {
					r.plan, r.cost = v.plan, v.cost
				}
				if !done {
					ok = false
					cancel()
				}
				mu.Unlock()
			}
		})
	}
	all.Wait()
	return ok && next == len(list)
}

// helpers are runners with shops of their own, one for each worker.
func (r *runner) helpers() []*runner {
	for len(r.own) < r.o.Workers {
		s, err := newShop(r.in)
		if err != nil {
			break
		}
		r.own = append(r.own, &runner{in: r.in, s: s, try: r.try, blind: r.blind})
	}
	return r.own
}

// sweepOne works out a guide for a structure and sweeps it.
func (r *runner) sweepOne(ctx context.Context, st *structure, limit *int64, slack int64) bool {
	w := r.ready(st, *limit, slack)
	if w == nil {
		return true
	}
	r.guide(ctx, w, *limit)
	x := w.newSweep(*limit, r.left)
	return r.settled(x, x.run(ctx), limit)
}

// settled takes over what a sweep found. If it came to its end, the structure's
// bound is the limit, which a cheaper way lowers to its cost.
func (r *runner) settled(x *sweep, done bool, limit *int64) bool {
	r.take(x)
	if !done {
		return false
	}
	st := x.st
	if x.alike != nil {
		r.alikes++
	}
	*limit = x.limit
	st.bound, st.closed = x.limit, x.end >= 0
	if !x.dropped && !st.closed {
		st.bound = maxCost // every way was followed to its dead end
	}
	return true
}

// guide works out a guide for the sweep of a structure, if there is one.
func (r *runner) guide(ctx context.Context, w *week, limit int64) {
	v := w.loosened()
	if v == nil {
		return
	}
	x := v.newSweep(limit, min(r.left, guideMost))
	x.record = true
	if x.run(ctx) {
		w.guide = x.newGuide()
		r.guides++
	}
	r.left -= x.expands
}

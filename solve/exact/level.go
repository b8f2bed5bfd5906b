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
	var hard []*structure
	for _, st := range r.sts {
		if st.bound >= limit || st.closed {
			continue
		}
		w := r.ready(st, limit, slack)
		if w == nil {
			continue
		}
		if x := w.newSweep(limit, min(r.left, r.try)); r.settled(x, x.run(ctx), &limit) {
			continue
		} else if x.expands < r.try || x.spilled || ctx.Err() != nil {
			return false
		}
		hard = append(hard, st)
	}
	for _, st := range hard {
		if w := r.ready(st, limit, slack); w != nil {
			x := w.newSweep(limit, r.left)
			x.beam = beam
			x.run(ctx)
			r.take(x)
			limit = min(limit, r.cost)
		}
	}
	return r.sweepHard(ctx, hard, limit, slack) && r.left > 0
}

// sweepHard sweeps hard structures to the end, some side by side if there are
// workers. It returns false when it could not finish.
func (r *runner) sweepHard(ctx context.Context, hard []*structure, limit, slack int64) bool {
	if r.o.Workers < 2 || len(hard) < 2 {
		for _, st := range hard {
			if !r.sweepOne(ctx, st, &limit, slack) {
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
	for range r.o.Workers {
		all.Go(func() {
			v := r.helper()
			for v != nil {
				mu.Lock()
				if next == len(hard) || !ok {
					mu.Unlock()
					return
				}
				st := hard[next]
				next++
				mine := limit
				v.left, v.cost, v.plan = r.left, r.cost, nil
				was := v.left
				mu.Unlock()
				done := v.sweepOne(ctx, st, &mine, slack)
				mu.Lock()
				limit = min(limit, mine)
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
	return ok && next == len(hard)
}

// helper is a runner with a shop of its own, nil if there is none.
func (r *runner) helper() *runner {
	s, err := newShop(r.in)
	if err != nil {
		return nil
	}
	return &runner{in: r.in, s: s, try: r.try}
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

// Package exact proves small weeks optimal. It splits a week by what is carried
// and by the order of pours on molds; for each such structure it prices the
// people by Lagrange multipliers and sweeps over all states of the shop forward
// in time, keeping those that can still end below the cost of a plan in hand.
package exact

import (
	"cmp"
	"context"
	"slices"

	"pourweek/model"
	"pourweek/solve/inst"
)

// Options of a run.
type Options struct {
	// Upper is the cost of the plan in hand; negative when there is none.
	Upper model.Mils
	// Nodes ends the run after so many states, some 5 to 15 microseconds each; a
	// step of an ascent counts as 50. 0 means 20 million.
	Nodes int64
	// Workers sweep hard structures side by side; the result then depends on who
	// is faster, unless the run comes to its end. 0 means 1.
	Workers int
	// Report, if not nil, is told every better bound.
	Report func(bound model.Mils, source string)
}

// Source names the argument of this package's bounds.
const Source = "exact search"

// Result of a run.
type Result struct {
	// Optimal is true when no plan is cheaper than Cost.
	Optimal bool
	// Plan is cheaper than the plan in hand, allowed by the checker, and states
	// its cost; nil when the plan in hand stands.
	Plan *model.Plan
	Cost model.Mils // of Plan, or of the plan in hand; negative when there is none
	// Bound is proven: no plan costs less. 0 when nothing is known. Costs above
	// some 260 million mils are not told apart.
	Bound model.Mils
	Nodes int64
}

const (
	defaultNodes = 20_000_000
	quickSteps   = 40  // of ascent before structures are sorted
	fullSteps    = 400 // of ascent before a structure is swept
	stepNodes    = 50  // states that a step counts as
)

// Run looks for a plan cheaper than the one in hand, or a proof that there is
// none. The same problem and options give the same result unless ctx ends it. It gives up at
// once, with a bound of 0, on problems that are too big.
func Run(ctx context.Context, in *inst.Inst, o Options) Result {
	r := newRunner(in, o)
	return r.result(ctx)
}

func newRunner(in *inst.Inst, o Options) *runner {
	r := &runner{in: in, o: o, cost: min(int64(o.Upper), maxCost), left: o.Nodes, try: trySweep}
	if r.left <= 0 {
		r.left = defaultNodes
	}
	if o.Upper < 0 {
		r.cost = maxCost
	}
	return r
}

func (r *runner) result(ctx context.Context) Result {
	o, total := r.o, r.left
	r.run(ctx)
	res := Result{Plan: r.plan, Cost: o.Upper, Bound: model.Mils(max(r.bound, 0)), Nodes: total - r.left}
	if r.plan != nil {
		res.Cost = model.Mils(r.cost)
	}
	res.Optimal = res.Cost >= 0 && res.Bound >= res.Cost
	return res
}

// runner holds one run.
type runner struct {
	in    *inst.Inst
	o     Options
	s     *shop
	sts   []*structure
	plan  *model.Plan
	cost  int64 // of the plan in hand
	bound int64
	left  int64     // states that may still be expanded
	try   int64     // states of a first sweep of each structure
	own   []*runner // helpers
	blind bool      // no plan is looked for before a sweep; for tests

	joints, guides, alikes int // structures that had them
}

func (r *runner) run(ctx context.Context) {
	if unprovable(r.in) != nil {
		return
	}
	s, err := newShop(r.in)
	if err != nil {
		return
	}
	r.s = s
	list, ok := s.structures(r.cost)
	if !ok {
		return
	}
	q := newQuick(s)
	for k := range list {
		st := &list[k]
		if st.bound = s.roundUp(q.bound(st)); st.bound >= r.cost {
			continue
		}
		if r.left -= quickSteps * stepNodes; r.left <= 0 {
			return
		}
		w := s.newWeek(st)
		st.bound = s.roundUp(max(st.fixed, w.ascend(quickSteps, r.cost)))
		st.y = clone(s.y)
		if n := len(r.sts); n&(n-1) == 0 { // now and then the prices follow
			q.prices(s.y)
		}
		if st.bound < r.cost {
			r.sts = append(r.sts, st)
		}
		if ctx.Err() != nil {
			return
		}
	}
	r.raise()
	r.scout(ctx)
	r.deepen(ctx)
}

// raise takes the least bound of the open structures for the whole week: every
// plan has one structure, and those left out cost at least what the plan in
// hand does.
func (r *runner) raise() {
	b := r.cost
	for _, st := range r.sts {
		b = min(b, st.bound)
	}
	if b > r.bound {
		r.bound = b
		if r.o.Report != nil {
			r.o.Report(model.Mils(b), Source)
		}
	}
}

// deepen sweeps all structures below a limit that rises to the cost of the plan
// in hand.
func (r *runner) deepen(ctx context.Context) {
	for slack := max(r.s.unit, r.bound/50); r.bound < r.cost; slack += slack / 2 {
		limit := min(r.cost, r.s.roundUp(r.bound+max(slack, r.s.unit)))
		if slack > 1<<40 {
			limit = r.cost
		}
		r.sort()
		least := r.sts[0].bound
		if slices.ContainsFunc(r.sts, func(st *structure) bool { return st.closed && st.bound == least }) {
			return // the shop as the sweep sees it has a way that is no plan
		}
		if !r.level(ctx, limit, slack) {
			r.raise()
			return
		}
		r.raise()
	}
}

// sort puts the structures of the least bounds first.
func (r *runner) sort() {
	slices.SortStableFunc(r.sts, func(a, b *structure) int { return cmp.Compare(a.bound, b.bound) })
}

// ready lays out a structure with its prices and all tables; nil if its bound
// is shown to be at the limit or above.
func (r *runner) ready(st *structure, limit, slack int64) *week {
	copyInto(r.s.y, st.y)
	w := r.s.newWeek(st)
	if aim := limit + slack; st.aim < aim {
		st.aim = aim
		r.left -= fullSteps * stepNodes
		st.bound = max(st.bound, r.s.roundUp(w.ascend(fullSteps, aim)))
		st.y = clone(r.s.y)
		if st.bound >= limit {
			return nil
		}
	}
	r.s.reprice()
	w.fillAll(true)
	w.join()
	if w.joints != nil {
		r.joints++
	}
	st.bound = max(st.bound, r.s.roundUp(w.bound()))
	if st.bound >= limit {
		return nil
	}
	return w
}

// Structures are tried by a sweep of at most trySweep states. In those where that
// does not end, the best beam states of every tick are followed for a cheaper
// plan, and a guide of at most guideMost states is worked out before the sweep.
const (
	trySweep  = 20_000
	guideMost = 500_000
	beam      = 60
)

// Runs of at least scoutNodes states begin with a beam through scouted structures.
const (
	scouted    = 6
	scoutNodes = 10_000_000
)

// take counts the states of a sweep and takes over its plan if that is cheaper
// than the one in hand.
func (r *runner) take(x *sweep) {
	r.left -= x.expands
	if x.end < 0 {
		return
	}
	if plan := x.plan(); plan != nil && int64(plan.Cost) < r.cost {
		r.plan, r.cost = plan, int64(plan.Cost)
	}
}

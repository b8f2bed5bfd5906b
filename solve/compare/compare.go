// Package compare answers the same week under several changes and says which
// of them can be told apart from today's.
package compare

import (
	"context"
	"fmt"
	"reflect"
	"slices"
	"sync"

	"pourweek/model"
	"pourweek/model/whatif"
	"pourweek/solve"
)

// Options steers Run.
type Options struct {
	Seeds []uint64 // each case is answered once with each; at least one
	Work  int64    // counted work of each answer, the same for all
	// Parallel is how many answers are worked on at a time; the table does not
	// depend on it. 0 means 1.
	Parallel int
	Solve    solve.Solver
	// Cost is the checker: the cost of a plan, and whether it is allowed.
	Cost     func(*model.Problem, *model.Plan) (model.Mils, bool)
	Progress func(done, of int) // may be nil
}

// Told says how sure the difference between a case and today is.
type Told string

// The degrees of certainty.
const (
	Same    Told = "same"         // equal cost, and each plan is proven the best
	Proven  Told = "told apart"   // the plan of one is cheaper than the bound of the other
	Likely  Told = "likely"       // all costs of the one lie below all of the other
	Noise   Told = "inside noise" // the seeds differ by more than the cases
	None    Told = "none found"   // no plan was found that is cheaper than the other's; a difference is not ruled out
	NoPlan  Told = "no plan"      // none was found for the case
	Opens   Told = "has a plan"   // and today's week has none to compare it with
	TheBase Told = "today"
)

// Row is one answered case.
type Row struct {
	Case    whatif.Case
	Problem *model.Problem
	Result  *solve.Result // the cheapest of the seeds; its plan may be that of another row which is allowed here
	Costs   []model.Mils  // by seed, -1 where no plan was found; of plans of the weeks that this one covers too
	Told    Told
	Saves   model.Mils // today's cost less this one's
}

// Run answers today's week and each case with each seed. Its first row is
// today. Afterwards every plan is tried in every other row, and where one week
// covers another (whatif.Covers) its plans are no dearer and its bound holds for
// the other, so that a case that allows more never shows a worse result. Equal
// weeks give equal rows. The rows depend on seeds and work alone.
func Run(ctx context.Context, p *model.Problem, cases []whatif.Case, o Options) ([]Row, error) {
	rows := make([]Row, 1, len(cases)+1)
	rows[0] = Row{Case: whatif.Case{Kind: whatif.Today}, Problem: p}
	for _, c := range cases {
		q, err := whatif.Apply(p, c)
		if err != nil {
			return nil, err
		}
		rows = append(rows, Row{Case: c, Problem: q})
	}
	own, like := different(rows)
	if err := answer(ctx, own, o); err != nil {
		return nil, err
	}
	share(own, o)
	if err := carry(own); err != nil {
		return nil, err
	}
	for i := range rows {
		rows[i].Result, rows[i].Costs = like[i].Result, like[i].Costs
		rows[i].judge(&rows[0])
	}
	return rows, nil
}

// different picks a row for each different week, and for each row the one that
// stands for it.
func different(rows []Row) (own, like []*Row) {
	for i := range rows {
		at := slices.IndexFunc(own, func(r *Row) bool { return reflect.DeepEqual(r.Problem, rows[i].Problem) })
		if at < 0 {
			at, own = len(own), append(own, &rows[i])
		}
		like = append(like, own[at])
	}
	return own, like
}

// answer solves every row with every seed.
func answer(ctx context.Context, rows []*Row, o Options) error {
	type job struct{ row, seed int }
	results := make([][]*solve.Result, len(rows))
	jobs := make(chan job)
	var mu sync.Mutex
	var firstErr error
	done := 0
	var wg sync.WaitGroup
	for i := range rows {
		results[i] = make([]*solve.Result, len(o.Seeds))
	}
	for range max(o.Parallel, 1) {
		wg.Go(func() {
			for j := range jobs {
				r, err := o.Solve(ctx, rows[j.row].Problem, solve.Options{Seed: o.Seeds[j.seed], Work: o.Work})
				mu.Lock()
				if err != nil && firstErr == nil {
					firstErr = fmt.Errorf("%s: %w", rows[j.row].Case.Name(), err)
				}
				results[j.row][j.seed] = r
				if done++; o.Progress != nil {
					o.Progress(done, len(rows)*len(o.Seeds))
				}
				mu.Unlock()
			}
		})
	}
	for s := range o.Seeds {
		for i := range rows {
			jobs <- job{i, s}
		}
	}
	close(jobs)
	wg.Wait()
	if firstErr != nil {
		return firstErr
	}
	for i := range rows {
		rows[i].take(results[i])
	}
	return nil
}

// take keeps the best plan and the best bound of a row's answers; without a plan,
// one that proves that there is none.
func (r *Row) take(results []*solve.Result) {
	for _, x := range results {
		cost := model.Mils(-1)
		if x.Plan != nil {
			cost = x.Plan.Cost
		}
		r.Costs = append(r.Costs, cost)
		switch {
		case r.Result == nil, r.Result.Plan == nil && x.Plan != nil,
			r.Result.Plan == nil && r.Result.Status != solve.Infeasible && x.Status == solve.Infeasible,
			x.Plan != nil && x.Plan.Cost < r.Result.Plan.Cost:
			keep := *x
			if r.Result != nil && r.Result.Bound > keep.Bound {
				keep.Bound, keep.BoundSource = r.Result.Bound, r.Result.BoundSource
			}
			r.Result = &keep
		case x.Bound > r.Result.Bound:
			r.Result.Bound, r.Result.BoundSource = x.Bound, x.BoundSource
		}
	}
}

// share tries each row's plan in each other row, until nothing gets cheaper.
func share(rows []*Row, o Options) {
	for changed := true; changed; {
		changed = false
		for i := range rows {
			for j := range rows {
				from, to := rows[j].Result, rows[i].Result
				if i == j || from.Plan == nil || to.Plan != nil && to.Plan.Cost <= from.Plan.Cost {
					continue
				}
				plan := *from.Plan
				plan.Cost, plan.Bound = model.Unstated, 0
				cost, ok := o.Cost(rows[i].Problem, &plan)
				if !ok || to.Plan != nil && cost >= to.Plan.Cost {
					continue
				}
				plan.Cost = cost
				to.Plan, changed = &plan, true
			}
		}
	}
}

// carry brings bounds from weeks to those that they cover, and costs by seed the
// other way. It errors where a plan is cheaper than a bound that holds for it.
func carry(rows []*Row) error {
	bounds := make([]model.Mils, len(rows))
	sources := make([]string, len(rows))
	costs := make([][]model.Mils, len(rows))
	for i, narrow := range rows {
		bounds[i], sources[i] = narrow.Result.Bound, narrow.Result.BoundSource
		costs[i] = slices.Clone(narrow.Costs)
		for _, other := range rows {
			if other == narrow {
				continue
			}
			if r := other.Result; r.Bound > bounds[i] && whatif.Covers(other.Problem, narrow.Problem) {
				bounds[i], sources[i] = r.Bound, r.BoundSource
			}
			if whatif.Covers(narrow.Problem, other.Problem) {
				lower(costs[i], other.Costs)
			}
		}
	}
	for i, r := range rows {
		r.Costs = costs[i]
		r.Result.Bound, r.Result.BoundSource = bounds[i], sources[i]
		if r.Result.Plan == nil {
			continue
		}
		r.Result.Plan.Bound = r.Result.Bound
		switch {
		case r.Result.Bound == r.Result.Plan.Cost:
			r.Result.Status = solve.Optimal
		case r.Result.Bound > r.Result.Plan.Cost:
			return fmt.Errorf("%s: a plan costs %d mils, less than the bound of %d (a bug)", r.Case.Name(), r.Result.Plan.Cost, r.Result.Bound)
		}
	}
	return nil
}

// lower takes costs that are less, -1 standing for none.
func lower(costs, others []model.Mils) {
	for s, c := range others {
		if c >= 0 && (costs[s] < 0 || c < costs[s]) {
			costs[s] = c
		}
	}
}

// judge says how sure the difference to today is.
func (r *Row) judge(today *Row) {
	switch {
	case r.Result.Plan == nil:
		r.Told = NoPlan
		return
	case r == today:
		r.Told = TheBase
		return
	case today.Result.Plan == nil:
		r.Told = Opens
		return
	}
	a, b := today.Result, r.Result
	r.Saves = a.Plan.Cost - b.Plan.Cost
	switch {
	case a == b, r.Saves == 0 && a.Bound == a.Plan.Cost && b.Bound == b.Plan.Cost:
		r.Told = Same // one week, or each plan proven the best
	case r.Saves == 0:
		r.Told = None
	case b.Plan.Cost < a.Bound || b.Bound > a.Plan.Cost:
		r.Told = Proven
	case r.Saves > 0 && below(r.Costs, today.Costs), r.Saves < 0 && below(today.Costs, r.Costs):
		r.Told = Likely
	default:
		r.Told = Noise
	}
}

// below reports whether two seeds or more agree that a is cheaper: each found a
// plan, and the dearest of a is cheaper than the cheapest of b.
func below(a, b []model.Mils) bool {
	return len(a) > 1 && slices.Min(a) >= 0 && slices.Min(b) >= 0 && slices.Max(a) < slices.Min(b)
}

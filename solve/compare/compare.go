// Package compare answers the same week under several changes and says which
// of them can be told apart from today's.
package compare

import (
	"context"
	"fmt"
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
	Same    Told = "same"         // equal cost
	Proven  Told = "told apart"   // the plan of one is cheaper than the bound of the other
	Likely  Told = "likely"       // every seed finds the same sign, and no two ranges overlap
	Noise   Told = "inside noise" // the seeds differ by more than the cases
	NoPlan  Told = "no plan"      // none was found for the case
	TheBase Told = "today"
)

// Row is one answered case.
type Row struct {
	Case    whatif.Case
	Problem *model.Problem
	Result  *solve.Result // the cheapest of the seeds; its plan may be that of another row which is allowed here
	Costs   []model.Mils  // by seed, -1 where no plan was found
	Told    Told
	Saves   model.Mils // today's cost less this one's
}

// Run answers today's week and each case with each seed. Its first row is
// today. Afterwards every plan is tried in every other row, so that a case
// that allows more never shows a dearer plan, and bounds are carried from
// wider cases to narrower ones. The rows depend on seeds and work alone.
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
	if err := answer(ctx, rows, o); err != nil {
		return nil, err
	}
	share(rows, o)
	carryBounds(rows)
	for i := range rows {
		rows[i].judge(&rows[0])
	}
	return rows, nil
}

// answer solves every row with every seed.
func answer(ctx context.Context, rows []Row, o Options) error {
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

// take keeps the best plan and the best bound of a row's answers.
func (r *Row) take(results []*solve.Result) {
	for _, x := range results {
		cost := model.Mils(-1)
		if x.Plan != nil {
			cost = x.Plan.Cost
		}
		r.Costs = append(r.Costs, cost)
		switch {
		case r.Result == nil, r.Result.Plan == nil && x.Plan != nil,
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
func share(rows []Row, o Options) {
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

// carryBounds: a case that only adds has an optimum no higher than today's, so
// its bound holds for today; today's holds for a case that only takes away.
func carryBounds(rows []Row) {
	today := rows[0].Result
	up := func(to *solve.Result, from *solve.Result) {
		if from.Bound > to.Bound {
			to.Bound, to.BoundSource = from.Bound, from.BoundSource
		}
	}
	for i := range rows[1:] {
		if rows[i+1].Case.Adds() {
			up(today, rows[i+1].Result)
		}
	}
	for i := range rows[1:] {
		if rows[i+1].Case.Takes() {
			up(rows[i+1].Result, today)
		}
	}
	for i := range rows {
		r := rows[i].Result
		if r.Plan == nil {
			continue
		}
		r.Plan.Bound = r.Bound
		if r.Bound == r.Plan.Cost {
			r.Status = solve.Optimal
		}
	}
}

// judge says how sure the difference to today is.
func (r *Row) judge(today *Row) {
	switch {
	case r == today:
		r.Told = TheBase
		return
	case r.Result.Plan == nil || today.Result.Plan == nil:
		r.Told = NoPlan
		return
	}
	a, b := today.Result, r.Result
	r.Saves = a.Plan.Cost - b.Plan.Cost
	switch {
	case r.Saves == 0:
		r.Told = Same
	case b.Plan.Cost < a.Bound || b.Bound > a.Plan.Cost:
		r.Told = Proven
	case apart(today.Costs, r.Costs):
		r.Told = Likely
	default:
		r.Told = Noise
	}
}

// apart reports whether the costs of two rows do not overlap over the seeds.
func apart(a, b []model.Mils) bool {
	if len(a) < 2 {
		return false
	}
	lowA, highA := span(a)
	lowB, highB := span(b)
	return highA < lowB || highB < lowA
}

func span(xs []model.Mils) (low, high model.Mils) {
	low, high = xs[0], xs[0]
	for _, x := range xs {
		low, high = min(low, x), max(high, x)
	}
	return low, high
}

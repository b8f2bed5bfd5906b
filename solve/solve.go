// Package solve answers a problem with a plan: it is the only home of search.
package solve

import (
	"context"
	"time"

	"pourweek/model"
)

// Status says what is known about a result.
type Status string

// The states of a result.
const (
	Optimal    Status = model.StatusOptimal // the bound equals the cost
	Feasible   Status = "feasible"          // a plan, and a bound below its cost
	Infeasible Status = "infeasible"        // proven: no plan is allowed; Result.Reason says why
	Unknown    Status = "unknown"           // no plan was found and none was excluded
)

// Options steers a run. The zero value runs a default amount of counted work.
type Options struct {
	Seed uint64
	// Work is the limit in counted units of search (one unit is one insertion
	// of a pour, some 10 to 20 microseconds of one core). The same problem,
	// seed and work give the same plan on any machine. 0 means a default that
	// follows the size of the problem, unless Time is set.
	Work int64
	// Time ends the run after so much wall time; 0 means no limit. A run that
	// Time ends is not reproducible.
	Time time.Duration
	// Progress, if not nil, is called once in a while, by one goroutine at a time.
	Progress func(Progress)
}

// Progress is a snapshot of a run.
type Progress struct {
	Elapsed time.Duration
	Work    int64
	Cost    model.Mils // of the best plan so far, -1 when there is none
	Bound   model.Mils
}

// Result is what a run found.
type Result struct {
	Status      Status
	Plan        *model.Plan // nil when there is none; its Cost, Terms and Bound are set
	Bound       model.Mils  // proven: no allowed plan costs less
	BoundSource string      // which argument gave the bound, "" when it is 0
	Reason      string      // why infeasible or unknown; beside a plan: what broke off, a bug
	Work        int64       // counted units done
	Stats       []Stat      // by neighborhood
}

// Stat counts what one neighborhood did.
type Stat struct {
	Name  string
	Tried int64
	Kept  int64 // led to a plan that was accepted
	Best  int64 // led to a new best plan
	Gain  model.Mils
}

// Solver is anything that answers a problem.
type Solver func(ctx context.Context, p *model.Problem, o Options) (*Result, error)

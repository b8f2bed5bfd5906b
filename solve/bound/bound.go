// Package bound proves lower bounds on the cost of every allowed plan.
//
// All arguments are one relaxation at different prices: rules that tie pours
// together (crew, stations, rack places, batches, "planned at most once") are
// dropped and broken ones paid for, and what is left is solved exactly by
// dynamic programs over time. Any nonnegative prices give a valid bound; Run
// looks for good ones. Once they have settled, cases of when pours start are told
// apart (branch and bound): each has better prices of its own, and the bound is
// the least of all cases.
package bound

import (
	"context"

	"pourweek/model"
	"pourweek/solve/inst"
)

// The arguments that a bound may rest on, as Result.Source names them.
const (
	PerPour    = "per pour"   // what each pour costs alone, plus the cheapest batches by mass
	Batches    = "batches"    // per pour, plus batches counted by packing arithmetic
	Lagrangian = "lagrangian" // mold paths, mixer paths and priced resources
	Branching  = "branching"  // the same, with cases of when pours start told apart
)

// Options steers a run.
type Options struct {
	// Passes is the limit in counted passes of the Lagrangian relaxation; the
	// same instance and passes give the same bound on any machine. 0 means
	// until the context ends.
	Passes int64
	// Root is the number of passes before the run begins to branch; 0 leaves it to
	// the run, which branches where it is long enough.
	Root int64
	// Left, if not nil, tells the share of the run that is left, from 1 down to
	// 0; step sizes follow it. Nil: by Passes, else by the context's deadline,
	// else the run is taken to be endless, and is steered in rounds that double.
	Left func() float64
	// Upper, if not nil, returns the cost of the best plan known, or a number
	// below 1 when there is none. A run ends when its bound reaches it. It has
	// no other influence on the bound.
	Upper func() model.Mils
	// Report, if not nil, is called at each improvement, from the goroutine of
	// Run, with rising bounds and their source.
	Report func(model.Mils, string)
}

// Result is what a run proved.
type Result struct {
	Bound  model.Mils // no allowed plan costs less; at least 0
	Source string     // which argument gave the bound, "" when it is 0
	Passes int64      // counted passes done
	Prices Prices     // the prices that gave the bound
	// Impossible says why no plan is allowed, "" where that is not proven. Bound
	// then means nothing.
	Impossible string
}

// Prices are the multipliers of the best bound, in mils: what one more unit
// would be worth. They guide; they prove nothing by themselves. All are by
// open tick (inst.Cal.OpenAt).
type Prices struct {
	Skill   [][]float64 // by skill index: a head at work for a tick
	Station [][]float64 // by station: a place for a tick
	Rack    [][]float64 // by rack: a place for a tick
	Planned []float64   // by pour: what leaving it out must be worth at least
}

// Run proves a bound, or that no plan is allowed. It stops when the passes are
// done, the context ends, the bound reaches Upper, or no plan is allowed. It uses
// one goroutine.
func Run(ctx context.Context, in *inst.Inst, o Options) Result {
	r := newRun(in, o)
	r.steer(ctx)
	return r.res
}

// run is the state of one Run.
type run struct {
	in   *inst.Inst
	o    Options
	gran int64
	// worst is at least the cost of any plan, in mils.
	worst float64
	lag   *lagrangian
	res   Result
}

func newRun(in *inst.Inst, o Options) *run {
	return &run{in: in, o: o, gran: granularity(in), worst: in.P.Worst(), lag: newLagrangian(in, whole(in), memory{})}
}

// improve takes a proven value in 1/scale mils, rounds it up to what a plan can
// cost, and reports whether it is a better bound.
func (r *run) improve(v int64, source string) bool {
	if v >= inf/4 {
		return false
	}
	return r.raise(model.Mils(roundUp(ceilDiv(v, scale), r.gran)), source)
}

// raise takes a proven bound, and reports whether it is a better one.
func (r *run) raise(b model.Mils, source string) bool {
	if b <= r.res.Bound {
		return false
	}
	if r.impossibleBound(b); r.res.Impossible != "" {
		return false
	}
	r.res.Bound, r.res.Source = b, source
	if r.o.Report != nil {
		r.o.Report(b, source)
	}
	return true
}

// closed reports whether the bound has reached the cost of the best plan, or no
// plan is allowed.
func (r *run) closed() bool {
	if r.res.Impossible != "" {
		return true
	}
	if r.o.Upper == nil {
		return false
	}
	u := r.o.Upper()
	return u > 0 && r.res.Bound >= u
}

// granularity is a number that divides the cost of every plan: the greatest
// common divisor of the prices of everything that is counted whole. Waste
// comes in multiples of the divisor of all steps, least batches and draws of
// its mix, since mixed is the least batch or a multiple of the step.
func granularity(in *inst.Inst) int64 {
	c := in.Costs
	g := int64(0)
	for _, x := range []model.Mils{c.Idle, c.Held, c.RackWait, c.Overtime, c.Batch, c.Move} {
		g = gcd(g, int64(x))
	}
	for i := range in.Pours {
		p := &in.Pours[i]
		g = gcd(gcd(g, p.LatePerTick), p.Carry)
		for _, d := range p.Draws {
			g = gcd(g, int64(c.Waste)*d.Grams)
		}
	}
	for i := range in.Mixes {
		m := &in.Mixes[i]
		g = gcd(g, int64(c.Waste)*m.Min)
		if m.Step > 1 {
			g = gcd(g, int64(c.Waste)*m.Step)
		} else {
			g = gcd(g, int64(c.Waste)*m.Loss)
		}
	}
	for _, x := range in.Callins {
		g = gcd(g, x.Cost)
	}
	for _, x := range in.Ships {
		g = gcd(g, x.LatePerTick)
	}
	return max(g, 1)
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	if a < 0 {
		return -a
	}
	return a
}

// ceilDiv is a/b rounded up, b > 0.
func ceilDiv(a, b int64) int64 {
	q := a / b
	if a%b > 0 {
		q++
	}
	return q
}

func roundUp(a, to int64) int64 { return ceilDiv(a, to) * to }

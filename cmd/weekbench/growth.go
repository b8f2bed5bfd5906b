package main

import (
	"context"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/solve"
)

// growthTime is how long a run of --growth takes unless --time or --work says
// otherwise.
const growthTime = time.Minute

// shares are the parts of the time or work of a run of --growth that are tried
// one after another, each as a run of its own.
var shares = []int64{64, 32, 16, 8, 4, 2}

// size is one week of --growth.
type size struct {
	Pours  int    `json:"pours"` // new ones
	People int    `json:"people"`
	Seed   uint64 `json:"seed"`
	Cost   int64  `json:"cost"` // final, mils
	Bound  int64  `json:"bound"`

	First     float64 `json:"first_plan_seconds"`
	FirstCost int64   `json:"first_plan_cost"` // of the first plan that was reported

	// The search spreads its cooling over what it is given, so that a long run
	// comes near its end late: the first moment within so many percent of the
	// final cost, and the shortest run of its own that ends there.
	Within       float64 `json:"within_percent"`
	Reached      float64 `json:"reached_seconds"`
	ReachedWork  int64   `json:"reached_work"`
	Enough       float64 `json:"enough_seconds"`
	EnoughWork   int64   `json:"enough_work"`
	EnoughPerOne float64 `json:"enough_seconds_per_pour"`

	Work    int64   `json:"work"`
	Seconds float64 `json:"seconds"`
}

const growthHead = "pours people seed       cost      bound  first s first ratio  reached s reached work  enough s enough work s/pour      work  seconds"

func (x *size) line() string {
	return fmt.Sprintf("%5d %6d %4d %10d %10d %8.2f %11.3f %10.2f %12d %9.2f %11d %6.3f %9d %8.2f",
		x.Pours, x.People, x.Seed, x.Cost, x.Bound, x.First, float64(x.FirstCost)/float64(max(1, x.Cost)), x.Reached, x.ReachedWork,
		x.Enough, x.EnoughWork, x.EnoughPerOne, x.Work, x.Seconds)
}

// grow solves weeks of growing size in one kind of shop, long enough that the
// final cost stands for what can be had, and prints what it takes to come near
// it.
func grow(o options, out io.Writer) error {
	if o.time == 0 && o.work == 0 {
		o.time = growthTime
	}
	if o.within < 0 {
		return fmt.Errorf("--within %g: it is 0 percent or more", o.within)
	}
	var l []size
	if !o.json {
		fmt.Fprintf(out, "reached: when the run first was within %g%% of its own final cost; enough: the shortest run that ends there, of the %s\n%s\n",
			o.within, "64th, 32nd, 16th, 8th, 4th, 2nd part and all", growthHead)
	}
	for f := range strings.SplitSeq(o.sizes, ",") {
		n, err := strconv.Atoi(strings.TrimSpace(f))
		if err != nil || n < 1 {
			return fmt.Errorf("--sizes %q: %q is no number of pours", o.sizes, f)
		}
		for seed := range o.seeds {
			x, err := measureSize(n, uint64(seed+1), o)
			if err != nil {
				return err
			}
			l = append(l, x)
			if !o.json {
				fmt.Fprintln(out, x.line())
			}
		}
	}
	if !o.json {
		return nil
	}
	return writeJSON(out, struct {
		Growth []size `json:"growth"`
	}{l})
}

func measureSize(n int, seed uint64, o options) (size, error) {
	p := modeltest.Plant(seed, n)
	so := solve.Options{Seed: seed, Work: o.work, Time: o.time}
	trace, bound, err := traced(p, so)
	if err != nil {
		return size{}, err
	}
	end := trace[len(trace)-1]
	x := size{Pours: n, People: len(p.People), Seed: seed, Cost: int64(end.Cost), Bound: int64(bound), Within: o.within,
		First: trace[0].Elapsed.Seconds(), FirstCost: int64(trace[0].Cost), Work: end.Work, Seconds: end.Elapsed.Seconds()}
	at := reached(trace, within(end.Cost, o.within))
	x.Reached, x.ReachedWork = at.Elapsed.Seconds(), at.Work
	enough := end
	for _, part := range shares {
		few := so
		few.Work, few.Time = so.Work/part, so.Time/time.Duration(part)
		if so.Work > 0 && few.Work < int64(n) {
			continue // not even each pour once
		}
		t, _, err := traced(p, few)
		if err != nil {
			continue // too short for a plan
		}
		if s := t[len(t)-1]; s.Cost <= within(end.Cost, o.within) {
			enough = s
			break
		}
	}
	x.Enough, x.EnoughWork, x.EnoughPerOne = enough.Elapsed.Seconds(), enough.Work, enough.Elapsed.Seconds()/float64(n)
	return x, nil
}

// traced solves a problem. The trace is what was reported of each cheaper plan,
// and the end of the run.
func traced(p *model.Problem, o solve.Options) (trace []solve.Progress, bound model.Mils, err error) {
	o.Progress = func(s solve.Progress) {
		if s.Cost >= 0 && (len(trace) == 0 || s.Cost < trace[len(trace)-1].Cost) {
			trace = append(trace, s)
		}
	}
	begin := time.Now()
	r, err := solve.Solve(context.Background(), p, o)
	if err != nil {
		return nil, 0, err
	}
	if r.Plan == nil {
		return nil, 0, fmt.Errorf("no plan for %s: %s", p.Name, r.Reason)
	}
	return append(trace, solve.Progress{Elapsed: time.Since(begin), Work: r.Work, Cost: r.Plan.Cost}), r.Bound, nil
}

// within is the most that is within so many percent of a cost.
func within(cost model.Mils, percent float64) model.Mils {
	return cost + model.Mils(float64(cost)*percent/100)
}

// reached is the first entry of a trace that costs no more than so much. The
// last one does.
func reached(trace []solve.Progress, most model.Mils) solve.Progress {
	for _, s := range trace {
		if s.Cost <= most {
			return s
		}
	}
	return trace[len(trace)-1]
}

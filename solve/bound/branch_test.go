package bound_test

import (
	"context"
	"os"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/solve/bound"
)

// Branching proves no more than the optimum that exhaustive search finds, shuts no
// week that has a plan, and proves more than as many passes without it.
func TestBranchingBelowOptimumOfToys(t *testing.T) {
	n := uint64(80)
	if os.Getenv("POURWEEK_LONG") != "" {
		n = 3000
	}
	for name, draw := range map[string]func(uint64) *model.Problem{"toy": func(s uint64) *model.Problem { return modeltest.Toy(s) }, "odd toy": modeltest.Odd} {
		done, branched, sum, plain := 0, 0, model.Mils(0), model.Mils(0)
		for seed := range n {
			p := draw(seed)
			plan, cost, ok := oracle.Best(p)
			if !ok || plan == nil {
				continue
			}
			done++
			in := compile(t, p)
			r := bound.Run(context.Background(), in, bound.Options{Passes: 2500, Root: 800})
			if r.Impossible != "" {
				t.Errorf("%s %d has a plan, and yet: %s", name, seed, r.Impossible)
			}
			if r.Bound > cost {
				t.Errorf("%s %d: bound %d (%s) above the optimum %d", name, seed, r.Bound, r.Source, cost)
			}
			if r.Source == bound.Branching {
				branched++
			}
			sum += r.Bound
			plain += bound.Run(context.Background(), in, bound.Options{Passes: 2500, Root: 2500}).Bound
		}
		t.Logf("%ss: %d, bounds add up to %d mils, %d without branching, which raised %d", name, done, sum, plain, branched)
		if branched == 0 || sum <= plain {
			t.Errorf("%ss: bounds add up to %d mils, %d without branching, which raised %d of %d", name, sum, plain, branched, done)
		}
	}
}

// Branching finds the same bounds in the same passes, rising.
func TestBranchingIsReproducible(t *testing.T) {
	for seed := range uint64(4) {
		in := compile(t, modeltest.Random(seed, modeltest.Options{MaxPours: 6}))
		run := func() (list []model.Mils) {
			bound.Run(context.Background(), in, bound.Options{Passes: 700, Root: 30, Report: func(b model.Mils, _ string) { list = append(list, b) }})
			return list
		}
		a, b := run(), run()
		if len(a) != len(b) {
			t.Fatalf("week %d: %d bounds and then %d", seed, len(a), len(b))
		}
		for i := range a {
			if a[i] != b[i] || i > 0 && a[i] <= a[i-1] {
				t.Errorf("week %d: bounds %v and then %v", seed, a, b)
				break
			}
		}
	}
}

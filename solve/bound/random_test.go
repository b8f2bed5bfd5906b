package bound_test

import (
	"context"
	"os"
	"testing"

	"pourweek/model/modeltest"
	"pourweek/solve/bound"
	"pourweek/solve/search"
)

// No bound is above the cost of a plan that the search finds for a random week,
// with every optional rule on and off.
func TestBelowPlansOfRandomWeeks(t *testing.T) {
	n := uint64(12)
	if os.Getenv("POURWEEK_LONG") != "" {
		n = 120
	}
	found := 0
	for seed := range n {
		in := compile(t, modeltest.Random(seed, modeltest.Options{MaxPours: 8}))
		s, err := search.Run(context.Background(), in, search.Options{Seed: seed, Work: 400, Workers: 1})
		if err != nil {
			t.Fatal(err)
		}
		if s.Plan == nil {
			continue
		}
		found++
		for _, o := range []bound.Options{{Passes: 60}, {Passes: 300, Root: 20}} {
			if r := bound.Run(context.Background(), in, o); r.Bound > s.Cost || r.Impossible != "" {
				t.Errorf("week %d: bound %d (%s) above a plan that costs %d %s", seed, r.Bound, r.Source, s.Cost, r.Impossible)
			}
		}
	}
	if found == 0 {
		t.Error("no plan was found for any week")
	}
	t.Logf("%d plans", found)
}

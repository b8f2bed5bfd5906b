package solve

import (
	"context"
	"testing"

	"pourweek/model/modeltest"
	"pourweek/model/oracle"
)

// No plan of a random week is refused, by the checker (Solve gives an error
// then) or by the judge that was written apart from it; no bound is above a
// plan; no proof breaks off.
func TestPlansOfRandomWeeksAreAllowed(t *testing.T) {
	n := uint64(40)
	switch {
	case long():
		n = 10_000
	case testing.Short():
		n = 15
	}
	plans := uint64(0)
	for seed := range n {
		p := modeltest.Random(20_000+seed, modeltest.Options{})
		work := int64(120)
		if seed%10 == 0 { // now and then long enough for the bound to settle
			work = 12_000
		}
		r, err := Solve(context.Background(), p, Options{Seed: seed, Work: work})
		if err != nil {
			t.Errorf("%s: %v", p.Name, err)
			continue
		}
		if r.Plan == nil {
			continue
		}
		plans++
		if r.Reason != "" {
			t.Errorf("%s: %s", p.Name, r.Reason)
		}
		if cost, broken := oracle.Judge(p, r.Plan); broken != "" || cost != r.Plan.Cost || r.Bound > cost {
			t.Errorf("%s: cost %d, bound %d (%s); the judge says %d, %q", p.Name, r.Plan.Cost, r.Bound, r.BoundSource, cost, broken)
		}
	}
	t.Logf("%d plans of %d weeks", plans, n)
	if plans*10 < n*9 {
		t.Errorf("plans of only %d of %d weeks", plans, n)
	}
}

package solve

import (
	"testing"

	"pourweek/model/modeltest"
)

// What is proven optimal is searched no further: a run of counted work looks
// half way at what is proven.
func TestOptimalWeeksStopEarly(t *testing.T) {
	const limit = 2000
	optimal, searched := 0, 0
	for seed := range uint64(9) {
		p := modeltest.Random(seed, modeltest.Options{MaxPours: 8})
		r := mustSolve(t, p, Options{Seed: 1, Work: limit})
		if r.Status != Optimal {
			continue
		}
		optimal++
		if r.Work > 0 {
			searched++
		}
		if r.Work > limit*6/10 {
			t.Errorf("seed %d: proven optimal (%s), and yet %d of %d units of work were done", seed, r.BoundSource, r.Work, limit)
		}
	}
	t.Logf("%d weeks proven optimal, %d of them after searching", optimal, searched)
	if optimal == 0 || searched == 0 {
		t.Errorf("%d weeks proven optimal, %d after searching: nothing was shown", optimal, searched)
	}
}

// The demo week comes with a proven bound that says something.
func TestDemoWeekProvesAGap(t *testing.T) {
	r := mustSolve(t, demoProblem(t), Options{Seed: 1, Work: 4000})
	if r.Plan == nil {
		t.Fatal(r.Reason)
	}
	t.Logf("cost %d, bound %d (%s), gap %.1f %%", r.Plan.Cost, r.Bound, r.BoundSource, 100*float64(r.Plan.Cost-r.Bound)/float64(r.Plan.Cost))
	if r.Bound*10 < r.Plan.Cost || r.BoundSource == "" {
		t.Errorf("cost %d, bound %d (%q): a gap that says nothing", r.Plan.Cost, r.Bound, r.BoundSource)
	}
	if r.Status == Optimal && r.Work >= 4000 {
		t.Error("proven optimal, and searched to the end")
	}
}

package solve

import (
	"bytes"
	"context"
	"runtime"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
)

func planBytes(t *testing.T, p *model.Problem, o Options) []byte {
	t.Helper()
	r, err := Solve(context.Background(), p, o)
	if err != nil {
		t.Fatal(err)
	}
	if r.Plan == nil {
		return nil
	}
	var b bytes.Buffer
	if err := model.WritePlan(&b, r.Plan); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Seed and work give the same bytes, bound included, on one core and on two.
func TestSameWorkSameBytes(t *testing.T) {
	for seed := uint64(1); seed <= 6; seed++ {
		p := modeltest.Random(seed, modeltest.Options{})
		o := Options{Seed: seed, Work: 600}
		want := planBytes(t, p, o)
		procs := runtime.GOMAXPROCS(1)
		one := planBytes(t, p, o)
		runtime.GOMAXPROCS(procs)
		if !bytes.Equal(want, one) {
			t.Errorf("seed %d: the plan depends on the number of cores", seed)
		}
	}
}

// On toys the optimum is known: a bound never passes it, a plan never beats it,
// and a plan called optimal has it.
func TestSolveAgreesWithExhaustiveSearch(t *testing.T) {
	seeds, optimal, told, none := uint64(30), 0, 0, 0
	if testing.Short() {
		seeds = 15
	}
	for seed := uint64(1); seed <= 2*seeds; seed++ {
		p := modeltest.Toy(seed)
		if seed > seeds {
			p = modeltest.Odd(seed)
		}
		best, cost, ok := oracle.Best(p)
		if !ok {
			continue
		}
		r, err := Solve(context.Background(), p, Options{Seed: seed, Work: 2000})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		switch {
		case best == nil && r.Plan != nil:
			t.Errorf("seed %d: a plan where none is allowed", seed)
		case best == nil && r.Status == Infeasible:
			none++
		case best == nil:
		case r.Status == Infeasible:
			t.Errorf("seed %d: called infeasible (%s), and %d is the optimum", seed, r.Reason, cost)
		case r.Bound > cost:
			t.Errorf("seed %d: bound %d (%s) above the optimum %d", seed, r.Bound, r.BoundSource, cost)
		case r.Plan != nil && r.Plan.Cost < cost:
			t.Errorf("seed %d: cost %d below the optimum %d", seed, r.Plan.Cost, cost)
		case r.Status == Optimal && r.Plan.Cost != cost:
			t.Errorf("seed %d: %d is called optimal, the optimum is %d", seed, r.Plan.Cost, cost)
		}
		told++
		if r.Status == Optimal {
			optimal++
		}
	}
	t.Logf("%d of %d toys proven optimal, %d without a plan", optimal, told, none)
	if none == 0 {
		t.Error("no toy was proven to have no plan")
	}
	if optimal*2 < told {
		t.Errorf("only %d of %d toys are proven optimal", optimal, told)
	}
}

// A context that has ended is no error, and what was found is given.
func TestCancelledSolveGivesWhatItHas(t *testing.T) {
	p := modeltest.Random(3, modeltest.Options{})
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Solve(ctx, p, Options{Work: 1 << 40}); err != nil {
		t.Error(err)
	}
}

package exact

import (
	"context"
	"fmt"
	"os"
	"testing"
	"time"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/solve/inst"
)

// TestTinyWeeksAreProvenOptimal holds the optima that a general-purpose solver
// proved (shared weeks/best.csv) against those proven here, with and without a
// plan in hand.
func TestTinyWeeksAreProvenOptimal(t *testing.T) {
	best := bestCosts(t)
	for n := 1; n <= 24; n++ {
		name := fmt.Sprintf("tiny-%02d", n)
		want, ok := best[name]
		if !ok {
			continue
		}
		in := week1(t, name)
		t0 := time.Now()
		r := Run(context.Background(), in, Options{Upper: model.Mils(want)})
		t1 := time.Now()
		if !r.Optimal || r.Plan != nil || r.Bound != model.Mils(want) {
			t.Errorf("%s: with the best plan in hand: %+v, want the optimum %d", name, r, want)
		}
		q := Run(context.Background(), in, Options{Upper: -1})
		t2 := time.Now()
		if !q.Optimal || q.Plan == nil || q.Cost != model.Mils(want) {
			t.Errorf("%s: with nothing in hand: optimal %v cost %d bound %d, want %d", name, q.Optimal, q.Cost, q.Bound, want)
			continue
		}
		if v := check.Check(in.P, q.Plan); !v.Allowed || v.Cost != q.Cost {
			t.Errorf("%s: the plan is judged %v", name, v)
		}
		t.Logf("%s: %d states in %v with the plan, %d in %v without", name, r.Nodes, t1.Sub(t0), q.Nodes, t2.Sub(t1))
	}
}

// TestToysAgreeWithExhaustiveSearch holds bounds and plans against the oracle.
func TestToysAgreeWithExhaustiveSearch(t *testing.T) {
	toys := uint64(80)
	if testing.Short() {
		toys = 30
	}
	if os.Getenv("POURWEEK_LONG") != "" {
		toys = 1500
	}
	proven, open, none := 0, 0, 0
	for seed := range toys {
		p := modeltest.Toy(seed)
		plan, cost, ok := oracle.Best(p)
		if !ok {
			continue
		}
		in, err := inst.Compile(p)
		if err != nil {
			t.Fatal(err)
		}
		if plan == nil {
			none++
			if r := Run(context.Background(), in, Options{Upper: -1, Nodes: 300_000}); r.Plan != nil {
				t.Errorf("toy %d: a plan where none is allowed", seed)
			}
			continue
		}
		r := Run(context.Background(), in, Options{Upper: -1, Nodes: 300_000})
		if r.Bound > cost || r.Plan != nil && r.Cost < cost || r.Optimal && r.Cost != cost {
			t.Errorf("toy %d: the optimum is %d: optimal %v cost %d bound %d", seed, cost, r.Optimal, r.Cost, r.Bound)
		}
		q := Run(context.Background(), in, Options{Upper: cost + 1000, Nodes: 300_000})
		if q.Bound > cost || q.Optimal && q.Cost != cost {
			t.Errorf("toy %d: the optimum is %d: with a plan in hand optimal %v cost %d bound %d", seed, cost, q.Optimal, q.Cost, q.Bound)
		}
		if r.Optimal {
			proven++
		} else {
			open++
		}
	}
	t.Logf("%d proven, %d not, %d without a plan", proven, open, none)
	if proven < open {
		t.Errorf("only %d of %d toys were proven", proven, proven+open)
	}
}

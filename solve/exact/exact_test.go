package exact

import (
	"context"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/solve/inst"
)

func compiled(t testing.TB, name string) *inst.Inst {
	t.Helper()
	f, err := os.Open(modeltest.Shared(t, filepath.Join("weeks", name+".json")))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	p, err := model.ReadProblem(name, f)
	if err != nil {
		t.Fatal(err)
	}
	in, err := inst.Compile(p)
	if err != nil {
		t.Fatal(err)
	}
	return in
}

// bestCosts reads the cheapest known costs, shared weeks/best.csv.
func bestCosts(t testing.TB) map[string]model.Mils {
	t.Helper()
	f, err := os.Open(modeltest.Shared(t, "weeks/best.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]model.Mils{}
	for _, r := range rows[1:] {
		v, err := strconv.ParseInt(r[1], 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		out[r[0]] = model.Mils(v)
	}
	return out
}

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
		in := compiled(t, name)
		t0 := time.Now()
		r := Run(context.Background(), in, Options{Upper: want})
		t1 := time.Now()
		if !r.Optimal || r.Plan != nil || r.Bound != want {
			t.Errorf("%s: with the best plan in hand: %+v, want the optimum %d", name, r, want)
		}
		q := Run(context.Background(), in, Options{Upper: -1})
		t2 := time.Now()
		if !q.Optimal || q.Plan == nil || q.Cost != want {
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
	toys := uint64(60)
	if testing.Short() {
		toys = 30
	}
	if os.Getenv("POURWEEK_LONG") != "" {
		toys = 1500
	}
	seeds := []uint64{2597, 2788, 2906} // were once proven wrongly
	for seed := range 2 * toys {
		seeds = append(seeds, seed)
	}
	proven, open, none := 0, 0, 0
	for _, seed := range seeds {
		p := modeltest.Toy(seed)
		if seed >= toys {
			p = modeltest.Odd(seed)
		}
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

// TestRandomWeeksNeverBoundAboveAPlan runs over weeks with every optional rule:
// what is returned must be allowed and no bound may lie above it.
func TestRandomWeeksNeverBoundAboveAPlan(t *testing.T) {
	plans := 0
	for seed := range uint64(16) {
		p := modeltest.Random(seed, modeltest.Options{MaxPours: 3})
		if seed%8 == 7 { // too big: given up at once
			p = modeltest.Random(seed, modeltest.Options{MinPours: 30})
		}
		in, err := inst.Compile(p)
		if err != nil {
			t.Fatal(err)
		}
		r := Run(context.Background(), in, Options{Upper: -1, Nodes: 60_000})
		if r.Plan == nil {
			continue
		}
		plans++
		if v := check.Check(p, r.Plan); !v.Allowed || v.Cost != r.Cost || r.Bound > r.Cost {
			t.Errorf("week %d: cost %d bound %d, judged %v", seed, r.Cost, r.Bound, v)
		}
	}
	t.Logf("%d plans", plans)
	if plans == 0 {
		t.Error("no week gave a plan")
	}
}

// TestSmallWeeks proves what it can of the small weeks in some minutes, three at
// least. The work is counted, so that the answer is the same on a busy machine;
// how long each took is printed. Costs of best.csv are of plans, so no optimum lies
// above them.
func TestSmallWeeks(t *testing.T) {
	if os.Getenv("POURWEEK_LONG") == "" {
		t.Skip("set POURWEEK_LONG=1 for the small weeks")
	}
	best := bestCosts(t)
	proven := 0
	for n := 1; n <= 10; n++ {
		name := fmt.Sprintf("small-%02d", n)
		in := compiled(t, name)
		t0 := time.Now()
		r := Run(context.Background(), in, Options{Upper: best[name], Nodes: 12_000_000})
		t.Logf("%s: optimal %v cost %d bound %d, %d states in %v", name, r.Optimal, r.Cost, r.Bound, r.Nodes, time.Since(t0))
		if r.Bound > r.Cost {
			t.Errorf("%s: the bound %d is above the cost %d", name, r.Bound, r.Cost)
		}
		if r.Plan != nil {
			if v := check.Check(in.P, r.Plan); !v.Allowed || v.Cost != r.Cost {
				t.Errorf("%s: the plan is judged %v", name, v)
			}
		}
		if r.Optimal {
			proven++
		}
	}
	if proven < 3 {
		t.Errorf("only %d small weeks are proven", proven)
	}
}

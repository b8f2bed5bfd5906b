package bound_test

import (
	"bufio"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/solve/bound"
	"pourweek/solve/inst"
)

func compile(t testing.TB, p *model.Problem) *inst.Inst {
	t.Helper()
	in, err := inst.Compile(p)
	if err != nil {
		t.Fatal(err)
	}
	return in
}

// toys is how many toys the exhaustive search answers in an ordinary test.
const toys = 80

// No bound is above the optimum that exhaustive search finds.
func TestBelowOptimumOfToys(t *testing.T) {
	n := uint64(toys)
	if os.Getenv("POURWEEK_LONG") != "" {
		n = 3000
	}
	if testing.Short() {
		n = 30
	}
	tight, done := 0, 0
	for seed := range n {
		p := modeltest.Toy(seed)
		_, cost, ok := oracle.Best(p)
		r := bound.Run(context.Background(), compile(t, p), bound.Options{Passes: 300})
		if !ok {
			continue
		}
		if cost == 0 {
			continue // no plan is allowed, or one that costs nothing
		}
		done++
		if r.Bound > cost {
			t.Errorf("toy %d: bound %d (%s) above the optimum %d", seed, r.Bound, r.Source, cost)
		}
		if r.Bound == cost {
			tight++
		}
	}
	if done == 0 {
		t.Error("no toy was answered")
	}
	t.Logf("%d toys, bound equal to the optimum on %d", done, tight)
}

// verdict is a line of a verdicts file.
type verdict struct {
	Allowed bool        `json:"allowed"`
	Cost    *model.Mils `json:"cost"`
}

// No bound is above the cost of a plan known to be allowed.
func TestBelowAllowedPlans(t *testing.T) {
	dir := shared(t)
	files, err := filepath.Glob(filepath.Join(dir, "verdicts", "*.jsonl"))
	if err != nil || len(files) == 0 {
		t.Skip("no verdicts beside the module")
	}
	for _, f := range files {
		week := strings.TrimSuffix(filepath.Base(f), ".jsonl")
		least, ok := leastAllowed(t, f)
		if !ok {
			continue
		}
		in := loadWeek(t, dir, week)
		r := bound.Run(context.Background(), in, bound.Options{Passes: weekPasses(in)})
		if r.Bound > least {
			t.Errorf("%s: bound %d (%s) above the cost %d of an allowed plan", week, r.Bound, r.Source, least)
		}
	}
}

func leastAllowed(t *testing.T, file string) (least model.Mils, ok bool) {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	s := bufio.NewScanner(f)
	s.Buffer(nil, 64<<20)
	for s.Scan() {
		var v verdict
		if err := json.Unmarshal(s.Bytes(), &v); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		if v.Allowed && v.Cost != nil && (!ok || *v.Cost < least) {
			least, ok = *v.Cost, true
		}
	}
	if err := s.Err(); err != nil {
		t.Fatal(err)
	}
	return least, ok
}

// weekPasses keeps the test of all weeks short: passes by number of pours.
func weekPasses(in *inst.Inst) int64 {
	return max(4, min(100, int64(1000/(10+len(in.Pours)))))
}

// No bound is above the best known cost, and none is silly.
func TestBelowBestKnown(t *testing.T) {
	dir := shared(t)
	for _, k := range knownWeeks(t, dir) {
		big := strings.HasPrefix(k.week, "large") || strings.HasPrefix(k.week, "plant")
		if testing.Short() && !strings.HasPrefix(k.week, "tiny") || big && os.Getenv("POURWEEK_LONG") == "" {
			continue
		}
		in := loadWeek(t, dir, k.week)
		r := bound.Run(context.Background(), in, bound.Options{Passes: weekPasses(in)})
		if k.cost > 0 && r.Bound > k.cost {
			t.Errorf("%s: bound %d (%s) above the known cost %d", k.week, r.Bound, r.Source, k.cost)
		}
		if r.Bound <= 0 {
			t.Errorf("%s: nothing proven", k.week)
		}
	}
}

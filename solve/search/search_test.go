package search

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/solve/inst"
)

// weeksDir is where the benchmark weeks lie, beside the module.
const weeksDir = "../../../shared/weeks"

func weeks(t testing.TB) []string {
	fs, err := filepath.Glob(filepath.Join(weeksDir, "*.json"))
	if err != nil || len(fs) == 0 {
		t.Skip("the shared weeks are not there")
	}
	return fs
}

func read(t testing.TB, f string) *model.Problem {
	r, err := os.Open(f)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	p, err := model.ReadProblem(f, r)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func solve(t testing.TB, p *model.Problem, o Options) *Result {
	in, err := inst.Compile(p)
	if err != nil {
		t.Fatal(err)
	}
	r, err := Run(context.Background(), in, o)
	if err != nil {
		t.Fatal(err)
	}
	if r.Plan != nil {
		cost, broken := oracle.Judge(p, r.Plan)
		if broken != "" {
			t.Errorf("%s: refused: %s", p.Name, broken)
		} else if cost != r.Cost {
			t.Errorf("%s: cost %d, the judge says %d", p.Name, r.Cost, cost)
		}
	}
	return r
}

func TestWeeksGetAllowedPlans(t *testing.T) {
	work := int64(400)
	if s := os.Getenv("SEARCH_WORK"); s != "" {
		work, _ = strconv.ParseInt(s, 10, 64)
	}
	for _, f := range weeks(t) {
		name := strings.TrimSuffix(filepath.Base(f), ".json")
		if s := os.Getenv("SEARCH_WEEK"); s != "" && !strings.HasPrefix(name, s) {
			continue
		}
		t.Run(name, func(t *testing.T) {
			r := solve(t, read(t, f), Options{Seed: 1, Work: work, Workers: 1})
			if r.Plan == nil {
				t.Errorf("no plan: %s", r.Reason)
			}
			t.Logf("cost %d work %d", r.Cost, r.Work)
		})
	}
}

func TestRandomProblemsGetAllowedPlans(t *testing.T) {
	n := 2000
	if testing.Short() {
		n = 200
	}
	if os.Getenv("POURWEEK_LONG") != "" {
		n = 10000
	}
	none := 0
	for seed := range n {
		p := modeltest.Random(uint64(seed), modeltest.Options{})
		if r := solve(t, p, Options{Seed: uint64(seed), Work: 300, Workers: 1}); r.Plan == nil {
			none++
			t.Logf("seed %d: no plan: %s", seed, r.Reason)
		}
	}
	if none*50 > n {
		t.Errorf("no plan for %d of %d problems", none, n)
	}
}

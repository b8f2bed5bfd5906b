package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/solve"
)

// folder holds two toys and a best.csv that knows the cost of one.
func folder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for name, seed := range map[string]uint64{"toy-1": 1, "toy-2": 2} {
		var b bytes.Buffer
		if err := model.WriteProblem(&b, modeltest.Toy(seed)); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name+".json"), b.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "best.csv"), []byte("week,cost,bound,how\ntoy-1,1000,500,\ntoy-2,0,0,none known\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	return dir
}

type report struct {
	Runs     []row     `json:"runs"`
	Families []summary `json:"families"`
}

func bench(t *testing.T, o options) report {
	t.Helper()
	o.json, o.seeds, o.work = true, 1, 50
	var b bytes.Buffer
	if err := run(o, &b); err != nil {
		t.Fatal(err)
	}
	var r report
	if err := json.Unmarshal(b.Bytes(), &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// A week of which no cost is known has no ratio, and --against gives it one.
func TestRatiosAreOfKnownCosts(t *testing.T) {
	o := options{match: ".", dir: folder(t)}
	r := bench(t, o)
	if len(r.Runs) != 2 || len(r.Families) != 1 {
		t.Fatalf("%d runs, %d families", len(r.Runs), len(r.Families))
	}
	one, two := r.Runs[0], r.Runs[1]
	if one.Ratio == nil || *one.Ratio != float64(*one.Cost)/1000 || one.BoundRatio == nil || *one.BoundRatio != float64(one.Bound)/500 {
		t.Errorf("compared with 1000 and 500: %+v", one)
	}
	if two.Ratio != nil || two.BoundRatio != nil || r.Families[0].Compared != 1 || r.Families[0].Bounds != 1 {
		t.Errorf("compared with nothing: %+v, %+v", two, r.Families[0])
	}
	o.against = "toy-2=2000"
	if two = bench(t, o).Runs[1]; two.Ratio == nil || *two.Ratio != float64(*two.Cost)/2000 {
		t.Errorf("compared with 2000: %+v", two)
	}
	for _, bad := range []string{"toy-2", "toy-2=x", "toy-2=0"} {
		o.against = bad
		if err := run(o, &bytes.Buffer{}); err == nil || !strings.Contains(err.Error(), "week=mils") {
			t.Errorf("--against %s: %v", bad, err)
		}
	}
}

// Ratios, gaps and bounds are summed up by family and over all, an even number
// of them by the middle of the two in the middle.
func TestSummariesAreByFamily(t *testing.T) {
	made := func(week string, cost, bound int64, k known) row {
		x := row{Week: week, Status: string(solve.Feasible), Bound: bound}
		if cost > 0 {
			x.Cost, x.Gap = &cost, ptr(float64(cost-bound)/float64(cost))
		}
		if cost == bound {
			x.Status = string(solve.Optimal)
		}
		x.compare(k)
		return x
	}
	l := summarize([]row{
		made("small-1", 100, 50, known{100, 40}), made("small-2", 120, 90, known{100, 100}), made("small-3", 0, 10, known{100, 20}),
		made("large-1", 80, 80, known{}),
	})
	if len(l) != 3 || l[0].Family != "small" || l[1].Family != "large" || l[2].Family != "all" {
		t.Fatalf("families: %+v", l)
	}
	s := l[0]
	if s.Runs != 3 || s.NoPlan != 1 || s.Proven != 0 || s.Compared != 2 || s.AtBest != 1 || s.Bounds != 3 || s.Above != 1 {
		t.Errorf("counts: %+v", s)
	}
	if *s.Median != 1.1 || *s.Worst != 1.2 || s.WorstIn != "small-2" || *s.Gap != 0.375 || *s.WorstGap != 0.5 ||
		*s.MedianBound != 0.9 || *s.LeastBound != 0.5 || s.LeastIn != "small-3" {
		t.Errorf("values: %s", s.line())
	}
	if large := l[1]; large.Median != nil || large.Worst != nil || large.MedianBound != nil || large.Proven != 1 || *large.Gap != 0 {
		t.Errorf("a family of which nothing is known: %s", large.line())
	}
	if all := l[2]; all.Runs != 4 || all.Proven != 1 || all.Compared != 2 {
		t.Errorf("all: %s", all.line())
	}
}

func TestReachedIsTheFirstNearTheEnd(t *testing.T) {
	trace := []solve.Progress{{Cost: 200, Elapsed: 1}, {Cost: 105, Elapsed: 2}, {Cost: 101, Elapsed: 3}, {Cost: 100, Elapsed: 4}}
	for percent, want := range map[float64]time.Duration{0: 4, 1: 3, 5: 2, 100: 1} {
		if got := reached(trace, within(100, percent)).Elapsed; got != want {
			t.Errorf("within %g%%: at %d, want %d", percent, got, want)
		}
	}
}

// Counted work makes what --growth measures the same from run to run, but for
// the times.
func TestGrowthMeasuresEachSize(t *testing.T) {
	var b bytes.Buffer
	if err := grow(options{work: 640, seeds: 1, sizes: "5, 10", within: 5, json: true}, &b); err != nil {
		t.Fatal(err)
	}
	var r struct{ Growth []size }
	if err := json.Unmarshal(b.Bytes(), &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Growth) != 2 || r.Growth[0].Pours != 5 || r.Growth[1].Pours != 10 {
		t.Fatalf("sizes: %+v", r.Growth)
	}
	for _, x := range r.Growth {
		if x.Cost <= 0 || x.FirstCost < x.Cost || x.ReachedWork > x.Work || x.EnoughWork <= 0 || x.EnoughWork > x.Work || x.Bound > x.Cost {
			t.Errorf("%+v", x)
		}
	}
	for _, bad := range []string{"", "0", "10,x"} {
		if err := grow(options{work: 40, seeds: 1, sizes: bad}, &bytes.Buffer{}); err == nil {
			t.Errorf("--sizes %q is taken", bad)
		}
	}
}

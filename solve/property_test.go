package solve

import (
	"bytes"
	"context"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/model/modeltest"
)

// long says that the tests may take minutes.
func long() bool { return os.Getenv("POURWEEK_LONG") != "" }

// copyOf is a copy of a problem that shares nothing with it.
func copyOf(t *testing.T, p *model.Problem) *model.Problem {
	t.Helper()
	var b bytes.Buffer
	if err := model.WriteProblem(&b, p); err != nil {
		t.Fatal(err)
	}
	q, err := model.ReadProblem("copy", &b)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// copyOfPlan is a copy of a plan that shares nothing with it.
func copyOfPlan(t *testing.T, plan *model.Plan) *model.Plan {
	t.Helper()
	var b bytes.Buffer
	if err := model.WritePlan(&b, plan); err != nil {
		t.Fatal(err)
	}
	q, err := model.ReadPlan("copy", &b)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// smallWeek is a week that is soon proven optimal, or near it.
type smallWeek struct {
	name string
	p    *model.Problem
	work int64
}

// smallWeeks are the tiny weeks, where they are there, some toys and some small
// random weeks.
func smallWeeks(t *testing.T, toys, randoms uint64) []smallWeek {
	t.Helper()
	var l []smallWeek
	for seed := range toys {
		p := modeltest.Toy(seed)
		l = append(l, smallWeek{p.Name, p, 60})
	}
	for seed := range randoms {
		p := modeltest.Random(seed, modeltest.Options{MaxPours: 4})
		l = append(l, smallWeek{p.Name, p, 60})
	}
	return l
}

// tinyWeeks are the shared tiny weeks; it skips the test where they are absent.
func tinyWeeks(t *testing.T) []smallWeek {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(modeltest.Shared(t, "weeks"), "tiny-*.json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no tiny weeks: %v", err)
	}
	work := int64(300)
	if long() {
		work = 5000
	}
	var l []smallWeek
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		p, err := model.ReadProblem(f, bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		l = append(l, smallWeek{p.Name, p, work})
	}
	return l
}

func mustSolve(t *testing.T, p *model.Problem, work int64) *Result {
	t.Helper()
	r, err := Solve(context.Background(), p, Options{Seed: 1, Work: work})
	if err != nil {
		t.Fatalf("%s: %v", p.Name, err)
	}
	return r
}

// tally counts what a property was seen on.
type tally struct{ pairs, proven int }

func (c tally) judge(t *testing.T, least int) {
	t.Helper()
	t.Logf("%d pairs of weeks, %d with both optima proven", c.pairs, c.proven)
	if c.proven < least {
		t.Errorf("only %d pairs have both optima proven, less than %d: the property was hardly tried", c.proven, least)
	}
}

// relaxes checks that the relaxed week q is no dearer than week p.
func (c *tally) relaxes(t *testing.T, was *Result, q *model.Problem, work int64) {
	t.Helper()
	v := check.Check(q, fitted(q, copyOfPlan(t, was.Plan)))
	switch {
	case !v.Allowed:
		t.Errorf("a plan of the stricter week is refused: %s", v.Broken[0].Text)
		return
	case v.Cost > was.Plan.Cost:
		t.Errorf("the plan of the stricter week costs %d in it and %d in the relaxed week", was.Plan.Cost, v.Cost)
		return
	}
	now := mustSolve(t, q, work)
	c.pairs++
	switch {
	case now.Status == Infeasible:
		t.Errorf("called infeasible: %s; a plan of %d mils is allowed", now.Reason, v.Cost)
	case now.Bound > v.Cost:
		t.Errorf("a bound of %d (%s) is above the %d of an allowed plan", now.Bound, now.BoundSource, v.Cost)
	case was.Status == Optimal && now.Status == Optimal:
		c.proven++
		if now.Plan.Cost > was.Plan.Cost {
			t.Errorf("the optimum rises from %d to %d", was.Plan.Cost, now.Plan.Cost)
		}
	}
}

// Relaxing a rule never raises the optimum: no bound of the relaxed week is
// above what a plan of the stricter week costs, which is its optimum where it is
// proven.
func TestRelaxingARuleNeverRaisesTheOptimum(t *testing.T) {
	toys, randoms := uint64(70), uint64(12)
	if testing.Short() {
		toys, randoms = 15, 4
	}
	if long() {
		toys, randoms = 1500, 300
	}
	var c tally
	seen := map[string]int{}
	for _, w := range smallWeeks(t, toys, randoms) {
		relaxAll(t, w, &c, seen)
	}
	if !testing.Short() {
		for _, x := range relaxations {
			if seen[x.name] == 0 {
				t.Errorf("%q was never tried", x.name)
			}
		}
	}
	c.judge(t, int(toys)*5)
}

func relaxAll(t *testing.T, w smallWeek, c *tally, seen map[string]int) {
	t.Helper()
	was := mustSolve(t, w.p, w.work)
	if was.Plan == nil {
		return
	}
	r := rand.New(rand.NewPCG(7, uint64(len(w.p.Pours))))
	for _, x := range relaxations {
		q := copyOf(t, w.p)
		if !x.edit(r, q) {
			continue
		}
		if is := q.Validate(); len(is) > 0 {
			t.Fatalf("%s, %s: %s", w.name, x.name, is[0])
		}
		seen[x.name]++
		t.Run(w.name+"/"+x.name, func(t *testing.T) { c.relaxes(t, was, q, w.work) })
	}
}

func TestRelaxingATinyWeekNeverRaisesTheOptimum(t *testing.T) {
	var c tally
	seen := map[string]int{}
	weeks := tinyWeeks(t)
	if testing.Short() {
		weeks = weeks[:3]
	}
	for _, w := range weeks {
		relaxAll(t, w, &c, seen)
	}
	t.Log(len(slices.Collect(func(yield func(string) bool) {
		for k := range seen {
			yield(k)
		}
	})), "kinds of relaxation")
	c.judge(t, len(weeks))
}

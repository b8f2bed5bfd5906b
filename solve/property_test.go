package solve

import (
	"bytes"
	"context"
	"hash/fnv"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

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
	p *model.Problem
	o Options // enough to solve it, or nearly
}

// quick is enough for most toys and half of the smallest random weeks.
var quick = Options{Seed: 1, Work: 60}

// smallWeeks are some toys and some small random weeks.
func smallWeeks(t *testing.T, toys, randoms uint64) []smallWeek {
	t.Helper()
	var l []smallWeek
	for seed := range toys {
		l = append(l, smallWeek{modeltest.Toy(seed), quick})
	}
	for seed := range randoms {
		l = append(l, smallWeek{modeltest.Random(seed, modeltest.Options{MaxPours: 4}), quick})
	}
	return l
}

// tinyWeeks are the shared tiny weeks, in an ordinary run half of them; it
// skips the test where they are absent.
func tinyWeeks(t *testing.T) []smallWeek {
	t.Helper()
	all := sharedWeeks(t, "tiny-*")
	o := Options{Seed: 1, Work: 5000}
	if long() {
		o = Options{Seed: 1, Time: 30 * time.Second}
	} else {
		all = all[len(all)/2:]
	}
	var l []smallWeek
	for _, p := range all {
		l = append(l, smallWeek{p, o})
	}
	return l
}

// sharedWeeks reads the shared weeks whose names match, in order; it skips the
// test where they are absent.
func sharedWeeks(t *testing.T, match string) []*model.Problem {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(modeltest.Shared(t, "weeks"), match+".json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no weeks %s: %v", match, err)
	}
	var l []*model.Problem
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		p, err := model.ReadProblem(f, bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		l = append(l, p)
	}
	return l
}

func mustSolve(t *testing.T, p *model.Problem, o Options) *Result {
	t.Helper()
	r, err := Solve(context.Background(), p, o)
	if err != nil {
		t.Fatalf("%s: %v", p.Name, err)
	}
	return r
}

// tally counts what a property was seen on.
type tally struct {
	pairs, proven int
	kinds         map[string]int // by name of what was done to a week
}

func (c *tally) judge(t *testing.T, least int) {
	t.Helper()
	t.Logf("%d pairs of weeks, %d with both optima proven", c.pairs, c.proven)
	if c.proven < least {
		t.Errorf("only %d pairs have both optima proven, less than %d: the property was hardly tried", c.proven, least)
	}
}

// relaxes checks that the relaxed week q is no dearer than week p.
func (c *tally) relaxes(t *testing.T, was *Result, q *model.Problem, o Options) {
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
	now := mustSolve(t, q, o)
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

// relaxWeek tries n of the relaxations on a week, those first that were tried
// least so far, else at random.
func (c *tally) relaxWeek(t *testing.T, w smallWeek, n int) {
	t.Helper()
	was := mustSolve(t, w.p, w.o)
	if was.Plan == nil {
		return
	}
	h := fnv.New64()
	h.Write([]byte(w.p.Name))
	r := rand.New(rand.NewPCG(7, h.Sum64()))
	order := r.Perm(len(relaxations))
	slices.SortStableFunc(order, func(a, b int) int { return c.kinds[relaxations[a].name] - c.kinds[relaxations[b].name] })
	for _, k := range order {
		x, q := relaxations[k], copyOf(t, w.p)
		if n == 0 || !x.edit(r, q) {
			continue
		}
		n--
		if is := q.Validate(); len(is) > 0 {
			t.Fatalf("%s, %s: %s", w.p.Name, x.name, is[0])
		}
		c.kinds[x.name]++
		t.Run(w.p.Name+"/"+x.name, func(t *testing.T) { c.relaxes(t, was, q, w.o) })
	}
}

// Relaxing a rule never raises the optimum: no bound of the relaxed week is
// above what a plan of the stricter week costs, which is its optimum where it is
// proven.
func TestRelaxingARuleNeverRaisesTheOptimum(t *testing.T) {
	toys, randoms, each := uint64(70), uint64(12), 7
	if testing.Short() {
		toys, randoms, each = 15, 4, 6
	}
	if long() {
		toys, randoms, each = 1500, 300, len(relaxations)
	}
	c := tally{kinds: map[string]int{}}
	for _, w := range smallWeeks(t, toys, randoms) {
		c.relaxWeek(t, w, each)
	}
	for _, x := range relaxations {
		if c.kinds[x.name] == 0 && !testing.Short() {
			t.Errorf("%q was never tried", x.name)
		}
	}
	c.judge(t, int(toys))
}

func TestRelaxingATinyWeekNeverRaisesTheOptimum(t *testing.T) {
	c, each := tally{kinds: map[string]int{}}, 2
	if long() {
		each = 8
	}
	for _, w := range tinyWeeks(t) {
		c.relaxWeek(t, w, each)
	}
	c.judge(t, 1)
}

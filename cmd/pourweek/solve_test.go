package main

import (
	"context"
	"errors"
	"os"
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/solve"
)

// with puts a solver in the place of the true one for a test.
func with(t *testing.T, f solve.Solver) {
	t.Helper()
	before := solver
	solver = f
	t.Cleanup(func() { solver = before })
}

// A plan that the checker refuses is a bug: it is said, and not a byte of the
// plan is printed or written.
func TestARefusedPlanIsNotPrinted(t *testing.T) {
	with(t, func(ctx context.Context, p *model.Problem, o solve.Options) (*solve.Result, error) {
		o.Work = 500
		r, err := solve.Solve(ctx, p, o)
		if err == nil {
			r.Plan.Cost--
		}
		return r, err
	})
	kept := t.TempDir() + "/week.json"
	for _, args := range [][]string{
		{"plan", "--demo"},
		{"plan", "--demo", "--json"},
		{"plan", "--demo", "--out", kept},
	} {
		s, out, errs := terminal(nil)
		if code := run(s, args); code != exitFailed {
			t.Errorf("%v: exit code %d, want %d", args, code, exitFailed)
		}
		if out.String() != "" {
			t.Errorf("%v: %d bytes were printed", args, len(out.String()))
		}
		if !strings.Contains(errs.String(), "breaks a rule, so it is not printed. This is a bug in pourweek:\nthe plan states a cost of") {
			t.Errorf("%v: the message is %q", args, errs)
		}
	}
	if _, err := os.Stat(kept); err == nil {
		t.Error("the refused plan was written")
	}
}

func TestNoPlanIsToldWithItsReason(t *testing.T) {
	for _, c := range []struct {
		r    *solve.Result
		err  error
		code int
		want string
	}{
		{&solve.Result{Status: solve.Infeasible, Reason: "rack r is too small"}, nil, exitNoPlan, "pourweek: no plan is possible: rack r is too small\n"},
		{&solve.Result{Status: solve.Unknown, Reason: "pin of x"}, nil, exitNoPlan, "pourweek: no plan was found: pin of x\n  hint: give the search more --time or --work\n"},
		{&solve.Result{Status: solve.Unknown}, nil, exitNoPlan, "no reason is known"},
		{nil, errors.New("index out of range (a bug)"), exitFailed, "pourweek: index out of range (a bug)\n"},
	} {
		with(t, func(context.Context, *model.Problem, solve.Options) (*solve.Result, error) { return c.r, c.err })
		s, out, errs := terminal(nil)
		if code := run(s, []string{"plan", "--demo"}); code != c.code {
			t.Errorf("exit code %d, want %d", code, c.code)
		}
		if !strings.Contains(errs.String(), c.want) || out.String() != "" {
			t.Errorf("told %q and printed %q, want %q", errs, out, c.want)
		}
	}
}

// The limits that the person names reach the search; without any, plan names a
// counted work of its own, so that a plan is the same everywhere.
func TestLimitsReachTheSearch(t *testing.T) {
	var got solve.Options
	with(t, func(_ context.Context, _ *model.Problem, o solve.Options) (*solve.Result, error) {
		got = o
		return &solve.Result{Status: solve.Unknown}, nil
	})
	for _, c := range []struct {
		args string
		want func() bool
	}{
		{"plan --demo", func() bool { return got.Seed == 1 && got.Work > 10_000 && got.Time == 0 }},
		{"plan --demo --seed 9 --work 77", func() bool { return got.Seed == 9 && got.Work == 77 && got.Time == 0 }},
		{"plan --demo --time 1500ms", func() bool { return got.Work == 0 && got.Time.Milliseconds() == 1500 }},
		{"plan --demo --time 2s --work 5", func() bool { return got.Work == 5 && got.Time.Seconds() == 2 }},
	} {
		s, _, _ := terminal(nil)
		run(s, strings.Fields(c.args))
		if !c.want() {
			t.Errorf("%s gives seed %d, work %d, time %s", c.args, got.Seed, got.Work, got.Time)
		}
	}
}

// On a terminal a verdict stands in line.
func TestFactsStandInLine(t *testing.T) {
	s, out, _ := terminal(nil)
	facts(s, []string{"cost", "12"}, []string{"rack_wait", "7"})
	if got := out.String(); got != "cost       12\nrack_wait  7\n" {
		t.Errorf("got %q", got)
	}
}

package why

import (
	"context"
	"os"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/solve"
	"pourweek/solve/inst"
	"pourweek/solve/sat"
)

// The kernel lets each plan be: of no pour of a plan does it say that it cannot
// be ready when it is, with all facts and all others in, nor of all together when
// the last is. The weeks have every
// optional rule.
func TestKernelAllowsThePlan(t *testing.T) {
	asked := 0
	for seed := uint64(1); seed <= toys(30)/4; seed++ {
		asked += allows(t, "random", modeltest.Random(seed, modeltest.Options{MaxPours: 8}))
	}
	if asked < 20 {
		t.Fatalf("%d questions are too few to tell", asked)
	}
	t.Logf("%d questions", asked)
}

func TestKernelAllowsSharedPlans(t *testing.T) {
	names := []string{"tiny-04", "tiny-12", "rich-01", "replan-01"}
	if os.Getenv("POURWEEK_LONG") != "" {
		names = append(names, "rich-02", "rich-05", "rich-09", "rich-14", "replan-03", "replan-05", "small-03")
	}
	for _, name := range names {
		f, err := os.Open(modeltest.Shared(t, "weeks/"+name+".json"))
		if err != nil {
			t.Fatal(err)
		}
		p, err := model.ReadProblem(name, f)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %d questions", name, allows(t, name, p))
	}
}

// allows plans a week and asks the kernel of each pour whether it can be ready
// when it is.
func allows(t *testing.T, name string, p *model.Problem) (asked int) {
	t.Helper()
	r, err := solve.Solve(context.Background(), p, solve.Options{Seed: 1, Work: 300})
	if err != nil {
		t.Fatal(err)
	}
	if r.Plan == nil {
		return 0
	}
	in, err := inst.Compile(p)
	if err != nil {
		t.Fatal(err)
	}
	all := &Asker{Problem: p, Plan: r.Plan}
	askers := []*Asker{}
	for _, x := range r.Plan.Pours {
		askers = append(askers, &Asker{Problem: p, Plan: r.Plan, Pour: x.ID, Due: x.Ready})
		all.Pour, all.With, all.Due = x.ID, append(all.With, x.ID), max(all.Due, x.Ready)
	}
	for _, a := range append(askers, all) {
		k := a.newKernel(in, a.others(in))
		if k.tooBig() {
			continue
		}
		for _, f := range k.rules.facts {
			k.m.Add(sat.Clause{k.rules.lits[f]})
		}
		res, err := k.m.Minimize(sat.Options{Solves: 1})
		if err != nil {
			t.Fatal(err)
		}
		if res.Status == sat.Infeasible {
			t.Errorf("%s: the kernel refutes that %s and %v are ready at %d, as in a plan", name, a.Pour, a.With, a.Due)
		}
		asked++
	}
	return asked
}

package why

import (
	"context"
	"slices"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/solve/inst"
	"pourweek/solve/sat"
)

// tally counts what a test of the kernel saw.
type tally struct {
	asked, causes  int // questions, and those that exhaustive search answers with no
	cores, settled int // proven by the kernel; the cause is just its core
	facts          int // in those causes
	pairs          int // questions about two pours at once
	refuted, kept  int // sets of facts that the kernel refutes, and that it does not though they clash
}

// What the kernel says cannot be, exhaustive search does not find either: for
// the facts of its core, and for each by itself, all but each, and none. The
// plans are the cheapest, and the cheapest that put one pour first, so that
// others are in its way. How often the kernel alone names the cause is printed.
func TestKernelIsSound(t *testing.T) {
	seeds := uint64(30)
	if toys(1) > 1 {
		seeds = 53
	}
	var n tally
	for seed := uint64(1); seed <= seeds; seed++ {
		p := modeltest.Toy(seed)
		for _, plan := range toyPlans(p) {
			for _, x := range plan.Pours {
				for _, early := range []model.Tick{0, 1, 4, 9} {
					a := &Asker{Problem: p, Plan: plan, Pour: x.ID, Due: x.Ready - early, Solve: exhaustive}
					if a.Due > 0 {
						n.asked++
						a.soundCore(t, seed, &n)
						a.soundParts(t, seed, &n)
					}
				}
			}
			a := together(p, plan, seed)
			if a.Due--; a.Due > 0 {
				n.pairs++
				a.soundCore(t, seed, &n)
				a.soundParts(t, seed, &n)
			}
		}
	}
	t.Logf("%d questions, %d causes of %d facts; the kernel proves %d and settles %d alone (%.0f%%); it refutes %d sets of facts and misses %d",
		n.asked, n.causes, n.facts, n.cores, n.settled, 100*float64(n.settled)/float64(max(n.causes, 1)), n.refuted, n.kept)
	if n.settled == 0 || n.facts == 0 || n.refuted == 0 || n.pairs == 0 {
		t.Fatal("the kernel settles nothing")
	}
}

// together asks about two pours of a plan at once, which the later is ready for.
func together(p *model.Problem, plan *model.Plan, seed uint64) *Asker {
	a := &Asker{Problem: p, Plan: plan, Solve: exhaustive}
	if n := uint64(len(plan.Pours)); n > 1 {
		x, y := plan.Pours[seed%n], plan.Pours[(seed+1)%n]
		a.Pour, a.With, a.Due = x.ID, []string{y.ID}, max(x.Ready, y.Ready)
	}
	return a
}

// toyPlans are the cheapest plan and those that put one pour first.
func toyPlans(p *model.Problem) []*model.Plan {
	best, _, ok := oracle.Best(p)
	if !ok || best == nil {
		return nil
	}
	plans := []*model.Plan{best}
	for _, x := range best.Pours {
		a := &Asker{Problem: p, Plan: best, Pour: x.ID, Due: x.Ready}
		if plan, _, ok := oracle.Best(a.first(p)); ok && plan != nil {
			plans = append(plans, plan)
		}
	}
	return plans
}

// soundCore compares the core of a question with exhaustive search.
func (a *Asker) soundCore(t *testing.T, seed uint64, n *tally) {
	t.Helper()
	facts, proven, err := a.core(context.Background())
	if err != nil {
		t.Fatalf("seed %d %s: %v", seed, a.Pour, err)
	}
	if late, _ := a.Possible(context.Background(), a.facts()); late == No {
		n.causes++
	}
	if !proven {
		return
	}
	n.cores++
	if ans, _ := a.Possible(context.Background(), facts); ans == Yes {
		t.Errorf("seed %d %s by %d: a plan has it on time with %v", seed, a.Pour, a.Due, facts)
	}
	c, err := a.Cause(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if c.Proof == Kernel && slices.Equal(c.Facts, facts) {
		n.settled++
		n.facts += len(facts)
	}
}

// soundParts asks the kernel about all but one of the facts, about each alone,
// and about none, and counts what it refutes.
func (a *Asker) soundParts(t *testing.T, seed uint64, n *tally) {
	t.Helper()
	in, err := inst.Compile(a.Problem)
	if err != nil {
		t.Fatal(err)
	}
	all := a.facts()
	sets := [][]Fact{nil, all}
	for _, f := range all {
		sets = append(sets, []Fact{f}, slices.DeleteFunc(slices.Clone(all), func(x Fact) bool { return x == f }))
	}
	for _, facts := range sets {
		k := a.newKernel(in, a.others(in))
		for _, f := range facts {
			k.m.Add(sat.Clause{k.rules.lits[f]})
		}
		r, err := k.m.Minimize(sat.Options{Solves: 1})
		if err != nil {
			t.Fatal(err)
		}
		ans, _ := a.Possible(context.Background(), facts)
		switch {
		case r.Status == sat.Infeasible && ans == Yes:
			t.Errorf("seed %d %s by %d: the kernel refutes %v, a plan has it on time", seed, a.Pour, a.Due, facts)
		case r.Status == sat.Infeasible:
			n.refuted++
		case ans == No:
			n.kept++
		}
	}
}

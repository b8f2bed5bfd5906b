package why

import (
	"context"
	"slices"
	"testing"

	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/solve/inst"
	"pourweek/solve/sat"
)

// What the kernel says cannot be, exhaustive search does not find either: for
// the facts of its core, and for any that it is asked about. How often the
// kernel alone names the cause is printed.
func TestKernelIsSound(t *testing.T) {
	seeds, asked, cores, parts, settled, causes := toys(25), 0, 0, 0, 0, 0
	for seed := uint64(1); seed <= seeds; seed++ {
		p := modeltest.Toy(seed)
		plan, _, ok := oracle.Best(p)
		if !ok || plan == nil {
			continue
		}
		for _, a := range askers(p, plan, exhaustive) {
			asked++
			facts, proven, err := a.core()
			if err != nil {
				t.Fatalf("seed %d %s: %v", seed, a.Pour, err)
			}
			late, _ := a.Possible(context.Background(), a.facts())
			if late == No {
				causes++
			}
			if proven {
				cores++
				if ans, _ := a.Possible(context.Background(), facts); ans == Yes {
					t.Errorf("seed %d %s by %d: a plan has it on time with %v", seed, a.Pour, a.Due, facts)
				}
				c, err := a.Cause(context.Background())
				if err != nil {
					t.Fatal(err)
				}
				if c.Proof == Kernel && slices.Equal(c.Facts, facts) {
					settled++
				}
			}
			parts += a.soundParts(t, seed)
		}
	}
	t.Logf("%d questions, %d causes; the kernel proves %d and settles %d alone (%.0f%%); %d sets of facts refuted", asked, causes, cores, settled,
		100*float64(settled)/float64(max(causes, 1)), parts)
	if settled == 0 || parts == 0 {
		t.Fatal("the kernel settles nothing")
	}
}

// soundParts asks the kernel about all but one of the facts, and about each
// alone, and counts what it refutes.
func (a *Asker) soundParts(t *testing.T, seed uint64) int {
	t.Helper()
	in, err := inst.Compile(a.Problem)
	if err != nil {
		t.Fatal(err)
	}
	all, refuted := a.facts(), 0
	var sets [][]Fact
	for _, f := range all {
		sets = append(sets, []Fact{f}, slices.DeleteFunc(slices.Clone(all), func(x Fact) bool { return x == f }))
	}
	for _, facts := range append(sets, nil) {
		k := a.newKernel(in, a.others(in))
		for _, f := range facts {
			k.m.Add(sat.Clause{k.rules.lits[f]})
		}
		r, err := k.m.Minimize(sat.Options{Solves: 1})
		if err != nil {
			t.Fatal(err)
		}
		if r.Status != sat.Infeasible {
			continue
		}
		refuted++
		if ans, _ := a.Possible(context.Background(), facts); ans == Yes {
			t.Errorf("seed %d %s by %d: the kernel refutes %v, a plan has it on time", seed, a.Pour, a.Due, facts)
		}
	}
	return refuted
}

package why

import (
	"context"
	"os"
	"slices"
	"strconv"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/model/whatif"
	"pourweek/solve"
)

// toys is the number of random weeks to ask: all 200 of the long run, or few.
func toys(few uint64) uint64 {
	if os.Getenv("POURWEEK_LONG") != "" {
		return 200
	}
	return few
}

// exhaustive answers toys by trying everything.
func exhaustive(_ context.Context, p *model.Problem, _ solve.Options) (*solve.Result, error) {
	plan, cost, ok := oracle.Best(p)
	switch {
	case !ok:
		return &solve.Result{Status: solve.Unknown}, nil
	case plan == nil:
		return &solve.Result{Status: solve.Infeasible}, nil
	}
	return &solve.Result{Status: solve.Optimal, Plan: plan, Bound: cost}, nil
}

// late lists pours of the plan with a due time a tick before they are ready.
func askers(p *model.Problem, plan *model.Plan, s solve.Solver) []*Asker {
	var out []*Asker
	for _, x := range plan.Pours {
		for _, early := range []model.Tick{1, 6} {
			if due := x.Ready - early; due > 0 {
				out = append(out, &Asker{Problem: p, Plan: plan, Pour: x.ID, Due: due, Solve: s, Work: 2000})
			}
		}
	}
	return out
}

// Each cause is impossible by itself, and without any one of its facts it is
// not; both are told by exhaustive search.
func TestCausesAreSoundAndLeast(t *testing.T) {
	seeds, causes, proper := toys(12), 0, 0
	for seed := uint64(1); seed <= seeds; seed++ {
		p := modeltest.Toy(seed)
		plan, _, ok := oracle.Best(p)
		if !ok || plan == nil {
			continue
		}
		for _, a := range askers(p, plan, exhaustive) {
			c, err := a.Cause(context.Background())
			if err != nil {
				t.Fatal(err)
			}
			if c.Impossible != No {
				continue
			}
			causes++
			if ans, _ := a.Possible(context.Background(), c.Facts); ans != No {
				t.Errorf("seed %d %s: the facts %v do not make it late", seed, a.Pour, c.Facts)
			}
			if !c.Least {
				continue
			}
			for i := range c.Facts {
				rest := slices.Delete(slices.Clone(c.Facts), i, i+1)
				if ans, _ := a.Possible(context.Background(), rest); ans == No {
					t.Errorf("seed %d %s: %v is late without %v too", seed, a.Pour, c.Facts, c.Facts[i])
				}
				proper++
			}
		}
	}
	if causes < 10 || proper == 0 {
		t.Fatalf("%d causes with %d facts are too few to tell", causes, proper)
	}
	t.Logf("%d causes with %d facts", causes, proper)
}

func TestMendsDoMend(t *testing.T) {
	mends, seeds := 0, toys(12)
	for seed := uint64(1); seed <= seeds; seed++ {
		p := modeltest.Toy(seed)
		plan, _, ok := oracle.Best(p)
		if !ok || plan == nil {
			continue
		}
		for _, a := range askers(p, plan, exhaustive) {
			cases := []whatif.Case{{Kind: whatif.People, Spec: "+1:" + p.People[0].Skills[0]}, {Kind: whatif.Racks, Spec: "+1:" + p.Racks[0].ID}}
			ms, err := a.Mends(context.Background(), cases, func(p *model.Problem, plan *model.Plan) (model.Mils, bool) {
				c, broken := oracle.Judge(p, plan)
				return c, broken == ""
			})
			if err != nil {
				t.Fatal(err)
			}
			for i, m := range ms {
				mends++
				if !oracle.Allowed(m.Problem, m.Plan) || !a.onTime(m.Plan) {
					t.Errorf("seed %d: %s does not mend %s", seed, m.Case.Name(), a.Pour)
				}
				if i > 0 && ms[i-1].Cost > m.Cost {
					t.Errorf("seed %d: mends are not sorted", seed)
				}
			}
		}
	}
	if mends == 0 {
		t.Fatal("nothing was mended")
	}
	t.Logf("%d mends", mends)
}

func TestChainCoversEveryStep(t *testing.T) {
	clock := func(t model.Tick) string { return "tick " + strconv.Itoa(int(t)) }
	links, waits := 0, 0
	for seed := uint64(1); seed <= 30; seed++ {
		p := modeltest.Toy(seed)
		plan, _, ok := oracle.Best(p)
		if !ok || plan == nil {
			continue
		}
		for _, x := range plan.Pours {
			chain := Chain(p, plan, x.ID, clock)
			if len(chain) == 0 || chain[len(chain)-1].At[1] != x.Ready {
				t.Fatalf("seed %d %s: the chain %v does not end at %d", seed, x.ID, chain, x.Ready)
			}
			for i, l := range chain {
				links++
				if l.Text == "" || l.Waited < 0 || i > 0 && l.At[0] < chain[i-1].At[1] {
					t.Errorf("seed %d %s: %+v", seed, x.ID, l)
				}
				if l.Waited > 0 {
					waits++
				}
			}
		}
	}
	if waits == 0 {
		t.Fatal("no step waited")
	}
	t.Logf("%d links, %d waits", links, waits)
}

// What the solver answers within its work is true: exhaustive search says the
// same wherever it says yes or no.
func TestAnswersWithinTheWorkAreTrue(t *testing.T) {
	seeds, told, open := toys(10), map[Answer]int{}, 0
	for seed := uint64(1); seed <= seeds; seed++ {
		p := modeltest.Toy(seed)
		plan, _, ok := oracle.Best(p)
		if !ok || plan == nil {
			continue
		}
		for _, a := range askers(p, plan, solve.Solve) {
			a.Work = 300
			all := a.facts()
			for _, facts := range [][]Fact{all, nil, all[:len(all)/2]} {
				got, err := a.Possible(context.Background(), facts)
				if err != nil {
					t.Fatal(err)
				}
				if got == NotProven {
					open++
					continue
				}
				told[got]++
				sure := *a
				sure.Solve = exhaustive
				if want, _ := sure.Possible(context.Background(), facts); want != NotProven && want != got {
					t.Errorf("seed %d %s: the solver answers %d to %v, exhaustive search %d", seed, a.Pour, got, facts, want)
				}
			}
		}
	}
	if told[Yes] == 0 || told[No] == 0 {
		t.Fatalf("yes %d times, no %d times", told[Yes], told[No])
	}
	t.Logf("yes %d times, no %d times, not proven %d times", told[Yes], told[No], open)
}

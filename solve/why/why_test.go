package why

import (
	"context"
	"os"
	"slices"
	"strconv"
	"strings"
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
				t.Errorf("seed %d %s: whether %v is least is open, though everything was tried", seed, a.Pour, c.Facts)
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
			cases := []whatif.Case{{Kind: whatif.Today}, {Kind: whatif.People, Spec: "+1:" + p.People[0].Skills[0]}, {Kind: whatif.Racks, Spec: "+1:" + p.Racks[0].ID}}
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

// Of a prep that waits by choice in the end, the answer says first what its mold
// was held for, which may be most of the wait.
func TestAChosenWaitSaysWhatTheMoldWasHeldFor(t *testing.T) {
	clock := func(t model.Tick) string { return "tick " + strconv.Itoa(int(t)) }
	for _, c := range []struct {
		free model.Tick
		want string
	}{
		{10, "mold m1 is not free before tick 10; after that it could start earlier by itself"},
		{0, "it could start earlier by itself"},
	} {
		p := smallShop()
		p.Molds, p.Pours = p.Molds[:1], p.Pours[:1]
		p.Pours[0].Molds, p.Molds[0].FreeFrom = p.Pours[0].Molds[:1], c.free
		r, err := solve.Solve(context.Background(), p, solve.Options{Seed: 1, Work: 500})
		if err != nil || r.Plan == nil || len(r.Plan.Pours) != 1 {
			t.Fatal(r, err)
		}
		r.Plan.Pours[0].Prep = &model.Interval{12, 13}
		if l := Chain(p, r.Plan, "A", clock)[0]; l.Binds != "choice" || !strings.HasPrefix(l.Text, c.want) {
			t.Errorf("free from %d: %+v", c.free, l)
		}
	}
}

// Another piece that would miss its truck becomes late, though it were ready when
// it is due.
func TestNoOtherMayMissItsTruck(t *testing.T) {
	p := smallShop()
	p.Pours[1].Due = 70
	p.Shipments = []model.Shipment{{ID: "B", Pours: []string{"B"}, Due: 70, LatePerTick: 9, Trucks: []model.Tick{64, 71}}}
	r, err := solve.Solve(context.Background(), p, solve.Options{Seed: 1, Work: 500})
	if err != nil || r.Plan == nil || len(r.Plan.Pours) != 2 {
		t.Fatal(r, err)
	}
	a := &Asker{Problem: p, Plan: r.Plan, Pour: "A", Due: 35}
	if got := a.question(a.facts()).Pours[1].Due; got != 64 {
		t.Errorf("the other may be ready by %d, and its truck leaves at 64", got)
	}
}

// The question means what it says. A plan that answers yes while all facts hold
// is one of the week itself, with the pour on time and no other that becomes
// late, or later than it is, or is carried; it also answers yes when any fact but
// the others is lifted. Where the answer is no, not even the best plan that puts
// the pour first is such a one.
func TestTheQuestionIsAboutTheWeek(t *testing.T) {
	seeds, yes, no := toys(12), 0, 0
	for seed := uint64(1); seed <= seeds; seed++ {
		p := modeltest.Toy(seed)
		plan, _, ok := oracle.Best(p)
		if !ok || plan == nil {
			continue
		}
		for _, a := range askers(p, plan, exhaustive) {
			all := a.facts()
			found, cost, ok := oracle.Best(a.question(all))
			switch {
			case !ok:
			case found != nil && cost == 0:
				yes++
				if !a.mended(p, found) {
					t.Errorf("seed %d %s: the plan that answers yes is none of the week", seed, a.Pour)
				}
				for _, f := range all[1:] {
					rest := slices.DeleteFunc(slices.Clone(all), func(x Fact) bool { return x == f })
					if c, broken := oracle.Judge(a.question(rest), found); broken != "" || c != 0 {
						t.Errorf("seed %d %s: lifting %v forbids a plan: %s", seed, a.Pour, f, broken)
					}
				}
			default:
				no++
				if first, _, ok := oracle.Best(a.first(p)); ok && first != nil && a.mended(p, first) {
					t.Errorf("seed %d %s: the answer is no, and a plan has it on time", seed, a.Pour)
				}
			}
		}
	}
	if yes < 2 || no < 5 {
		t.Errorf("yes %d times, no %d times", yes, no)
	}
	t.Logf("yes %d times, no %d times", yes, no)
}

// mended reports whether a plan is allowed in the week, has the pour on time and
// none of the others late, or later than planned, that was not; nor carried.
func (a *Asker) mended(p *model.Problem, plan *model.Plan) bool {
	free := *plan
	free.Cost = model.Unstated
	if !oracle.Allowed(p, &free) || !a.onTime(plan) {
		return false
	}
	ready := map[string]model.Tick{}
	for _, x := range plan.Pours {
		ready[x.ID] = x.Ready
	}
	due := map[string]model.Tick{}
	for _, x := range p.Pours {
		due[x.ID] = x.Due
	}
	for _, x := range a.Plan.Pours {
		at, planned := ready[x.ID]
		if x.ID != a.Pour && (!planned || at > max(x.Ready, due[x.ID])) {
			return false
		}
	}
	return true
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

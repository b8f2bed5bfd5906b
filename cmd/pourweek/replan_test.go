package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/solve"
)

// On the shared replanning weeks a price of 0 on moving gives the plan, to the
// byte, that planning without bases gives.
func TestMovingForNothingIsPlanningAnew(t *testing.T) {
	files, _ := filepath.Glob("../../../shared/weeks/replan-*.json")
	if len(files) == 0 {
		t.Skip("the shared weeks are not beside the module")
	}
	for _, f := range files {
		r, err := os.Open(f)
		if err != nil {
			t.Fatal(err)
		}
		p, err := model.ReadProblem(f, r)
		r.Close()
		if err != nil {
			t.Fatal(err)
		}
		bare, bases := withoutBases(p)
		if bases == 0 {
			t.Errorf("%s has no bases", f)
		}
		var a, b bytes.Buffer
		for out, q := range map[*bytes.Buffer]*model.Problem{&a: priced(p, 0), &b: bare} {
			if err := model.WritePlan(out, answered(t, q)); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("%s: another plan with bases and no price on moving than without bases", filepath.Base(f))
		}
	}
}

func withoutBases(p *model.Problem) (bare *model.Problem, bases int) {
	q := *p
	q.Pours = slices.Clone(p.Pours)
	for i := range q.Pours {
		if q.Pours[i].Base != nil {
			q.Pours[i].Base, bases = nil, bases+1
		}
	}
	return &q, bases
}

// On toys it is proven: with bases anywhere and no price on moving the best
// plan costs what it costs without bases, by the solver and by trying everything.
func TestMovingForNothingCostsNothing(t *testing.T) {
	proven := 0
	for seed := uint64(1); seed <= 8; seed++ {
		p := modeltest.Toy(seed)
		p.Costs.Move = 0
		for i := range p.Pours {
			if x := &p.Pours[i]; x.Stage == model.New {
				x.Base = &model.Spot{Mold: x.Molds[int(seed)%len(x.Molds)].Mold, Start: (p.Now + model.Tick(7*i) + model.Tick(seed)) % p.PourUntil}
			}
		}
		bare, bases := withoutBases(p)
		_, best, ok := oracle.Best(bare)
		if bases == 0 || !ok {
			continue
		}
		for _, q := range []*model.Problem{p, bare} {
			r, err := solve.Solve(context.Background(), q, solve.Options{Seed: 1, Work: 1000})
			if err != nil {
				t.Fatal(err)
			}
			if r.Status == solve.Optimal {
				proven++
				if r.Plan.Cost != best {
					t.Errorf("seed %d: proven %d, and the best plan without bases costs %d", seed, r.Plan.Cost, best)
				}
			}
		}
	}
	if proven < 10 {
		t.Errorf("only %d weeks were proven", proven)
	}
	t.Logf("%d weeks proven", proven)
}

func answered(t *testing.T, p *model.Problem) *model.Plan {
	t.Helper()
	r, err := solve.Solve(context.Background(), p, solve.Options{Seed: 1, Work: 200})
	if err != nil || r.Plan == nil {
		t.Fatalf("%s: %v, %v", p.Name, r, err)
	}
	return r.Plan
}

// Whatever plans stand for choice, a higher price of moving moves no more, and
// the rest of the week then costs no less.
func TestAHigherPriceMovesNoMore(t *testing.T) {
	w := &model.Week{Problem: &model.Problem{}}
	w.Problem.Costs.Move = 100
	for code := range 4096 { // three choices, each of 4 costs and 4 numbers of moves
		r := &replanning{week: w}
		for c, i := code, 0; i < 3; i, c = i+1, c/16 {
			r.choices = append(r.choices, choice{rest: model.Mils(c % 4 * 70), moves: c / 4 % 4, kept: i == 0})
		}
		r.choices[0].moves = 0 // what is kept does not move
		least, shop, best := r.pick(touchLeast), r.pick(shopPrice), r.pick(bestRest)
		if least.moves > shop.moves || shop.moves > best.moves {
			t.Fatalf("%+v: %d, %d, %d moves", r.choices, least.moves, shop.moves, best.moves)
		}
		if best.rest > shop.rest || shop.rest > least.rest {
			t.Fatalf("%+v: the rest costs %d, %d, %d", r.choices, best.rest, shop.rest, least.rest)
		}
		for _, c := range r.choices { // the published plan stays for want of more than a move's price
			if stays := r.choices[0].rest <= c.rest+100*model.Mils(c.moves+1); shop.kept && !stays {
				t.Fatalf("%+v: kept, though %+v saves more", r.choices, c)
			}
		}
		if !shop.kept && r.choices[0].rest-shop.rest <= 100*model.Mils(shop.moves+1) {
			t.Fatalf("%+v: not kept, though %+v saves no more than its moves and one more", r.choices, shop)
		}
	}
}

// Colder air holds what is under way longer in its mold, warmer air lets it
// out earlier.
func TestAirMovesTheCureOfWhatIsUnderWay(t *testing.T) {
	cured := func(entry ...string) map[string]model.Tick {
		dir := shopFolder(t)
		must(t, "plan", dir, "--week", "2027-03-01", "--work", "300", "--publish")
		if len(entry) > 0 {
			must(t, append([]string{"log", dir}, entry...)...)
		}
		out := filepath.Join(t.TempDir(), "week.json")
		must(t, "replan", dir, "--now", "Mon 14:00", "--best", "--work", "300", "--out", out)
		m := map[string]model.Tick{}
		for _, p := range readWeek(t, out).Problem.Pours {
			if p.Stage == model.Curing {
				m[p.ID] = p.CureEnd
			}
		}
		return m
	}
	usual := cured()
	cold := cured("Mon", "13:00", "air", "50", "F", "until", "Wed", "12:00")
	warm := cured("Mon", "13:00", "air", "68 F", "until", "Wed", "12:00")
	moved := 0
	for id, t0 := range usual {
		if cold[id] < t0 || warm[id] > t0 {
			t.Errorf("%s is cured at tick %d, %d in cold and %d in warm air", id, t0, cold[id], warm[id])
		}
		if cold[id] > t0 && warm[id] < t0 {
			moved++
		}
	}
	if moved == 0 {
		t.Errorf("no cure moved: %v, cold %v, warm %v", usual, cold, warm)
	}
}

// Asked for one after the other, the ways to go on do not contradict each other:
// touching least moves no more than any other, the best one costs no more.
func TestTheWaysToGoOnAgree(t *testing.T) {
	dir := shopFolder(t)
	must(t, "plan", dir, "--week", "2027-03-01", "--work", "20000", "--publish")
	must(t, "log", dir, "Tue 8:30", "mold-down", "PN1", "until", "Thu 12:00")
	ways := map[string]*model.Week{}
	moved := map[string]int{}
	rest := map[string]model.Mils{}
	for _, way := range []string{"", "--touch-least", "--best"} {
		out := filepath.Join(t.TempDir(), "new.json")
		args := []string{"replan", dir, "--now", "Tue 9:00", "--work", "2000", "--out", out}
		if way != "" {
			args = append(args, way)
		}
		must(t, args...)
		w := readWeek(t, out)
		ways[way] = w
		r := replanning{week: w}
		moved[way], rest[way] = r.moves(w.Plan), w.Plan.Cost-w.Plan.Terms.Move
		if v := check.Check(w.Problem, w.Plan); !v.Allowed {
			t.Errorf("%q: %v", way, v.Broken)
		}
	}
	if moved["--touch-least"] > moved[""] || moved[""] > moved["--best"] {
		t.Errorf("moves: %v", moved)
	}
	if rest["--best"] > rest[""] || rest[""] > rest["--touch-least"] {
		t.Errorf("cost without moves: %v", rest)
	}
	if w := ways["--best"]; w.Plan.Terms.Move != 0 || w.Plan.Cost < w.Plan.Bound {
		t.Errorf("the best one costs %d, %d of it moves, bound %d", w.Plan.Cost, w.Plan.Terms.Move, w.Plan.Bound)
	}
}

package main

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"pourweek/model"
	"pourweek/solve"
)

// On the shared replanning weeks a price of 0 on moving gives what planning
// without bases gives, and the shop's price never moves more than that.
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
		free, bare := *p, *p
		free.Costs.Move, bare.Costs.Move = 0, 0
		bare.Pours = slices.Clone(p.Pours)
		bases := 0
		for i := range bare.Pours {
			if bare.Pours[i].Base != nil {
				bare.Pours[i].Base, bases = nil, bases+1
			}
		}
		if bases == 0 {
			t.Errorf("%s has no bases", f)
		}
		a, b := answered(t, &free), answered(t, &bare)
		if a.Cost != b.Cost {
			t.Errorf("%s: %d with bases and no price on moving, %d without bases", filepath.Base(f), a.Cost, b.Cost)
		}
	}
}

func answered(t *testing.T, p *model.Problem) *model.Plan {
	t.Helper()
	r, err := solve.Solve(context.Background(), p, solve.Options{Seed: 1, Work: 400})
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
		least, shop, best := r.pick(touchLeast), r.pick(shopPrice), r.pick(bestRest)
		if least.moves > shop.moves || shop.moves > best.moves {
			t.Fatalf("%+v: %d, %d, %d moves", r.choices, least.moves, shop.moves, best.moves)
		}
		if best.rest > shop.rest || shop.rest > least.rest {
			t.Fatalf("%+v: the rest costs %d, %d, %d", r.choices, best.rest, shop.rest, least.rest)
		}
	}
}

package why

import (
	"context"
	"slices"
	"testing"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/model/whatif"
	"pourweek/solve"
)

// A mold that two kinds of pieces share is in the way of both; one more for the
// piece that is asked about is tried though each kind has as many molds as pours,
// and mends it.
func TestOneMoreOfWhatThePourNeedsIsTried(t *testing.T) {
	p := smallShop()
	p.Molds[0].Down = []model.Interval{{9, 30}}
	p.Pours[1].Piece = "other"
	p.Pours[1].LatePerTick = 100_000
	r, err := solve.Solve(context.Background(), p, solve.Options{Seed: 1, Work: 2000})
	if err != nil || r.Plan == nil {
		t.Fatal(err)
	}
	a := &Asker{Problem: p, Plan: r.Plan, Pour: "A", Due: 35, Solve: solve.Solve, Work: 2000}
	if a.onTime(r.Plan) {
		t.Fatal("A is on time as it is")
	}
	tried := a.Changes(false)
	for _, want := range []whatif.Case{{Kind: whatif.Today}, {Kind: whatif.Molds, Spec: "+1:piece"}, {Kind: whatif.Stations, Spec: "+1:bench"}} {
		if !slices.Contains(tried, want) {
			t.Errorf("%s is not tried: %v", want.Name(), tried)
		}
	}
	for i, c := range tried {
		if c.Takes() || slices.Contains(tried[:i], c) {
			t.Errorf("%s is tried", c.Name())
		}
	}
	mends, err := a.Mends(context.Background(), tried, func(p *model.Problem, plan *model.Plan) (model.Mils, bool) {
		v := check.Check(p, plan)
		return v.Cost, v.Allowed
	})
	if err != nil || !slices.ContainsFunc(mends, func(m Mend) bool { return m.Case.Spec == "+1:piece" && m.Case.Kind == whatif.Molds }) {
		t.Errorf("one more mold is no mend: %+v (%v)", mends, err)
	}
	if slices.ContainsFunc(mends, func(m Mend) bool { return m.Case.Kind == whatif.Stations }) {
		t.Errorf("one more bench is said to mend it")
	}
}

// A pour that is late by its own steps can be helped by more hours alone.
func TestOnlyHoursAreTriedForAPourThatIsLateByItself(t *testing.T) {
	a := &Asker{Problem: smallShop(), Plan: &model.Plan{}, Pour: "A", Due: 34}
	tried := a.Changes(true)
	if len(tried) == 0 || slices.ContainsFunc(tried, func(c whatif.Case) bool { return c.Kind != whatif.Overtime || c.Takes() }) {
		t.Errorf("tried: %v", tried)
	}
}

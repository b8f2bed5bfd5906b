package compare

import (
	"context"
	"reflect"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/model/whatif"
	"pourweek/solve"
)

func cost(p *model.Problem, plan *model.Plan) (model.Mils, bool) {
	c, broken := oracle.Judge(p, plan)
	return c, broken == ""
}

// Rows do not depend on how many are worked on at a time, a case that adds is
// never dearer, and two equal cases give equal rows.
func TestRunIsTheSameAnyNumberAtATime(t *testing.T) {
	for seed := uint64(1); seed <= 2; seed++ {
		p := modeltest.Random(seed, modeltest.Options{})
		skill := p.People[0].Skills[0]
		cases := []whatif.Case{
			{Kind: whatif.People, Spec: "+1:" + skill}, {Kind: whatif.People, Spec: "+1:" + skill},
			{Kind: whatif.Racks, Spec: "+3:" + p.Racks[0].ID}, {Kind: whatif.Overtime, Spec: "none"},
		}
		o := Options{Seeds: []uint64{1, 2}, Work: 300, Parallel: 1, Solve: solve.Solve, Cost: cost}
		one, err := Run(context.Background(), p, cases, o)
		if err != nil {
			t.Fatal(err)
		}
		o.Parallel = 3
		three, err := Run(context.Background(), p, cases, o)
		if err != nil {
			t.Fatal(err)
		}
		for i := range one {
			if !reflect.DeepEqual(one[i].Result.Plan, three[i].Result.Plan) || one[i].Told != three[i].Told {
				t.Errorf("seed %d, %s: the row depends on how many run at a time", seed, one[i].Case.Name())
			}
		}
		if a, b := one[1], one[2]; a.Told != b.Told || a.Saves != b.Saves || !reflect.DeepEqual(a.Costs, b.Costs) {
			t.Errorf("seed %d: equal cases give %v and %v", seed, a.Costs, b.Costs)
		}
		for _, r := range one[1:] {
			if r.Case.Adds() && one[0].Result.Plan != nil && (r.Result.Plan == nil || r.Saves < 0) {
				t.Errorf("seed %d: %s saves %d", seed, r.Case.Name(), r.Saves)
			}
		}
	}
}

func TestJudge(t *testing.T) {
	row := func(cost, bound model.Mils, costs ...model.Mils) Row {
		return Row{Result: &solve.Result{Plan: &model.Plan{Cost: cost}, Bound: bound}, Costs: costs}
	}
	today := row(100, 80, 100, 110)
	for _, c := range []struct {
		row   Row
		told  Told
		saves model.Mils
	}{
		{row(70, 60, 70, 75), Proven, 30},      // cheaper than any plan of today
		{row(130, 105, 130, 135), Proven, -30}, // dearer than today's plan, whatever is done
		{row(90, 70, 90, 95), Likely, 10},
		{row(95, 70, 95, 105), Noise, 5},
		{row(100, 70, 100, 100), Same, 0},
		{Row{Result: &solve.Result{}, Costs: []model.Mils{-1, -1}}, NoPlan, 0},
	} {
		r := c.row
		if r.judge(&today); r.Told != c.told || r.Saves != c.saves {
			t.Errorf("cost %v: %s saving %d, want %s saving %d", r.Costs, r.Told, r.Saves, c.told, c.saves)
		}
	}
}

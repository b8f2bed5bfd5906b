package compare

import (
	"context"
	"os"
	"reflect"
	"strconv"
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
		p := modeltest.Random(seed, modeltest.Options{MaxPours: 12})
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
		{row(100, 70, 100, 100), None, 0},
		{row(95, 70, 101, 102), Noise, 5}, // the plan is another row's; the seeds point the other way
		{Row{Result: &solve.Result{}, Costs: []model.Mils{-1, -1}}, NoPlan, 0},
	} {
		r := c.row
		if r.judge(&today); r.Told != c.told || r.Saves != c.saves {
			t.Errorf("cost %v: %s saving %d, want %s saving %d", r.Costs, r.Told, r.Saves, c.told, c.saves)
		}
	}
}

// A week without a plan is no measure: a case that has one says so and saves
// nothing, and of two answers without one that which proves it is kept.
func TestTodayMayHaveNoPlan(t *testing.T) {
	p := modeltest.Toy(1)
	skill := p.People[0].Skills[0]
	answers := func(_ context.Context, q *model.Problem, o solve.Options) (*solve.Result, error) {
		switch {
		case len(q.People) > len(p.People):
			return &solve.Result{Status: solve.Feasible, Plan: &model.Plan{Cost: 9}, Bound: 4}, nil
		case o.Seed == 2:
			return &solve.Result{Status: solve.Infeasible, Reason: "hands are missing"}, nil
		}
		return &solve.Result{Status: solve.Unknown}, nil
	}
	never := func(*model.Problem, *model.Plan) (model.Mils, bool) { return 0, false }
	rows, err := Run(context.Background(), p, []whatif.Case{{Kind: whatif.People, Spec: "+1:" + skill}, {Kind: whatif.Racks, Spec: "+1:" + p.Racks[0].ID}},
		Options{Seeds: []uint64{1, 2, 3}, Work: 1, Solve: answers, Cost: never})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []Told{NoPlan, Opens, NoPlan} {
		if rows[i].Told != want || rows[i].Saves != 0 {
			t.Errorf("%s is %q and saves %d, want %q", rows[i].Case.Name(), rows[i].Told, rows[i].Saves, want)
		}
	}
	if r := rows[0].Result; r.Status != solve.Infeasible || r.Reason != "hands are missing" {
		t.Errorf("the proof that there is no plan is lost: %+v", r)
	}
}

// Answered exhaustively, every bound and cost is that of the best plan, and a
// case that has more is never worse in anything that is proven. Answered by the
// solver with little work, the same holds of what it proves: bounds and plans of
// weeks with more are no higher than those of weeks with less, no bound exceeds
// the best plan, and "told apart" is true.
func TestMoreIsNeverProvenWorse(t *testing.T) {
	seeds, pairs, apart := uint64(8), 0, 0
	if os.Getenv("POURWEEK_LONG") != "" {
		seeds = 200
	}
	for seed := uint64(1); seed <= seeds; seed++ {
		p := modeltest.Toy(seed)
		skill, rack := p.People[0].Skills[0], p.Racks[0].ID
		cases := []whatif.Case{
			{Kind: whatif.People, Spec: "+1:" + skill}, {Kind: whatif.People, Spec: "+2:" + skill}, {Kind: whatif.People, Spec: "1"},
			{Kind: whatif.People, Spec: "2"}, {Kind: whatif.Racks, Spec: "+1:" + rack}, {Kind: whatif.Racks, Spec: "-1:" + rack},
			{Kind: whatif.Overtime, Spec: "none"}, {Kind: whatif.Overtime, Spec: "daily"}, {Kind: whatif.Mixer, Spec: "+1"},
			{Kind: whatif.People, Spec: strconv.Itoa(len(p.People))}, // today once more
		}
		rows, err := Run(context.Background(), p, cases, Options{Seeds: []uint64{1, 2}, Work: 60, Parallel: 2, Solve: solve.Solve, Cost: cost})
		if err != nil {
			t.Fatal(err)
		}
		best := make([]model.Mils, len(rows))
		for i, r := range rows {
			plan, c, ok := oracle.Best(r.Problem)
			if best[i] = c; !ok || plan == nil {
				best[i] = -1
			}
			if best[i] >= 0 && (r.Result.Bound > c || r.Result.Plan != nil && r.Result.Plan.Cost < c) {
				t.Errorf("seed %d %s: the best plan costs %d; bound %d, plan %v", seed, r.Case.Name(), c, r.Result.Bound, r.Result.Plan)
			}
		}
		for i, wide := range rows {
			if wide.Told == Proven && best[i] >= 0 && best[0] >= 0 {
				if apart++; (best[i] < best[0]) != (wide.Saves > 0) || best[i] == best[0] {
					t.Errorf("seed %d: %s is told apart; the best plans cost %d and %d", seed, wide.Case.Name(), best[0], best[i])
				}
			}
			for _, narrow := range rows {
				if !whatif.Covers(wide.Problem, narrow.Problem) {
					continue
				}
				pairs++
				a, b := wide.Result, narrow.Result
				if a.Bound > b.Bound || b.Plan != nil && (a.Plan == nil || a.Plan.Cost > b.Plan.Cost) {
					t.Errorf("seed %d: %s has a worse result than %s", seed, wide.Case.Name(), narrow.Case.Name())
				}
			}
		}
		same := Same
		if rows[0].Result.Plan == nil {
			same = NoPlan
		}
		if last := rows[len(rows)-1]; last.Told != same || !reflect.DeepEqual(last.Result, rows[0].Result) || !reflect.DeepEqual(last.Costs, rows[0].Costs) {
			t.Errorf("seed %d: today's crew once more is %s, %v", seed, last.Told, last.Costs)
		}
	}
	if pairs < 100 || apart == 0 {
		t.Errorf("%d pairs, %d told apart", pairs, apart)
	}
	t.Logf("%d pairs, %d told apart", pairs, apart)
}

package solve

import (
	"testing"

	"pourweek/model"
	"pourweek/model/check"
)

// shiftProblem puts closed days of d ticks before a problem: every tick that is
// a moment moves, every number of ticks stays. What step functions say of the
// first tick holds for the days before it, too.
func shiftProblem(p *model.Problem, d model.Tick) {
	p.Horizon += d
	p.PourUntil += d
	p.Now += d
	shiftAll(p.Open, d)
	shiftAll(p.Overtime, d)
	for i := range p.People {
		shiftAll(p.People[i].On, d)
	}
	for i := range p.Mixers {
		p.Mixers[i].FreeFrom += d
		shiftAll(p.Mixers[i].Down, d)
	}
	for i := range p.Molds {
		p.Molds[i].FreeFrom += d
		shiftAll(p.Molds[i].Down, d)
	}
	for i := range p.Mixes {
		shiftSteps(p.Mixes[i].PotLife, d)
	}
	for i := range p.Racks {
		shiftSteps(p.Racks[i].Places, d)
	}
	for i := range p.Cures {
		shiftSteps(p.Cures[i].Lag, d)
	}
	for i := range p.Fixed {
		p.Fixed[i].Start += d
		p.Fixed[i].End += d
	}
	for i := range p.Callins {
		p.Callins[i].From += d
		p.Callins[i].To += d
	}
	for i := range p.Shipments {
		s := &p.Shipments[i]
		s.Due += d
		for k := range s.Trucks {
			s.Trucks[k] += d
		}
	}
	for i := range p.Pours {
		shiftPour(&p.Pours[i], d)
	}
}

func shiftPour(x *model.Pour, d model.Tick) {
	x.Due += d
	shiftAll(x.Prep.When, d)
	shiftAll(x.Cover.When, d)
	shiftAll(x.Demold.When, d)
	for j := range x.Layers {
		shiftAll(x.Layers[j].When, d)
	}
	for j := range x.Finish {
		shiftAll(x.Finish[j].When, d)
	}
	switch x.Stage {
	case model.New:
		x.Release += d
		for _, s := range []*model.Spot{x.Pin, x.Base} {
			if s != nil {
				s.Start += d
			}
		}
	case model.Curing:
		x.CureEnd += d
		shiftOpt(x.MoldUntil, d)
	case model.Racked:
		x.From += d
		shiftOpt(x.FromMax, d)
	}
}

func shiftAll(l []model.Interval, d model.Tick) {
	for i := range l {
		l[i][0] += d
		l[i][1] += d
	}
}

func shiftOpt(t *model.Tick, d model.Tick) {
	if t != nil {
		*t += d
	}
}

func shiftSteps(s model.Steps, d model.Tick) {
	for i := range s {
		if i > 0 {
			s[i][0] += int64(d)
		}
	}
}

// shiftPlan moves every tick of a plan.
func shiftPlan(plan *model.Plan, d model.Tick) {
	move := func(iv *model.Interval) {
		if iv != nil {
			iv[0] += d
			iv[1] += d
		}
	}
	for i := range plan.Batches {
		plan.Batches[i].Start += d
		move(&plan.Batches[i].Wash)
	}
	for i := range plan.Pours {
		x := &plan.Pours[i]
		move(x.Prep)
		shiftAll(x.Layers, d)
		move(x.Cover)
		shiftOpt(x.CureEnd, d)
		move(x.Demold)
		for _, iv := range x.Finish {
			move(iv)
		}
		x.Ready += d
	}
}

// same checks that two ways to say the same week agree: each plan is allowed
// in the other's words at the same cost, no bound of one is above a plan of the
// other, and proven optima are equal. back tells a plan of q in the words of p.
func (c *tally) same(t *testing.T, w smallWeek, q *model.Problem, back func(*model.Plan) *model.Plan) {
	t.Helper()
	if is := q.Validate(); len(is) > 0 {
		t.Fatalf("not valid: %s", is[0])
	}
	a, b := mustSolve(t, w.p, w.o), mustSolve(t, q, w.o)
	c.pairs++
	if a.Status == Infeasible && b.Plan != nil || b.Status == Infeasible && a.Plan != nil {
		t.Errorf("one has a plan and the other is called infeasible: %q, %q", a.Reason, b.Reason)
	}
	if b.Plan == nil || a.Plan == nil {
		return
	}
	if v := check.Check(w.p, back(copyOfPlan(t, b.Plan))); !v.Allowed {
		t.Errorf("the plan is refused where it is told back: %s", v.Broken[0].Text)
	}
	if a.Bound > b.Plan.Cost || b.Bound > a.Plan.Cost {
		t.Errorf("costs are %d and %d, bounds %d (%s) and %d (%s)", a.Plan.Cost, b.Plan.Cost, a.Bound, a.BoundSource, b.Bound, b.BoundSource)
	}
	if a.Status == Optimal && b.Status == Optimal {
		c.proven++
		if a.Plan.Cost != b.Plan.Cost {
			t.Errorf("the optimum is %d and %d", a.Plan.Cost, b.Plan.Cost)
		}
	}
}

func (c *tally) shift(t *testing.T, w smallWeek) {
	t.Helper()
	day := model.Tick(model.MinutesPerDay / w.p.TickMinutes)
	q := copyOf(t, w.p)
	shiftProblem(q, day)
	t.Run(w.p.Name, func(t *testing.T) {
		c.same(t, w, q, func(plan *model.Plan) *model.Plan {
			shiftPlan(plan, -day)
			return plan
		})
	})
}

// sizes are how many toys and random weeks a property is tried on.
func sizes() (toys, randoms uint64) {
	switch {
	case long():
		return 2000, 500
	case testing.Short():
		return 20, 4
	}
	return 100, 15
}

// A closed day before the week changes nothing.
func TestShiftingTheWeekByADayChangesNothing(t *testing.T) {
	toys, randoms := sizes()
	var c tally
	for _, w := range smallWeeks(t, toys, randoms) {
		c.shift(t, w)
	}
	c.judge(t, int(toys)/4)
}

func TestShiftingATinyWeekByADayChangesNothing(t *testing.T) {
	var c tally
	for _, w := range tinyWeeks(t) {
		c.shift(t, w)
	}
	c.judge(t, 1)
}

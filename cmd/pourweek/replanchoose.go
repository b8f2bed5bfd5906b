package main

import (
	"context"
	"errors"
	"slices"
	"strings"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/model/replan"
	"pourweek/report"
	"pourweek/solve"
)

// choice is one way to go on.
type choice struct {
	plan  *model.Plan
	rest  model.Mils // its cost without what moving costs
	moves int        // pours that people prepare for and that move
	kept  bool       // what is left of the published plan
	order *state     // not nil: it is allowed in this state alone, see replan.Facts.InOrder
}

// The ways to choose among plans, by what counts first.
const (
	touchLeast = "touch-least"
	shopPrice  = "shop price"
	bestRest   = "best"
)

// answer chooses a plan. Where there is none it makes room for what is under
// way, and then lets it wait longer than it should, and tells so.
func (r *replanning) answer(ctx context.Context, s *streams) error {
	q := r.week.Problem
	err := r.search(ctx, s)
	if !isNoPlan(err) || ctx.Err() != nil {
		return err
	}
	if lost := replan.MakeRoom(q); len(lost) > 0 {
		r.notes = append(r.notes, lost...)
		if err = r.search(ctx, s); !isNoPlan(err) {
			return err
		}
	}
	over, lifted := replan.LiftLimits(q)
	if !lifted {
		return err
	}
	if err = r.search(ctx, s); err == nil {
		r.notes = append(r.notes, over(r.week.Plan)...)
	}
	return err
}

func isNoPlan(err error) bool {
	var f *failure
	return errors.As(err, &f) && f.code == exitNoPlan
}

// search searches under each price of moving, and takes the plan that is best
// under the one that counts: whatever is asked for, it chooses among the same
// plans, so that touching least never moves more than another choice, nor the
// best one costs more. What is left of the published plan stands for choice too,
// so that nothing moves without a gain.
func (r *replanning) search(ctx context.Context, s *streams) error {
	q := r.week.Problem
	r.keep(s, q)
	prices := map[string]model.Mils{touchLeast: dearest(q), shopPrice: q.Costs.Move, bestRest: 0}
	ways := []string{shopPrice, touchLeast, bestRest}
	if q.Costs.Move == 0 || !slices.ContainsFunc(q.Pours, func(p model.Pour) bool { return p.Base != nil }) {
		ways = ways[:1] // nothing can move, or moving is free
	}
	want, o := r.want(), r.o.search
	if o.work == 0 && o.time == 0 {
		o.work = planWork(q)
	}
	bound, source, work := model.Mils(0), "", int64(0)
	var failed error
	for _, way := range ways {
		res, err := search(ctx, s, priced(q, prices[way]), o)
		if err != nil {
			failed = r.explain(err)
			continue
		}
		work += res.Work
		if boundsUnder(way, want) && res.Bound > bound {
			bound, source = res.Bound, res.BoundSource
		}
		r.weigh(q, choice{plan: res.Plan})
	}
	if len(r.choices) == 0 {
		return failed
	}
	best := r.pick(want)
	if st := best.order; st != nil {
		r.week.Problem, r.notes, r.pinned = st.Problem, st.notes, st.pinned
		bound, source = 0, "" // what was proven is about another state
		if res, err := search(ctx, s, r.paid(st.Problem), o); err == nil {
			bound, source, work = res.Bound, res.BoundSource, work+res.Work
		}
	}
	r.settle(best.plan, bound)
	r.week.Seed, r.week.Work, r.week.BoundSource = o.seed, work, source
	return nil
}

// want is the way to choose that is asked for.
func (r *replanning) want() string {
	switch {
	case r.o.touchLeast:
		return touchLeast
	case r.o.best:
		return bestRest
	}
	return shopPrice
}

// boundsUnder reports whether what is proven under the price of moving of one way
// holds for the cost that another one counts: a lower price proves less.
func boundsUnder(way, want string) bool {
	return way == bestRest || way == shopPrice && want != bestRest
}

// paid is the problem with the price of moving that the plan is to count.
func (r *replanning) paid(q *model.Problem) *model.Problem {
	if r.want() != bestRest {
		return q
	}
	at := *q
	at.Costs.Move = 0
	return &at
}

// keep puts what is left of the published plan among the choices. Where a whole
// clean-up after a batch under way leaves no time for it, it is tried with the
// short one that was planned.
func (r *replanning) keep(s *streams, q *model.Problem) {
	pub := replan.Published{Problem: r.h.newest().Problem, Plan: r.h.newest().Plan}
	if kept := replan.Kept(q, pub); kept != nil && r.weigh(q, choice{plan: kept, kept: true}) {
		return
	}
	st, err := r.laid(s, true)
	if err != nil {
		return // then the plan cannot be kept
	}
	if kept := replan.Kept(st.Problem, pub); kept != nil {
		r.weigh(st.Problem, choice{plan: kept, kept: true, order: st})
	}
}

// priced is the problem with another price on moving. Where moving is free,
// nothing has to be known of the published plan.
func priced(q *model.Problem, move model.Mils) *model.Problem {
	at := *q
	at.Costs.Move = move
	if move == 0 {
		at.Pours = slices.Clone(q.Pours)
		for i := range at.Pours {
			at.Pours[i].Base = nil
		}
	}
	return &at
}

// settle makes the plan that of the week.
func (r *replanning) settle(plan *model.Plan, bound model.Mils) {
	if r.week.Problem = r.paid(r.week.Problem); r.week.Problem.Costs.Move == 0 {
		plan.Cost, plan.Terms.Move = plan.Cost-plan.Terms.Move, 0
	}
	plan.Bound = min(bound, plan.Cost)
	r.week.Plan, r.week.Status = plan, string(solve.Feasible)
	if plan.Bound == plan.Cost {
		r.week.Status = string(solve.Optimal)
	}
}

// weigh puts a choice among the others if the checker allows its plan.
func (r *replanning) weigh(q *model.Problem, c choice) bool {
	p := *c.plan
	p.Cost, p.Bound = model.Unstated, 0
	v := check.Check(q, &p)
	if !v.Allowed {
		return false
	}
	p.Cost, p.Terms = v.Cost, v.Terms
	c.plan, c.rest, c.moves = &p, v.Cost-v.Terms.Move, r.moves(&p)
	r.choices = append(r.choices, c)
	return true
}

// moves counts the pours with a base that a plan moves, as the planning model
// prices them (section 6, move).
func (r *replanning) moves(plan *model.Plan) int {
	at := map[string]*model.PourPlan{}
	for i := range plan.Pours {
		at[plan.Pours[i].ID] = &plan.Pours[i]
	}
	n := 0
	for _, p := range r.week.Problem.Pours {
		if p.Base == nil {
			continue
		}
		x := at[p.ID]
		if x == nil || string(x.Mold) != p.Base.Mold || x.Layers[0][0]-p.Base.Start > r.week.Problem.MoveTolerance ||
			p.Base.Start-x.Layers[0][0] > r.week.Problem.MoveTolerance {
			n++
		}
	}
	return n
}

// pick takes the first of the best choices under a price of moving. Among the
// same choices, a higher price never moves more, nor costs less otherwise. At the
// shop's price the published plan stays if the others save no more than one move
// costs: a day that shifts a little all over is told to everyone too.
func (r *replanning) pick(way string) choice {
	price := r.week.Problem.Costs.Move
	less := func(a, b choice) bool {
		switch {
		case way == touchLeast && a.moves != b.moves:
			return a.moves < b.moves
		case way == touchLeast && a.kept != b.kept:
			return a.kept
		case way == shopPrice:
			x, y := a.rest+price*model.Mils(a.moves), b.rest+price*model.Mils(b.moves)
			if a.kept {
				x -= price
			}
			if b.kept {
				y -= price
			}
			return x < y || x == y && a.moves < b.moves
		}
		return a.rest < b.rest || a.rest == b.rest && a.moves < b.moves
	}
	best := r.choices[0]
	for _, c := range r.choices[1:] {
		if less(c, best) {
			best = c
		}
	}
	return best
}

// options sets the ends of the price side by side where they differ.
func (r *replanning) options() []report.ReplanPrice {
	if r.o.touchLeast || r.o.best {
		return nil
	}
	a, b, c := r.pick(touchLeast), r.pick(shopPrice), r.pick(bestRest)
	if a.rest == c.rest && a.moves == c.moves {
		return nil
	}
	return []report.ReplanPrice{
		{Name: touchLeast, Cost: a.rest, Moves: a.moves},
		{Name: "this plan", Cost: b.rest, Moves: b.moves},
		{Name: bestRest, Cost: c.rest, Moves: c.moves},
	}
}

// dearest is a price of moving above all else that a week can cost.
func dearest(q *model.Problem) model.Mils {
	const most = 1_000_000_000 // keeps sums far from the end of 64 bits
	sum := model.Mils(1)
	for _, p := range q.Pours {
		sum += p.Carry + p.LatePerTick*model.Mils(q.Horizon)
	}
	return min(sum, most)
}

// explain adds what to do where nothing can go on.
func (r *replanning) explain(err error) error {
	if len(r.pinned) > 0 {
		return withHint(err, "--freeze holds %s; freeze less, or log what has become impossible", strings.Join(r.pinned, ", "))
	}
	return withHint(err, "log what cannot go on (failed, scrapped, waiting), extra hours, or give the search more --work")
}

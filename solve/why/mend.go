package why

import (
	"context"
	"slices"

	"pourweek/model"
	"pourweek/model/whatif"
	"pourweek/solve"
)

// Mend is a single change that has the pour on time, shown by a plan.
type Mend struct {
	Case    whatif.Case
	Problem *model.Problem // the changed week
	Plan    *model.Plan    // allowed in it, the pour ready by its due time
	Cost    model.Mils     // of that plan, by the prices of the week
}

// Changes lists what is worth trying as a mend: today's week with the pour put
// first, one more of each thing that the pour itself needs (a mold, the places of
// its stations, a mixer), and the one-step changes of a lead that take nothing
// away. Of a pour that is late by its own steps (alone), only more hours can help.
func (a *Asker) Changes(alone bool) []whatif.Case {
	var out []whatif.Case
	if !alone {
		out = append([]whatif.Case{{Kind: whatif.Today}}, a.oneMore()...)
	}
	for _, c := range slices.Concat(whatif.Defaults(a.Problem), []whatif.Case{{Kind: whatif.Overtime, Spec: "daily"}, {Kind: whatif.Overtime, Spec: "saturday"}}) {
		if _, err := whatif.Apply(a.Problem, c); err == nil && !c.Takes() && !slices.Contains(out, c) && (!alone || c.Kind == whatif.Overtime) {
			out = append(out, c)
		}
	}
	return out
}

// oneMore lists a mold, a mixer and the station places that the pour needs.
func (a *Asker) oneMore() []whatif.Case {
	var out []whatif.Case
	for _, f := range a.facts() {
		switch f.Kind {
		case Molds:
			for _, x := range a.targets() {
				if c := (whatif.Case{Kind: whatif.Molds, Spec: "+1:" + x.Piece}); x.Stage == model.New && !slices.Contains(out, c) {
					out = append(out, c)
				}
			}
		case Rigs:
			out = append(out, whatif.Case{Kind: whatif.Stations, Spec: "+1:" + f.Name})
		}
	}
	for _, x := range a.targets() {
		if x.Stage != model.New {
			continue
		}
		for _, d := range x.Draws {
			for _, m := range a.Problem.Mixes {
				if c := (whatif.Case{Kind: whatif.Mixer, Spec: "+1:" + m.Mixers[0]}); m.ID == d.Mix &&
					!slices.Contains(m.Mixers, a.Problem.Mixers[0].ID) && !slices.Contains(out, c) {
					out = append(out, c)
				}
			}
		}
	}
	return out
}

// Mends tries each case and returns those for which a plan has the pour on time,
// cheapest first. cost is the checker. A case that is missing was not shown to
// help; it may. Where putting the pour first is enough, cases that are no cheaper
// than that are left out.
func (a *Asker) Mends(ctx context.Context, cases []whatif.Case, cost func(*model.Problem, *model.Plan) (model.Mils, bool)) ([]Mend, error) {
	var out []Mend
	for _, c := range cases {
		q, err := whatif.Apply(a.Problem, c)
		if err != nil {
			return nil, err
		}
		r, err := a.Solve(ctx, a.first(q), solve.Options{Seed: a.Seed, Work: a.Work})
		if err != nil {
			return nil, err
		}
		if r.Plan == nil || !a.onTime(r.Plan) {
			continue
		}
		plan := *r.Plan
		plan.Cost, plan.Bound = model.Unstated, 0
		if m, ok := cost(q, &plan); ok {
			out = append(out, Mend{c, q, &plan, m})
		}
	}
	slices.SortStableFunc(out, func(x, y Mend) int { return int(min(max(x.Cost-y.Cost, -1), 1)) })
	if i := slices.IndexFunc(out, func(m Mend) bool { return m.Case.Kind == whatif.Today }); i >= 0 {
		first := out[i].Cost
		out = slices.DeleteFunc(out, func(m Mend) bool { return m.Case.Kind != whatif.Today && m.Cost >= first })
	}
	return out, nil
}

// first is the week in which lateness of what is asked about costs more than
// anything.
func (a *Asker) first(q *model.Problem) *model.Problem {
	p := *q
	most := model.Mils(1_000)
	for _, x := range p.Pours {
		most += x.Carry
	}
	p.Pours = slices.Clone(p.Pours)
	for i := range p.Pours {
		if x := &p.Pours[i]; a.asks(x.ID) {
			x.Due = min(x.Due, a.Due)
			x.LatePerTick += most
			if x.Stage == model.New {
				x.Carry += most * model.Mils(p.Horizon)
			}
		}
	}
	return &p
}

// onTime reports whether a plan has all that is asked about ready in time.
func (a *Asker) onTime(plan *model.Plan) bool {
	return InTime(plan, a.Asked(), a.Due)
}

// InTime reports whether a plan has all of some pours ready by a time.
func InTime(plan *model.Plan, pours []string, by model.Tick) bool {
	for _, id := range pours {
		if !slices.ContainsFunc(plan.Pours, func(x model.PourPlan) bool { return x.ID == id && x.Ready <= by }) {
			return false
		}
	}
	return true
}

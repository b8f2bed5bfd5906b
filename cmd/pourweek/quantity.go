package main

import (
	"slices"

	"pourweek/model"
	"pourweek/model/logbook"
)

// recipes keeps the pours and shipments that q has now, and after them pours that
// were there before the log was worked in, or in a published week of the same ticks.
func (h *history) recipes(q *model.Problem, before []model.Pour) *model.Problem {
	p := &model.Problem{Pours: slices.Clone(q.Pours), Shipments: slices.Clone(q.Shipments)}
	for i := range p.Shipments {
		p.Shipments[i].Pours = slices.Clone(p.Shipments[i].Pours)
	}
	lists := [][]model.Pour{before}
	for _, w := range h.weeks {
		if w.week.Problem.Start == q.Start && w.week.Problem.TickMinutes == q.TickMinutes {
			lists = append(lists, w.week.Problem.Pours)
		}
	}
	seen := map[string]bool{}
	for _, x := range q.Pours {
		seen[x.ID] = x.Stage == model.New
	}
	for _, l := range lists {
		for _, x := range l {
			if x.Stage == model.New && !seen[x.ID] {
				seen[x.ID] = true
				p.Pours = append(p.Pours, x)
			}
		}
	}
	return p
}

// quantities are the entries that change how many pieces an order has and that
// no later cancel undoes.
func quantities(log []logbook.Entry) []logbook.Entry {
	var out []logbook.Entry
	for _, e := range log {
		switch e.What {
		case logbook.Quantity:
			out = append(out, e)
		case logbook.Cancel:
			out = slices.DeleteFunc(out, func(q logbook.Entry) bool { return q.Which == e.Which })
		}
	}
	return out
}

// everKnown lists the ids of all pours that a published week had.
func (h *history) everKnown() []string {
	var ids []string
	for _, p := range h.weeks {
		for i := range p.week.Problem.Pours {
			ids = append(ids, p.week.Problem.Pours[i].ID)
		}
	}
	return ids
}

// done lists the pours of published weeks that q, the state to go on from, has no
// more since they are done: they had begun by the plan when they left.
func (h *history) done(q *model.Problem) []model.Pour {
	seen := map[string]bool{}
	for i := range q.Pours {
		seen[q.Pours[i].ID] = true
	}
	var out []model.Pour
	next := q // what was gone on with after the week
	for _, w := range h.weeks {
		p := w.week
		now, err := tickTime(next, next.Now)
		if err != nil {
			return out
		}
		at := ticksTo(p.Problem, now)
		for _, x := range p.Problem.Pours {
			if seen[x.ID] {
				continue
			}
			seen[x.ID] = true
			cast := slices.ContainsFunc(p.Plan.Pours, func(y model.PourPlan) bool {
				return y.ID == x.ID && len(y.Layers) > 0 && y.Layers[0][0] < at
			})
			if x.Stage != model.New || cast {
				out = append(out, x)
			}
		}
		next = p.Problem
	}
	return out
}

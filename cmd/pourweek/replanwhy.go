package main

import (
	"fmt"
	"maps"
	"reflect"
	"regexp"
	"slices"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/model/replan"
)

// mostReasons is how many broken rules are told.
const mostReasons = 4

// inTicks is what the checker adds for programs.
var inTicks = regexp.MustCompile(` \(tick \d+\)`)

// reasons says why the new plan is not what is left of the published one: of each
// pour that moves, what it breaks as published; in notes, what else cannot go on
// as published, or what the change saves.
func (r *replanning) reasons(c *replan.Changes) (of map[string]string, notes []replan.Note) {
	q, pub := r.week.Problem, r.h.newest()
	why := func(format string, args ...any) replan.Note {
		return replan.Note{Pour: "why", Text: fmt.Sprintf(format, args...)}
	}
	of = map[string]string{}
	for _, m := range c.Moved {
		if p := pourOf(q, m.Pour); p.Stage == model.New && p.Base == nil {
			of[m.Pour] = "its time in the published plan is past"
		}
	}
	for _, x := range r.choices {
		switch {
		case !x.kept:
		case reflect.DeepEqual(x.plan.Pours, r.week.Plan.Pours):
			return of, nil
		default:
			return of, append(notes, why("what is left of the published plan could go on as it is and would cost %.2f %s; this one costs %.2f %s",
				float64(x.plan.Cost)/1000, r.week.Currency, float64(r.week.Plan.Cost)/1000, r.week.Currency))
		}
	}
	kept := replan.Kept(q, replan.Published{Problem: pub.Problem, Plan: pub.Plan})
	if kept == nil {
		return of, nil
	}
	broken := byPour(check.Check(q, kept).Broken, kept)
	for _, m := range c.Moved {
		switch own := broken[m.Pour]; {
		case of[m.Pour] != "":
		case len(own) > 0:
			of[m.Pour] = "as published, " + inTicks.ReplaceAllString(own[0].Text, "")
		default:
			of[m.Pour] = "could stay by itself: it makes room, or costs less there"
		}
		delete(broken, m.Pour)
	}
	var rest []check.Broken
	for _, id := range slices.Sorted(maps.Keys(broken)) {
		rest = append(rest, broken[id]...)
	}
	return of, append(notes, grouped(rest, why)...)
}

// byPour sorts broken rules by the pour that they are about, "" for none. A rule
// that a batch breaks is about the first pour that draws from it.
func byPour(broken []check.Broken, plan *model.Plan) map[string][]check.Broken {
	drawer := map[string]string{}
	for i := len(plan.Pours) - 1; i >= 0; i-- {
		for _, b := range plan.Pours[i].Draws {
			drawer[b] = plan.Pours[i].ID
		}
	}
	m := map[string][]check.Broken{}
	for _, b := range broken {
		id := b.Where.Pour
		if id == "" {
			id = drawer[b.Where.Batch]
		}
		m[id] = append(m[id], b)
	}
	return m
}

// pourOf is the pour of the problem with an id that it has.
func pourOf(q *model.Problem, id string) *model.Pour {
	return &q.Pours[slices.IndexFunc(q.Pours, func(p model.Pour) bool { return p.ID == id })]
}

// grouped tells the first of each kind of broken rule about each thing, and how
// many more like it there are.
func grouped(broken []check.Broken, why func(string, ...any) replan.Note) []replan.Note {
	type kind struct {
		rule  check.Rule
		thing string
	}
	var order []kind
	first, more := map[kind]string{}, map[kind]int{}
	for _, b := range broken {
		k := kind{b.Rule, b.Thing}
		if _, ok := first[k]; ok {
			more[k]++
			continue
		}
		order, first[k] = append(order, k), inTicks.ReplaceAllString(b.Text, "")
	}
	var l []replan.Note
	for i, k := range order {
		switch {
		case i == mostReasons:
			return append(l, why("as published, %d more of such rules are broken", len(order)-i))
		case more[k] > 0:
			l = append(l, why("as published, %s (and %d more like it)", first[k], more[k]))
		default:
			l = append(l, why("as published, %s", first[k]))
		}
	}
	return l
}

package main

import (
	"fmt"
	"reflect"
	"regexp"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/model/replan"
)

// mostReasons is how many broken rules are told.
const mostReasons = 4

// inTicks is what the checker adds for programs.
var inTicks = regexp.MustCompile(` \(tick \d+\)`)

// reasons says why the new plan is not what is left of the published one: what
// cannot go on as published, or what the change saves.
func (r *replanning) reasons() []replan.Note {
	q, pub := r.week.Problem, r.h.newest()
	why := func(format string, args ...any) replan.Note {
		return replan.Note{Pour: "why", Text: fmt.Sprintf(format, args...)}
	}
	var l []replan.Note
	for _, p := range q.Pours {
		if at := plannedAt(pub.Plan, p.ID); p.Stage == model.New && p.Base == nil && at != nil {
			l = append(l, why("%s is planned anew: its time in the published plan is past", p.ID))
		}
	}
	for _, c := range r.choices {
		switch {
		case !c.kept:
		case reflect.DeepEqual(c.plan.Pours, r.week.Plan.Pours):
			return nil
		default:
			return append(l, why("what is left of the published plan could go on as it is and would cost %.2f %s; this one costs %.2f %s",
				float64(c.plan.Cost)/1000, r.week.Currency, float64(r.week.Plan.Cost)/1000, r.week.Currency))
		}
	}
	kept := replan.Kept(q, replan.Published{Problem: pub.Problem, Plan: pub.Plan})
	if kept == nil {
		return l
	}
	return append(l, grouped(check.Check(q, kept).Broken, why)...)
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

// plannedAt is the pour in the plan if it was to be cast there.
func plannedAt(plan *model.Plan, id string) *model.PourPlan {
	for i := range plan.Pours {
		if x := &plan.Pours[i]; x.ID == id && len(x.Layers) > 0 {
			return x
		}
	}
	return nil
}

package main

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"time"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/model/logbook"
	"pourweek/model/replan"
)

// mostReasons is how many broken rules are told.
const mostReasons = 4

// inTicks is what the checker adds for programs.
var inTicks = regexp.MustCompile(` \(tick \d+\)`)

// stopped says what is wrong with a week that goes on from a published one. Too
// much work under way is told with its moment in people's hours and with the work
// that is part of it: that is where the log has to be mended.
func stopped(q *model.Problem, x model.Issue, zone string) string {
	o := x.Overload
	if o == nil {
		return x.Text
	}
	t, err := tickTime(q, o.At)
	loc, bad := time.LoadLocation(zone)
	if err != nil || bad != nil {
		return x.Text
	}
	text := o.Sentence("at " + t.In(loc).Format("Mon 2006-01-02 15:04"))
	var busy []string
	for i := range q.Fixed {
		if o.Takes(&q.Fixed[i]) {
			busy = append(busy, q.Fixed[i].ID)
		}
	}
	return text + "; under way then by the plan and the log: " + strings.Join(busy, ", ")
}

// reasons says why the new plan is not what is left of the published one: of each
// pour that moves, what it breaks as published; in notes, what else cannot go on
// as published, or what the change saves.
func (r *replanning) reasons(c *replan.Changes) (map[string]string, []replan.Note) {
	q, pub := r.week.Problem, r.h.newest()
	why := func(format string, args ...any) replan.Note {
		return replan.Note{Pour: "why", Text: fmt.Sprintf(format, args...)}
	}
	var notes []replan.Note
	of := map[string]string{}
	out := r.outOfPlace()
	for _, m := range c.Moved {
		if out[m.Pour] != "" {
			of[m.Pour] = out[m.Pour]
		}
	}
	for _, id := range c.Carried {
		if out[id] != "" {
			notes = append(notes, why("%s: %s", id, out[id]))
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
	var gone []string // those cannot stay
	for _, p := range q.Pours {
		if out[p.ID] != "" {
			gone = append(gone, p.ID)
		}
	}
	kept := replan.Kept(q, replan.Published{Problem: pub.Problem, Plan: pub.Plan}, gone...)
	if kept == nil {
		return of, notes
	}
	for _, m := range c.Moved {
		if of[m.Pour] == "" {
			of[m.Pour] = stays
		}
	}
	drawer := drawers(kept)
	var rest []check.Broken
	for _, x := range check.Check(q, kept).Broken {
		id := x.Where.Pour
		if id == "" {
			id = drawer[x.Where.Batch]
		}
		switch of[id] {
		case "":
			rest = append(rest, x)
		case stays:
			of[id] = "as published, " + inTicks.ReplaceAllString(x.Text, "")
		}
	}
	for _, m := range c.Moved { // a slight shift needs no excuse
		if m.Slight(q.MoveTolerance) && of[m.Pour] == stays {
			delete(of, m.Pour)
		}
	}
	return of, append(notes, grouped(rest, why)...)
}

// outOfPlace says of the pours that cannot keep their published place at all why
// they cannot: its time is past, or the log took it away before it came.
func (r *replanning) outOfPlace() map[string]string {
	q, pub := r.week.Problem, r.h.newest()
	why, start, draws := map[string]string{}, map[string]time.Time{}, map[string][]string{}
	for _, x := range pub.Plan.Pours {
		if len(x.Layers) > 0 {
			start[x.ID], _ = tickTime(pub.Problem, x.Layers[0][0])
			draws[x.ID] = x.Draws
		}
	}
	now, err := tickTime(q, q.Now)
	x, bad := r.h.sift(q, false)
	if err != nil || bad != nil {
		return why // the problem was laid out by both, so that neither errs here
	}
	for _, p := range q.Pours {
		if p.Stage != model.New || p.Base != nil {
			continue
		}
		if start[p.ID].Before(now) {
			why[p.ID] = "its time in the published plan is past"
		}
		for i, e := range x.happened {
			lost := e.What == logbook.BatchLost && slices.Contains(draws[p.ID], e.Which)
			if lost || e.Which == p.ID && undoes(e.What) {
				why[p.ID] = fmt.Sprintf("the log has %q", x.told[i])
			}
		}
	}
	return why
}

// gone lists the pours that the log has thrown away since the published week and
// that the new one does not have cast again.
func (r *replanning) gone() []string {
	q := r.week.Problem
	x, err := r.h.sift(q, false)
	if err != nil {
		return nil // the problem was laid out by it, so that it does not err here
	}
	var ids []string
	for _, e := range x.happened {
		there := slices.ContainsFunc(q.Pours, func(p model.Pour) bool { return p.ID == e.Which })
		if (e.What == logbook.Scrapped || e.What == logbook.Failed) && !there && !slices.Contains(ids, e.Which) {
			ids = append(ids, e.Which)
		}
	}
	return ids
}

// undoes reports whether an entry of the kind has a pour still to be cast.
func undoes(k logbook.Kind) bool {
	return k == logbook.Failed || k == logbook.Scrapped || k == logbook.Waiting
}

// stays is said of a pour that breaks no rule as published.
const stays = "could stay by itself: it makes room, or costs less there"

// drawers gives for each batch the first pour of the plan that draws from it.
func drawers(plan *model.Plan) map[string]string {
	m := map[string]string{}
	for i := len(plan.Pours) - 1; i >= 0; i-- {
		for _, b := range plan.Pours[i].Draws {
			m[b] = plan.Pours[i].ID
		}
	}
	return m
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

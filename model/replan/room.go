package replan

import (
	"fmt"
	"slices"

	"pourweek/model"
)

// MakeRoom gives racks the places that pieces on them hold, where places were
// lost while they stand there: for a day longer than they could need at the
// soonest, or as long as the week if they wait for others to leave with. It
// returns what the lead has to see to, none if nothing was lost. It is for a week
// that could not be planned as it stands.
func MakeRoom(q *model.Problem) []Note {
	var notes []Note
	for i := range q.Racks {
		if n, ok := roomOn(q, &q.Racks[i]); ok {
			notes = append(notes, n)
		}
	}
	return notes
}

// LiftLimits takes the longest times in a mold and before a finish step from
// pieces under way, which may be past saving. over tells for a plan of the
// problem which of them it exceeds. False: there was nothing to lift.
func LiftLimits(q *model.Problem) (over func(*model.Plan) []Note, lifted bool) {
	mold, rest := map[string]model.Tick{}, map[string]model.Tick{}
	for i := range q.Pours {
		p := &q.Pours[i]
		if p.MoldUntil != nil {
			mold[p.ID], p.MoldUntil = *p.MoldUntil, nil
		}
		if p.FromMax != nil {
			rest[p.ID], p.FromMax = *p.FromMax, nil
		}
	}
	next := map[string]int{}
	for _, p := range q.Pours {
		next[p.ID] = p.Next
	}
	return func(plan *model.Plan) []Note {
		var notes []Note
		for _, x := range plan.Pours {
			if t, ok := mold[x.ID]; ok && x.Demold[0] > t {
				notes = append(notes, Note{Pour: x.ID, Text: "it stays in its mold longer than it should; take it out as soon as it can be"})
			}
			if t, ok := rest[x.ID]; ok && x.Finish[next[x.ID]][0] > t {
				notes = append(notes, Note{Pour: x.ID, Text: "its next step comes later than it should; judge by hand whether it may go on"})
			}
		}
		return notes
	}, len(mold)+len(rest) > 0
}

// roomOn gives a rack the places that pieces on it hold at least.
func roomOn(q *model.Problem, r *model.Rack) (Note, bool) {
	held := make([]int64, q.Horizon)
	cal := newCalendar(q)
	day := model.Tick(model.MinutesPerDay / q.TickMinutes)
	for i := range q.Pours {
		p := &q.Pours[i]
		if p.Stage != model.Racked || p.Rack != r.ID {
			continue
		}
		until := soonest(cal, p) + day
		if waitsForOthers(q, p.ID) {
			until = q.Horizon // when they leave is for the plan to say
		}
		for t := range min(until, q.Horizon) {
			held[t] += int64(p.Places)
		}
	}
	short := int64(0)
	out := model.Steps{}
	for t := range q.Horizon {
		v := r.Places.At(t)
		if held[t] > v {
			if t >= q.Now {
				short = max(short, held[t]-v)
			}
			v = held[t]
		}
		out.Put(t, v)
	}
	r.Places = out
	return Note{Pour: r.ID, Text: fmt.Sprintf("it holds more than it has places for: find room for up to %d more; the week is planned as if there were", short)}, short > 0
}

// waitsForOthers reports whether a pour keeps its places until its shipment leaves.
func waitsForOthers(q *model.Problem, id string) bool {
	return slices.ContainsFunc(q.Shipments, func(s model.Shipment) bool { return s.Hold && slices.Contains(s.Pours, id) })
}

// soonest is the earliest that a racked pour can be ready by its rests and its
// work in open ticks.
func soonest(cal *calendar, p *model.Pour) model.Tick {
	t := p.From
	for j := p.Next; j < len(p.Finish); j++ {
		if j > p.Next {
			t += p.Finish[j].Rest
		}
		t = cal.later(t, p.Finish[j].Work)
	}
	return t
}

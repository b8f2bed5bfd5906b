package replan

import (
	"slices"

	"pourweek/model"
)

// done takes a finished pour out of the problem. If its last step is still
// under way, or it waits for its shipment's truck, its places stay held.
func (a *advance) done(l *life, end model.Tick) {
	id := l.pour.ID
	a.gone[id] = true
	held := end
	for _, s := range a.pub.Shipments {
		if s.Hold && slices.Contains(s.Pours, id) {
			held = max(held, a.outOf(&s))
		}
	}
	if held <= a.now {
		return
	}
	for i := range a.q.Racks {
		if r := &a.q.Racks[i]; r.ID == cmpOr(l.rack, l.pour.Rack) {
			r.Places = lessUntil(r.Places, a.toQ(held), int64(l.pour.Places))
		}
	}
}

// pastCasting notes that a pour that the log has given up while casting was past
// that by then: it counts as scrapped.
func (a *advance) pastCasting(l *life, x Failed) {
	really := x.At
	if x.Was != 0 {
		really = x.Was
	}
	const reads = "failed says that a casting was given up, and by the plan and the log it was %s: it counts as scrapped, thrown away"
	out := l.pour.Stage == model.Racked || l.demold != nil && l.demold[1] <= really
	switch {
	case l.pour.Stage == model.New && (l.cover == nil || l.cover[1] > really):
	case out:
		a.note(l.pour.ID, reads, "out of its mold")
	default:
		since := "before the published week went on"
		if l.pour.Stage == model.New {
			since = a.at(l.cover[1])
		}
		a.note(l.pour.ID, reads+", and %s as empty from %s on; if it takes longer to get it out, log the mold as mold-down",
			"covered "+since, cmpOr(l.mold, l.pour.Mold), a.at(x.At))
	}
}

// outOf is when the shipment was to leave by the published plan.
func (a *advance) outOf(s *model.Shipment) model.Tick {
	out := model.Tick(0)
	for _, id := range s.Pours {
		if l := a.byPour[id]; l != nil && len(l.finish) > 0 {
			if iv := l.finish[len(l.finish)-1]; iv != nil && iv[1] < never {
				out = max(out, iv[1])
			}
		}
	}
	if len(s.Trucks) == 0 {
		return out
	}
	for _, t := range s.Trucks {
		if t >= out {
			return t
		}
	}
	return a.pub.Horizon
}

// lessUntil takes n from a step function before tick t, never below 0.
func lessUntil(s model.Steps, t model.Tick, n int64) model.Steps {
	var out model.Steps
	for _, e := range s {
		if e[0] < int64(t) {
			out = append(out, model.Step{e[0], max(e[1]-n, 0)})
		}
	}
	out = append(out, model.Step{int64(t), s.At(t)})
	for _, e := range s {
		if e[0] > int64(t) {
			out = append(out, e)
		}
	}
	return out
}

// settleRacks gives each rack the places of now for the time before: what is on
// it counts from tick 0 on, and came only when there was room.
func (a *advance) settleRacks() {
	for i := range a.q.Racks {
		r := &a.q.Racks[i]
		out := model.Steps{{0, r.Places.At(a.q.Now)}}
		for _, e := range r.Places {
			if e[0] > int64(a.q.Now) {
				out = append(out, e)
			}
		}
		r.Places = out
	}
}

// pruneShipments takes pours that left out of the shipments.
func (a *advance) pruneShipments() {
	for i := range a.q.Shipments {
		s := &a.q.Shipments[i]
		s.Pours = slices.DeleteFunc(s.Pours, func(id string) bool { return a.find(id) == nil })
	}
	a.q.Shipments = slices.DeleteFunc(a.q.Shipments, func(s model.Shipment) bool { return len(s.Pours) == 0 })
}

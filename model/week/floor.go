package week

import (
	"fmt"
	"slices"
	"strings"

	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/orders"
	"pourweek/model/shop"
)

// longestStand is the number of days before the planned week from which on a
// piece is not believed to stand since then.
const longestStand = 90

// done is the word for a piece that has all its finish steps behind it and
// waits to leave.
const done = "done"

// floor makes the pours of what stands in molds and on racks.
func (w *compiler) floor(f *orders.Floor, jobOf func(string) *job) {
	inMold := map[string]diag.Pos{}
	onRack := map[string]int{}
	for i := range f.Places {
		x := &f.Places[i]
		piece := w.pieceOf(x.Piece)
		mold, rack, ok := w.where(x)
		switch {
		case !ok || piece == nil:
			continue
		case mold != nil:
			if first, taken := inMold[mold.Name]; taken {
				w.errs.At(x.Where.At, "mend one of the two", "mold %q holds a piece already (%s)", mold.Name, first.Place())
				continue
			}
			inMold[mold.Name] = x.Where.At
			w.inMold(x, piece, mold, jobOf(x.Order.Value))
		default:
			onRack[rack.Name] += piece.Places
			w.onRack(x, piece, rack, jobOf(x.Order.Value))
		}
	}
	w.fits(f, onRack)
}

// where is the mold or the rack that a row names; ok is false after a mistake.
func (w *compiler) where(x *orders.Place) (mold *shop.Mold, rack *shop.Rack, ok bool) {
	c := x.Where
	mold, rack = w.shop.Mold(c.Value), w.shop.Rack(c.Value)
	switch {
	case mold == nil && rack == nil:
		known := append(names(w.shop.Racks, func(r *shop.Rack) string { return r.Name }),
			names(w.shop.Molds, func(m *shop.Mold) string { return m.Name })...)
		w.errs.At(c.At, diag.DidYouMean(c.Value, "racks and molds", known), "%s is no mold and no rack of shop.yaml", diag.Quote(c.Value))
	case mold != nil && rack != nil:
		w.errs.At(c.At, "give the rack or the mold another name in shop.yaml", "%s is a mold and a rack", diag.Quote(c.Value))
	}
	return mold, rack, (mold == nil) != (rack == nil)
}

// fits reports racks and stations that would hold more at the start than they
// have places for.
func (w *compiler) fits(f *orders.Floor, onRack map[string]int) {
	at := diag.Pos{Source: f.Source}
	for i := range w.p.Racks {
		r := &w.p.Racks[i]
		if have := int(w.rackStart(r.ID)); onRack[r.ID] > have {
			w.errs.At(at, "mend where the pieces stand, or the places of the rack in shop.yaml",
				"the pieces on rack %q hold %d places, and it has %d", r.ID, onRack[r.ID], have)
		}
	}
	held := map[string]int{}
	for i := range w.p.Pours {
		for _, s := range w.p.Pours[i].Spans {
			if begun(&w.p.Pours[i], s.From) {
				held[s.Station]++
			}
		}
	}
	for _, s := range w.p.Stations {
		if held[s.ID] > s.Places {
			w.errs.At(at, "mend where the pieces stand, or the places of the station in shop.yaml",
				"%d pieces on the floor hold a place of station %q now, and it has %d", held[s.ID], s.ID, s.Places)
		}
	}
}

func (w *compiler) rackStart(name string) int64 {
	if r := w.shop.Rack(name); r != nil {
		return w.places(r).At(0)
	}
	return 0
}

// begun says that a moment of a curing or racked pour's life has passed.
func begun(p *model.Pour, moment string) bool {
	step := strings.TrimSuffix(strings.TrimSuffix(moment, ".start"), ".end")
	if p.Stage == model.New || p.Stage == model.Curing && step == "demold" {
		return false
	}
	i := slices.IndexFunc(p.Finish, func(f model.Finish) bool { return f.ID == step })
	return i < 0 || p.Stage == model.Racked && i < p.Next
}

// floorPour is what curing and racked pours have in common; ok is false after a
// mistake.
func (w *compiler) floorPour(x *orders.Place, piece *shop.Piece, j *job) (rec *recipe, p model.Pour, ok bool) {
	urgency := x.Urgency
	dueCell := x.Due
	for _, r := range j.rows {
		if urgency.Value == "" {
			urgency = r.Urgency
		}
		if dueCell.Value.IsZero() {
			dueCell = r.Due
		}
	}
	u := w.urgencyOf(urgency)
	if dueCell.Value.IsZero() && w.partial {
		return nil, p, false
	}
	if dueCell.Value.IsZero() {
		w.errs.At(x.Due.At, "write when it is due here, or add the order to the orders file",
			"order %q has no due: this row gives none, and it is not in the orders file", j.name)
		return nil, p, false
	}
	due, ok := w.due(j.name, dueCell)
	if u == nil || !ok {
		return nil, p, false
	}
	rec = w.recipe(piece)
	w.label(j, due, u.Name)
	if !x.Since.Value.IsZero() {
		if d := dateOf(x.Since.Value); d.Before(w.clock.days[0].Add(-longestStand)) {
			w.errs.At(x.Since.At, "mend the date (is the year right?)", "since %s lies %d days before the planned week, which begins on %s",
				x.Since.Value, daysBetween(d, w.clock.days[0]), w.clock.days[0])
			return nil, p, false
		}
		if at := w.clock.up(w.clock.civil(x.Since.Value, late)); at > w.p.Now {
			w.errs.At(x.Since.At, "write when it happened; the floor is what stands there at the start of the plan",
				"since %s is after the start of the plan, %s", x.Since.Value, w.clock.local(w.p.Now))
			return nil, p, false
		}
	}
	p = w.pourOf(rec)
	p.ID, p.Order = w.floorID(j), j.name
	p.Due, p.LatePerTick = due, w.lateCost(u)
	p.Molds, p.Layers, p.Draws, p.Cure = nil, nil, nil, ""
	p.Prep, p.PrepMax, p.Cover, p.MoldMax = model.Demand{}, nil, model.Cover{}, nil
	return rec, p, true
}

// floorID numbers the pieces of an order that are on the floor: A-104/f1.
func (w *compiler) floorID(j *job) string {
	n := 1
	for i := range w.p.Pours {
		if w.p.Pours[i].Order == j.name {
			n++
		}
	}
	return fmt.Sprintf("%s/f%d", j.name, n)
}

// inMold makes a curing pour.
func (w *compiler) inMold(x *orders.Place, piece *shop.Piece, mold *shop.Mold, j *job) {
	if !slices.ContainsFunc(mold.Casts, func(c shop.Cast) bool { return c.Piece == piece.Name }) {
		w.errs.At(x.Where.At, fmt.Sprintf("mold %q casts %s", mold.Name, diag.Words(names(mold.Casts, func(c *shop.Cast) string { return c.Piece }))),
			"%q stands in mold %q, which does not cast it", piece.Name, mold.Name)
		return
	}
	if x.Next.Value != "" {
		w.errs.At(x.Next.At, "leave it empty for a piece in a mold; what comes next is its demold", "next is %s, and the piece is still in mold %q", diag.Quote(x.Next.Value), mold.Name)
		return
	}
	since, ready := x.Since.Value, x.Ready.Value
	if !since.Timed && ready.IsZero() {
		w.errs.At(x.Since.At, "write the date and the time at which it was covered, such as 2027-02-26 14:10",
			"it is not said since when, to the minute, %q is in mold %q", piece.Name, mold.Name)
		return
	}
	rec, p, ok := w.floorPour(x, piece, j)
	if !ok || rec.cure == nil {
		return
	}
	p.Stage, p.Mold = model.Curing, mold.Name
	if ready.IsZero() {
		covered := w.clock.up(w.clock.civil(since, late))
		p.CureEnd = covered + max(w.lag(rec.cure, covered), w.up(piece.MoldMin))
	} else {
		p.CureEnd = w.clock.up(w.clock.civil(ready, late)) // a measured strip beats the forecast
	}
	if piece.MoldMax != nil && since.Timed {
		until := w.clock.down(w.clock.civil(since, early)) + w.down(*piece.MoldMax)
		if until < w.firstOpen(max(p.CureEnd, w.p.Now)) {
			w.note("%s: %q in mold %q should be out of it by %s, which cannot be: take it out first", x.At, piece.Name, mold.Name, w.clock.local(until))
		} else {
			p.MoldUntil = &until
		}
	}
	p.Spans = unfinished(&p)
	w.add(j, p)
}

// firstOpen is the first open tick at or after t, the horizon if there is none.
func (w *compiler) firstOpen(t model.Tick) model.Tick {
	for _, i := range w.p.Open {
		if i.To() > t {
			return max(t, i.From())
		}
	}
	return w.clock.horizon
}

// onRack makes a racked pour.
func (w *compiler) onRack(x *orders.Place, piece *shop.Piece, rack *shop.Rack, j *job) {
	next := 0
	if name := x.Next.Value; name != "" {
		next = slices.IndexFunc(piece.Finish, func(f shop.Finish) bool { return f.Name == name })
	}
	if strings.EqualFold(x.Next.Value, done) && next < 0 || len(piece.Finish) == 0 {
		w.waiting(x, piece, rack, j)
		return
	}
	if next < 0 {
		steps := append(names(piece.Finish, func(f *shop.Finish) string { return f.Name }), done)
		w.errs.At(x.Next.At, diag.DidYouMean(x.Next.Value, fmt.Sprintf("finish steps of %q", piece.Name), steps),
			"%s is no finish step of %q", diag.Quote(x.Next.Value), piece.Name)
		return
	}
	step := &piece.Finish[next]
	since, ready := x.Since.Value, x.Ready.Value
	if ready.IsZero() && (since.IsZero() || !since.Timed) && (step.Rest > 0 || step.RestMax != nil) {
		w.errs.At(x.Since.At, "write the date and the time at which the step before ended (since), or from when on the next may begin (ready)",
			"%q must rest before %q, and it is not said since when it does", piece.Name, step.Name)
		return
	}
	_, p, ok := w.floorPour(x, piece, j)
	if !ok {
		return
	}
	p.Stage, p.Rack, p.Next = model.Racked, rack.Name, next
	p.Racks, p.Demold = nil, model.Demolding{}
	switch {
	case !ready.IsZero(): // what is written of the very step beats what the one before tells
		p.From = max(0, w.clock.up(w.clock.civil(ready, late)))
	case !since.IsZero():
		p.From = max(0, w.clock.up(w.clock.civil(since, late))+w.up(step.Rest))
	}
	if step.RestMax != nil && since.Timed {
		w.fromMax(x, &p, w.clock.down(w.clock.civil(since, early))+w.down(*step.RestMax))
	}
	p.Spans = unfinished(&p)
	w.add(j, p)
}

// fromMax sets the last tick at which the next step may start, or notes that it
// has passed.
func (w *compiler) fromMax(x *orders.Place, p *model.Pour, last model.Tick) {
	if last < w.firstOpen(max(p.From, w.p.Now)) {
		w.note("%s: step %q of %q should have begun by %s, which cannot be: begin it first",
			x.At, p.Finish[p.Next].ID, p.Piece, w.clock.local(last))
		return
	}
	p.FromMax = &last
}

// waiting takes the places of a finished piece from its rack until it leaves.
func (w *compiler) waiting(x *orders.Place, piece *shop.Piece, rack *shop.Rack, j *job) {
	until := w.leaves(x, j)
	for i := range w.p.Racks {
		if w.p.Racks[i].ID == rack.Name {
			w.p.Racks[i].Places = less(w.p.Racks[i].Places, until, w.clock.horizon, int64(piece.Places))
		}
	}
	w.note("%s: a finished %q of order %q waits on rack %q and is counted there until %s", x.At, piece.Name, j.name, rack.Name, w.clock.local(until))
}

// leaves is the tick until which a finished piece is counted on its rack: its due
// time, or the end of the planned week if that is past or not known. Where pieces
// keep their places until they leave (hold), one that goes by truck stays until
// the first truck from then on. One of an order that leaves whole stays to the
// horizon: when the others are ready is the plan's to say, and a place that is
// counted for too long makes no plan wrong.
func (w *compiler) leaves(x *orders.Place, j *job) model.Tick {
	hold := w.shop.Calendar.Hold
	if hold && j.ship == orders.Whole {
		return w.clock.horizon
	}
	until, due := w.p.PourUntil, x.Due
	for _, r := range j.rows {
		if due.Value.IsZero() {
			due = r.Due
		}
	}
	if !due.Value.IsZero() {
		if t, ok := w.due(j.name, due); ok && t > w.p.Now {
			until = t
		}
	}
	if !hold || !j.truck {
		return until
	}
	for _, t := range w.trucks {
		if t >= until {
			return t
		}
	}
	return w.clock.horizon
}

// less is the step function lowered by n before the tick until, not below 0.
func less(s model.Steps, until, horizon model.Tick, n int64) model.Steps {
	var out model.Steps
	for _, e := range s {
		if e[0] < int64(until) {
			out.Put(model.Tick(e[0]), max(0, e[1]-n))
		}
	}
	if until >= horizon {
		return out
	}
	out.Put(until, s.At(until))
	for _, e := range s {
		if e[0] > int64(until) {
			out.Put(model.Tick(e[0]), e[1])
		}
	}
	return out
}

// unfinished are the spans of a pour on the floor that are not over.
func unfinished(p *model.Pour) []model.Span {
	return slices.DeleteFunc(slices.Clone(p.Spans), func(s model.Span) bool { return begun(p, s.To) })
}

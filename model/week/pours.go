package week

import (
	"fmt"
	"slices"

	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/orders"
	"pourweek/model/shop"
)

// maxPours is the number of pours of a week.
const maxPours = 5_000

// tooLongAgo is the number of days before the planned week from which on a due
// date is taken for a slip of the pen and not for an order that is late.
const tooLongAgo = 28

// job is one order: all rows and floor places of that name.
type job struct {
	name   string
	rows   []*orders.Row
	ship   orders.Ship
	shipAt diag.Pos
	truck  bool
	note   string
	due    model.Tick // of an order that ships whole
	pours  []string
	late   model.Mils // by tick, over all its pieces
	made   int        // pours numbered so far
}

// pours makes the pours of the orders and of the floor, and the shipments.
func (w *compiler) pours(b *orders.Book, f *orders.Floor) {
	var jobs []*job
	byName := map[string]*job{}
	jobOf := func(name string) *job {
		j := byName[name]
		if j == nil {
			j = &job{name: name}
			byName[name] = j
			jobs = append(jobs, j)
		}
		return j
	}
	if b != nil {
		for i := range b.Rows {
			j := jobOf(b.Rows[i].Order.Value)
			j.rows = append(j.rows, &b.Rows[i])
		}
	}
	for _, j := range jobs {
		w.agree(j)
	}
	if f != nil {
		w.floor(f, jobOf)
	}
	for _, j := range jobs {
		for _, r := range j.rows {
			w.row(j, r)
		}
	}
	for _, j := range jobs {
		w.ship(j)
	}
}

// agree settles what the rows of an order say about the order as a whole.
func (w *compiler) agree(j *job) {
	var truckAt, dueAt diag.Pos
	var due orders.Moment
	for _, r := range j.rows {
		if s := r.Ship; s.Value != "" {
			if j.ship != "" && j.ship != s.Value {
				w.errs.At(s.At, "write the same in all rows of the order, or leave the others empty",
					"order %q ships %s here and %s in %s", j.name, s.Value, j.ship, j.shipAt.Place())
			} else if j.ship == "" {
				j.ship, j.shipAt = s.Value, s.At
			}
		}
		if t := r.Truck; t.Value != nil {
			if truckAt != (diag.Pos{}) && *t.Value != j.truck {
				w.errs.At(t.At, "write the same in all rows of the order, or leave the others empty",
					"order %q goes by truck in one row and not in another (%s)", j.name, truckAt.Place())
			} else if truckAt == (diag.Pos{}) {
				j.truck, truckAt = *t.Value, t.At
			}
		}
		if j.note == "" {
			j.note = r.Note.Value
		}
		if dueAt == (diag.Pos{}) {
			due, dueAt = r.Due.Value, r.Due.At
		}
	}
	for _, r := range j.rows {
		if j.ship == orders.Whole && r.Due.Value != due {
			w.errs.At(r.Due.At, "give all rows the same due, or let the order ship single",
				"order %q ships whole, and is due %s here and %s in %s", j.name, r.Due.Value, due, dueAt.Place())
		}
	}
	if j.truck && len(w.trucks) == 0 {
		w.errs.At(truckAt, "write no here, or add trucks to the calendar in shop.yaml", "order %q goes by truck, and no truck leaves in these weeks", j.name)
	}
}

// row makes the pours of one row of the orders.
func (w *compiler) row(j *job, r *orders.Row) {
	piece := w.pieceOf(r.Piece)
	urgency := w.urgencyOf(r.Urgency)
	due, ok := w.due(j.name, r.Due)
	if piece == nil || urgency == nil || !ok {
		return
	}
	if len(w.p.Pours)+r.Quantity.Value > maxPours {
		w.errs.At(r.Quantity.At, "plan fewer pieces at a time", "the week has more than %d pieces", maxPours)
		return
	}
	rec := w.recipe(piece)
	if len(rec.pour.Molds) == 0 {
		w.errs.At(r.Piece.At, fmt.Sprintf("add %q to what a mold of shop.yaml casts", piece.Name), "no mold casts %q", piece.Name)
		return
	}
	release := model.Tick(0)
	if nb := r.NotBefore.Value; !nb.IsZero() {
		release = max(0, w.clock.up(w.clock.civil(nb, late)))
		if release >= w.p.PourUntil {
			w.note("%s: order %q is not to be begun before %s, which is after the planned week: it is left out", r.NotBefore.At, j.name, nb)
			return
		}
	}
	w.label(j, due, urgency.Name)
	late := w.lateCost(urgency)
	for range r.Quantity.Value {
		j.made++
		p := w.pourOf(rec)
		p.ID = fmt.Sprintf("%s/%d", j.name, j.made)
		p.Order = j.name
		p.Release, p.Due, p.LatePerTick = release, due, late
		p.Carry = w.carryCost(rec, urgency, due)
		w.add(j, p)
	}
}

// add appends a pour; an order that ships whole, or by truck, is priced by its
// shipments.
func (w *compiler) add(j *job, p model.Pour) {
	j.late += p.LatePerTick
	j.due = p.Due
	switch {
	case j.ship == orders.Whole:
		j.pours = append(j.pours, p.ID)
		p.LatePerTick = 0
	case j.truck:
		w.p.Shipments = append(w.p.Shipments, model.Shipment{
			ID: p.ID, Pours: []string{p.ID}, Due: p.Due, LatePerTick: p.LatePerTick, Trucks: w.trucks, Hold: w.shop.Calendar.Hold,
		})
		p.LatePerTick = 0
	}
	w.p.Pours = append(w.p.Pours, p)
}

// ship makes the shipment of an order that ships whole.
func (w *compiler) ship(j *job) {
	if j.ship != orders.Whole || len(j.pours) == 0 {
		return
	}
	s := model.Shipment{ID: j.name, Pours: j.pours, Due: j.due, LatePerTick: j.late, Hold: w.shop.Calendar.Hold}
	if j.truck {
		s.Trucks = w.trucks
	}
	w.p.Shipments = append(w.p.Shipments, s)
}

// pourOf is a pour of the recipe that shares no list with another.
func (w *compiler) pourOf(r *recipe) model.Pour {
	p := r.pour
	p.Molds, p.Racks = slices.Clone(p.Molds), slices.Clone(p.Racks)
	p.Layers, p.Spans, p.Finish = slices.Clone(p.Layers), slices.Clone(p.Spans), slices.Clone(p.Finish)
	p.Draws = slices.Clone(p.Draws)
	for i := range p.Draws {
		p.Draws[i].Layers = slices.Clone(p.Draws[i].Layers)
	}
	return p
}

// pieceOf looks the piece type up that a cell names.
func (w *compiler) pieceOf(c orders.Cell[string]) *shop.Piece {
	p := w.shop.Piece(c.Value)
	if p == nil {
		w.errs.At(c.At, diag.DidYouMean(c.Value, "piece types", names(w.shop.Pieces, func(p *shop.Piece) string { return p.Name })),
			"piece %s is no piece type of shop.yaml", diag.Quote(c.Value))
	}
	return p
}

func (w *compiler) urgencyOf(c orders.Cell[string]) *shop.Urgency {
	u := w.shop.Urgency(c.Value)
	if u == nil {
		w.errs.At(c.At, diag.DidYouMean(c.Value, "urgencies", names(w.shop.Urgencies, func(u *shop.Urgency) string { return u.Name })),
			"urgency %s is not known", diag.Quote(c.Value))
	}
	return u
}

func names[T any](in []T, name func(*T) string) []string {
	var out []string
	for i := range in {
		out = append(out, name(&in[i]))
	}
	return out
}

// due is the tick by which a piece must be ready, rounded down: the time given,
// or the end of that working day. One that is past is noted, one that is long
// past is a mistake.
func (w *compiler) due(order string, c orders.Cell[orders.Moment]) (model.Tick, bool) {
	m := c.Value
	var at model.Tick
	if m.Timed {
		at = w.clock.down(w.clock.civil(m, early))
	} else {
		var worked bool
		if at, worked = w.cal.endOfWork(dateOf(m)); !worked {
			w.note("%s: order %q is due on %s, on which the shop does not work: it counts as due at %s", c.At, order, m, w.clock.local(at))
		}
	}
	if d := dateOf(m); d.Before(w.clock.days[0].Add(-tooLongAgo)) {
		w.errs.At(c.At, fmt.Sprintf("mend the date (is the year right?), or take the row out; an order that is late may be due up to %d days before", tooLongAgo),
			"due %s lies %d days before the planned week, which begins on %s", m, daysBetween(d, w.clock.days[0]), w.clock.days[0])
		return 0, false
	}
	if at < max(1, w.p.Now) {
		w.note("%s: order %q was due %s and is late already; if that is a slip, mend the date", c.At, order, w.clock.local(at))
	}
	return at, true
}

func daysBetween(a, b shop.Date) int {
	n := 0
	for ; a.Before(b) && n < 100_000; n++ {
		a = a.Add(1)
	}
	return n
}

// Prices above these are counted as these, so that no sum of costs overflows:
// a million of the currency for a tick, a thousand million for a piece.
const (
	mostLate  model.Mils = 1_000_000_000
	mostCarry model.Mils = 1_000_000_000_000
)

// lateCost is what a tick after the due time costs, for one piece.
func (w *compiler) lateCost(u *shop.Urgency) model.Mils {
	return w.atMost(mostLate, w.perTick(shop.MilsPerHour(times(int64(w.shop.Costs.Late), u.Factor))), "a tick of lateness")
}

// times is a price times thousandths, rounded to the nearest, without overflow
// for prices below 2^53 and factors up to a million.
func times(price, thousandths int64) int64 {
	return price/1000*thousandths + (price%1000*thousandths+500)/1000
}

func (w *compiler) atMost(most, price model.Mils, what string) model.Mils {
	if price <= most {
		return price
	}
	w.note("the price of %s of an urgent piece is too high to count with: it counts as %s %s", what, w.money(most), w.shop.Currency)
	return most
}

// carryCost is the price of leaving a piece for a later week: the shop's price
// times the urgency, and what it will be late if it is begun with the week after
// and nothing stands in its way. Without the second part a plan would carry the
// pieces that are due first.
func (w *compiler) carryCost(r *recipe, u *shop.Urgency, due model.Tick) model.Mils {
	base := w.shop.Costs.Carry
	if r.piece.Carry != nil {
		base = *r.piece.Carry
	}
	late := max(0, w.p.PourUntil+r.shortest-due)
	return w.atMost(mostCarry, model.Mils(times(int64(base), u.Factor))+w.lateCost(u)*model.Mils(late), "carrying")
}

func (w *compiler) label(j *job, due model.Tick, urgency string) {
	if _, ok := w.labels.Orders[j.name]; ok {
		return
	}
	w.labels.Orders[j.name] = model.OrderLabel{
		Due: w.clock.at(due).In(w.clock.loc).Format("2006-01-02 15:04"), Urgency: urgency,
		Note: j.note, Truck: j.truck, Whole: j.ship == orders.Whole,
	}
}

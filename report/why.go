package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"pourweek/model"
)

// money writes mils with the currency: 418.00 USD.
func (b *builder) money(m model.Mils) string { return money(m, b.w.Currency) }

func money(m model.Mils, currency string) string {
	s := fmt.Sprintf("%.2f", float64(m)/1000)
	if currency != "" {
		s += " " + currency
	}
	return s
}

// openHours writes open ticks as hours: 7.5 open hours.
func (b *builder) openHours(ticks int64) string {
	return fmt.Sprintf("%.1f open hours", b.hours(ticks))
}

// lateList lists what leaves late, the latest first.
func (b *builder) lateList() []Late {
	l := []Late{}
	a := newAlone(b)
	for i := range b.p.Shipments {
		s := &b.p.Shipments[i]
		out, any := b.shipOut(s)
		if !any || out <= s.Due {
			continue
		}
		y := Late{Shipment: s.ID, Due: b.moment(s.Due), Leaves: b.moment(out),
			Hours: b.hours(int64(out - s.Due)), Cost: s.LatePerTick * model.Mils(out-s.Due)}
		for _, id := range s.Pours {
			if b.planned[id] != nil {
				y.Pieces++
				y.Order = b.pours[id].Order
			}
		}
		y.Why = b.whyShipment(a, s, out)
		l = append(l, y)
	}
	for i := range b.p.Pours {
		q := &b.p.Pours[i]
		x := b.planned[q.ID]
		if x == nil || b.shipment[q.ID] != nil || x.Ready <= q.Due {
			continue
		}
		l = append(l, Late{Pour: q.ID, Order: q.Order, Piece: b.pieceName(q), Due: b.moment(q.Due), Leaves: b.moment(x.Ready),
			Hours: b.hours(int64(x.Ready - q.Due)), Cost: q.LatePerTick * model.Mils(x.Ready-q.Due), Pieces: 1,
			Why: b.whyLate(a, q, x, q.Due)})
	}
	slices.SortStableFunc(l, func(x, y Late) int { return cmp.Compare(y.Hours, x.Hours) })
	return l
}

// whyLate is the plainest true reason that a pour is ready after due: what it
// needs even alone, or where it waits longest.
func (b *builder) whyLate(a *alone, q *model.Pour, x *model.PourPlan, due model.Tick) string {
	e := a.pour(q).ready
	if e > due && e < never {
		s := "even alone in an empty shop it could not be ready before " + b.moment(e).dayHour()
		if w := b.longestWait(q, x); w != "" && x.Ready > e {
			s += "; it waits longest " + w
		}
		return s
	}
	s := "its own steps leave time enough"
	if e < never {
		s = "alone in an empty shop it could be ready " + b.moment(e).dayHour() + " at the earliest"
	}
	if w := b.longestWait(q, x); w != "" {
		return s + "; it waits longest " + w
	}
	return s
}

// whyShipment names the piece that a shipment waits for.
func (b *builder) whyShipment(a *alone, s *model.Shipment, out model.Tick) string {
	var last *model.PourPlan
	for _, id := range s.Pours {
		if x := b.planned[id]; x != nil && (last == nil || x.Ready > last.Ready) {
			last = x
		}
	}
	why := fmt.Sprintf("its last piece %s is ready %s", last.ID, b.moment(last.Ready).dayHour())
	switch {
	case len(s.Trucks) > 0 && out < last.Ready:
		why += ", after the last truck of these weeks"
	case len(s.Trucks) > 0 && out > last.Ready && last.Ready <= s.Due:
		return why + ", in time, and no truck goes before " + b.moment(out).dayHour()
	case len(s.Trucks) > 0:
		why += ", truck " + b.moment(out).dayHour()
	}
	return why + "; " + b.whyLate(a, b.pours[last.ID], last, s.Due)
}

// wait is a stretch of open time in which a pour only waits.
type wait struct {
	ticks int64
	text  string
}

// longestWait tells where a planned pour waits longest in open ticks; "" if it
// nowhere waits.
func (b *builder) longestWait(q *model.Pour, x *model.PourPlan) string {
	var best wait
	put := func(from, to model.Tick, format string, args ...any) {
		if n := b.opens(from, to); n > best.ticks {
			best = wait{n, fmt.Sprintf("%s %s", b.openHours(n), fmt.Sprintf(format, args...))}
		}
	}
	if q.Stage == model.New {
		text := "before its mold " + string(x.Mold) + " is prepared"
		if prev := b.before(q.ID, string(x.Mold)); prev != nil {
			text = fmt.Sprintf("before its mold %s is prepared (%s is in it until %s)", x.Mold, prev.pour, b.moment(prev.free).dayHour())
		}
		put(max(q.Release, b.p.Now), x.Prep.From(), "%s", text)
		put(x.Prep.To(), x.Layers[0].From(), "in the prepared mold before its first coat")
		put(max(*x.CureEnd, b.p.Now), x.Demold.From(), "cured in its mold before it is stripped")
	}
	if q.Stage == model.Curing {
		put(max(q.CureEnd, b.p.Now), x.Demold.From(), "cured in its mold before it is stripped")
	}
	for j, iv := range b.waits(q, x) {
		if x.Finish[j] != nil {
			put(iv.From(), iv.To(), "on the rack before %s", b.stepName(q.Finish[j].ID))
		}
	}
	return best.text
}

// before is the stay in the mold that comes before that of a pour, nil if it is
// the first.
func (b *builder) before(pour, mold string) *inMold {
	stays := b.orderIn[mold]
	for i := range stays {
		if stays[i].pour == pour && i > 0 {
			return &stays[i-1]
		}
	}
	return nil
}

// carriedList lists what is left for a later week, with the reason.
func (b *builder) carriedList() []Carried {
	l := []Carried{}
	a := newAlone(b)
	for i := range b.p.Pours {
		q := &b.p.Pours[i]
		if !slices.Contains(b.w.Plan.Carried, q.ID) {
			continue
		}
		l = append(l, Carried{Pour: q.ID, Order: q.Order, Piece: b.pieceName(q), Due: b.moment(b.due(q)),
			Cost: q.Carry, Why: b.whyCarried(a, q)})
	}
	return l
}

// whyCarried is the plainest true reason that a pour is left out: it cannot
// begin or end in time even alone; it would cost more even alone; or no plan
// with it is cheaper, as far as is known.
func (b *builder) whyCarried(a *alone, q *model.Pour) string {
	if long := b.tooLong(q.ID); long != "" {
		return long
	}
	e := a.pour(q)
	switch {
	case e.coat >= b.p.PourUntil && e.coat < never:
		return fmt.Sprintf("even alone in an empty shop its first coat could not start before %s; the week's pours start before %s",
			b.moment(e.coat).dateHour(), b.moment(b.p.PourUntil).dateHour())
	case e.coat >= never:
		if mix := a.unmixed(q); mix != "" {
			return "even alone in an empty shop no batch of " + mix + " can be mixed for it: a mixer that is up, hands or hours are missing"
		}
		return "even alone in an empty shop there is no time for its first coat: hands, hours of the day or molds are missing"
	case e.ready >= never:
		return "even alone in an empty shop it could not be finished before " + b.moment(b.horizon).dateHour() + ", the end of the plan"
	}
	if late := q.LatePerTick * model.Mils(max(0, e.ready-q.Due)); late >= q.Carry && late > 0 {
		return fmt.Sprintf("even alone in an empty shop it could not be ready before %s, and being that late would cost %s; carrying it costs %s",
			b.moment(e.ready).dateHour(), b.money(late), b.money(q.Carry))
	}
	var parts []string
	if m := b.moldsTaken(q); m != "" {
		parts = append(parts, m)
	}
	if b.w.Plan.Bound > 0 && b.w.Plan.Bound == b.w.Plan.Cost {
		parts = append(parts, fmt.Sprintf("carrying it costs %s; proven: no allowed plan with it costs less in all", b.money(q.Carry)))
	} else {
		parts = append(parts, fmt.Sprintf("carrying it costs %s; no cheaper plan with it was found, which is no proof", b.money(q.Carry)))
	}
	return strings.Join(parts, "; ")
}

// tooLong names the first step of a pour that no stretch of hours is long enough
// for, so that no plan has it, and what can be done; "" if there is none.
func (b *builder) tooLong(pour string) string {
	if b.unfit == nil {
		b.unfit = map[string]string{}
		for _, x := range model.FindTooLong(b.p) {
			if b.unfit[x.Pour] == "" {
				b.unfit[x.Pour] = b.stepName(x.Step) + " " + x.Takes() + ", on whatever day; " + x.Mend()
			}
		}
	}
	return b.unfit[pour]
}

// moldsTaken tells how much of the time left for pouring the molds of a carried
// pour are in use by others; "" if that is less than half.
func (b *builder) moldsTaken(q *model.Pour) string {
	var used, all int64
	var ids []string
	for _, c := range q.Molds {
		m := b.molds[c.Mold]
		if m == nil {
			continue
		}
		ids = append(ids, c.Mold)
		all += b.reg(b.p.Now, b.p.PourUntil)
		for _, s := range b.orderIn[c.Mold] {
			used += b.reg(max(s.from, b.p.Now), min(s.free, b.p.PourUntil))
		}
	}
	if all == 0 || 2*used < all {
		return ""
	}
	what := "its mold " + ids[0] + " is"
	if len(ids) > 1 {
		what = "its molds " + strings.Join(ids, ", ") + " are"
	}
	return fmt.Sprintf("%s in use by other pours for %.1f of %.1f regular hours", what, b.hours(used), b.hours(all))
}

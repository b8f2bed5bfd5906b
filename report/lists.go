package report

import (
	"cmp"
	"slices"

	"pourweek/model"
)

// batchList lists the batches in the order of the clock.
func (b *builder) batchList() []Batch {
	l := []Batch{}
	for i := range b.w.Plan.Batches {
		x := &b.w.Plan.Batches[i]
		m := b.mixes[x.Mix]
		net, mixed := b.masses(x)
		y := Batch{
			ID: x.ID, Mixer: x.Mixer, Mix: x.Mix, Color: b.w.Labels.Mixes[x.Mix].Color,
			From: b.moment(x.Start), Ready: b.moment(x.Start + m.Mix + m.Rest + m.Remix),
			UseBy: b.moment(x.Start + model.Tick(m.PotLife.At(x.Start))),
			Net:   net, Mixed: mixed, Waste: mixed - net,
			Pours: append([]string{}, b.fed[x.ID]...),
		}
		if x.Wash.Len() > 0 {
			y.Washed = b.momentAt(&x.Wash[1])
		}
		if c := b.mixers[x.Mixer].Capacity; c > 0 {
			y.Full = float64(mixed) / float64(c)
		}
		l = append(l, y)
	}
	slices.SortStableFunc(l, func(x, y Batch) int { return cmp.Compare(x.From.Tick, y.From.Tick) })
	return l
}

// pieceList lists every pour of the problem with its way through the week.
func (b *builder) pieceList() []Piece {
	l := []Piece{}
	for i := range b.p.Pours {
		q := &b.p.Pours[i]
		label := b.w.Labels.Orders[q.Order]
		y := Piece{
			Pour: q.ID, Order: q.Order, Piece: b.pieceName(q), Stage: string(q.Stage), Places: q.Places,
			Due: b.moment(b.due(q)), Truck: label.Truck, Note: label.Note, Batches: []string{},
		}
		if s := b.shipment[q.ID]; s != nil {
			y.Shipment = s.ID
			y.Truck = y.Truck || len(s.Trucks) > 0
		}
		x := b.planned[q.ID]
		if x == nil {
			y.Stage = "carried"
			l = append(l, y)
			continue
		}
		b.way(&y, q, x)
		l = append(l, y)
	}
	return l
}

// way fills in where and when a planned pour is.
func (b *builder) way(y *Piece, q *model.Pour, x *model.PourPlan) {
	y.Mold, y.Rack = b.moldOf(q, x), x.Rack
	if q.Stage == model.New {
		y.Prep, y.Poured = b.momentAt(&x.Prep[0]), b.momentAt(&x.Layers[0][0])
		y.Covered, y.NotBefore = b.momentAt(&x.Cover[1]), b.momentAt(x.CureEnd)
		y.IdleHours = b.hours(b.idle[q.ID])
		for _, id := range x.Draws {
			if !slices.Contains(y.Batches, id) {
				y.Batches = append(y.Batches, id)
			}
		}
	}
	if q.Stage == model.Curing {
		y.NotBefore = b.momentAt(&q.CureEnd)
	}
	if q.Stage != model.Racked {
		y.Stripped, y.MoldFree = b.momentAt(&x.Demold[0]), b.momentAt(&x.Demold[1])
	}
	out := b.out[q.ID]
	y.Ready, y.Leaves = b.momentAt(&x.Ready), b.momentAt(&out)
	y.LateHours = b.hours(b.late(q.ID))
}

// held is the interval over which a planned pour holds its rack places: from
// the start of its demold on. (Section 5, holding.)
func (b *builder) held(q *model.Pour, x *model.PourPlan) model.Interval {
	iv := model.Interval{0, x.Ready}
	if q.Stage != model.Racked {
		iv[0] = x.Demold.From()
	}
	if s := b.shipment[q.ID]; s != nil && s.Hold {
		iv[1] = max(iv[1], b.out[q.ID])
	}
	return iv
}

// closings tells what the racks hold when the shop closes, for each day up to
// the last on which anything is on a rack. A day closes with its last open
// tick; overtime counts if somebody works in it.
func (b *builder) closings() []Closing {
	l := []Closing{}
	if len(b.p.Racks) == 0 {
		return l
	}
	var last model.Tick
	for i := range b.w.Plan.Pours {
		x := &b.w.Plan.Pours[i]
		last = max(last, b.held(b.pours[x.ID], x).To())
	}
	for _, at := range b.closingTicks(last) {
		c := Closing{Date: b.date(at - 1), At: b.moment(at), Racks: []RackFill{}}
		for i := range b.p.Racks {
			r := &b.p.Racks[i]
			c.Racks = append(c.Racks, RackFill{r.ID, b.heldAt(r.ID, at-1), int(r.Places.At(at - 1))})
		}
		l = append(l, c)
	}
	return l
}

// closingTicks are the ticks at which the shop closes, from now to the end of
// the day of last.
func (b *builder) closingTicks(last model.Tick) []model.Tick {
	busy := map[string]model.Tick{}
	for i := range b.tasks {
		for _, iv := range b.parts(b.tasks[i].iv, b.tasks[i].takes) {
			d := b.date(iv.From())
			busy[d] = max(busy[d], iv.To())
		}
	}
	var l []model.Tick
	for from := b.clamp(b.p.Now); from < min(max(last, 1), b.horizon); {
		to := min(b.nextDay(from), b.horizon)
		at := model.Tick(-1)
		for t := to - 1; t >= from; t-- {
			if b.isOpen(t) && !b.isOvertime(t) {
				at = t + 1
				break
			}
		}
		if at = max(at, busy[b.date(from)]); at > 0 {
			l = append(l, at)
		}
		from = to
	}
	return l
}

// heldAt is the number of places of a rack that are held in tick t.
func (b *builder) heldAt(rack string, t model.Tick) (n int) {
	for i := range b.w.Plan.Pours {
		x := &b.w.Plan.Pours[i]
		q := b.pours[x.ID]
		where := x.Rack
		if q.Stage == model.Racked {
			where = q.Rack
		}
		if iv := b.held(q, x); where == rack && iv.From() <= t && t < iv.To() {
			n += q.Places
		}
	}
	return n
}

func (b *builder) moldUse() []MoldUse {
	l := []MoldUse{}
	for i := range b.p.Molds {
		m := &b.p.Molds[i]
		u := MoldUse{Mold: m.ID}
		for _, s := range b.orderIn[m.ID] {
			u.Pours++
			u.IdleHours += b.hours(b.idle[s.pour])
		}
		l = append(l, u)
	}
	return l
}

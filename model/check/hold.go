package check

import (
	"cmp"
	"slices"

	"pourweek/model"
)

// holdStation notes that a place of a station is held.
func (c *checker) holdStation(id string, iv model.Interval, where Where) {
	if i, ok := c.stationIx[id]; ok {
		c.stations[i] = append(c.stations[i], holding{iv, 1, where})
	}
}

// useMolds judges that each mold holds one pour at a time, and prices the time
// in which it stands empty ahead of a pour.
func (c *checker) useMolds() {
	in := make([][]*planned, len(c.p.Molds))
	for i := range c.pours {
		x := &c.pours[i]
		if !x.sound || x.q.Stage == model.Racked {
			continue
		}
		id := x.q.Mold
		if x.q.Stage == model.New {
			id = string(x.Mold)
		}
		if m, ok := c.moldIx[id]; ok {
			in[m] = append(in[m], x)
		}
	}
	for m, xs := range in {
		slices.SortStableFunc(xs, func(a, b *planned) int { return cmp.Compare(a.moldHeld().From(), b.moldHeld().From()) })
		c.mold(&c.p.Molds[m], xs)
	}
}

// moldHeld is when the pour holds its mold.
func (x *planned) moldHeld() model.Interval {
	if x.q.Stage == model.New {
		return model.Interval{x.Prep.From(), x.Demold.To()}
	}
	return model.Interval{-far, x.Demold.To()} // before all others; it is in there
}

func (c *checker) mold(m *model.Mold, xs []*planned) {
	free := m.FreeFrom
	var last *planned // of those before, the one that holds the mold longest
	for _, x := range xs {
		held := x.moldHeld()
		if last != nil && last.Demold.To() > held.From() {
			c.add(fault{MoldHeld, x.where, m.ID, max(0, held.From())}, "pour %q is in the mold %q from %s on, which pour %q holds until %s",
				x.ID, m.ID, c.at(max(0, held.From())), last.ID, c.at(last.Demold.To()))
		}
		if x.q.Stage == model.New {
			c.moldIsFree(m, x, held)
			idle := c.cal.reg(max(free, c.p.Now), x.Prep.From()) + c.cal.reg(x.Prep.To(), x.Layers[0].From())
			c.terms.Idle += c.p.Costs.Idle * model.Mils(idle)
		}
		free = max(free, held.To())
		if last == nil || held.To() > last.Demold.To() {
			last = x
		}
	}
}

func (c *checker) moldIsFree(m *model.Mold, x *planned, held model.Interval) {
	if held.From() < m.FreeFrom {
		c.add(fault{MoldFree, x.where, m.ID, held.From()}, "pour %q takes the mold %q at %s, before it is free at %s",
			x.ID, m.ID, c.at(held.From()), c.at(m.FreeFrom))
	}
	for _, d := range m.Down {
		if overlap(held, d) {
			c.add(fault{MoldDown, x.where, m.ID, d.From()}, "pour %q is in the mold %q from %s to %s, but it is down from %s to %s",
				x.ID, m.ID, c.at(held.From()), c.at(held.To()), c.at(d.From()), c.at(d.To()))
		}
	}
}

// ship works out when the pours leave and prices late shipments.
func (c *checker) ship() {
	ix := index(c.p.Pours, func(q *model.Pour) string { return q.ID })
	for i := range c.pours {
		if x := &c.pours[i]; x.sound {
			x.out = x.Ready
		}
	}
	for i := range c.p.Shipments {
		s := &c.p.Shipments[i]
		out, some := model.Tick(0), false
		for _, id := range s.Pours {
			if x := &c.pours[ix[id]]; x.sound {
				out, some = max(out, x.Ready), true
			}
		}
		if !some {
			continue
		}
		if s.Trucks != nil {
			if k, _ := slices.BinarySearch(s.Trucks, out); k < len(s.Trucks) {
				out = s.Trucks[k]
			} else {
				out = c.p.Horizon
			}
		}
		c.terms.Ship += s.LatePerTick * model.Mils(max(0, out-s.Due))
		for _, id := range s.Pours {
			if x := &c.pours[ix[id]]; s.Hold && x.sound {
				x.out = max(x.out, out)
			}
		}
	}
}

// rest notes the rack places that are held.
func (c *checker) rest() {
	for i := range c.pours {
		x := &c.pours[i]
		if !x.sound {
			continue
		}
		r, ok := c.rackIx[x.Rack]
		if !ok {
			continue // said already: it is none of the pour's racks
		}
		from := model.Tick(0)
		if x.q.Stage != model.Racked {
			from = x.Demold.From()
		}
		c.racks[r] = append(c.racks[r], holding{model.Interval{from, x.out}, x.q.Places, x.where})
	}
}

// hold judges that no station or rack holds more than it has places for.
func (c *checker) hold() {
	for i, hs := range c.stations {
		s := &c.p.Stations[i]
		if t, n, most := fullest(hs, model.Steps{{0, int64(s.Places)}}); n > most {
			c.full(fault{Station, Where{}, s.ID, t}, "station", hs, n, most)
		}
	}
	for i, hs := range c.racks {
		r := &c.p.Racks[i]
		if t, n, most := fullest(hs, r.Places); n > most {
			c.full(fault{RackPlaces, Where{}, r.ID, t}, "rack", hs, n, most)
		}
	}
}

// full says who holds more than there is at the tick of f.
func (c *checker) full(f fault, what string, hs []holding, n, most int64) {
	holders := ""
	listed := 0
	for _, h := range hs {
		if h.iv.From() <= f.tick && f.tick < h.iv.To() {
			f.where = h.where
			if listed++; listed > 1 {
				holders += ", "
			}
			if listed > 12 {
				holders += "and more"
				break
			}
			holders += h.where.String()
		}
	}
	c.add(f, "%s %q has %s at %s, and %d held: by %s", what, f.thing, many(model.Tick(most), "place"), c.at(f.tick), n, holders)
}

// fullest is the first tick at which more is held than there is, with what is
// held and what there is then; n is 0 if there is none.
func fullest(hs []holding, places model.Steps) (t model.Tick, n, most int64) {
	type event struct {
		t model.Tick
		n int
	}
	events := make([]event, 0, 2*len(hs)+len(places))
	for _, h := range hs {
		if h.iv.From() < h.iv.To() {
			events = append(events, event{h.iv.From(), h.n}, event{h.iv.To(), -h.n})
		}
	}
	if len(events) == 0 {
		return 0, 0, 0
	}
	for _, s := range places {
		events = append(events, event{model.Tick(s[0]), 0})
	}
	slices.SortFunc(events, func(a, b event) int { return cmp.Compare(a.t, b.t) })
	held := int64(0)
	for i := 0; i < len(events); {
		t := events[i].t
		for ; i < len(events) && events[i].t == t; i++ {
			held += int64(events[i].n)
		}
		if most := places.At(t); held > most && held > 0 {
			return t, held, most
		}
	}
	return 0, 0, 0
}

// price adds the terms that need nothing but times. Every pour is sound or
// carried.
func (c *checker) price() {
	costs := &c.p.Costs
	for i := range c.pours {
		x := &c.pours[i]
		q := x.q
		if x.PourPlan == nil {
			c.terms.Carry += q.Carry
			if q.Base != nil {
				c.terms.Move += costs.Move
			}
			continue
		}
		c.terms.Late += q.LatePerTick * model.Mils(max(0, x.Ready-q.Due))
		if q.Stage != model.Racked {
			c.terms.Held += costs.Held * model.Mils(c.cal.reg(max(x.cured, c.p.Now), x.Demold.From()))
		}
		if b := q.Base; b != nil {
			off := x.Layers[0].From() - b.Start
			if string(x.Mold) != b.Mold || max(off, -off) > c.p.MoveTolerance {
				c.terms.Move += costs.Move
			}
		}
		c.terms.RackWait += costs.RackWait * model.Mils(c.waits(x))
	}
}

// waits is the number of regular ticks in which the finish steps of a pour
// could have started and did not.
func (c *checker) waits(x *planned) (n model.Tick) {
	last := model.Tick(0)
	if x.Demold != nil {
		last = x.Demold.To()
	}
	for k, iv := range x.Finish {
		if iv == nil {
			continue
		}
		earliest := last + x.q.Finish[k].Rest
		if x.q.Stage == model.Racked && k == x.q.Next {
			earliest = x.q.From
		}
		n += c.cal.reg(max(earliest, c.p.Now), iv.From())
		last = iv.To()
	}
	return n
}

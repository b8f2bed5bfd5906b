package search

import "pourweek/solve/inst"

// putTail places the tail in w.ts.best of a pour whose body stands; false if
// it does not fit after all (the state is then as before).
func (w *worker) putTail(p *pour) bool {
	s, q, t := w.s, w.q, &w.ts.best
	for k := range p.tail {
		d := &p.tail[k]
		g := q.taken(&d.task, t.i[k], t.e[k])
		if !w.roomFor(&d.task, t.i[k], t.e[k]) || !w.choose(&d.task, &g) {
			for ; k > 0; k-- {
				w.release(&p.tail[k-1].task, p.tail[k-1].tid)
			}
			return false
		}
		copy(s.who[q.whoOff[d.tid]:], w.pick[:d.heads])
		w.hold(&d.task, d.tid, t.i[k], t.e[k], &g)
	}
	s.stage[p.id], s.rack[p.id] = placed, t.rack
	if !w.putSpans(p) {
		w.liftSteps(p)
		s.stage[p.id] = poured
		return false
	}
	w.settle(p, 1)
	return true
}

func (w *worker) roomFor(d *task, i, e int32) bool {
	return d.station < 0 || w.s.stationBlocked(w.q, d.station, w.q.clock[i], e) < 0
}

func (w *worker) liftSteps(p *pour) {
	for k := range p.tail {
		w.release(&p.tail[k].task, p.tail[k].tid)
	}
}

// settle books what follows from the times of a placed tail: waiting,
// lateness, the shipment, rack places and the idle time of the mold after it.
// With sign -1 it takes that back; the tail still stands in both cases.
func (w *worker) settle(p *pour, sign int64) {
	s, q := w.s, w.q
	ready := w.readyOf(p.id)
	c := p.LatePerTick * int64(max(0, ready-p.Due))
	from := w.tailSince(p)
	for k := range p.tail {
		d := &p.tail[k]
		if k > 0 {
			from = s.end[p.tail[k-1].tid] + d.rest
		}
		c += d.wait * int64(q.regular(max(from, q.now), q.clock[s.start[d.tid]]))
	}
	c += w.gap(p.id, s.next[p.id])
	if p.Ship >= 0 {
		others := w.othersOut(p)
		if ready > others {
			c += w.shipCost(p.Ship, ready) - w.shipCost(p.Ship, others)
		}
		w.settleHold(p, ready, others, sign)
	} else {
		w.holdRack(p, ready, sign)
	}
	s.cost += sign * c
	if p.must {
		s.missing -= int32(sign)
		s.cost -= sign * missed
	}
}

// tailSince is the earliest start of the first step of the tail.
func (w *worker) tailSince(p *pour) int32 {
	switch p.Stage {
	case inst.Curing:
		return p.CuredAt
	case inst.Racked:
		return p.From
	}
	return p.CureEnd[w.s.end[p.t0+1+p.layers]]
}

// rackFrom is the tick from which a placed pour holds its rack places.
func (w *worker) rackFrom(p *pour) int32 {
	if p.Stage == inst.Racked {
		return 0
	}
	return w.q.clock[w.s.start[p.tail[0].tid]]
}

func (w *worker) holdRack(p *pour, to int32, sign int64) {
	s := w.s
	if sign > 0 {
		s.hold[p.id] = to
	}
	s.rackAdd(w.q, s.rack[p.id], w.rackFrom(p), s.hold[p.id], int16(sign)*int16(p.Places))
}

// settleHold holds the rack places of a pour in a shipment, and moves the end
// of the holds of the others where the shipment now leaves at another time.
func (w *worker) settleHold(p *pour, ready, others int32, sign int64) {
	s, q := w.s, w.q
	x := &q.Ships[p.Ship]
	if !x.Hold {
		w.holdRack(p, ready, sign)
		return
	}
	with := x.Leaves(max(ready, others), q.h)
	w.holdRack(p, max(ready, with), sign)
	if others < 0 {
		return
	}
	out := with
	if sign < 0 {
		out = x.Leaves(others, q.h)
	}
	for _, o := range x.Pours {
		if o == p.id || s.stage[o] != placed {
			continue
		}
		to := max(w.readyOf(o), out)
		switch {
		case to > s.hold[o]:
			s.rackAdd(q, s.rack[o], s.hold[o], to, int16(q.pours[o].Places))
		case to < s.hold[o]:
			s.rackAdd(q, s.rack[o], to, s.hold[o], -int16(q.pours[o].Places))
		}
		s.hold[o] = to
	}
}

// gap is the idle cost between the demolding of a in its mold and the prep of
// b behind it; 0 while one of the two is missing.
func (w *worker) gap(a, b int32) int64 {
	if a < 0 || b < 0 || w.s.stage[a] != placed || !w.q.pours[a].tail[0].demold {
		return 0
	}
	q := w.q
	free := max(w.s.end[q.pours[a].tail[0].tid], q.Molds[w.moldOf(a)].FreeFrom)
	return int64(q.Costs.Idle) * int64(q.regular(max(free, q.now), q.clock[w.s.start[q.pours[b].t0]]))
}

// moldOf is the mold that a pour stands in.
func (w *worker) moldOf(p int32) int32 {
	if w.q.pours[p].Stage == inst.Curing {
		return w.q.pours[p].Mold
	}
	return w.s.mold[p]
}

// dropTail lifts the tail of a placed pour.
func (w *worker) dropTail(p *pour) {
	w.settle(p, -1)
	w.dropSpans(p)
	w.liftSteps(p)
	w.s.stage[p.id] = poured
}

// putSpans holds the stations of the pour's spans, all moments of which are
// known; false, and nothing held, if one has no place.
func (w *worker) putSpans(p *pour) bool {
	for k, x := range p.spans {
		a, b := w.spanTicks(p, x)
		if w.s.stationBlocked(w.q, x.station, a, b) >= 0 {
			for _, y := range p.spans[:k] {
				a, b = w.spanTicks(p, y)
				w.s.stationAdd(w.q, y.station, a, b, -1)
			}
			return false
		}
		w.s.stationAdd(w.q, x.station, a, b, 1)
	}
	return true
}

func (w *worker) dropSpans(p *pour) {
	for _, x := range p.spans {
		a, b := w.spanTicks(p, x)
		w.s.stationAdd(w.q, x.station, a, b, -1)
	}
}

func (w *worker) spanTicks(p *pour, x span) (a, b int32) {
	if x.from >= 0 {
		a = w.moment(p, x.from, x.fromEnd)
	}
	return a, w.moment(p, x.to, x.toEnd)
}

package search

// findRack gives a rack with places for p from the tick on if it is ready
// then; none if there is none, with the tick at which it is worth trying again
// (none: never).
func (w *worker) findRack(p *pour, from, ready int32) (rack, need int32) {
	q, to, held := w.q, ready, false
	if p.Ship >= 0 && q.Ships[p.Ship].Hold {
		to = max(ready, q.Ships[p.Ship].Leaves(max(ready, w.ts.ship), q.h))
		if !w.stretch(p, to, 1) {
			return none, none
		}
		held = true
	}
	off := int32(0)
	if w.stir && len(p.rackList) > 1 {
		off = w.r.n(int32(len(p.rackList)))
	}
	rack, need = none, q.h
	for k := range int32(len(p.rackList)) {
		r := p.rackList[(k+off)%int32(len(p.rackList))]
		x := w.s.rackLacks(q, r, from, to, int16(p.Places))
		if x < 0 {
			rack = r
			break
		}
		need = min(need, q.cellEnd[x])
	}
	if held {
		w.stretch(p, to, -1)
	}
	return rack, need
}

// stretch lengthens (or, with d = -1, shortens again) the holds of the other
// pours of p's shipment to the tick out, which changes racks but no hold; it
// reports whether they have places that long, and changes nothing if not.
func (w *worker) stretch(p *pour, out int32, d int16) bool {
	q, s := w.q, w.s
	l := q.Ships[p.Ship].Pours
	for k, o := range l {
		if o == p.id || s.stage[o] != placed || s.hold[o] >= out {
			continue
		}
		n := int16(q.pours[o].Places)
		if d > 0 && s.rackLacks(q, s.rack[o], s.hold[o], out, n) >= 0 {
			for _, o := range l[:k] {
				if o != p.id && s.stage[o] == placed && s.hold[o] < out {
					s.rackAdd(q, s.rack[o], s.hold[o], out, -int16(q.pours[o].Places))
				}
			}
			return false
		}
		s.rackAdd(q, s.rack[o], s.hold[o], out, d*n)
	}
	return true
}

// tailSpans checks the spans of the pour that end in its tail as far as their
// moments are known; one that is blocked asks for a later start of its first
// step.
func (w *worker) tailSpans() bool {
	t, q, p := &w.ts, w.q, w.ts.p
	first := p.tail[0].tid - p.t0
	for _, x := range p.spans {
		if x.to < first {
			continue
		}
		a, b := int32(0), w.tailMoment(x.to-first, x.toEnd)
		if x.from >= first {
			a = w.tailMoment(x.from-first, x.fromEnd)
		} else if x.from >= 0 {
			if !t.body {
				continue
			}
			a = w.moment(p, x.from, x.fromEnd)
		}
		c := w.s.stationBlocked(q, x.station, a, b)
		if c < 0 {
			continue
		}
		if x.from >= first && !t.best.ok {
			t.bumpK, t.bumpT = x.from-first, q.cellEnd[c]
			if !x.fromEnd {
				t.bumpT += p.tail[t.bumpK].work
			}
		}
		return false
	}
	return true
}

func (w *worker) tailMoment(k int32, end bool) int32 {
	if end {
		return w.ts.cur.e[k]
	}
	return w.q.clock[w.ts.cur.i[k]]
}

// moment is the tick of a moment of a pour whose task k is placed.
func (w *worker) moment(p *pour, k int32, end bool) int32 {
	if end {
		return w.s.end[p.t0+k]
	}
	return w.q.clock[w.s.start[p.t0+k]]
}

// tightPlan is a tail for a mold that is free by a tick, kept for one insertion.
type tightPlan struct {
	tailPlan
	until int32
}

// tightWays is how many limits of one since are kept side by side.
const tightWays = 8

// tightTail is the cheapest tail with the mold free by until, nil if there is
// none. Starts of one slot that cure into the same open tick share the answer.
func (w *worker) tightTail(p *pour, since, last, until, key int32) *tailPlan {
	t := &w.tight[key*tightWays+int32(uint32(until)*2654435761>>29)]
	if t.stamp == w.memoStamp && t.until == until {
		if t.ok {
			return &t.tailPlan
		}
		return nil
	}
	if t.i == nil {
		t.tailPlan = w.takeTailPlan(len(w.ts.best.i))
	}
	t.stamp, t.until, t.ok = w.memoStamp, until, false
	if w.findTail(p, since, last, until, none) {
		t.copyFrom(&w.ts.best)
	}
	if !t.ok {
		return nil
	}
	return &t.tailPlan
}

// chunk is how many plans of tails are laid out at a time.
const chunk = 256

// takeTailPlan is newTailPlan from memory that is laid out by the chunk: most of
// the many that tightTail could keep are never asked for.
func (w *worker) takeTailPlan(n int) tailPlan {
	if len(w.laidOut) < 2*n {
		w.laidOut = make([]int32, 2*n*chunk)
	}
	t := tailPlan{i: w.laidOut[:n:n], e: w.laidOut[n : 2*n : 2*n]}
	w.laidOut = w.laidOut[2*n:]
	return t
}

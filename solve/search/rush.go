package search

import "pourweek/solve/inst"

// pickRush takes a late pour and what may keep it from being ready in time, and
// has it go in first: another one is late for it, perhaps for less.
func (w *worker) pickRush() {
	r, q := &w.ruin, w.q
	p := w.anyLate()
	if p < 0 {
		w.pickRandom()
		return
	}
	x := &q.pours[p]
	r.forced, r.forcedMold, r.first, r.lo, r.hi = p, none, true, 0, 0
	at := w.dem(p)
	if x.Stage == inst.New && x.PinMold == inst.None && !w.r.one(4) {
		w.take(p)
		at = w.rushBody(x)
	} else {
		w.takeTail(p)
	}
	// Steps of others in a part of the time in which it should be finished.
	if d := x.Due - at; d > 0 {
		t := at + w.r.n(d)
		w.takeTailsAt(t, t+12+w.r.n(q.nearby))
	}
}

// anyLate draws a late pour, rather a dear one; none if there is none.
func (w *worker) anyLate() int32 {
	l := w.ruin.list[:0]
	for _, p := range w.ruin.all {
		if w.s.stage[p] == placed && w.lateCost(&w.q.pours[p], w.readyOf(p), none) > 0 {
			l = append(l, p)
		}
	}
	w.ruin.list = l
	if len(l) == 0 {
		return none
	}
	a, b := l[w.r.n(int32(len(l)))], l[w.r.n(int32(len(l)))]
	if w.lateCost(&w.q.pours[a], w.readyOf(a), none) < w.lateCost(&w.q.pours[b], w.readyOf(b), none) {
		return b
	}
	return a
}

// rushBody draws a mold and a time from which the pour, out of its mold at the
// returned tick, could still be ready when it is due, and makes room there.
func (w *worker) rushBody(p *pour) int32 {
	r, q := &w.ruin, w.q
	c := p.Molds
	r.forcedMold = c[w.r.n(int32(len(c)))].Mold
	cover := min(p.Due, q.h)
	for cover > 0 && p.CureEnd[cover]+p.rem[0] > p.Due {
		cover -= 4
	}
	lo := q.oi[min(max(q.now, p.Release), q.h)]
	hi := min(q.oi[max(cover-p.minBody+1, 0)], q.oi[min(q.PourUntil, q.h)])
	if hi <= lo { // it is late in any case
		hi = min(lo+q.nearby, q.n)
	}
	at := max(lo, hi-1-w.r.n(min(hi-lo, 4*q.nearby)))
	r.lo, r.hi = max(at-12, 0), min(at+12, q.n)
	t := q.clock[at]
	w.clearMold(p.id, r.forcedMold, t)
	w.clearLaying(p.id, t)
	return p.CureEnd[min(t+p.minBody, q.h)]
}

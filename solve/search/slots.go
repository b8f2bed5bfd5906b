package search

import (
	"math/bits"

	"pourweek/solve/inst"
)

// nextBit is the first set bit of word m at or after i, or the first bit of
// the next word.
func nextBit(m uint64, i int32) int32 {
	m &= ^uint64(0) << (i & 63)
	if m == 0 {
		return (i>>6 + 1) << 6
	}
	return i>>6<<6 + int32(bits.TrailingZeros64(m))
}

// push and pop keep w.heap ordered by key, then slot.
func (w *worker) push(st stream) {
	h := append(w.heap, st)
	i := len(h) - 1
	for i > 0 {
		k := (i - 1) / 2
		if h[k].key <= st.key {
			break
		}
		h[i] = h[k]
		i = k
	}
	h[i] = st
	w.heap = h
}

func (w *worker) pop() stream {
	h := w.heap
	top, st := h[0], h[len(h)-1]
	h = h[:len(h)-1]
	i := 0
	for 2*i+1 < len(h) {
		k := 2*i + 1
		if k+1 < len(h) && h[k+1].key < h[k].key {
			k++
		}
		if st.key <= h[k].key {
			break
		}
		h[i] = h[k]
		i = k
	}
	if len(h) > 0 {
		h[i] = st
	}
	w.heap = h
	return top
}

// openSlots lists the slots that a pour may take.
func (w *worker) openSlots(p *pour) {
	w.slots = w.slots[:0]
	for c := range p.Molds {
		m := p.Molds[c].Mold
		if p.PinMold != inst.None && m != p.PinMold {
			continue
		}
		if (w.only >= 0 && m != w.only) || (m == w.banned && len(p.Molds) > 1) {
			continue
		}
		w.moldSlots(p, int32(c), m)
	}
}

// moldSlots adds the slots of one mold, cut at its down times.
func (w *worker) moldSlots(p *pour, c, m int32) {
	s, q := w.s, w.q
	free := q.Molds[m].FreeFrom
	before, next := int32(none), s.head[m]
	for {
		until := q.h
		if next >= 0 && q.pours[next].Stage == inst.Curing {
			out := w.outOf(next)
			if out < 0 {
				return
			}
			free = max(free, out)
			before, next = next, s.next[next]
			continue
		}
		if next >= 0 {
			until = q.clock[s.start[q.pours[next].t0]]
		}
		from := max(free, q.now)
		for _, d := range q.Molds[m].Down {
			if int32(d[1]) <= from || int32(d[0]) >= until || d[1] <= d[0] {
				continue
			}
			w.addSlot(p, slot{choice: c, mold: m, free: max(free, q.now), from: from, until: int32(d[0]), before: before, next: next})
			from = int32(d[1])
		}
		w.addSlot(p, slot{choice: c, mold: m, free: max(free, q.now), from: from, until: until, before: before, next: next})
		if next < 0 {
			return
		}
		out := w.outOf(next)
		if out < 0 {
			return
		}
		free = max(q.Molds[m].FreeFrom, out)
		before, next = next, s.next[next]
	}
}

func (w *worker) demolded(p int32) int32 { return w.s.end[w.q.pours[p].tail[0].tid] }

// outOf is the tick at which a pour is out of its mold; for one without tail
// the earliest such tick if w.ahead says so, else none.
func (w *worker) outOf(p int32) int32 {
	if w.s.stage[p] == placed {
		return w.demolded(p)
	}
	if !w.ahead {
		return none
	}
	q, x := w.q, &w.q.pours[p]
	d := &x.tail[0]
	i := w.first(&d.task, d.plain, q.oi[min(max(w.tailSince(x), q.now), q.h)], q.n)
	if i < 0 {
		return none
	}
	return q.clock[i] + d.work
}

// addSlot keeps a slot if a pour may fit, split where it would count as moved.
func (w *worker) addSlot(p *pour, sl slot) {
	q := w.q
	prep := p.prep[sl.choice].work
	lo := q.oi[min(max(sl.from, p.Release, q.now), q.h)] + prep
	hi := q.oi[min(q.PourUntil, q.h)]
	last := sl.until - p.minBody - p.Demold.Work
	if last < 0 {
		return
	}
	hi = min(hi, q.oi[min(last+1, q.h)])
	if w.windowHi > 0 {
		lo, hi = max(lo, w.windowLo), min(hi, w.windowHi)
	}
	sl.base = -w.outCost(p)
	if p.must {
		sl.base = 0
	}
	if sl.next >= 0 { // the idle time ahead of the next pour changes
		sl.base -= int64(q.Costs.Idle) * int64(q.regular(sl.free, q.clock[w.s.start[q.pours[sl.next].t0]]))
	}
	if p.PinMold != inst.None {
		k := q.oi[p.PinStart]
		if q.clock[k] != p.PinStart {
			return
		}
		lo, hi = max(lo, k), min(hi, k+1)
	}
	if p.BaseMold == inst.None {
		w.cutSlot(sl, lo, hi, false)
		return
	}
	a, z := lo, lo
	if sl.mold == p.BaseMold {
		a = q.oi[min(max(p.BaseStart-q.MoveTolerance, 0), q.h)]
		z = q.oi[min(max(p.BaseStart+q.MoveTolerance+1, 0), q.h)]
	}
	w.cutSlot(sl, max(lo, a), min(hi, z), false)
	sl.base += int64(q.Costs.Move)
	if a >= z {
		w.cutSlot(sl, lo, hi, true)
		return
	}
	w.cutSlot(sl, lo, min(a, hi), true)
	w.cutSlot(sl, max(z, lo), hi, true)
}

func (w *worker) cutSlot(sl slot, lo, hi int32, moved bool) {
	if lo < hi {
		sl.lo, sl.hi, sl.moved = lo, hi, moved
		w.slots = append(w.slots, sl)
	}
}

// linkPour books a pour whose body stands into the sequence of its mold.
func (w *worker) linkPour(p *pour, sl *slot) {
	s := w.s
	s.mold[p.id] = sl.mold
	s.prev[p.id], s.next[p.id] = sl.before, sl.next
	if sl.next >= 0 {
		s.cost -= w.gapOrStart(sl.before, sl.next, sl.mold)
		s.prev[sl.next] = p.id
	}
	if sl.before >= 0 {
		s.next[sl.before] = p.id
	} else {
		s.head[sl.mold] = p.id
	}
	s.stage[p.id] = poured
	s.cost += w.gapOrStart(sl.before, p.id, sl.mold) + w.bodyCost(p)
	if !p.must {
		s.cost -= w.outCost(p)
	}
}

// gapOrStart is the idle cost ahead of the prep of b behind a, or behind the
// day the mold is free if a is none.
func (w *worker) gapOrStart(a, b, m int32) int64 {
	if a >= 0 {
		return w.gap(a, b)
	}
	q := w.q
	return int64(q.Costs.Idle) * int64(q.regular(max(q.Molds[m].FreeFrom, q.now), q.clock[w.s.start[q.pours[b].t0]]))
}

// bodyCost is the idle time between prep and layer 1, and the move.
func (w *worker) bodyCost(p *pour) int64 {
	q, s := w.q, w.s
	l1 := q.clock[s.start[p.t0+1]]
	c := int64(q.Costs.Idle) * int64(q.regular(s.end[p.t0], l1))
	if p.BaseMold != inst.None && (s.mold[p.id] != p.BaseMold || max(l1-p.BaseStart, p.BaseStart-l1) > q.MoveTolerance) {
		c += int64(q.Costs.Move)
	}
	return c
}

// remove takes a pour out of the plan: its tail, and its body if it is new.
func (w *worker) remove(p *pour) {
	if w.s.stage[p.id] == placed {
		w.dropTail(p)
	}
	if p.Stage == inst.New && w.s.stage[p.id] == poured {
		w.removeBody(p)
	}
}

// removeBody takes the body of a pour without tail out, and closes batches
// that are left empty.
func (w *worker) removeBody(p *pour) {
	s := w.s
	before, next, m := s.prev[p.id], s.next[p.id], s.mold[p.id]
	s.cost -= w.gapOrStart(before, p.id, m) + w.bodyCost(p)
	if before >= 0 {
		s.next[before] = next
	} else {
		s.head[m] = next
	}
	if next >= 0 {
		s.prev[next] = before
		s.cost += w.gapOrStart(before, next, m)
	}
	s.prev[p.id], s.next[p.id], s.mold[p.id] = none, none, none
	for k := range p.layers + 2 {
		w.release(w.stepOf(p.id, p.t0+k), p.t0+k)
	}
	s.stage[p.id] = away
	if !p.must {
		s.cost += w.outCost(p)
	}
	for x := range p.Draws {
		b := s.feed[p.d0+int32(x)]
		w.leave(p.d0 + int32(x))
		if s.bDraws[b] == 0 {
			w.closeBatch(b)
		}
	}
}

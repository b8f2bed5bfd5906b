package search

import (
	"math"

	"pourweek/solve/inst"
)

// stream walks the starts of layer 1 in one slot in order of time; key is an
// estimate of the cost of an insertion at i.
type stream struct {
	key  int64
	i    int32 // open index of layer 1, none when exhausted
	slot int32
	join bool  // starts near a batch that may be joined; else all the others
	end  int32 // the open index at which the day ends that it walks
	raw  bool  // its day is not looked at yet
}

// insert places a pour that is away at the least cost found below limit.
// It reports whether it did; the state is unchanged if not.
func (w *worker) insert(p *pour, limit int64) bool {
	w.work++
	if p.Stage != inst.New || w.s.stage[p.id] == poured {
		return w.insertTail(p)
	}
	b := &w.bs
	b.p, b.found, b.best, b.cost0 = p, false, limit, w.s.cost
	b.feed = b.feed[:0]
	for range p.Draws {
		b.feed = append(b.feed, none)
	}
	w.log.reset()
	w.turn = w.r.n(16)
	w.prepAt, w.washAt, w.coverAt = w.r.n(3), 0, 0
	if w.r.one(3) {
		w.washAt = w.r.n(3)
	}
	if w.r.one(3) {
		w.coverAt = w.r.n(3)
	}
	if len(w.ruin.mates) > 0 && (p.id == w.ruin.forced || w.r.one(2)) && w.r.n(8) > 0 {
		w.leaveRoom()
	}
	w.layerAt = 0
	if w.r.one(w.loose) {
		w.layerAt = 1 + w.r.n(2)
	}
	b.maxNodes, b.maxFull = 24, 2
	if w.cur.stage[p.id] == away || w.r.one(8) {
		b.maxNodes, b.maxFull = 150, 3
	}
	if p.PinMold != inst.None {
		b.maxNodes, b.maxFull = 2000, 10
	}
	w.memoStamp++
	w.ts.body = false
	w.nearBatches(p)
	w.openSlots(p)
	if w.stays(p) {
		w.replay(p)
	}
	w.walk(p)
	if !b.found {
		return false
	}
	return w.commit(p)
}

// walk evaluates starts of layer 1, the most promising first.
func (w *worker) walk(p *pour) {
	b, q := &w.bs, w.q
	w.heap = w.heap[:0]
	w.masks.stamp++
	w.still = true
	defer func() { w.still = false }()
	for k := range w.slots {
		sl := &w.slots[k]
		sl.lo = max(sl.lo, q.oi[min(w.prepBy(p, sl), q.h)])
		for c := range 2 {
			if c == 0 && len(w.near) == 0 {
				continue
			}
			st := stream{slot: int32(k), join: c == 0, end: sl.lo}
			for w.pushDay(p, &st) && sl.next >= 0 {
			}
		}
	}
	evals := 0
	for len(w.heap) > 0 {
		st := w.pop()
		if st.key >= b.best || evals > w.evalMax {
			return
		}
		if st.raw {
			if w.slots[st.slot].next < 0 {
				ahead := st
				w.pushDay(p, &ahead)
			}
			st.raw = false
		} else if !w.r.blink(w.blinks) && !w.futile(p, st.i) {
			evals++
			w.still = false
			w.tryBody(&w.slots[st.slot], st.i)
			w.still = true
			w.record(p, st.i)
		}
		if w.advance(p, &st) {
			w.push(st)
		}
	}
}

// A start of layer 1 at which bodies were looked for often, and hardly ever
// found, is futile: most of the time it is passed over.
const (
	futileTries = 16 // so many starts at least were tried
	futileShare = 16 // of which not one in so many led to a body
	futileLook  = 8  // one in so many is tried all the same
)

type trial struct{ tries, hits uint8 }

func (w *worker) futile(p *pour, i int32) bool {
	c := w.tries[p.id*w.q.n+i]
	return c.tries >= futileTries && int(c.hits)*futileShare < int(c.tries) && w.r.n(futileLook) > 0
}

// record counts what came of the body search at open index i.
func (w *worker) record(p *pour, i int32) {
	c := &w.tries[p.id*w.q.n+i]
	if c.tries == math.MaxUint8 {
		c.tries, c.hits = c.tries/2, c.hits/2
	}
	c.tries++
	if w.bs.full > 0 {
		c.hits++
	}
}

// pushDay sets a stream to the day behind the one it is in, with a cheap
// estimate of what an insertion on that day costs at least; false if there is
// no such day.
func (w *worker) pushDay(p *pour, st *stream) bool {
	q, sl := w.q, &w.slots[st.slot]
	lo := st.end
	if lo >= sl.hi {
		return false
	}
	st.raw, st.i, st.end = true, lo-1, min(q.dayEnd[lo], sl.hi)
	cover := q.clock[lo] + p.minBody
	if cover > q.h || p.CureEnd[cover] >= q.h {
		return false
	}
	cured := p.CureEnd[cover]
	key := sl.base + w.idleUntil(p, sl, lo)
	key += p.LatePerTick * int64(max(0, cured+p.rem[0]-p.Due))
	if sl.next >= 0 { // the mold then waits with the piece or without it
		c := q.clock[st.end-1] + 1 + p.latest[p.layers] + p.Cover.Work
		if c <= q.h {
			c = min(p.CureEnd[c], q.h)
		}
		key += min(int64(q.Costs.Idle), p.tail[0].wait) * int64(q.regular(min(c+p.Demold.Work, q.h), q.clock[w.s.start[q.pours[sl.next].t0]]))
	}
	if st.join {
		key += w.joinLeast
	} else {
		key += w.freshLeast
	}
	if st.key = key; key < w.bs.best {
		w.push(*st)
	}
	return true
}

// idleUntil is the idle cost of the mold of a slot until layer 1 starts at open
// index i.
func (w *worker) idleUntil(p *pour, sl *slot, i int32) int64 {
	return int64(w.q.Costs.Idle) * int64(max(0, w.q.regular(sl.free, w.q.clock[i])-p.prep[sl.choice].work))
}

// idleAfter is the idle cost of the mold of a slot from a tail to the pour behind it.
func (w *worker) idleAfter(sl *slot, t *tailPlan) int64 {
	q := w.q
	if sl.next < 0 {
		return 0
	}
	return int64(q.Costs.Idle) * int64(q.regular(max(t.e[0], q.now), q.clock[w.s.start[q.pours[sl.next].t0]]))
}

// prepBy is the first tick by which the mold of a slot can be prepared for the
// pour, after the last tick if never.
func (w *worker) prepBy(p *pour, sl *slot) int32 {
	q := w.q
	d := &p.prep[sl.choice]
	by := q.h + 1
	lo := q.oi[min(max(sl.from, p.Release, q.now), q.h)]
	if i := w.first(d, d.plain, lo, q.n); i >= 0 {
		by = q.clock[i+d.work-1] + 1
	}
	if d.late == nil {
		return by
	}
	for x := lo; x < q.n && q.clock[q.nextOT[x]] < by; { // put down it ends behind the overtime
		if y := w.firstPut(d, x, q.n); y >= 0 {
			_, z := q.putDown(y, d.work)
			return min(by, z)
		}
		x = q.nextReg[q.nextOT[x]]
	}
	return by
}

func (r *rng) blink(k int32) bool { return k > 0 && r.n(1024) < k }

// advance moves a stream to its next start and sets its key; false at the end.
func (w *worker) advance(p *pour, st *stream) bool {
	sl := &w.slots[st.slot]
	for i := st.i + 1; i < min(st.end, sl.hi); {
		word := i >> 6
		var m uint64
		if st.join {
			m = w.layerMask(p, word) & w.joinBits[word]
		} else {
			m = w.freshMask(p, word) &^ w.joinBits[word]
		}
		i = nextBit(m, i)
		if i >= st.end {
			return false
		}
		if i>>6 != word {
			continue
		}
		key, ok := w.estimate(p, sl, i, st.join)
		if !ok {
			return false
		}
		if key < math.MaxInt64 {
			st.i, st.key = i, key
			return true
		}
		i++
	}
	return false
}

// estimate is the cost of an insertion with layer 1 at i if all goes well;
// MaxInt64 if there is no tail for it, and false if there is none later either.
func (w *worker) estimate(p *pour, sl *slot, i int32, join bool) (int64, bool) {
	q := w.q
	cover := q.clock[i] + max(p.minBody, w.body[p.id])
	if cover > q.h || p.CureEnd[cover] >= q.h {
		return 0, false
	}
	if p.CureEnd[cover]+p.Demold.Work > sl.until {
		return 0, false
	}
	t := w.tailFor(p, cover, sl)
	if t == nil {
		if p.MoldMax < 0 { // a later one comes out no sooner
			sl.hi = i
			return 0, false
		}
		return math.MaxInt64, true
	}
	key := sl.base + t.cost + w.idleUntil(p, sl, i) + w.idleAfter(sl, t)
	if q.ot[q.oi[cover]] > q.ot[max(0, i-4)] {
		key += w.bodyOvertime(p, i)
	}
	if join {
		return key + w.joinCost(i), true
	}
	return key + w.freshLeast, true
}

// bodyOvertime estimates what overtime layers and cover of a body cost with
// layer 1 at open index i, all as early as they go.
func (w *worker) bodyOvertime(p *pour, i int32) int64 {
	q := w.q
	var n int32
	add := func(d *task, t int32) {
		a := q.oi[t]
		n += d.heads * (q.ot[min(a+d.work, q.n)] - q.ot[a])
	}
	t := q.clock[i]
	for j := range p.coat {
		add(&p.coat[j], t+p.earliest[j])
	}
	add(&p.cover, t+p.earliest[p.layers])
	return int64(q.Costs.Overtime) * int64(n)
}

// tailFor gives the cheapest tail after a cover that ends at the tick, without
// the idle time behind it; nil if there is none that is out of the mold in
// time.
func (w *worker) tailFor(p *pour, cover int32, sl *slot) *tailPlan {
	q := w.q
	since := p.CureEnd[cover]
	if since >= q.h {
		return nil
	}
	last, key := int32(none), q.oi[max(since, q.now)]
	if p.MoldMax >= 0 {
		last, key = cover+p.MoldMax, q.oi[cover-1]
		if q.clock[key] != cover-1 { // an estimate that ends in a closed shop
			if w.findTail(p, since, last, sl.until, none) {
				return &w.ts.best
			}
			return nil
		}
	}
	t := &w.memo[key]
	if t.stamp != w.memoStamp {
		t.stamp = w.memoStamp
		t.ok = false
		if w.findTail(p, since, last, q.h, none) {
			t.copyFrom(&w.ts.best)
		}
	}
	if !t.ok {
		return nil
	}
	if t.e[0] <= sl.until {
		return t
	}
	return w.tightTail(p, since, last, sl.until, key)
}

// commit does the insertion that walk found.
func (w *worker) commit(p *pour) bool {
	b, s := &w.bs, w.s
	w.log.reset()
	s.pick[p.id] = b.bSlot.choice
	w.redo(&b.log)
	w.linkPour(p, &b.bSlot)
	w.ts.best.copyFrom(&b.tail)
	if w.putTail(p) {
		return true
	}
	// Body and tail meet: look again with the body in its place.
	if w.retail(p) {
		return true
	}
	w.removeBody(p)
	return false
}

// insertTail places the tail of a pour whose body stands.
func (w *worker) insertTail(p *pour) bool {
	w.log.reset()
	return w.retail(p)
}

func (w *worker) retail(p *pour) bool {
	s, q := w.s, w.q
	until, next := q.h, int32(none)
	last := p.latestD
	since := w.tailSince(p)
	switch p.Stage {
	case inst.Racked:
		last = p.FromMax
	case inst.New:
		if p.MoldMax >= 0 {
			last = s.end[p.t0+1+p.layers] + p.MoldMax
		}
		until = w.downAfter(s.mold[p.id], q.clock[s.start[p.t0]])
	}
	if n := s.next[p.id]; n >= 0 {
		next = q.clock[s.start[q.pours[n].t0]]
		until = min(until, next)
	}
	w.ts.body = true
	ok := w.findTail(p, since, last, until, next)
	w.ts.body = false
	return ok && w.putTail(p)
}

// downAfter is the start of the first down time of a mold after tick t.
func (w *worker) downAfter(m, t int32) int32 {
	for _, d := range w.q.Molds[m].Down {
		if int32(d[1]) > t && d[1] > d[0] {
			return max(int32(d[0]), t)
		}
	}
	return w.q.h
}

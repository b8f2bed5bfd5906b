package search

// tailPlan is one way to do the tail of a pour: open starts and end ticks of
// its steps, the rack, and the cost (waits, overtime, call-ins, lateness,
// shipment; not the idle time of the mold after it).
type tailPlan struct {
	ok    bool
	rack  int32
	cost  int64
	stamp int32
	i, e  []int32
}

func newTailPlan(n int) tailPlan { return tailPlan{i: make([]int32, n), e: make([]int32, n)} }

func (t *tailPlan) copyFrom(o *tailPlan) {
	t.ok, t.rack, t.cost = o.ok, o.rack, o.cost
	copy(t.i, o.i)
	copy(t.e, o.e)
}

// tailSearch is the search for the cheapest tail of a pour.
type tailSearch struct {
	p     *pour
	cur   tailPlan
	best  tailPlan
	since int32 // cure_end, or the earliest start of a racked pour
	last  int32 // last tick at which the first step may start, none: no limit
	until int32 // the mold must be free by then
	next  int32 // prep start of the pour after it in the mold, none
	nodes int32
	ship  int32 // latest ready of the other pours of the shipment, none
	bumpK int32 // step that has to end later, none
	bumpT int32 // its least end
	calls uint64
	body  bool // the body's tasks stand in the state
	same  bool // only the times of the accepted plan are tried
}

// findTail looks for the cheapest tail of p whose first step starts in
// [since, last], with the mold free by until; the result is w.ts.best.
func (w *worker) findTail(p *pour, since, last, until, next int32) bool {
	t := &w.ts
	t.p, t.since, t.last, t.until, t.next = p, since, last, until, next
	t.best.ok, t.nodes, t.ship, t.bumpK = false, 0, none, none
	t.calls = 0
	if p.Ship >= 0 {
		t.ship = w.othersOut(p)
	}
	if w.stays(p) {
		w.sameTail(p, since, last)
	}
	from := since
	for range 5 {
		t.bumpK = none
		w.tailStep(0, from, last, 0)
		if t.best.ok || t.bumpK != -2 || t.bumpT <= from {
			break
		}
		from = t.bumpT
	}
	return t.best.ok
}

// tailStep places step k and those after it; the step may start in
// [from, last] (last none: no limit), cost is what the steps before cost.
func (w *worker) tailStep(k, from, last int32, cost int64) {
	t, q := &w.ts, w.q
	if k == int32(len(t.p.tail)) {
		w.tailDone(cost)
		return
	}
	t.nodes++
	if t.nodes > 80 {
		return
	}
	if from > q.h {
		return
	}
	d := &t.p.tail[k]
	lo := q.oi[min(max(from, q.now), q.h)]
	if w.stir && !t.same && w.r.one(w.delay) {
		lo = min(lo+w.r.n(16), q.n)
	}
	hi := q.n
	if last >= 0 {
		hi = q.oi[min(last+1, q.h)]
	}
	for range 4 {
		at := t.bumpK
		if at == k {
			t.bumpK = none
		}
		w.tailOptions(k, lo, hi, cost)
		if t.best.ok || t.bumpK != k {
			return
		}
		lo2 := q.oi[min(t.bumpT, q.h)] - d.work
		lo = max(lo+1, lo2)
	}
}

// tailOptions tries the starts of step k worth trying from open index lo on:
// the first straight on, the first put down, the first without overtime.
func (w *worker) tailOptions(k, lo, hi int32, cost int64) {
	t, q := &w.ts, w.q
	if t.same {
		w.sameStep(k, lo, hi, cost)
		return
	}
	d := &t.p.tail[k]
	a := w.first(&d.task, d.plain, lo, hi)
	if a < 0 {
		if k > 0 && d.restMax >= 0 {
			if x := w.first(&d.task, d.plain, lo, q.n); x >= 0 {
				t.bumpK, t.bumpT = k-1, q.clock[x]-d.restMax
			}
		}
		return
	}
	costly := q.ot[a+d.work] > q.ot[a]
	// Put down it ends behind the overtime: worth a look only if it would
	// start sooner, or save overtime, or now and then to wait less for the next
	// step.
	if d.late != nil && (costly || a > max(lo, q.nextOT[lo]-d.work+1) || (w.stir && w.r.one(w.delay))) {
		if p := w.firstPut(&d.task, lo, hi); p >= 0 {
			g, e := q.putDown(p, d.work)
			w.tailTake(k, p, e, cost, &g)
		}
	}
	g := straight(a, d.work)
	e := q.clock[a+d.work-1] + 1
	w.tailTake(k, a, e, cost, &g)
	if costly {
		if c := w.first(&d.task, d.calm, a+1, hi); c >= 0 {
			g = straight(c, d.work)
			w.tailTake(k, c, q.clock[c+d.work-1]+1, cost, &g)
		}
	}
	if len(q.calls) > 0 {
		w.tailDodge(k, a, hi, cost)
	}
}

// tailDodge tries the first start behind an unpaid call-in that a start at
// open index a would have to pay.
func (w *worker) tailDodge(k, a, hi int32, cost int64) {
	t, q := &w.ts, w.q
	d := &t.p.tail[k]
	for c := range q.calls {
		if w.s.paid[c] == 0 && a < q.calls[c][1] && a+d.work > q.calls[c][0] {
			if x := w.first(&d.task, d.plain, q.calls[c][1], hi); x >= 0 {
				g := straight(x, d.work)
				w.tailTake(k, x, q.clock[x+d.work-1]+1, cost, &g)
			}
		}
	}
}

// firstPut is the first start in [lo, hi) at which the task can be put down
// for overtime with crew and station free; it looks at the first day only.
func (w *worker) firstPut(d *task, lo, hi int32) int32 {
	q := w.q
	if lo >= q.n {
		return none
	}
	o := q.nextOT[lo]
	if o <= lo {
		return none
	}
	for i := max(lo, o-d.work+1); i < min(o, hi); i++ {
		if d.late[i>>6]>>(i&63)&1 == 0 {
			continue
		}
		g, e := q.putDown(i, d.work)
		if g.n == 0 {
			continue
		}
		if d.station >= 0 && w.s.stationBlocked(q, d.station, q.clock[i], e) >= 0 {
			continue
		}
		if w.choose(d, &g) {
			return i
		}
	}
	return none
}

// tailTake gives step k the start i and end e and goes on.
func (w *worker) tailTake(k, i, e int32, cost int64, g *segs) {
	t, q := &w.ts, w.q
	d := &t.p.tail[k]
	s := q.clock[i]
	if d.demold && e > t.until {
		return
	}
	from := t.since
	if k > 0 {
		from = t.cur.e[k-1] + d.rest
	}
	cost += d.wait * int64(q.regular(max(from, q.now), s))
	calls := t.calls
	for x := range g.n {
		a, b := g.s[x][0], g.s[x][1]
		cost += int64(q.Costs.Overtime) * int64(q.ot[b]-q.ot[a]) * int64(d.heads)
		for c := range q.calls {
			if a < q.calls[c][1] && b > q.calls[c][0] && w.s.paid[c] == 0 && t.calls>>(c&63)&1 == 0 {
				t.calls |= 1 << (c & 63)
				cost += q.Callins[c].Cost
			}
		}
	}
	n := int32(len(t.p.tail))
	rest := t.p.rem[k] - d.work
	if t.best.ok && cost+w.lateCost(t.p, e+rest, t.ship) >= t.best.cost {
		t.calls = calls
		return
	}
	t.cur.i[k], t.cur.e[k] = i, e
	from, last := e, int32(none)
	if k+1 < n {
		from = e + t.p.tail[k+1].rest
		if m := t.p.tail[k+1].restMax; m >= 0 {
			last = e + m
		}
	}
	w.tailStep(k+1, from, last, cost)
	t.calls = calls
}

// lateCost is the lateness of a pour that is ready at the tick, and what its
// shipment costs more for it; others is the latest ready of the rest of it.
func (w *worker) lateCost(p *pour, ready, others int32) int64 {
	c := p.LatePerTick * int64(max(0, ready-p.Due))
	if p.Ship >= 0 && ready > others {
		c += w.shipCost(p.Ship, ready) - w.shipCost(p.Ship, others)
	}
	return c
}

// shipCost is the lateness cost of a shipment; ready none: nothing goes.
func (w *worker) shipCost(k, ready int32) int64 {
	if ready < 0 {
		return 0
	}
	x := &w.q.Ships[k]
	return x.LatePerTick * int64(max(0, x.Leaves(ready, w.q.h)-x.Due))
}

// othersOut is the latest ready of the placed pours of p's shipment but p.
func (w *worker) othersOut(p *pour) int32 {
	out := int32(none)
	for _, x := range w.q.Ships[p.Ship].Pours {
		if x != p.id && w.s.stage[x] == placed {
			out = max(out, w.readyOf(x))
		}
	}
	return out
}

// readyOf is the end of the last step of a placed pour.
func (w *worker) readyOf(p int32) int32 {
	t := w.q.pours[p].tail
	return w.s.end[t[len(t)-1].tid]
}

// tailDone looks at a tail with all its times: rack, shipment, spans.
func (w *worker) tailDone(cost int64) {
	t, q, p := &w.ts, w.q, w.ts.p
	n := len(p.tail)
	ready := t.cur.e[n-1]
	cost += w.lateCost(p, ready, t.ship)
	if t.next >= 0 && p.tail[0].demold {
		cost += int64(q.Costs.Idle) * int64(q.regular(max(t.cur.e[0], q.now), t.next))
	}
	if t.best.ok && cost >= t.best.cost {
		return
	}
	from := int32(0)
	if p.tail[0].demold {
		from = q.clock[t.cur.i[0]]
	}
	rack, need := w.findRack(p, from, ready)
	if rack < 0 {
		if !t.best.ok && need >= 0 {
			t.bumpK, t.bumpT = -2, need
		}
		return
	}
	if len(p.spans) > 0 && !w.tailSpans() {
		return
	}
	t.cur.rack, t.cur.cost, t.cur.ok = rack, cost, true
	t.best.copyFrom(&t.cur)
}

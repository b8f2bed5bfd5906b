package search

// stays reports whether the place that a pour has in the accepted plan is to be
// tried first.
func (w *worker) stays(p *pour) bool { return w.keep && w.cur.stage[p.id] == placed }

// replay tries the body that the pour had in the accepted plan: putting it back
// there costs little to look at, and what is dearer need not be.
func (w *worker) replay(p *pour) {
	o := w.cur
	i := o.start[p.t0+1]
	for k := range w.slots {
		sl := &w.slots[k]
		if sl.mold != o.mold[p.id] || i < sl.lo || i >= sl.hi || w.q.clock[o.start[p.t0]] < max(sl.from, p.Release, w.q.now) {
			continue
		}
		w.beginBody(sl, i)
		if w.sameBody(p) {
			w.keepBody(p)
		}
		w.undo(0)
		return
	}
}

// sameBody puts down layers, batches, cover and washes as in the accepted plan,
// as far as they are not there; false where something is in the way.
func (w *worker) sameBody(p *pour) bool {
	for j := range p.layers {
		if !w.sameTask(&p.coat[j], p.t0+1+j) {
			return false
		}
	}
	for x := range p.Draws {
		if !w.sameFeed(p, int32(x)) {
			return false
		}
	}
	if !w.sameTask(&p.cover, p.t0+1+p.layers) {
		return false
	}
	for _, f := range w.bs.own {
		if w.s.start[w.q.batch0+3*f+2] < 0 && !w.setWash(f) {
			return false
		}
	}
	return true
}

// sameTask puts a task of a pour down where the accepted plan has it, by the
// same people if they are free, else by others.
func (w *worker) sameTask(d *task, tid int32) bool {
	q, o := w.q, w.cur
	i, e := o.start[tid], o.end[tid]
	g := q.taken(d, i, e)
	if !w.roomFor(d, i, e) || !w.samePeople(d, tid, &g) && !w.choose(d, &g) {
		return false
	}
	w.place(d, tid, i, e, &g)
	return true
}

func (w *worker) samePeople(d *task, tid int32, g *segs) bool {
	off := w.q.whoOff[tid]
	copy(w.pick, w.cur.who[off:off+d.heads])
	for _, x := range w.pick[:d.heads] {
		if !w.isFree(x, g) {
			return false
		}
	}
	return true
}

// sameFeed lets a draw come from a batch like the one of the accepted plan,
// which it starts where there is none.
func (w *worker) sameFeed(p *pour, x int32) bool {
	b, s, o := &w.bs, w.s, w.cur
	f := o.feed[p.d0+x]
	m, y, i := o.bMix[f], o.bMixer[f], o.bStart[f]
	at := s.bHead[y]
	for at >= 0 && s.bStart[at] != i {
		at = s.bNext[at]
	}
	if at >= 0 && s.bMix[at] != m {
		return false
	}
	if at < 0 {
		if at = w.openBatch(m, y, i); at < 0 {
			return false
		}
		b.own = append(b.own, at)
	}
	if !w.hasRoom(at, p.Draws[x].Grams) {
		return false
	}
	w.join(x, at)
	return true
}

// keepBody adds tail and prep to a body of the accepted plan and keeps it if it
// is the best.
func (w *worker) keepBody(p *pour) {
	b, q, o := &w.bs, w.q, w.cur
	t := w.tailFor(p, o.end[p.t0+1+p.layers], &b.slot)
	if t == nil {
		return
	}
	idle, ok := int64(0), true
	if w.sameTask(&p.prep[b.slot.choice], p.t0) {
		idle = int64(q.Costs.Idle) * int64(q.regular(b.slot.free, q.clock[o.start[p.t0]])+q.regular(o.end[p.t0], q.clock[b.s]))
	} else {
		idle, ok = w.putPrep()
	}
	if ok {
		w.keepBest(w.spent()+b.slot.base+t.cost+idle+w.idleAfter(&b.slot, t), t)
	}
}

// sameTail tries the tail that the pour had in the accepted plan.
func (w *worker) sameTail(p *pour, from, last int32) {
	t := &w.ts
	t.same = true
	w.tailStep(0, from, last, 0)
	t.same, t.nodes, t.bumpK = false, 0, none
}

// sameStep takes the start and end that step k has in the accepted plan.
func (w *worker) sameStep(k, lo, hi int32, cost int64) {
	d := &w.ts.p.tail[k]
	i, e := w.cur.start[d.tid], w.cur.end[d.tid]
	if i < lo || i >= hi {
		return
	}
	g := w.q.taken(&d.task, i, e)
	if w.roomFor(&d.task, i, e) && w.choose(&d.task, &g) {
		w.tailTake(k, i, e, cost, &g)
	}
}

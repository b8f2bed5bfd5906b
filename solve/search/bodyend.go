package search

// coverUp places the cover: as early, as late or somewhere in its window, as
// the habit of the insertion is, and else as early as it goes.
func (w *worker) coverUp() {
	b, q, p := &w.bs, w.q, w.bs.p
	e := w.s.end[p.t0+p.layers]
	lo := q.oi[min(e+p.CoverGapMin, q.h)]
	hi := q.oi[min(e+p.CoverGapMax+1, q.h)]
	d := &p.cover
	for try := range 3 {
		i := int32(none)
		switch {
		case try > 0 || w.coverAt == 0:
			i = w.first(d, d.plain, lo, hi)
		case w.coverAt == 1:
			i = w.lastStart(d, d.plain, lo, hi)
		case hi > lo:
			i = w.first(d, d.plain, lo+w.r.n(hi-lo), hi)
		}
		if i < 0 {
			if try == 0 && w.coverAt > 0 {
				continue
			}
			return
		}
		b.nodes++
		full := b.full
		w.putCover(i)
		if b.full > full {
			if w.r.one(3) {
				w.coverLater(i, hi)
			}
			return
		}
		if try > 0 || w.coverAt == 0 {
			lo = i + 1
		}
	}
}

// coverLater places the cover as late as the piece still comes out of its mold
// when it would after a cover at open index i: it then waits less in the mold.
func (w *worker) coverLater(i, hi int32) {
	b, q, p := &w.bs, w.q, w.bs.p
	d := &p.cover
	if p.tail[0].wait == 0 {
		return
	}
	end := q.clock[i] + d.work
	t := w.tailFor(p, end, &b.slot)
	if t == nil {
		return
	}
	out := q.clock[t.i[0]]
	if q.regular(max(p.CureEnd[end], q.now), out) <= 0 {
		return
	}
	for hi > i+1 && p.CureEnd[min(q.clock[hi-1]+d.work, q.h)] > out {
		hi--
	}
	if x := w.lastStart(d, d.plain, i+1, hi); x > i {
		w.putCover(x)
	}
}

// putCover places the cover at open index i, and what follows from it.
func (w *worker) putCover(i int32) {
	p := w.bs.p
	d := &p.cover
	mark := len(w.log.ops)
	g := straight(i, d.work)
	if w.choose(d, &g) {
		w.place(d, p.t0+1+p.layers, i, w.q.clock[i]+d.work, &g)
		w.washUp(0)
		w.undo(mark)
	}
}

// washUp places the washes of the batches that the body opened.
func (w *worker) washUp(k int) {
	b, q := &w.bs, w.q
	for k < len(b.own) && w.s.start[q.batch0+3*b.own[k]+2] >= 0 {
		k++
	}
	if k == len(b.own) {
		w.finishBody()
		return
	}
	mark := len(w.log.ops)
	f := b.own[k]
	if w.setWash(f) {
		w.washUp(k + 1)
	}
	w.undo(mark)
}

// finishBody adds tail and prep to a body and keeps it if it is the best.
func (w *worker) finishBody() {
	b, q, p := &w.bs, w.q, w.bs.p
	b.full++
	w.learn()
	cover := w.s.end[p.t0+1+p.layers]
	if n := cover - q.clock[b.s]; w.body[p.id] == 0 || n < w.body[p.id] {
		w.body[p.id] = n
	}
	t := w.tailFor(p, cover, &b.slot)
	if t == nil {
		return
	}
	total := w.spent() + b.slot.base + t.cost + w.idleAfter(&b.slot, t)
	if total >= b.best {
		return
	}
	mark := len(w.log.ops)
	spent := w.spent()
	idle, ok := w.putPrep()
	total += idle + w.spent() - spent
	if w.r.n(1024) < w.blur {
		total += int64(w.r.n(8000))
	}
	if ok {
		w.keepBest(total, t)
	}
	w.undo(mark)
}

// keepBest keeps the body at hand with the tail if it is the cheapest insertion.
func (w *worker) keepBest(total int64, t *tailPlan) {
	b := &w.bs
	if total < b.best {
		b.best, b.found, b.bSlot = total, true, b.slot
		b.log.copyFrom(&w.log)
		b.tail.copyFrom(t)
	}
}

// putPrep places the prep of the pour and gives its idle cost.
func (w *worker) putPrep() (int64, bool) {
	b, q, p := &w.bs, w.q, w.bs.p
	d := &p.prep[b.slot.choice]
	end := q.clock[b.s]
	lo := q.oi[min(max(b.slot.from, p.Release, q.now), q.h)]
	if p.PrepMax >= 0 {
		lo = max(lo, q.oi[max(end-p.PrepMax, 0)]-d.work)
	}
	hi := b.s - d.work + 1 // straight on and done in time
	i := int32(none)
	for _, m := range [2][]uint64{d.calm, d.plain} {
		i = none
		if w.prepAt == 2 && hi > lo {
			i = w.first(d, m, lo+w.r.n(hi-lo), hi)
		}
		if w.prepAt == 1 || (w.prepAt == 2 && i < 0) {
			i = w.lastStart(d, m, lo, hi)
		} else if i < 0 {
			i = w.first(d, m, lo, hi)
		}
		if i >= 0 || q.ot[q.n] == 0 {
			break
		}
	}
	g, e := straight(max(i, 0), d.work), int32(0)
	if i >= 0 {
		e = q.clock[i+d.work-1] + 1
	}
	if d.late != nil && (i < 0 || q.ot[i+d.work] > q.ot[i]) {
		for x := lo; x < hi; {
			y := w.firstPut(d, x, hi)
			if y < 0 {
				x = q.nextReg[q.nextOT[x]]
				continue
			}
			if h, z := q.putDown(y, d.work); z <= end {
				i, e, g = y, z, h
			}
			break
		}
	}
	if i < 0 || (p.PrepMax >= 0 && e < end-p.PrepMax) || !w.choose(d, &g) {
		return 0, false
	}
	w.place(d, p.t0, i, e, &g)
	r := q.regular(b.slot.free, q.clock[i]) + q.regular(e, end)
	return int64(q.Costs.Idle) * int64(r), true
}

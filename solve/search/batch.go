package search

// linkBatch makes batch b of mix m on mixer x with start i (open index) and
// holds the mixer until it is ready.
func (w *worker) linkBatch(b, m, x, i int32) {
	s, q := w.s, w.q
	s.bMix[b], s.bMixer[b], s.bStart[b] = m, x, i
	s.bNet[b], s.bDraws[b] = 0, 0
	s.bPot[b] = q.mixes[m].potEnd[q.clock[i]]
	before := int32(none)
	after := s.bHead[x]
	for after >= 0 && s.bStart[after] < i {
		before, after = after, s.bNext[after]
	}
	s.bPrev[b], s.bNext[b] = before, after
	if before >= 0 {
		s.bNext[before] = b
	} else {
		s.bHead[x] = b
	}
	if after >= 0 {
		s.bPrev[after] = b
	}
	lo, hi := q.span(q.clock[i], w.batchReady(b))
	set64(s.mixer[x*q.cwords:], lo, hi)
	s.cost += int64(q.Costs.Batch)
}

// unlinkBatch takes a batch without tasks and draws off its mixer.
func (w *worker) unlinkBatch(b int32) {
	s, q := w.s, w.q
	x := s.bMixer[b]
	lo, hi := q.span(q.clock[s.bStart[b]], w.batchReady(b))
	unset64(s.mixer[x*q.cwords:], lo, hi)
	before, after := s.bPrev[b], s.bNext[b]
	if before >= 0 {
		s.bNext[before] = after
	} else {
		s.bHead[x] = after
	}
	if after >= 0 {
		s.bPrev[after] = before
	}
	s.bMix[b] = none
	s.cost -= int64(q.Costs.Batch)
}

// spareBatch is a batch number that is not in use.
func (w *worker) spareBatch() int32 {
	s := w.s
	for k := range w.q.batches {
		b := w.spare + k
		if b >= w.q.batches {
			b -= w.q.batches
		}
		if s.bMix[b] < 0 {
			w.spare = b
			return b
		}
	}
	return none
}

// washLen is the length of the clean-up that batch b needs given the batch
// after it on its mixer.
func (w *worker) washLen(b int32) int32 {
	s, q := w.s, w.q
	m := &q.Mixes[s.bMix[b]]
	if !q.mixes[s.bMix[b]].anyBefore {
		return m.Wash
	}
	n := s.bNext[b]
	if n < 0 || m.Before[s.bMix[n]] < 0 {
		return m.Wash
	}
	keep := q.Mixers[s.bMixer[b]].Keep
	if keep >= 0 && q.clock[s.bStart[n]] > w.batchReady(b)+keep {
		return m.Wash
	}
	return m.Before[s.bMix[n]]
}

func (q *prob) washTask(m, n int32) *task { return q.mixes[m].washes[n] }

// setWash finds a time and people for the wash of batch b, which has none;
// false if there is none. Nothing is done when no wash is due.
func (w *worker) setWash(b int32) bool {
	s, q := w.s, w.q
	m := &q.Mixes[s.bMix[b]]
	n := w.washLen(b)
	ready := w.batchReady(b)
	limit := q.h
	if a := s.bNext[b]; a >= 0 {
		limit = q.clock[s.bStart[a]]
	}
	if n == 0 {
		return ready <= limit
	}
	d := q.washTask(s.bMix[b], n)
	lo := q.oi[min(ready+m.GapMin, q.h)]
	last := min(ready+m.GapMax, limit-n)
	if last < ready+m.GapMin {
		return false
	}
	hi := q.oi[min(last+1, q.h)]
	i := int32(none)
	switch w.washAt {
	case 0:
		i = w.first(d, d.plain, lo, hi)
	case 1:
		i = w.lastStart(d, d.plain, lo, hi)
	default:
		if hi > lo {
			i = w.first(d, d.plain, lo+w.r.n(hi-lo), hi)
		}
		if i < 0 {
			i = w.first(d, d.plain, lo, hi)
		}
	}
	if i < 0 {
		return false
	}
	e := q.clock[i] + n
	a, z := q.span(ready, e)
	if !clear64(s.mixer[s.bMixer[b]*q.cwords:], a, z) {
		return false // the mixer is down
	}
	g := straight(i, n)
	if !w.choose(d, &g) {
		return false
	}
	tid := q.batch0 + 3*b + 2
	w.place(d, tid, i, e, &g)
	w.washed(tid, 1)
	return true
}

// rewash makes the wash of batch b fit the batch after it; false if that is
// not possible (the state may then have lost the wash, and the log says so).
func (w *worker) rewash(b int32) bool {
	s, q := w.s, w.q
	tid := q.batch0 + 3*b + 2
	n := w.washLen(b)
	if s.start[tid] >= 0 {
		if s.end[tid]-q.clock[s.start[tid]] == n {
			a := s.bNext[b]
			return a < 0 || s.end[tid] <= q.clock[s.bStart[a]]
		}
		w.washed(tid, -1)
		w.lift(&q.mixes[s.bMix[b]].tasks[2], tid)
	}
	return w.setWash(b)
}

// openBatch tries to start a batch of mix m on mixer x at open index i, with
// its crew, and to bring the wash of the batch before into line. On failure
// the log may have entries to undo.
func (w *worker) openBatch(m, x, i int32) int32 {
	s, q := w.s, w.q
	b := w.spareBatch()
	if b < 0 {
		return none
	}
	mix := &q.Mixes[m]
	ready := q.clock[i] + mix.Ready
	lo, hi := q.span(q.clock[i], ready)
	bits := s.mixer[x*q.cwords : (x+1)*q.cwords]
	if !clear64(bits, lo, hi) {
		return none
	}
	mixing, remix := &q.mixes[m].tasks[0], &q.mixes[m].tasks[1]
	g := straight(i, mixing.work)
	if mixing.work > 0 && !w.choose(mixing, &g) {
		return none
	}
	w.linkBatch(b, m, x, i)
	w.log.ops = append(w.log.ops, op{kind: opOpen, a: b, b: m, c: x, d: i})
	p := s.bPrev[b]
	if a := s.bNext[b]; a >= 0 && ready+w.leastWash(b) > q.clock[s.bStart[a]] ||
		p >= 0 && w.batchReady(p)+w.leastWash(p) > q.clock[i] {
		return none
	}
	if mixing.work > 0 {
		w.place(mixing, q.batch0+3*b, i, q.clock[i]+mixing.work, &g)
	}
	if remix.work > 0 {
		at := q.oi[q.clock[i]+mix.Mix+mix.Rest]
		g = straight(at, remix.work)
		if !w.choose(remix, &g) {
			return none
		}
		w.place(remix, q.batch0+3*b+1, at, q.clock[at]+remix.work, &g)
	}
	if p >= 0 && !w.rewash(p) {
		return none
	}
	return b
}

func (w *worker) leastWash(b int32) int32 {
	n := w.washLen(b)
	if n > 0 {
		n += w.q.Mixes[w.s.bMix[b]].GapMin
	}
	return n
}

// closeBatch drops a batch that has no draws left. Where the wash of the
// batch before cannot be brought into line it is added to w.torn.
func (w *worker) closeBatch(b int32) {
	s, q := w.s, w.q
	tasks := &q.mixes[s.bMix[b]].tasks
	for k := range int32(3) {
		tid := q.batch0 + 3*b + k
		if s.start[tid] >= 0 {
			w.washed(tid, -1)
			w.release(&tasks[k], tid)
		}
	}
	p := s.bPrev[b]
	w.unlinkBatch(b)
	if p >= 0 && q.mixes[s.bMix[p]].anyBefore && !w.rewash(p) {
		w.torn = append(w.torn, p)
	}
}

package search

import "pourweek/solve/inst"

// kinds of entries in the log.
const (
	opPlace = uint8(iota) // task a got start b, end c and names at who
	opLift                // task a lost them
	opOpen                // batch a was opened: mix b, mixer c, start d
	opJoin                // draw a joined batch b
)

// op is one change of the state, so that it can be undone and done again.
type op struct {
	kind       uint8
	a, b, c, d int32
	who        int32 // into the names of the log
}

// log is a list of changes with the names that belong to them.
type log struct {
	ops   []op
	names []int16
}

func (l *log) reset() { l.ops, l.names = l.ops[:0], l.names[:0] }

func (l *log) copyFrom(o *log) {
	l.ops = append(l.ops[:0], o.ops...)
	l.names = append(l.names[:0], o.names...)
}

// def is what a task asks for. Wash tasks have no length of their own: it
// follows from their start and end.
func (w *worker) def(tid int32) *task {
	q := w.q
	if tid >= q.batch0 {
		b := (tid - q.batch0) / 3
		return &q.mixes[w.s.bMix[b]].tasks[(tid-q.batch0)%3]
	}
	return w.stepOf(w.owner[tid], tid)
}

// stepOf is the definition of a task of a pour.
func (w *worker) stepOf(p, tid int32) *task {
	x := &w.q.pours[p]
	k := tid - x.t0
	switch {
	case k == 0:
		return &x.prep[w.s.pick[p]]
	case k <= x.layers:
		return &x.coat[k-1]
	case k == 1+x.layers:
		return &x.cover
	}
	// The tail may lack its first steps.
	return &x.tail[k-(x.tail[0].tid-x.t0)].task
}

// place puts a task down with the people of w.pick; it is logged.
func (w *worker) place(d *task, tid, i, e int32, g *segs) {
	o := op{kind: opPlace, a: tid, b: i, c: e, who: int32(len(w.log.names))}
	w.log.names = append(w.log.names, w.pick[:d.heads]...)
	w.log.ops = append(w.log.ops, o)
	copy(w.s.who[w.q.whoOff[tid]:], w.pick[:d.heads])
	w.hold(d, tid, i, e, g)
}

// hold marks people and station of a task whose names stand in the state.
func (w *worker) hold(d *task, tid, i, e int32, g *segs) {
	s, q := w.s, w.q
	s.start[tid], s.end[tid] = i, e
	who := s.who[q.whoOff[tid] : q.whoOff[tid]+d.heads]
	for k := range g.n {
		a, b := g.s[k][0], g.s[k][1]
		for _, x := range who {
			set64(s.busy[int32(x)*q.words:], a, b)
		}
		if o := q.ot[b] - q.ot[a]; o > 0 {
			s.cost += int64(q.Costs.Overtime) * int64(o) * int64(d.heads)
		}
		for c := range q.calls {
			if a < q.calls[c][1] && b > q.calls[c][0] {
				if s.paid[c] == 0 {
					s.cost += q.Callins[c].Cost
				}
				s.paid[c]++
			}
		}
	}
	if d.station >= 0 {
		s.stationAdd(q, d.station, q.clock[i], e, 1)
	}
}

// release frees people and station of a task; names stay in the state. It is
// called most of all, so that it does without the copies that taken makes.
func (w *worker) release(d *task, tid int32) {
	s, q := w.s, w.q
	i, e := s.start[tid], s.end[tid]
	who := s.who[q.whoOff[tid] : q.whoOff[tid]+d.heads]
	if b := q.straightTo(d, i, e); b >= 0 {
		w.vacate(who, i, b)
	} else {
		g, _ := q.putDown(i, d.work)
		for k := range g.n {
			w.vacate(who, g.s[k][0], g.s[k][1])
		}
	}
	if d.station >= 0 {
		s.stationAdd(q, d.station, q.clock[i], e, -1)
	}
	s.start[tid] = none
}

// vacate frees people over the open indices [a, b).
func (w *worker) vacate(who []int16, a, b int32) {
	s, q := w.s, w.q
	for _, x := range who {
		unset64(s.busy[int32(x)*q.words:], a, b)
	}
	if o := q.ot[b] - q.ot[a]; o > 0 {
		s.cost -= int64(q.Costs.Overtime) * int64(o) * int64(len(who))
	}
	for c := range q.calls {
		if a < q.calls[c][1] && b > q.calls[c][0] {
			s.paid[c]--
			if s.paid[c] == 0 {
				s.cost -= q.Callins[c].Cost
			}
		}
	}
}

// lift is release with a note in the log.
func (w *worker) lift(d *task, tid int32) {
	s := w.s
	o := op{kind: opLift, a: tid, b: s.start[tid], c: s.end[tid], who: int32(len(w.log.names))}
	off := w.q.whoOff[tid]
	w.log.names = append(w.log.names, s.who[off:off+d.heads]...)
	w.log.ops = append(w.log.ops, o)
	w.release(d, tid)
}

// restore puts a task back as an entry of a log says.
func (w *worker) restore(o *op, names []int16) {
	d := w.def(o.a)
	copy(w.s.who[w.q.whoOff[o.a]:], names[o.who:o.who+d.heads])
	g := w.q.taken(d, o.b, o.c)
	w.hold(d, o.a, o.b, o.c, &g)
	w.washed(o.a, 1)
}

// washed marks or frees the mixer for the wash of a batch and the time before it.
func (w *worker) washed(tid int32, n int) {
	q, s := w.q, w.s
	if tid < q.batch0 || (tid-q.batch0)%3 != 2 {
		return
	}
	b := (tid - q.batch0) / 3
	lo, hi := q.span(w.batchReady(b), s.end[tid])
	bits := s.mixer[s.bMixer[b]*q.cwords:]
	if n > 0 {
		set64(bits, lo, hi)
	} else {
		unset64(bits, lo, hi)
	}
}

// undo takes back all changes after the first n of the log.
func (w *worker) undo(n int) {
	for k := len(w.log.ops) - 1; k >= n; k-- {
		o := &w.log.ops[k]
		switch o.kind {
		case opPlace:
			w.washed(o.a, -1)
			w.release(w.def(o.a), o.a)
		case opLift:
			w.restore(o, w.log.names)
		case opOpen:
			w.unlinkBatch(o.a)
		case opJoin:
			w.leave(o.a)
		}
		if o.kind <= opLift {
			w.log.names = w.log.names[:o.who]
		}
	}
	w.log.ops = w.log.ops[:n]
}

// redo does the changes of a kept log.
func (w *worker) redo(l *log) {
	for k := range l.ops {
		o := &l.ops[k]
		switch o.kind {
		case opPlace:
			w.restore(o, l.names)
		case opLift:
			w.washed(o.a, -1)
			w.release(w.def(o.a), o.a)
		case opOpen:
			w.linkBatch(o.a, o.b, o.c, o.d)
		case opJoin:
			w.enter(o.a, o.b)
		}
	}
}

func (w *worker) batchReady(b int32) int32 {
	return w.q.clock[w.s.bStart[b]] + w.q.Mixes[w.s.bMix[b]].Ready
}

// enter puts a draw into a batch.
func (w *worker) enter(d, b int32) {
	s, m := w.s, &w.q.Mixes[w.s.bMix[b]]
	s.cost -= w.waste(m, b)
	s.feed[d] = b
	s.bNet[b] += int32(w.grams(d))
	s.bDraws[b]++
	s.cost += w.waste(m, b)
}

// leave takes a draw out of its batch.
func (w *worker) leave(d int32) {
	s := w.s
	b := s.feed[d]
	m := &w.q.Mixes[s.bMix[b]]
	s.cost -= w.waste(m, b)
	s.feed[d] = none
	s.bNet[b] -= int32(w.grams(d))
	s.bDraws[b]--
	s.cost += w.waste(m, b)
}

// waste is what is mixed and not used, in mils; 0 for a batch without draws.
func (w *worker) waste(m *inst.Mix, b int32) int64 {
	if w.s.bDraws[b] == 0 {
		return 0
	}
	net := int64(w.s.bNet[b])
	return int64(w.q.Costs.Waste) * (m.Mixed(net) - net)
}

func (w *worker) grams(d int32) int64 { return w.q.draw(d).Grams }

func (q *prob) draw(d int32) *inst.Draw {
	p := &q.pours[q.drawOf[d]]
	return &p.Draws[d-p.d0]
}

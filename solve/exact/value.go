package exact

import "pourweek/solve/inst"

// rest is the y price of what is left at tick t of a task under way to the end e.
func (w *week) rest(c *crew, t, e int32, run uint8) int32 {
	if w.priced {
		return 0
	}
	if run == putDown {
		return c.reg[w.in.RegIndex(e)] - c.reg[w.in.RegIndex(t)]
	}
	return c.price[w.in.OpenIndex(e)] - c.price[w.in.OpenIndex(t)]
}

// span is the y price of the ticks of [a, b) from t on.
func (w *week) span(c *crew, a, b, t int32) int32 {
	if a = max(a, t); a >= b || w.priced {
		return 0
	}
	return c.price[w.in.OpenIndex(b)] - c.price[w.in.OpenIndex(a)]
}

// value is a lower bound on what a state at tick t still costs; inf64 if it
// cannot be finished. It is the Lagrangian bound of the rest of the week: for
// every pour the least priced cost from where it stands, the least batches of
// the draws without one, the priced rest of the live batches, less what the
// people are worth from t on.
func (w *week) value(s *state, t int32) int64 {
	guided, beside := int64(0), int64(0) // beside what a guide leaves out
	if w.guide != nil {
		if guided = w.guide.least(s, t); guided >= inf64 {
			return inf64 - 1 // there may be dearer ways
		}
	}
	sum := -w.yLeft[w.in.OpenIndex(t)]
	tp := w.personFree(s, t)
	left := uint64(0)
	var vs [maxPours]int32
	for i := range w.pours {
		p := &w.pours[i]
		if w.tables[i] == nil || int(s.step[i]) == w.ends[i] {
			continue
		}
		for d := range p.draws {
			if a := p.draws[d].at; s.link[a] == -1 {
				left |= 1 << a
			}
		}
		if int(s.step[i]) == 0 && w.blocked(s, i) {
			continue // in the table of the pour before
		}
		if int(s.step[i]) <= p.dem() && w.feedsLater(s, i) {
			continue // at least 0
		}
		v := w.pourValue(s, i, t, tp)
		if w.tables[i].solo != nil && w.waitsInBody(s, i) {
			v = max(v, w.soloValue(s, i, t, tp))
		}
		if v >= inf {
			return inf64
		}
		sum += int64(v)
		vs[i] = v
		if w.guide != nil {
			switch step := int(s.step[i]); {
			case step >= w.guide.ends[i] || step == w.guide.ends[i]-1 && s.run[i] != waiting:
				beside += int64(v)
			case s.run[i] != waiting:
				beside += int64(w.rest(w.taskOf(i, step).crew, t, s.at[i], s.run[i]))
			}
		}
	}
	v := int32(0)
	if w.joints != nil {
		v = w.batches(s, t, tp, left, &vs)
	} else {
		v = w.least.least(left)
	}
	if v >= inf {
		return inf64
	}
	sum += int64(v)
	for k := range s.n {
		l := &s.live[k]
		m := &w.mixes[l.mix]
		ready := l.s + m.Ready
		own := int64(w.span(m.crew, l.s, l.s+m.Mix.Mix, t) + w.span(m.crew, ready-m.Remix, ready, t) +
			w.span(m.hold, l.s+m.holdA, l.s+m.holdB, t))
		if l.z >= 0 {
			own += int64(w.span(m.washer, l.z, l.z+w.length(l), t))
		}
		sum += own
		beside += own
		if l.z >= 0 {
			continue
		}
		v := w.washPrice(m, max(tp, ready+m.GapMin), ready+m.GapMax)
		if v >= inf {
			return inf64
		}
		sum += int64(v)
	}
	if w.guide != nil {
		return max(sum, guided+beside)
	}
	return sum
}

const inf64 = int64(1) << 50

// feedsLater reports whether a pour behind this one in its mold, whose costs
// are in this one's tables, has a batch already, which those do not know of.
func (w *week) feedsLater(s *state, i int) bool {
	for b := w.tables[i].next; b != nil; b = b.next {
		for d := range b.p.draws {
			if s.link[b.p.draws[d].at] >= 0 {
				return true
			}
		}
	}
	return false
}

// linked is the set of the pour's draws that have a batch.
func (w *week) linked(s *state, i int) (set int) {
	p := &w.pours[i]
	for d := range p.draws {
		if s.link[p.draws[d].at] != -1 {
			set |= 1 << d
		}
	}
	return set
}

func least(v []int32, lo, hi int32) int32 {
	best := inf
	for u := max(lo, 0); u <= min(hi, int32(len(v))-1); u++ {
		best = min(best, v[u])
	}
	return best
}

// personFree is the first tick from t on at which the one person is free of what
// is under way; t where there are more people.
func (w *week) personFree(s *state, t int32) int32 {
	if !w.single {
		return t
	}
	for {
		tp := t
		for i := range w.pours {
			if s.run[i] == straight {
				tp = max(tp, s.at[i])
			}
		}
		for k := range s.n {
			l := &s.live[k]
			m := &w.mixes[l.mix]
			ready := l.s + m.Ready
			switch {
			case l.s <= tp && tp < l.s+m.Mix.Mix:
				tp = l.s + m.Mix.Mix
			case ready-m.Remix <= tp && tp < ready:
				tp = ready
			case l.z >= 0 && l.z <= tp && tp < l.z+w.length(l):
				tp = l.z + w.length(l)
			}
		}
		if tp == t {
			return t
		}
		t = tp
	}
}

// pourValue is the least priced cost of a pour from where it stands at t when
// what it waits for cannot start before tp.
func (w *week) pourValue(s *state, i int, t, tp int32) int32 {
	b, p := w.tables[i], &w.pours[i]
	step, e := int(s.step[i]), s.at[i]
	if s.run[i] != waiting {
		return add(w.rest(w.taskOf(i, step).crew, t, e, s.run[i]), w.after(s, i, e))
	}
	from, to, _ := w.window(s, i)
	from = max(from, t)
	then := max(from, tp)
	switch {
	case step == 0:
		from = max(t, w.in.Molds[b.mold].FreeFrom)
		then = max(from, tp)
		return add(w.waited(i, step, from, then), at(b.prepFrom[w.linked(s, i)], then))
	case step == 1:
		return add(w.waited(i, step, t, tp), at(b.layerFrom[w.linked(s, i)], tp))
	case step < p.cov():
		return least(b.layerStart[w.linked(s, i)][step-1], then, to)
	case step == p.cov():
		return least(b.coverStart, then, to)
	case step == p.dem():
		return add(w.waited(i, step, from, then), at(b.demFrom, then))
	}
	return add(w.waited(i, step, from, then), at(b.finFrom[step-p.dem()-1], then))
}

// waited is what waiting for a step over [a, b) costs.
func (w *week) waited(i, step int, a, b int32) int32 {
	return int32(w.waitRate(i, step)) * w.in.Reg(a, b)
}

// after is the least priced cost after the end e of the step under way. The
// lateness of a pour's last step was paid when that began.
func (w *week) after(s *state, i int, e int32) int32 {
	b, p := w.tables[i], &w.pours[i]
	switch step := int(s.step[i]); {
	case step == w.ends[i]-1 && step > p.dem() || step == p.dem() && len(p.finish) == 0 && b.next == nil:
		return 0
	case step == p.dem() && len(p.finish) == 0:
		return w.fromFree(b.next, e)
	case step == 0:
		return at(b.layerFrom[w.linked(s, i)], e)
	case step < p.cov():
		return b.afterLayer(w.linked(s, i), step-1, e)
	case step == p.cov():
		return at(b.demFrom, w.cured(p, e))
	case step == p.dem():
		return w.afterDemold(b, e)
	default:
		return w.afterFinish(b, step-p.dem()-1, e)
	}
}

// isNew reports whether the pour is still to be cast.
func (p *pour) isNew() bool { return p.Stage == inst.New }

package sat

import (
	"slices"
	"sort"
)

// ladder is an integer variable in order encoding: vals ascending, lits[i]
// means "value <= vals[i]", the last is True.
type ladder struct {
	vals []int
	lits []Lit
}

// le is the literal of "value <= t".
func (l *ladder) le(t int) Lit {
	i := sort.SearchInts(l.vals, t+1) - 1
	if i < 0 {
		return False
	}
	return l.lits[i]
}

// ge is the literal of "value >= t".
func (l *ladder) ge(t int) Lit { return -l.le(t - 1) }

// ladder is the order-encoded variable of a point.
func (e *encoder) ladder(p Point) *ladder {
	if !p.End {
		return e.starts[p.Task]
	}
	if e.ends[p.Task] == nil {
		e.ends[p.Task] = e.endLadder(p.Task)
	}
	return e.ends[p.Task]
}

func (e *encoder) endLadder(t TaskID) *ladder {
	s, ends := e.starts[t], e.endsOf(t)
	l := &ladder{}
	if slices.IsSorted(ends) {
		for i, v := range ends {
			if n := len(l.vals); n > 0 && l.vals[n-1] == v {
				l.lits[n-1] = s.lits[i]
				continue
			}
			l.vals, l.lits = append(l.vals, v), append(l.lits, s.lits[i])
		}
		return l
	}
	l.vals = slices.Compact(slices.Sorted(slices.Values(ends)))
	defer func(off Lit) { e.off = off }(e.off)
	e.off = False // the channel holds whatever the rule
	for range l.vals {
		l.lits = append(l.lits, e.fresh())
	}
	l.lits[len(l.lits)-1] = True
	for i, v := range ends { // start = s.vals[i] gives end = v
		at := []Lit{-s.lits[i], s.le(s.vals[i] - 1)}
		e.add(at[0], at[1], l.le(v))
		e.add(at[0], at[1], l.ge(v))
	}
	for i := 0; i+1 < len(l.vals); i++ {
		e.add(-l.lits[i], l.lits[i+1])
	}
	return l
}

// slackLadder is the end of a task with slack, tied to its start.
func (e *encoder) slackLadder(t TaskID) *ladder {
	k, s := &e.m.tasks[t], e.starts[t]
	defer func(off Lit) { e.off = off }(e.off)
	e.off = False
	l := &ladder{}
	lo, hi := e.least(End(t)), e.most(End(t))
	for i, v := range k.ends {
		if i+2 < len(k.ends) {
			e.add(-k.endLE(i), k.endLE(i+1))
		}
		switch {
		case v < lo:
			e.add(-k.endLE(i))
		case v >= hi:
			e.add(k.endLE(i))
		}
		if v >= lo && v <= hi {
			l.vals, l.lits = append(l.vals, v), append(l.lits, k.endLE(i))
		}
	}
	l.lits[len(l.lits)-1] = True
	for i, v := range e.endsOf(t) {
		e.add(-s.lits[i], s.le(s.vals[i]-1), l.ge(v))
		e.add(-s.lits[i], s.le(s.vals[i]-1), l.le(v+k.Slack))
	}
	if slices.IsSorted(e.endsOf(t)) { // the same, stronger under propagation
		for i, v := range e.endsOf(t) {
			e.add(s.le(s.vals[i]-1), l.ge(v))
			e.add(-s.lits[i], l.le(v+k.Slack))
		}
	}
	return l
}

// endsOf lists the ends that go with the starts within bounds.
func (e *encoder) endsOf(t TaskID) []int {
	if e.endOf[t] == nil {
		from, to := e.span(t)
		for i := from; i < to; i++ {
			e.endOf[t] = append(e.endOf[t], e.m.tasks[t].end(i))
		}
	}
	return e.endOf[t]
}

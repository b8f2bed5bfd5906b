package search

import "math"

// habit is what putting a pour back has cost so far: a running mean, and the
// mean distance from it.
type habit struct {
	n          int32
	mean, dist float64
}

// hopeful is how many mean distances below the mean a pour may still come back
// for.
const hopeful = 4

func (h *habit) note(c float64) {
	h.n++
	a := max(1/float64(h.n), 0.05)
	d := math.Abs(c - h.mean)
	if h.n == 1 {
		d = 0
	}
	h.mean += float64(a * (c - h.mean))
	h.dist += float64(a * (d - h.dist))
}

// expected is a hopeful guess of the change of the state's cost when the pour
// is put back; false while too little is known.
func (w *worker) expected(p int32) (int64, bool) {
	x := &w.q.pours[p]
	h := w.habitOf(p)
	if h.n < 10 {
		return 0, false
	}
	c := int64(h.mean - float64(hopeful*h.dist))
	switch {
	case x.must:
		c -= missed
	case w.s.stage[p] == away:
		c -= w.outCost(x)
	}
	return c, true
}

// habitOf is the habit of the pour as a whole, or of its tail.
func (w *worker) habitOf(p int32) *habit {
	if w.s.stage[p] == poured {
		return &w.tailHabit[p]
	}
	return &w.wholeHabit[p]
}

// hopes sums what is expected of the pours still to put back; false if nothing
// can be said.
func (w *worker) hopes(todo []int32) (int64, bool) {
	if w.ceiling == math.MaxInt64 {
		return 0, false
	}
	var sum int64
	for _, p := range todo {
		c, ok := w.expected(p)
		if !ok {
			return 0, false
		}
		sum += c
	}
	return sum, true
}

// hopeless reports whether the step will end above its ceiling, to all
// appearance; if not it sets what the next insertion may cost.
func (w *worker) hopeless(todo []int32) bool {
	w.allow = math.MaxInt64
	rest, ok := w.hopes(todo[1:])
	if !ok {
		return false
	}
	left := w.ceiling - w.s.cost - rest
	x := &w.q.pours[todo[0]]
	if c, ok := w.expected(todo[0]); !ok || c > left {
		return ok
	}
	w.allow = left
	if x.must {
		w.allow += missed
	}
	if w.blur > 0 {
		w.allow += 8000
	}
	return false
}

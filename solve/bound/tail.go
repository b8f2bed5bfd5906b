package bound

import (
	"pourweek/solve/inst"
)

// pot is a share of a span's price at a moment: sign times the station's price
// before the moment.
type pot struct {
	station int32
	sign    int64
	running bool // the span began in a step already done
}

// step is a task of a pour, with the spans that begin or end at its ends.
type step struct {
	sh         *shape
	start, end []pot
	c1, c2     []int64 // the shape's, or its own when spans add to them
}

func newStep(l *lagrangian, t *inst.Task) step {
	sh := l.sh.of(t)
	return step{sh: sh, c1: sh.c1, c2: sh.c2}
}

// price adds the prices of spans to those of the shape.
func (s *step) price(l *lagrangian) {
	if len(s.start)+len(s.end) == 0 {
		return
	}
	if &s.c1[0] == &s.sh.c1[0] {
		s.c1, s.c2 = make([]int64, l.ax.n), make([]int64, l.ax.n)
	}
	for i := l.ax.first; i < l.ax.n; i++ {
		a := int64(0)
		for _, p := range s.start {
			a += p.sign * l.stationSum[p.station][i]
		}
		b, c := a, a
		for _, p := range s.end {
			b += p.sign * l.stationSum[p.station][s.sh.e1[i]]
			c += p.sign * l.stationSum[p.station][s.sh.e2[i]]
		}
		s.c1[i], s.c2[i] = min(s.sh.c1[i]+b, inf), min(s.sh.c2[i]+c, inf)
	}
}

// use counts one run of the step n times, from i to e, put down or not.
func (s *step) use(l *lagrangian, i int32, put bool, n int32) {
	e := s.sh.e1[i]
	d := l.useAll[s.sh.crew]
	if put {
		e, d = s.sh.e2[i], l.useReg[s.sh.crew]
	}
	d[i] += n
	d[e] -= n
	if s.sh.station >= 0 {
		l.useStation[s.sh.station][i] += n
		l.useStation[s.sh.station][e] -= n
	}
	pay := func(list []pot, at int32) {
		for _, p := range list {
			l.useStation[p.station][at] -= n * int32(p.sign)
			if p.running {
				l.useStation[p.station][l.ax.first] += n
			}
		}
	}
	pay(s.start, i)
	pay(s.end, e)
}

// tail is what a pour goes through after its demolding: finish steps on a rack,
// then lateness. Costs are by start of the first step, per rack.
type tail struct {
	pour   *inst.Pour
	steps  []step
	maxed  []bool    // by step: it has a rest_max
	w1, w2 []window  // by step: starts after the step before, straight on and put down (step 0: after the demold)
	s, q   [][]int64 // by rack and step: cost of starting at i; of being there to start at i or later
	n1, n2 [][]int64 // by rack and step, where maxed: the same as q by the start of the step before
	late   [2][]int64
	racks  []int32
	places int64
}

// newTail lays out the finish steps from next on. demold is the step before
// the first, nil for a pour on a rack.
func newTail(l *lagrangian, p *inst.Pour, demold *shape, next int32) *tail {
	t := &tail{pour: p, racks: p.Racks, places: int64(p.Places)}
	if p.Stage == inst.Racked {
		t.racks = []int32{p.Rack}
	}
	before := demold
	for j := next; j < int32(len(p.Finish)); j++ {
		f := &p.Finish[j]
		t.steps = append(t.steps, newStep(l, &f.Task))
		t.maxed = append(t.maxed, f.RestMax >= 0 && before != nil)
		w := [2]window{}
		if before != nil {
			b := before
			w[0] = l.ax.lagWindow(func(i int32) int32 { return endOr(b.e1[i], func() int32 { return b.end1(l.ax, i) }) }, f.Rest, f.RestMax)
			if b.put {
				w[1] = l.ax.lagWindow(func(i int32) int32 { return endOr(b.e2[i], func() int32 { return b.end2(l.ax, i) }) }, f.Rest, f.RestMax)
			}
		}
		t.w1, t.w2 = append(t.w1, w[0]), append(t.w2, w[1])
		before = t.steps[len(t.steps)-1].sh
	}
	for range len(t.racks) * len(t.steps) {
		t.s, t.q = append(t.s, make([]int64, l.ax.n+1)), append(t.q, make([]int64, l.ax.n+1))
		t.n1, t.n2 = append(t.n1, nil), append(t.n2, nil)
	}
	for r := range t.racks {
		for k, m := range t.maxed {
			if m {
				t.n1[t.at(r, k)] = make([]int64, l.ax.n)
				if t.w2[k].lo != nil {
					t.n2[t.at(r, k)] = make([]int64, l.ax.n)
				}
			}
		}
	}
	t.lateness(l, before)
	return t
}

func endOr(e int32, f func() int32) int32 {
	if e == 0 {
		return -1
	}
	return f()
}

func (t *tail) at(r, k int) int { return r*len(t.steps) + k }

// lateness fills the cost of being ready when the last step ends, by its start.
func (t *tail) lateness(l *lagrangian, last *shape) {
	t.late[0], t.late[1] = make([]int64, l.ax.n), make([]int64, l.ax.n)
	for i := int32(0); i < l.ax.n; i++ {
		if last.e1[i] > 0 {
			t.late[0][i] = l.lateCost(t.pour, last.end1(l.ax, i))
		}
		if last.e2[i] > 0 {
			t.late[1][i] = l.lateCost(t.pour, last.end2(l.ax, i))
		}
	}
}

// price works the costs out backward in time.
func (t *tail) price(l *lagrangian) {
	for k := range t.steps {
		t.steps[k].price(l)
	}
	for r := range t.racks {
		for k := len(t.steps) - 1; k >= 0; k-- {
			t.level(l, r, k)
		}
	}
}

// level fills one step on one rack from the step after it.
func (t *tail) level(l *lagrangian, r, k int) {
	n := l.ax.n
	s, q := t.s[t.at(r, k)], t.q[t.at(r, k)]
	st := &t.steps[k]
	sh := st.sh
	s[n], q[n] = inf, inf
	if k == len(t.steps)-1 {
		rp := l.rackSum[t.racks[r]]
		hop{st.c1, t.late[0], rp, sh.e1, t.places}.fill(s, l.ax.first)
		if sh.put {
			hop{st.c2, t.late[1], rp, sh.e2, t.places}.lower(s, l.ax.first)
		}
	} else {
		q2, n1, n2 := t.q[t.at(r, k+1)], t.n1[t.at(r, k+1)], t.n2[t.at(r, k+1)]
		if n1 == nil {
			hop{st.c1, l.zero, q2, t.w1[k+1].lo, 1}.fill(s, l.ax.first)
		} else {
			for i := l.ax.first; i < n; i++ {
				s[i] = min(st.c1[i]+n1[i], inf)
			}
		}
		switch {
		case !sh.put:
		case n2 == nil:
			hop{st.c2, l.zero, q2, t.w2[k+1].lo, 1}.lower(s, l.ax.first)
		default:
			for i := l.ax.first; i < n; i++ {
				s[i] = min(s[i], st.c2[i]+n2[i])
			}
		}
	}
	wait, reg := l.rackWait, l.ax.reg
	x := inf
	for i := n - 1; i >= l.ax.first; i-- {
		x = min(s[i], x+wait*(reg[i+1]-reg[i]))
		q[i] = x
	}
	if t.maxed[k] {
		t.limited(l, r, k)
	}
}

// hop is the cost of a step by start: its own, what its end costs, and times
// the value of next at the index it leads to.
type hop struct {
	c, add, next []int64
	to           []int32
	times        int64
}

// fill sets dst from index first on.
func (h hop) fill(dst []int64, first int32) {
	c := h.c
	dst, to, add := dst[:len(c)], h.to[:len(c)], h.add[:len(c)]
	for i := int(first); i < len(c); i++ {
		dst[i] = min(c[i]+add[i]+h.times*h.next[to[i]], inf)
	}
}

// lower is fill, where that is less than dst.
func (h hop) lower(dst []int64, first int32) {
	c := h.c
	dst, to, add := dst[:len(c)], h.to[:len(c)], h.add[:len(c)]
	for i := int(first); i < len(c); i++ {
		dst[i] = min(dst[i], c[i]+add[i]+h.times*h.next[to[i]])
	}
}

// limited fills the costs by the start of the step before where a rest_max
// ends the wait.
func (t *tail) limited(l *lagrangian, r, k int) {
	s := t.s[t.at(r, k)]
	src := l.scratch
	for i := l.ax.first; i < l.ax.n; i++ {
		src[i] = s[i] + l.rackWait*l.ax.reg[i]
	}
	for way, w := range [2]window{t.w1[k], t.w2[k]} {
		dst := t.n1[t.at(r, k)]
		if way == 1 {
			dst = t.n2[t.at(r, k)]
		}
		if w.lo == nil {
			continue
		}
		sl := newSlider(l.sliderBuf, l.ax.n)
		for i := l.ax.n - 1; i >= l.ax.first; i-- {
			dst[i] = inf
			if lo := w.lo[i]; lo <= w.hi[i] {
				dst[i] = min(sl.min(src, lo, w.hi[i])-l.rackWait*l.ax.reg[lo], inf)
			}
		}
	}
}

// enter is the cost of the tail on rack r after a demold that starts at i, and
// before rack prices at its start.
func (t *tail) enter(l *lagrangian, r int, i int32, end int32) int64 {
	if len(t.steps) == 0 {
		return t.late[0][i] + t.places*l.rackSum[t.racks[r]][end]
	}
	if n1 := t.n1[t.at(r, 0)]; n1 != nil {
		return n1[i]
	}
	return t.q[t.at(r, 0)][t.w1[0].lo[i]]
}

// demold fills dst with the cost of a demold that starts at i and all after it.
func (t *tail) demold(l *lagrangian, st *step, dst []int64) {
	for i := l.ax.n - 1; i >= l.ax.first; i-- {
		dst[i] = inf
		if st.c1[i] >= inf {
			continue
		}
		v := inf
		for r, rack := range t.racks {
			v = min(v, t.enter(l, r, i, st.sh.e1[i])-t.places*l.rackSum[rack][i])
		}
		dst[i] = min(inf, st.c1[i]+v)
	}
}

// walkDemold counts the best demold at i and the tail after it n times.
func (t *tail) walkDemold(l *lagrangian, st *step, i, n int32) {
	best, at := inf*2, 0
	for r, rack := range t.racks {
		if v := t.enter(l, r, i, st.sh.e1[i]) - t.places*l.rackSum[rack][i]; v < best {
			best, at = v, r
		}
	}
	st.use(l, i, false, n)
	rack := t.racks[at]
	l.useRack[rack][i] += n * int32(t.places)
	end := st.sh.e1[i]
	if len(t.steps) > 0 {
		hi := l.ax.n - 1
		if t.maxed[0] {
			hi = t.w1[0].hi[i]
		}
		end = t.walk(l, at, t.w1[0].lo[i], hi, n)
	}
	l.useRack[rack][end] -= n * int32(t.places)
}

// walk counts the best way through all steps, the first of them starting in
// [lo, hi], n times; it returns the index after the last end.
func (t *tail) walk(l *lagrangian, r int, lo, hi, n int32) int32 {
	for k := range t.steps {
		s, q, st := t.s[t.at(r, k)], t.q[t.at(r, k)], &t.steps[k]
		best, at := inf*2, lo
		for i := lo; i <= hi && i < l.ax.n; i++ {
			if v := s[i] + l.rackWait*(l.ax.reg[i]-l.ax.reg[lo]); v < best {
				best, at = v, i
			}
			if !t.maxed[k] && best == q[lo] {
				break
			}
		}
		put := st.sh.put && st.sh.e2[at] > 0 && (st.c1[at] >= inf || t.follow(l, r, k, at, true) < t.follow(l, r, k, at, false))
		st.use(l, at, put, n)
		w := window{}
		e := st.sh.e1[at]
		if put {
			e = st.sh.e2[at]
		}
		if k == len(t.steps)-1 {
			return e
		}
		w = t.w1[k+1]
		if put {
			w = t.w2[k+1]
		}
		lo, hi = w.lo[at], l.ax.n-1
		if t.maxed[k+1] {
			hi = w.hi[at]
		}
	}
	return l.ax.n
}

// follow is the cost of step k started at i in one way, and all after it.
func (t *tail) follow(l *lagrangian, r, k int, i int32, put bool) int64 {
	st := &t.steps[k]
	c, e, way := st.c1[i], st.sh.e1[i], 0
	if put {
		c, e, way = st.c2[i], st.sh.e2[i], 1
	}
	if k == len(t.steps)-1 {
		return c + t.late[way][i] + t.places*l.rackSum[t.racks[r]][e]
	}
	nx, w := t.n1[t.at(r, k+1)], t.w1[k+1]
	if put {
		nx, w = t.n2[t.at(r, k+1)], t.w2[k+1]
	}
	if nx != nil {
		return c + nx[i]
	}
	return c + t.q[t.at(r, k+1)][w.lo[i]]
}

// slider finds minima over windows whose ends only fall.
type slider struct {
	buf        []int32
	head, tail int
	next       int32
}

// newSlider looks at indices below end; buf holds at least one entry for each.
func newSlider(buf []int32, end int32) slider { return slider{buf: buf, next: end} }

// min is the minimum of src over [lo, hi], inf when nothing is there.
func (s *slider) min(src []int64, lo, hi int32) int64 {
	for s.next > lo {
		s.next--
		v := src[s.next]
		for s.tail > s.head && src[s.buf[s.tail-1]] >= v {
			s.tail--
		}
		s.buf[s.tail] = s.next
		s.tail++
	}
	for s.head < s.tail && s.buf[s.head] > hi {
		s.head++
	}
	if s.head == s.tail {
		return inf
	}
	return src[s.buf[s.head]]
}

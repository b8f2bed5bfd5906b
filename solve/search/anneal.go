package search

import (
	"cmp"
	"math"
	"slices"

	"pourweek/solve/inst"
)

// fewPeople is the number of people up to which all wait for the same hands, so that
// when each step is done matters most.
const fewPeople = 3

// habits draws how the next recreation works.
func (w *worker) habits() {
	w.stir = w.r.n(4) > 0
	w.keep = w.r.one(2)
	w.generous = len(w.q.Ships) > 0 && w.r.one(4)
	w.blinks, w.blur = 0, 0
	w.delay, w.loose = 40, 16
	if len(w.q.People) <= fewPeople {
		w.delay, w.loose = 12, 5
	}
	switch w.r.n(4) {
	case 0:
		w.blinks = 40
	case 1:
		w.blur = 300
	}
}

// recreate puts back what was taken out, and tries the pours that are away.
func (w *worker) recreate() {
	r, q, s := &w.ruin, w.q, w.s
	todo, split := w.lineUp()
	last := len(todo) // where the tails begin that were put off
	for k := 0; k < len(todo); k++ {
		if k == last && split {
			w.order(todo[k:])
		}
		p := &q.pours[todo[k]]
		if s.stage[p.id] == placed {
			continue
		}
		if w.hopeless(todo[k:]) {
			s.cost = math.MaxInt64 / 2
			break
		}
		tail := s.stage[p.id] == poured
		done := false
		if p.id == r.forced {
			w.only, w.windowLo, w.windowHi = r.forcedMold, r.lo, r.hi
			done = w.putBack(p)
			w.only, w.windowLo, w.windowHi = none, 0, 0
		}
		if !done {
			w.putBack(p)
		}
		if len(w.torn) > 0 {
			w.mend()
		}
		switch {
		case tail && s.stage[p.id] == away:
			todo = append(todo, p.id)
		case split && !tail && s.stage[p.id] == placed && k+1 < len(todo):
			w.dropTail(p)
			todo = append(todo, p.id)
		}
	}
	w.banned = none
	w.ahead, w.allow = false, math.MaxInt64
	r.todo = todo[:0]
}

// splitOne is one in how many recreations puts tails off until all bodies stand:
// a tail that is put down at once may take the hours of a body that is still to
// come, for which a little later would do as well.
const splitOne = 16

// lineUp lists what is to be put back in the order in which it goes in, and
// says whether tails are put off.
func (w *worker) lineUp() (todo []int32, split bool) {
	r, s := &w.ruin, w.s
	todo = r.todo[:0]
	for _, p := range r.tails {
		if s.stage[p] == poured {
			todo = append(todo, p)
		}
	}
	w.order(todo)
	n := len(todo)
	todo = append(todo, r.whole...)
	todo = w.addAway(todo)
	if r.ranked {
		slices.SortStableFunc(todo[n:], func(a, b int32) int { return cmp.Compare(r.rank[a], r.rank[b]) })
	} else {
		w.order(todo[n:])
	}
	split = len(todo)-n > 1 && w.r.one(splitOne)
	w.ahead = r.first || split
	if n > 0 && (split || w.r.one(4)) { // bodies first: tails then go around them
		w.ahead = true
		r.list = append(r.list[:0], todo[:n]...)
		todo = append(todo[:0], todo[n:]...)
		todo = append(todo, r.list...)
	}
	k := slices.Index(todo, r.forced)
	if k < 0 {
		return todo, split
	}
	todo = slices.Delete(todo, k, k+1)
	if r.first {
		n = 0
	}
	n = min(n, len(todo))
	todo = slices.Insert(todo, n, r.forced)
	for _, m := range r.mates { // right behind the forced one
		if k := slices.Index(todo, m); k > n {
			todo = slices.Insert(slices.Delete(todo, k, k+1), n+1, m)
		}
	}
	return todo, split
}

// addAway adds pours that are away and were not taken out: all, or some three
// of many.
func (w *worker) addAway(todo []int32) []int32 {
	r, s := &w.ruin, w.s
	n := int32(0)
	for _, p := range r.news {
		if s.stage[p] == away && r.in[p] != 2 {
			n++
		}
	}
	if n == 0 {
		return todo
	}
	for _, p := range r.news {
		if s.stage[p] == away && r.in[p] != 2 && (n <= 3 || w.r.n(n) < 3) {
			todo = append(todo, p)
		}
	}
	return todo
}

// putBack inserts a pour, or its tail; a new pour whose tail does not fit
// comes out of its mold.
func (w *worker) putBack(p *pour) bool {
	s := w.s
	if s.stage[p.id] == placed {
		return true
	}
	h, c := w.habitOf(p.id), s.cost
	if s.stage[p.id] == away && !p.must {
		c -= w.outCost(p)
	}
	ok := w.insert(p, w.limitOf(p))
	w.noteLeft(p)
	if ok {
		if p.must {
			c -= missed
		}
		h.note(float64(s.cost - c))
	}
	if !ok && p.Stage == inst.New && w.s.stage[p.id] == poured {
		w.log.reset()
		w.removeBody(p)
	}
	return ok
}

// noteLeft keeps in mind whether a pour found its place: a mean of some sixteen
// recreations.
func (w *worker) noteLeft(p *pour) {
	x := &w.left[p.id]
	*x -= *x / 16
	if w.s.stage[p.id] != placed {
		*x += 1 << 10
	}
}

// squeaky is the number of new pours up to which those that were left out lately
// go in first now and then. Where few people do all, it is the order that makes
// a few pours fit; in large weeks this only makes recreations more alike.
const squeaky = 40

// order sorts pours for recreation by a rule drawn at random; pours that must
// be planned come first unless chance says otherwise.
func (w *worker) order(l []int32) {
	q, key := w.q, w.ruin.key
	w.shuffle(l)
	rule := w.r.n(5)
	if rule == 3 && len(w.ruin.news) > squeaky {
		rule = 4
	}
	for _, p := range l {
		x := &q.pours[p]
		switch rule {
		case 0:
			key[p] = int64(x.Due)
		case 1:
			key[p] = -x.LatePerTick
		case 2:
			key[p] = int64(len(x.Molds))
		case 3:
			key[p] = -int64(w.left[p])
		}
	}
	if rule < 4 {
		w.ruin.byKey(l)
	}
	if w.r.n(8) > 0 {
		slices.SortStableFunc(l, func(a, b int32) int { return int(q.hard[a]) - int(q.hard[b]) })
	}
}

// build makes a first plan: hard pours first, then by a rule.
func (w *worker) build(rule int32) bool {
	if !w.begin() {
		return false
	}
	q, r := w.q, &w.ruin
	w.stir, w.keep, w.blinks, w.blur, w.generous = rule > 0, false, 0, 0, rule%2 == 1
	todo := slices.Clone(r.all)
	if rule > 0 {
		w.shuffle(todo)
	}
	for _, p := range todo {
		x := &q.pours[p]
		r.key[p] = int64(x.Due)
		if x.Ship >= 0 {
			r.key[p] = min(int64(x.Due), int64(q.Ships[x.Ship].Due))
		}
		switch rule % 4 {
		case 2:
			r.key[p] -= x.LatePerTick
		case 3:
			r.key[p] = int64(w.r.n(1000))
		}
		r.key[p] += int64(q.hard[p]+w.wheel[p]) << 32
	}
	r.byKey(todo)
	w.clearRuin()
	for _, p := range todo {
		w.putBack(&q.pours[p])
		w.mend()
	}
	for _, p := range todo { // the squeaky wheel: who was left comes earlier
		if q.pours[p].must && w.s.stage[p] != placed {
			w.wheel[p]--
		}
	}
	return true
}

// step does one ruin and recreation and accepts or drops it.
func (w *worker) step(heat float64) {
	w.s.copyFrom(w.cur)
	w.clearRuin()
	w.habits()
	ceiling := w.cur.cost + int64(-heat*ln(w.r.f()+1e-12))
	w.ceiling = math.MaxInt64
	if w.cur.missing == 0 {
		w.ceiling = ceiling
	}
	h := w.drawHood()
	before := w.work
	if w.cur.missing > 0 && w.r.n(4) > 0 {
		w.pickRescue()
	} else {
		w.hoods[h].pick(w)
	}
	w.demolish()
	w.recreate()
	if w.s.cost <= ceiling || w.ceiling == math.MaxInt64 {
		w.trade()
	}
	st := &w.stats[h]
	st.tried++
	w.work = max(w.work, before+1) // a step without an insertion counts too
	st.work += w.work - before
	if w.s.cost <= ceiling {
		st.kept++
		w.cur, w.s = w.s, w.cur
		if c := w.cur.cost - w.extra(w.cur); c < w.best.cost {
			st.best++
			st.gain += w.best.cost - c
			w.best.copyFrom(w.cur)
			w.best.cost = c
		}
	}
}

// clearRuin forgets what was picked for the last step.
func (w *worker) clearRuin() {
	r := &w.ruin
	r.whole, r.tails, r.forced, r.first, r.ranked = r.whole[:0], r.tails[:0], none, false, false
	r.mates = r.mates[:0]
	clear(r.in)
	w.banned = none
}

// drawHood draws a neighborhood by its weight.
func (w *worker) drawHood() int {
	var sum float64
	for _, x := range w.weight {
		sum += x
	}
	x := float64(w.r.f() * sum)
	for i, y := range w.weight {
		x -= y
		if x < 0 {
			return i
		}
	}
	return len(w.weight) - 1
}

// pickRescue takes what may stand in the way of a pour that must be planned
// and is not; it then goes in first.
func (w *worker) pickRescue() {
	r, q, s := &w.ruin, w.q, w.s
	l := r.list[:0]
	for _, p := range r.all {
		if q.pours[p].must && s.stage[p] != placed {
			l = append(l, p)
		}
	}
	r.list = l
	p := &q.pours[l[w.r.n(int32(len(l)))]]
	var at int32
	tail := true
	switch {
	case p.Stage == inst.Racked:
		at = p.From
	case p.Stage == inst.Curing:
		at = p.CuredAt
	default:
		at, tail = p.PinStart, false
		for x := s.head[p.PinMold]; x >= 0; x = s.next[x] {
			w.take(x)
		}
	}
	reach := q.nearby * (1 + w.r.n(3))
	for _, x := range r.all {
		if s.stage[x] != placed || w.r.one(4) {
			continue
		}
		if s.end[q.pours[x].tail[0].tid] > at-reach/4 && w.dem(x) < at+reach {
			if w.r.one(2) {
				w.takeTail(x)
			} else {
				w.take(x)
			}
		} else if q.pours[x].Stage == inst.New && abs32(w.l1(x)-at) < reach {
			w.take(x)
		}
	}
	if tail {
		r.tails = append(r.tails, p.id)
		return
	}
	r.whole = append(r.whole, p.id)
	r.forced = p.id
	r.forcedMold = p.PinMold
	r.lo, r.hi = 0, q.n
	for _, x := range r.news { // those pinned near it go in next
		if x != p.id && q.pours[x].PinMold != inst.None && abs32(q.pours[x].PinStart-at) < reach && w.r.one(2) {
			w.take(x)
			r.mates = append(r.mates, x)
		}
	}
}

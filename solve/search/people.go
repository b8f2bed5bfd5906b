package search

import "math/bits"

// tally finds in which bits at least n of the given people have a run of w
// free ticks, for one word of the open axis.
func (w *worker) tally(people []int16, n, work, word int32) uint64 {
	s, words := w.s, w.q.words
	l := min(work, 64)
	if n == 1 {
		var any uint64
		for _, x := range people {
			b := s.busy[int32(x)*words+word:]
			any |= runs(^b[0], ^b[1], l)
			if any == ^uint64(0) {
				break
			}
		}
		return any
	}
	if n == 2 {
		var one, two uint64
		for _, x := range people {
			b := s.busy[int32(x)*words+word:]
			f := runs(^b[0], ^b[1], l)
			two |= one & f
			one |= f
		}
		return two
	}
	c := w.counts[:n]
	clear(c)
	for _, x := range people {
		b := s.busy[int32(x)*words+word:]
		f := runs(^b[0], ^b[1], l)
		for k := n - 1; k > 0; k-- {
			c[k] |= c[k-1] & f
		}
		c[0] |= f
	}
	return c[n-1]
}

// crewMask is an upper estimate of the starts in one word at which the task's
// crew is free. While the state stands still it is worked out once for tasks of
// one kind.
func (w *worker) crewMask(d *task, word int32) uint64 {
	if !w.still {
		return w.crewNow(d, word)
	}
	k := d.kind*w.q.words + word
	if w.crewAt[k] != w.masks.stamp {
		w.crewAt[k] = w.masks.stamp
		w.crews[k] = w.crewNow(d, word)
	}
	return w.crews[k]
}

func (w *worker) crewNow(d *task, word int32) uint64 {
	switch len(d.crew) {
	case 0:
		return ^uint64(0)
	case 1:
		return w.tally(w.q.bySkill[d.crew[0].Skill], d.crew[0].N, d.work, word)
	}
	m := w.tally(d.anyOf, d.heads, d.work, word)
	for _, h := range d.crew {
		if m == 0 {
			break
		}
		m &= w.tally(w.q.bySkill[h.Skill], h.N, d.work, word)
	}
	return m
}

// first is the first open index in [lo, hi) that the mask allows and at which
// crew and station are free straight on; none if there is none.
func (w *worker) first(d *task, mask []uint64, lo, hi int32) int32 {
	for lo < hi {
		word := lo >> 6
		m := mask[word] & (^uint64(0) << (lo & 63))
		if m != 0 {
			m &= w.crewMask(d, word)
		}
		for m != 0 {
			i := word<<6 + int32(bits.TrailingZeros64(m))
			if i >= hi {
				return none
			}
			if w.roomAt(d, i) {
				return i
			}
			m &= m - 1
		}
		lo = (word + 1) << 6
	}
	return none
}

// lastStart is the last open index in [lo, hi) like first.
func (w *worker) lastStart(d *task, mask []uint64, lo, hi int32) int32 {
	for hi > lo {
		word := (hi - 1) >> 6
		m := mask[word] & (^uint64(0) >> (63 - (hi-1)&63))
		if m != 0 {
			m &= w.crewMask(d, word)
		}
		for m != 0 {
			b := int32(63 - bits.LeadingZeros64(m))
			i := word<<6 + b
			if i < lo {
				return none
			}
			if w.roomAt(d, i) {
				return i
			}
			m &^= 1 << b
		}
		hi = word << 6
	}
	return none
}

// roomAt checks what crewMask does not: the station, and crews that are long
// or of several skills.
func (w *worker) roomAt(d *task, i int32) bool {
	if d.station >= 0 {
		q := w.q
		if w.s.stationBlocked(q, d.station, q.clock[i], q.clock[i+d.work-1]+1) >= 0 {
			return false
		}
	}
	if d.work > 64 || len(d.crew) > 1 {
		g := straight(i, d.work)
		return w.choose(d, &g)
	}
	return true
}

// isFree reports whether the person is free in all of the stretches.
func (w *worker) isFree(x int16, g *segs) bool {
	b := w.s.busy[int32(x)*w.q.words : (int32(x)+1)*w.q.words]
	for k := range g.n {
		if !clear64(b, g.s[k][0], g.s[k][1]) {
			return false
		}
	}
	return true
}

// choose picks the people of a task into w.pick, the skills of the crew in
// order; false if they are not free together.
func (w *worker) choose(d *task, g *segs) bool {
	switch len(d.crew) {
	case 0:
		return true
	case 1:
		l := w.q.bySkill[d.crew[0].Skill]
		n, got := d.crew[0].N, int32(0)
		off := int32(0)
		if w.stir && w.r.one(6) {
			off = w.r.n(int32(len(l)) + 1)
		}
		for k := off; k < int32(len(l)) && got < n; k++ {
			if w.isFree(l[k], g) {
				w.pick[got] = l[k]
				got++
			}
		}
		for k := int32(0); k < off && got < n; k++ {
			if w.isFree(l[k], g) {
				w.pick[got] = l[k]
				got++
			}
		}
		return got == n
	}
	return w.match(d, g)
}

// match picks the people of a crew of several skills by augmenting paths.
func (w *worker) match(d *task, g *segs) bool {
	for i := range w.pick[:d.heads] {
		w.pick[i] = none
	}
	seat := int32(0)
	for _, h := range d.crew {
		for range h.N {
			w.seen = w.seen[:0]
			if !w.augment(d, g, seat) {
				return false
			}
			seat++
		}
	}
	return true
}

// skillOf is the skill of a seat in a crew.
func (d *task) skillOf(seat int32) int32 {
	for _, h := range d.crew {
		if seat < h.N {
			return h.Skill
		}
		seat -= h.N
	}
	return none
}

func (w *worker) augment(d *task, g *segs, seat int32) bool {
next:
	for _, x := range w.q.bySkill[d.skillOf(seat)] {
		for _, y := range w.seen {
			if x == y {
				continue next
			}
		}
		if !w.isFree(x, g) {
			continue
		}
		w.seen = append(w.seen, x)
		at := int32(none)
		for k := range d.heads {
			if w.pick[k] == x {
				at = k
			}
		}
		if at < 0 || w.augment(d, g, at) {
			w.pick[seat] = x
			return true
		}
	}
	return false
}

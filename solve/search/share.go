package search

import "pourweek/solve/inst"

// pickShare takes two or three pours of one mix that are fed from different
// batches, so that one batch may feed them: the first goes in as much later as
// it takes to prepare the molds of the others. (Put back one by one, each as
// soon as it can, the first leaves no time for that where few people work.)
func (w *worker) pickShare() {
	r, q, s := &w.ruin, w.q, w.s
	p := w.anyPlaced(r.news)
	if p < 0 || q.pours[p].PinMold != inst.None || len(q.pours[p].Draws) == 0 {
		return
	}
	l := r.list[:0]
	for _, y := range r.news {
		if y != p && s.stage[y] == placed && w.mayShare(&q.pours[p], &q.pours[y]) {
			l = append(l, y)
		}
	}
	r.list = l
	if len(l) == 0 {
		w.pickMix()
		return
	}
	delay := int32(0)
	for range 1 + w.r.n(2)*w.r.n(2) {
		if y := l[w.r.n(int32(len(l)))]; r.in[y] == 0 {
			delay += q.pours[y].prep[0].work
			w.take(y)
			r.mates = append(r.mates, y)
		}
	}
	at := q.oi[w.l1(p)]
	if w.r.one(2) {
		at = q.oi[w.l1(r.mates[0])]
	}
	w.take(p)
	if w.r.one(3) {
		at += w.r.n(2*delay + 1)
	} else {
		at += delay + w.r.n(8)
	}
	at = min(at, q.n-1)
	r.forced, r.forcedMold, r.first = p, none, true
	r.lo, r.hi = max(at-1, 0), min(at+3, q.n)
	t := q.clock[at]
	w.clearLaying(p, t)
	if !w.r.one(3) {
		w.takeTailsAt(t-delay-12, t+18)
	}
}

// leaveRoom has an insertion keep the time before and after its layers free for
// a pour that is to share its batch: mold prepared early, cover and wash late.
func (w *worker) leaveRoom() {
	w.prepAt, w.coverAt, w.washAt = 0, 1, 1
	if w.r.one(4) {
		w.coverAt = 2
	}
}

// mayShare reports whether two pours draw a mix from different batches of which
// one could serve both.
func (w *worker) mayShare(a, b *pour) bool {
	s, q := w.s, w.q
	for i := range a.Draws {
		for j := range b.Draws {
			m := a.Draws[i].Mix
			if m != b.Draws[j].Mix || s.feed[a.d0+int32(i)] == s.feed[b.d0+int32(j)] {
				continue
			}
			mixer := s.bMixer[s.feed[a.d0+int32(i)]]
			if q.Mixes[m].Mixed(a.Draws[i].Grams+b.Draws[j].Grams) <= q.Mixers[mixer].Capacity {
				return true
			}
		}
	}
	return false
}

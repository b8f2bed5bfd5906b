package search

import "pourweek/solve/inst"

// pickPerson takes pours that one person works on around a moment.
func (w *worker) pickPerson() {
	q, s := w.q, w.s
	p := w.anyPlaced(w.ruin.all)
	if p < 0 || len(q.People) == 0 {
		return
	}
	x := int16(w.r.n(int32(len(q.People))))
	at := w.dem(p)
	if q.pours[p].Stage == inst.New && w.r.one(2) {
		at = w.l1(p)
	}
	l := w.ruin.list[:0]
	for _, y := range w.ruin.all {
		if s.stage[y] != placed {
			continue
		}
		best := int32(1 << 30)
		for t := q.pours[y].t0; t < q.pours[y].t0+3+q.pours[y].layers+int32(len(q.pours[y].Finish)); t++ {
			if s.start[t] < 0 {
				continue
			}
			off := q.whoOff[t]
			for _, z := range s.who[off : off+w.stepOf(y, t).heads] {
				if z == x {
					best = min(best, abs32(q.clock[s.start[t]]-at))
				}
			}
		}
		if best < 2*q.nearby {
			w.ruin.key[y] = int64(best) + int64(w.r.n(12))
			l = append(l, y)
		}
	}
	w.ruin.list = l
	w.nearest(l, 1+w.size(5), false)
}

// share is about what a placed pour costs by itself.
func (w *worker) share(p *pour) int64 {
	s, q := w.s, w.q
	c := w.lateCost(p, w.readyOf(p.id), none)
	from := w.tailSince(p)
	for k := range p.tail {
		d := &p.tail[k]
		if k > 0 {
			from = s.end[p.tail[k-1].tid] + d.rest
		}
		c += d.wait * int64(q.regular(max(from, q.now), q.clock[s.start[d.tid]]))
		c += int64(q.Costs.Overtime) * int64(q.ot[q.oi[s.end[d.tid]]]-q.ot[s.start[d.tid]])
	}
	if p.Stage == inst.New {
		c += w.gapOrStart(s.prev[p.id], p.id, s.mold[p.id]) + w.bodyCost(p)
		for x := range p.Draws {
			b := s.feed[p.d0+int32(x)]
			c += (int64(q.Costs.Batch) + w.waste(&q.Mixes[s.bMix[b]], b)) / int64(s.bDraws[b])
		}
	}
	return c
}

// pickCostly takes the dearer pours with some of their neighbors.
func (w *worker) pickCostly() {
	for range w.size(3) {
		var top int32 = none
		var most int64 = -1
		for range 4 {
			if p := w.anyPlaced(w.ruin.all); p >= 0 {
				if c := w.share(&w.q.pours[p]); c > most {
					top, most = p, c
				}
			}
		}
		if top < 0 {
			return
		}
		w.take(top)
		if w.q.pours[top].Stage != inst.New {
			continue
		}
		at := w.l1(top)
		for _, x := range w.ruin.news {
			if w.s.stage[x] == placed && abs32(w.l1(x)-at) < w.q.nearby && w.r.one(3) {
				w.take(x)
			}
		}
	}
}

// pickClose takes the pours of a mold, or of its later part, and some near
// them; the mold is closed to what is put back.
func (w *worker) pickClose() {
	p := w.anyPlaced(w.ruin.news)
	if p < 0 {
		return
	}
	m := w.s.mold[p]
	from := p
	if w.r.one(2) {
		from = w.firstNew(m)
	}
	w.banned = m
	n := w.takeChain(from, 8)
	at := w.l1(p)
	w.pickAround(at, w.r.n(max(8-n, 1)))
}

// firstNew is the first pour that is cast in the mold in this plan, none if
// there is none.
func (w *worker) firstNew(m int32) int32 {
	x := w.s.head[m]
	for x >= 0 && w.q.pours[x].Stage != inst.New {
		x = w.s.next[x]
	}
	return x
}

// takeChain takes up to k pours of a mold from pour x on, and returns how many.
func (w *worker) takeChain(x, k int32) int32 {
	n := int32(0)
	for ; x >= 0 && n < k; x = w.s.next[x] {
		w.take(x)
		n++
	}
	return n
}

// pickAround takes some k pours whose layers are laid near the tick.
func (w *worker) pickAround(at, k int32) {
	if k <= 0 {
		return
	}
	l := w.ruin.list[:0]
	for _, x := range w.ruin.news {
		if w.s.stage[x] == placed && w.ruin.in[x] == 0 {
			w.ruin.key[x] = int64(abs32(w.l1(x)-at)) + int64(w.r.n(40))
			l = append(l, x)
		}
	}
	w.ruin.list = l
	w.nearest(l, k, false)
}

// pickChains takes the later parts of the sequences of two molds that can cast
// the same piece.
func (w *worker) pickChains() {
	p := w.anyPlaced(w.ruin.news)
	if p < 0 {
		return
	}
	k := 2 + w.r.n(5)
	n := w.takeChain(p, k)
	c := w.q.pours[p].Molds
	for range 4 {
		m := c[w.r.n(int32(len(c)))].Mold
		if m == w.s.mold[p] {
			continue
		}
		x := w.firstNew(m)
		for x >= 0 && w.l1(x) < w.l1(p)-w.q.nearby*w.r.n(3) {
			x = w.s.next[x]
		}
		w.takeChain(x, max(k+2-n, 2))
		return
	}
}

// pickShip takes the latest pours of a shipment, or all.
func (w *worker) pickShip() {
	q := w.q
	if len(q.Ships) == 0 {
		w.pickRandom()
		return
	}
	x := &q.Ships[w.r.n(int32(len(q.Ships)))]
	var out int32
	for _, p := range x.Pours {
		if w.s.stage[p] == placed {
			out = max(out, w.readyOf(p))
		}
	}
	w.generous = true
	for _, p := range x.Pours {
		if w.s.stage[p] == away {
			w.ruin.in[p] = 2
			w.ruin.whole = append(w.ruin.whole, p)
		}
	}
	all := w.r.one(3)
	n := 0
	for _, p := range x.Pours {
		if w.s.stage[p] == placed && n < 8 && (all || w.readyOf(p) >= out-q.nearby) {
			w.take(p)
			n++
		}
	}
	if w.r.one(2) {
		w.pickReady()
	}
}

// demolish takes out what was picked, and what cannot stay without it.
func (w *worker) demolish() {
	r, q := &w.ruin, w.q
	for _, p := range r.whole {
		w.log.reset()
		w.remove(&q.pours[p])
	}
	for _, p := range r.tails {
		if w.s.stage[p] == placed {
			w.dropTail(&q.pours[p])
		}
	}
	w.mend()
}

// mend removes the pours of batches whose wash cannot be brought into line;
// they are added to the pours to put back.
func (w *worker) mend() {
	q, s := w.q, w.s
	for len(w.torn) > 0 {
		b := w.torn[len(w.torn)-1]
		w.torn = w.torn[:len(w.torn)-1]
		w.log.reset()
		if s.bMix[b] < 0 || w.rewash(b) {
			continue
		}
		for d := range q.draws {
			if s.bMix[b] < 0 {
				break
			}
			if p := q.drawOf[d]; s.stage[p] != away && s.feed[d] == b {
				w.remove(&q.pours[p])
				if w.ruin.in[p] != 2 {
					w.ruin.in[p] = 2
					w.ruin.whole = append(w.ruin.whole, p)
				}
			}
		}
	}
}

// pickSequence takes the pours from a moment on, up to some number, to put them
// back in the order in which they were, but for one that goes elsewhere.
func (w *worker) pickSequence() {
	r := &w.ruin
	p := w.anyPlaced(r.news)
	if p < 0 {
		return
	}
	from := w.l1(p)
	l := r.list[:0]
	for _, x := range r.news {
		if w.s.stage[x] == placed && w.l1(x) >= from {
			r.key[x] = int64(w.l1(x))
			l = append(l, x)
		}
	}
	r.list = l
	most := int32(8)
	w.nearest(l, 1+w.r.n(most), false)
	for k, x := range r.whole {
		r.rank[x] = int64(2 * k)
	}
	r.ranked = true
	n := int32(len(r.whole))
	for _, x := range r.news { // those away go anywhere
		if w.s.stage[x] == away {
			r.rank[x] = int64(w.r.n(2*n + 1))
		}
	}
	if n > 1 {
		x := r.whole[w.r.n(n)]
		r.rank[x] = int64(2*w.r.n(n)) + int64(2*w.r.n(2)-1)
	}
}

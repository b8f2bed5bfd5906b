package search

// slot is a gap in a mold's sequence into which a pour may go.
type slot struct {
	choice, mold int32
	free         int32 // tick from which the mold stands idle
	from         int32 // tick from which it may be used
	until        int32 // tick by which the pour must be out
	before, next int32 // its neighbors in the mold, none
	lo, hi       int32 // open indices [lo, hi) of layer 1
	moved        bool  // the pour would count as moved
	base         int64 // cost that does not follow from the start
}

// bodySearch is the search for the cheapest body (layers, cover, batches,
// washes, prep) of a pour around a given start of layer 1.
type bodySearch struct {
	p     *pour
	slot  slot
	s     int32 // open index of layer 1
	cost0 int64 // cost of the state without the pour
	nodes int32
	full  int32 // complete bodies seen
	// Limits of one start.
	maxNodes, maxFull int32
	own               []int32
	feed              []int32 // by draw of the pour: its batch, none
	found             bool
	best              int64 // cost of the best insertion so far (delta of the state's cost)
	bSlot             slot
	log               log
	tail              tailPlan
}

// tryBody looks for bodies with layer 1 at open index i in the slot that lead
// to a cheaper insertion than the best so far, and keeps the best.
func (w *worker) tryBody(sl *slot, i int32) {
	w.beginBody(sl, i)
	b := &w.bs
	w.still = true
	w.warm(b.p, w.q.clock[i])
	w.still = false
	w.layer(0)
}

// beginBody clears the search for a body with layer 1 at open index i in the slot.
func (w *worker) beginBody(sl *slot, i int32) {
	b := &w.bs
	b.slot, b.s = *sl, i
	b.nodes, b.full = 0, 0
	b.own = b.own[:0]
	for d := range b.feed {
		b.feed[d] = none
	}
	w.s.pick[b.p.id] = sl.choice
}

// warm works out the masks that the search may ask for while tasks of the pour
// stand in the state; masks are of the state without them.
func (w *worker) warm(p *pour, t int32) {
	q := w.q
	for d := range p.Draws {
		m, j := p.Draws[d].Mix, p.Draws[d].Layers[0]
		lo := max(t+p.earliest[j]+p.lasts[d]-q.mixes[m].longest, 0)
		hi := t + p.latest[j] - q.Mixes[m].Ready
		if hi < lo {
			continue
		}
		for word := q.oi[min(lo, q.h)] >> 6; word <= q.oi[min(hi+1, q.h)]>>6; word++ {
			w.mixMask(m, word)
		}
	}
}

// spent is what the body so far adds to the cost of the state.
func (w *worker) spent() int64 { return w.s.cost - w.bs.cost0 }

// layer places layer j and what follows from it.
func (w *worker) layer(j int32) {
	b, q, p := &w.bs, w.q, w.bs.p
	if j == p.layers {
		w.coverUp()
		return
	}
	d := &p.coat[j]
	lo, last := b.s, q.clock[b.s]
	if j > 0 {
		e := w.s.end[p.t0+j]
		lo = q.oi[min(e+p.Layers[j].GapMin, q.h)]
		last = e + p.Layers[j].GapMax
	}
	for _, x := range p.Layers[j].Draws { // batches that feed it already
		if f := b.feed[x]; f >= 0 {
			last = min(last, w.s.bPot[f]-d.work)
		}
	}
	hi := q.oi[min(last+1, q.h)]
	w.barren.begin(j)
	if j > 0 && w.layerAt > 0 && hi > lo { // leave room before it
		lo += w.r.n(hi - lo)
	}
	for tries := 0; lo < hi && b.nodes < b.maxNodes && b.full < b.maxFull; tries++ {
		i := w.first(d, d.plain, lo, hi)
		if i < 0 || (len(p.first[j]) == 0 && tries == 2) {
			return
		}
		b.nodes++
		mark := len(w.log.ops)
		g := straight(i, d.work)
		if w.choose(d, &g) {
			w.place(d, p.t0+1+j, i, q.clock[i]+d.work, &g)
			w.feedLayer(j, 0)
			w.undo(mark)
		}
		lo = i + 1
	}
}

// feedLayer finds a batch for the k-th of the draws that begin in layer j.
func (w *worker) feedLayer(j, k int32) {
	b, q, p := &w.bs, w.q, w.bs.p
	if w.spent()+b.slot.base >= b.best {
		return
	}
	if k == int32(len(p.first[j])) {
		w.layer(j + 1)
		return
	}
	x := p.first[j][k]
	t := q.clock[w.s.start[p.t0+1+j]]
	need := w.s.end[p.t0+1+j] // the batch must last to here
	for l := j + 1; l <= p.lastOf[x]; l++ {
		need += p.Layers[l].GapMin + p.coat[l].work
	}
	w.joinOwn(j, k, x, t, need)
	w.joinOther(j, k, x, t, need)
	w.openNew(j, k, x, t, need)
}

// feedFrom lets draw x of the pour come from batch f and goes on.
func (w *worker) feedFrom(j, k, x, f int32) {
	mark := len(w.log.ops)
	w.join(x, f)
	w.feedLayer(j, k+1)
	w.bs.feed[x] = none
	w.undo(mark)
}

// join lets draw x of the pour come from batch f; it is logged.
func (w *worker) join(x, f int32) {
	b := &w.bs
	w.enter(b.p.d0+x, f)
	w.log.ops = append(w.log.ops, op{kind: opJoin, a: b.p.d0 + x, b: f})
	b.feed[x] = f
}

// hasRoom reports whether so many more grams go into the mixer of batch f.
func (w *worker) hasRoom(f int32, grams int64) bool {
	s := w.s
	return w.q.Mixes[s.bMix[f]].Mixed(int64(s.bNet[f])+grams) <= w.q.Mixers[s.bMixer[f]].Capacity
}

// suits reports whether batch f can serve draw x from tick t to tick need.
func (w *worker) suits(f, x, t, need int32) bool {
	s, p := w.s, w.bs.p
	return s.bMix[f] == p.Draws[x].Mix && s.bPot[f] >= need && w.batchReady(f) <= t && w.hasRoom(f, p.Draws[x].Grams)
}

func (w *worker) joinOwn(j, k, x, t, need int32) {
	for _, f := range w.bs.own {
		if w.suits(f, x, t, need) {
			w.feedFrom(j, k, x, f)
		}
	}
}

func (w *worker) joinOther(j, k, x, t, need int32) {
	for _, f := range w.near {
		if w.suits(f, x, t, need) {
			w.feedFrom(j, k, x, f)
		}
	}
}

// barren remembers, while a layer is tried at one start after the other, where no
// batch could be started for its first draw. What keeps one from starting lies
// before the layer, and is the same for all of its starts.
type barren struct {
	n     int32 // open ticks
	stamp int32
	of    []int32 // by layer: the stamp of the round of starts
	at    []int32 // by layer and open index: the stamp for which none starts
}

func newBarren(q *prob, layers int32) barren {
	return barren{n: q.n, of: make([]int32, layers), at: make([]int32, layers*q.n)}
}

// begin forgets what was remembered for layer j.
func (b *barren) begin(j int32) {
	b.stamp++
	b.of[j] = b.stamp
}

func (b *barren) has(j, i int32) bool { return b.at[j*b.n+i] == b.of[j] }

func (b *barren) add(j, i int32) { b.at[j*b.n+i] = b.of[j] }

// openNew starts batches for draw x, the latest first.
func (w *worker) openNew(j, k, x, t, need int32) {
	b, q, p := &w.bs, w.q, w.bs.p
	m := p.Draws[x].Mix
	mix, mw := &q.Mixes[m], &q.mixes[m]
	if w.spent()+b.slot.base+int64(q.Costs.Batch) >= b.best || t < mix.Ready {
		return
	}
	opened := 0
	grams := mix.Mixed(p.Draws[x].Grams)
	lo := max(need-mw.longest, 0)
	if w.layerAt == 2 { // mix well ahead
		t -= w.r.n(4)
	}
	ahead := w.aheadOf(j, k, x, t)
	for last := t - mix.Ready; opened < 3 && b.nodes < b.maxNodes && b.full < b.maxFull; {
		i := w.mixIn(m, lo, last)
		if i < 0 {
			return
		}
		last = q.clock[i] - 1
		if mw.potEnd[q.clock[i]] < need || k == 0 && w.barren.has(j, i) {
			continue
		}
		if w.openAt(j, k, x, i, grams) {
			opened++
			if opened == 1 && ahead >= 0 {
				last = min(last, ahead)
			}
		} else if k == 0 {
			w.barren.add(j, i)
		}
	}
}

// aheadOf is the last start of a batch for draw x, of the k-th draws of layer j
// at tick t, that leaves its mixer for the batch of the draw after it even if
// the layer of that one follows as soon as it can; none if there is none.
func (w *worker) aheadOf(j, k, x, t int32) int32 {
	q, p := w.q, w.bs.p
	y := int32(none)
	at := t
	if k+1 < int32(len(p.first[j])) {
		y = p.first[j][k+1]
	}
	for l := j + 1; l < p.layers && y < 0; l++ {
		if len(p.first[l]) > 0 {
			y = p.first[l][0]
			at = t + p.earliest[l] - p.earliest[j]
		}
	}
	if y < 0 {
		return none
	}
	m := &q.Mixes[p.Draws[x].Mix]
	wash := m.Wash
	if wash > 0 {
		wash += m.GapMin
	}
	return max(at-q.Mixes[p.Draws[y].Mix].Ready-wash-m.Ready, -1)
}

// openAt starts a batch for draw x at open index i on the first mixer that can
// take it, and goes on; it reports whether there was one.
func (w *worker) openAt(j, k, x, i int32, grams int64) bool {
	b, q, m := &w.bs, w.q, w.bs.p.Draws[x].Mix
	mixers := q.mixes[m].mixers
	lo, hi := q.span(q.clock[i], q.clock[i]+q.Mixes[m].Ready)
	for c := range mixers {
		y := mixers[(c+int(w.turn))%len(mixers)]
		if q.Mixers[y].Capacity < grams || !clear64(w.s.mixer[y*q.cwords:(y+1)*q.cwords], lo, hi) {
			continue
		}
		b.nodes++
		mark := len(w.log.ops)
		f := w.openBatch(m, y, i)
		if f >= 0 {
			b.own = append(b.own, f)
			w.feedFrom(j, k, x, f)
			b.own = b.own[:len(b.own)-1]
		}
		w.undo(mark)
		if f >= 0 {
			return true
		}
	}
	return false
}

// freeAt reports whether crew and station of a task are free at open index i.
func (w *worker) freeAt(d *task, i int32) bool {
	return w.first(d, d.plain, i, i+1) == i
}

package search

import (
	"cmp"
	"slices"

	"pourweek/solve/inst"
)

// hood is a neighborhood: a way to pick what is taken out of a plan.
type hood struct {
	name   string
	pick   func(*worker)
	weight float64
}

var hoods = []hood{
	{"tails", (*worker).pickTails, 3},
	{"random", (*worker).pickRandom, 3},
	{"mix", (*worker).pickMix, 2.5},
	{"time", (*worker).pickTime, 2.5},
	{"ready", (*worker).pickReady, 1.5},
	{"window", (*worker).pickWindow, 1.5},
	{"force", (*worker).pickForce, 2},
	{"mold", (*worker).pickMold, 1},
	{"rack", (*worker).pickRack, 0.7},
	{"person", (*worker).pickPerson, 0.7},
	{"costly", (*worker).pickCostly, 1},
	{"close", (*worker).pickClose, 0.3},
	{"chains", (*worker).pickChains, 0.7},
	{"sequence", (*worker).pickSequence, 1.5},
	{"rush", (*worker).pickRush, 1.5},
	{"share", (*worker).pickShare, 2},
	{"shipment", (*worker).pickShip, 0},
}

// ruinScratch holds what a neighborhood picked.
type ruinScratch struct {
	whole, tails []int32 // pours to take out; pours of which only the tail goes
	in           []uint8 // by pour: 0 stays, 1 tail, 2 whole
	todo         []int32
	key          []int64 // by pour: for sorting
	list         []int32
	forced       int32 // pour that goes in first, none
	forcedMold   int32
	first        bool    // the forced pour goes in before the tails
	ranked       bool    // whole pours go in by rank
	rank         []int64 // by pour
	lo, hi       int32
	mates        []int32 // pours that go in right behind the forced one
	news         []int32 // pours that are new
	all          []int32
}

func (r *ruinScratch) init(q *prob) {
	r.in = make([]uint8, len(q.pours))
	r.key = make([]int64, len(q.pours))
	r.rank = make([]int64, len(q.pours))
	r.forced = none
	for i := range q.pours {
		if q.pours[i].Stage == inst.New {
			r.news = append(r.news, int32(i))
		}
		r.all = append(r.all, int32(i))
	}
}

// byKey sorts pours by their keys; those with equal keys stay in their order.
func (r *ruinScratch) byKey(l []int32) {
	slices.SortStableFunc(l, func(a, b int32) int { return cmp.Compare(r.key[a], r.key[b]) })
}

// take picks a pour: all of it if it is new, else its tail.
func (w *worker) take(p int32) {
	r := &w.ruin
	if r.in[p] == 2 || w.s.stage[p] != placed {
		return
	}
	if w.q.pours[p].Stage != inst.New {
		w.takeTail(p)
		return
	}
	if r.in[p] == 0 {
		r.whole = append(r.whole, p)
	} else {
		r.tails = slices.DeleteFunc(r.tails, func(x int32) bool { return x == p })
		r.whole = append(r.whole, p)
	}
	r.in[p] = 2
}

func (w *worker) takeTail(p int32) {
	r := &w.ruin
	if r.in[p] == 0 && w.s.stage[p] == placed {
		r.in[p] = 1
		r.tails = append(r.tails, p)
	}
}

// size draws how many pours to take, few more often than many.
func (w *worker) size(most int32) int32 {
	k := 1 + w.r.n(most)
	return min(k, 1+w.r.n(most))
}

// nearest takes k pours of the list with the least keys.
func (w *worker) nearest(l []int32, k int32, tail bool) {
	key := w.ruin.key
	slices.SortFunc(l, func(a, b int32) int {
		switch {
		case key[a] < key[b]:
			return -1
		case key[a] > key[b]:
			return 1
		}
		return int(a - b)
	})
	for _, p := range l[:min(int(k), len(l))] {
		if tail {
			w.takeTail(p)
		} else {
			w.take(p)
		}
	}
}

// l1 is the tick at which layer 1 of a pour starts, and dem the tick at which
// its tail starts.
func (w *worker) l1(p int32) int32 { return w.q.clock[w.s.start[w.q.pours[p].t0+1]] }

func (w *worker) dem(p int32) int32 { return w.q.clock[w.s.start[w.q.pours[p].tail[0].tid]] }

// anyPlaced draws a pour that is placed, none if there is none.
func (w *worker) anyPlaced(l []int32) int32 {
	if len(l) == 0 {
		return none
	}
	for range 20 {
		p := l[w.r.n(int32(len(l)))]
		if w.s.stage[p] == placed {
			return p
		}
	}
	return none
}

func abs32(a int32) int32 { return max(a, -a) }

// pickTails takes the tails of pours whose tails are near in time.
func (w *worker) pickTails() {
	p := w.anyPlaced(w.ruin.all)
	if p < 0 {
		return
	}
	l := w.ruin.list[:0]
	for _, x := range w.ruin.all {
		if w.s.stage[x] == placed {
			d := min(abs32(w.dem(x)-w.dem(p)), abs32(w.readyOf(x)-w.readyOf(p)))
			w.ruin.key[x] = int64(d) + int64(w.r.n(24))
			l = append(l, x)
		}
	}
	w.ruin.list = l
	w.nearest(l, 1+w.size(8), true)
}

func (w *worker) pickRandom() {
	for range w.size(6) {
		if p := w.anyPlaced(w.ruin.all); p >= 0 {
			w.take(p)
		}
	}
}

// shareMix reports whether two pours draw the same mix.
func shareMix(a, b *pour) bool {
	for i := range a.Draws {
		for j := range b.Draws {
			if a.Draws[i].Mix == b.Draws[j].Mix {
				return true
			}
		}
	}
	return false
}

// pickNear takes pours of a list that are like one drawn from it and near to it
// by the given moment, with some noise; up to most or so.
func (w *worker) pickNear(from []int32, at func(int32) int32, like func(p, x int32) bool, noise, most int32) {
	p := w.anyPlaced(from)
	if p < 0 {
		return
	}
	l := w.ruin.list[:0]
	for _, x := range from {
		if w.s.stage[x] == placed && like(p, x) {
			w.ruin.key[x] = int64(abs32(at(x)-at(p))) + int64(w.r.n(noise))
			l = append(l, x)
		}
	}
	w.ruin.list = l
	w.nearest(l, 1+w.size(most), false)
}

func anyPour(_, _ int32) bool { return true }

func (w *worker) pickMix() {
	share := func(p, x int32) bool { return shareMix(&w.q.pours[p], &w.q.pours[x]) }
	w.pickNear(w.ruin.news, w.l1, share, 30, 6)
}

func (w *worker) pickTime() { w.pickNear(w.ruin.news, w.l1, anyPour, 20, 7) }

func (w *worker) pickReady() { w.pickNear(w.ruin.all, w.readyOf, anyPour, 20, 6) }

// pickWindow takes what happens around a moment: bodies and tails.
func (w *worker) pickWindow() {
	p := w.anyPlaced(w.ruin.all)
	if p < 0 {
		return
	}
	at := w.dem(p)
	if w.q.pours[p].Stage == inst.New && w.r.one(2) {
		at = w.l1(p)
	}
	l := w.ruin.list[:0]
	for _, x := range w.ruin.all {
		if w.s.stage[x] != placed {
			continue
		}
		d := min(abs32(w.dem(x)-at), abs32(w.readyOf(x)-at))
		if w.q.pours[x].Stage == inst.New {
			d = min(d, abs32(w.l1(x)-at))
		}
		w.ruin.key[x] = int64(d) + int64(w.r.n(12))
		l = append(l, x)
	}
	w.ruin.list = l
	k := 2 + w.size(8)
	w.nearest(l, 0, false)
	for _, x := range l[:min(int(k), len(l))] {
		if w.q.pours[x].Stage == inst.New && abs32(w.l1(x)-at) < 2*w.q.nearby {
			w.take(x)
		} else {
			w.takeTail(x)
		}
	}
}

// pickForce draws a pour, a mold and a time, and makes room there.
func (w *worker) pickForce() {
	r, q := &w.ruin, w.q
	if len(r.news) == 0 {
		return
	}
	p := r.news[w.r.n(int32(len(r.news)))]
	if w.r.one(2) { // rather one that is left out
		k := w.r.n(int32(len(r.news)))
		for i := range int32(len(r.news)) {
			if x := r.news[(i+k)%int32(len(r.news))]; w.s.stage[x] == away {
				p = x
				break
			}
		}
	}
	c := q.pours[p].Molds
	if q.pours[p].PinMold != inst.None || len(c) == 0 {
		return
	}
	w.take(p)
	m := c[w.r.n(int32(len(c)))].Mold
	top := q.oi[min(q.PourUntil, q.h)]
	lo := q.oi[min(max(q.now, q.pours[p].Release), q.h)]
	if top <= lo {
		return
	}
	at := lo + w.r.n(top-lo)
	if w.r.one(2) && w.s.stage[p] == placed { // not far from where it is
		at = min(max(q.oi[w.l1(p)]+w.r.n(121)-60, lo), top-1)
	}
	r.forced, r.forcedMold = p, m
	r.lo, r.hi = max(at-6, 0), min(at+12, q.n)
	t := q.clock[at]
	r.first = w.r.one(2)
	w.clearMold(p, m, t)
	if w.r.one(2) {
		r.first = true
		w.takeTailsAt(t-24, t+36)
	}
	w.clearLaying(p, t)
}

// clearMold takes what stands in the mold around the tick, but pour p.
func (w *worker) clearMold(p, m, t int32) {
	r, q := &w.ruin, w.q
	for x := w.s.head[m]; x >= 0; x = w.s.next[x] {
		if r.first && x != p && w.s.stage[x] == placed && (q.pours[x].Stage == inst.Curing || w.l1(x) < t-q.nearby) &&
			w.demolded(x) > t-3*q.nearby {
			w.takeTail(x)
			continue
		}
		if x != p && q.pours[x].Stage == inst.New && w.s.stage[x] == placed &&
			w.demolded(x) > t-q.nearby && q.clock[w.s.start[q.pours[x].t0]] < t+3*q.nearby {
			w.take(x)
		}
	}
}

// clearLaying takes most of the pours laid near the tick, but pour p.
func (w *worker) clearLaying(p, t int32) {
	for _, x := range w.ruin.news {
		if x != p && w.s.stage[x] == placed && abs32(w.l1(x)-t) < 14 && w.r.n(3) > 0 {
			w.take(x)
		}
	}
}

// takeTailsAt takes most of the tails that have a step in the ticks [a, b).
func (w *worker) takeTailsAt(a, b int32) {
	q, s := w.q, w.s
	for _, x := range w.ruin.all {
		if s.stage[x] != placed || w.r.one(3) {
			continue
		}
		for k := range q.pours[x].tail {
			t := q.pours[x].tail[k].tid
			if q.clock[s.start[t]] < b && s.end[t] > a {
				w.takeTail(x)
				break
			}
		}
	}
}

// pickMold takes a run of pours of one mold.
func (w *worker) pickMold() {
	p := w.anyPlaced(w.ruin.news)
	if p < 0 {
		return
	}
	k := 1 + w.size(4)
	if w.r.one(3) { // and of another mold that could take them
		c := w.q.pours[p].Molds
		x := w.s.head[c[w.r.n(int32(len(c)))].Mold]
		for ; x >= 0; x = w.s.next[x] {
			if w.q.pours[x].Stage == inst.New && abs32(w.l1(x)-w.l1(p)) < 4*w.q.nearby {
				w.take(x)
			}
		}
	}
	for x := p; x >= 0 && k > 0; x = w.s.next[x] {
		w.take(x)
		k--
	}
}

func (w *worker) pickRack() {
	p := w.anyPlaced(w.ruin.all)
	if p < 0 {
		return
	}
	l := w.ruin.list[:0]
	for _, x := range w.ruin.all {
		if w.s.stage[x] == placed && w.s.rack[x] == w.s.rack[p] {
			w.ruin.key[x] = int64(abs32(w.dem(x)-w.dem(p))) + int64(w.r.n(40))
			l = append(l, x)
		}
	}
	w.ruin.list = l
	w.nearest(l, 1+w.size(6), w.r.one(2))
}

package exact

import (
	"bytes"
	"cmp"
	"context"
	"encoding/binary"
	"slices"

	"pourweek/solve/inst"
)

// sweep is a dynamic program forward in time over the states of one structure,
// bounded by a cost that a plan must stay below. Every way to start tasks at a
// tick is followed, so that the cheapest way through is the optimum of the week
// as the shop sees it; equal states are merged, and what cannot end below the
// limit is dropped.
type sweep struct {
	*week
	limit   int64 // a plan must cost less
	fixed   int64 // cost of what is carried
	buckets []*bucket
	nodes   []node
	acts    []uint16
	expands int64
	max     int64 // of expands
	spilled bool  // some state did not fit
	dropped bool  // some state was dropped for its cost
	trace   func(t int, b *bucket)
	beam    int   // 0: all states; else at most so many a tick
	end     int32 // node of the cheapest complete state, -1: none

	// Of the state in hand.
	t     int32
	cur   state
	from  int32
	busy  [][]int32 // by row, from the open index of t on
	cands []cand
	pick  []uint16
	sets  []other
	next  state
	key   []byte
}

// node is a state passed through: the one before and what was started there.
type node struct {
	before int32
	acts   uint32 // place in sweep.acts: a count, then so many
	t      int32
}

// bucket holds the states at one tick, each once with its least cost.
type bucket struct {
	keys  []byte
	cost  []int64
	from  []int32
	acts  []uint32
	table []int32
}

// cand is something that may start now.
type cand struct {
	kind        candKind
	pour        int
	put         bool
	slot        int // live batch of a clean-up
	mix, mixer  int
	set         uint32 // draws of a new batch
	cost        int64
	task        *task
	start, stop int32
}

type candKind uint8

const (
	startStep candKind = iota
	startWash
	startBatch
)

func (w *week) newSweep(limit, maxExpands int64) *sweep {
	x := &sweep{week: w, limit: min(limit, maxCost), fixed: w.st.fixed, buckets: make([]*bucket, w.in.H+1), max: maxExpands, end: -1}
	x.busy = make([][]int32, len(w.rows))
	for r := range x.busy {
		x.busy[r] = make([]int32, w.open)
	}
	x.key = make([]byte, w.shape().stride)
	return x
}

// run goes through all ticks. It reports whether it came to the end; then limit
// is the least cost below the first limit, or that limit.
func (x *sweep) run(ctx context.Context) bool {
	s := x.first()
	s.cost = x.fixed
	t0 := x.in.Now
	x.next = *s
	x.from, x.t = -1, t0
	if i := x.in.OpenIndex(t0); int(i) < x.open {
		x.arrive(t0, x.in.OpenAt[i], 0)
	}
	for t := range x.buckets {
		b := x.buckets[t]
		if b == nil {
			continue
		}
		if x.trace != nil {
			x.trace(t, b)
		}
		stride := len(x.key)
		for _, k := range x.pickBeam(b, int32(t)) {
			if x.expands++; x.expands > x.max || x.spilled || x.expands&1023 == 0 && ctx.Err() != nil {
				return false
			}
			x.decode(b.keys[int(k)*stride:(int(k)+1)*stride], &x.cur)
			x.cur.cost = b.cost[k]
			if x.cur.cost+x.value(&x.cur, int32(t)) > x.top(x.limit) {
				x.dropped = true
				continue
			}
			x.nodes = append(x.nodes, node{b.from[k], b.acts[k], int32(t)})
			x.from, x.t = int32(len(x.nodes)-1), int32(t)
			x.expand()
		}
		x.buckets[t] = nil
	}
	return !x.spilled
}

// pickBeam lists the states of a bucket that are gone on from.
func (x *sweep) pickBeam(b *bucket, t int32) []int32 {
	order := make([]int32, len(b.cost))
	for k := range order {
		order[k] = int32(k)
	}
	order = x.undominated(b, t, order)
	if x.beam == 0 || len(order) <= x.beam {
		return order
	}
	stride := len(x.key)
	f := make([]int64, len(b.cost))
	for _, k := range order {
		x.decode(b.keys[int(k)*stride:(int(k)+1)*stride], &x.cur)
		f[k] = b.cost[k] + x.value(&x.cur, t)
	}
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(f[a], f[b]) })
	return order[:x.beam]
}

// expand follows every set of starts at x.t.
func (x *sweep) expand() {
	x.fillBusy()
	x.cands = x.cands[:0]
	x.findWashes()
	x.findBatches()
	x.findSteps()
	x.pick = x.pick[:0]
	x.choose(0)
}

// fillBusy counts the heads that tasks under way take from x.t on.
func (x *sweep) fillBusy() {
	for r := range x.busy {
		clear(x.busy[r])
	}
	s := &x.cur
	for i := range x.pours {
		if s.run[i] != waiting {
			x.take(x.taskOf(i, int(s.step[i])).crew, x.t, s.at[i], s.run[i] == putDown, 1)
		}
	}
	for k := range s.n {
		l := &s.live[k]
		m := &x.mixes[l.mix]
		x.takeMixing(m, l.s, 1)
		if l.z >= 0 {
			x.take(m.crew, max(l.z, x.t), l.z+m.wash, false, 1)
		}
	}
}

func (x *sweep) takeMixing(m *mix, s, n int32) {
	ready := s + m.Ready
	x.take(m.crew, max(s, x.t), s+m.Mix.Mix, false, n)
	x.take(m.crew, max(ready-m.Remix, x.t), ready, false, n)
}

// take adds n crews in the open ticks of [a, b), regular ones alone if so.
func (x *sweep) take(c *crew, a, b int32, regular bool, n int32) {
	base := x.in.OpenIndex(x.t)
	for i := x.in.OpenIndex(a); i < x.in.OpenIndex(b); i++ {
		if regular && x.in.Overtime[x.in.OpenAt[i]] {
			continue
		}
		for r, h := range c.need[:len(x.rows)] {
			x.busy[r][i-base] += n * h
		}
	}
}

// room reports whether a crew is to be had in the open ticks of [a, b).
func (x *sweep) room(c *crew, a, b int32, regular bool) bool {
	base := x.in.OpenIndex(x.t)
	for i := x.in.OpenIndex(a); i < x.in.OpenIndex(b); i++ {
		if regular && x.in.Overtime[x.in.OpenAt[i]] {
			continue
		}
		for r, h := range c.need[:len(x.rows)] {
			if h > 0 && x.busy[r][i-base]+h > x.have[r][i] {
				return false
			}
		}
	}
	return true
}

func (x *sweep) findWashes() {
	for k := range x.cur.n {
		l := &x.cur.live[k]
		m := &x.mixes[l.mix]
		off := x.t - l.s - m.Ready
		if l.z >= 0 || off < m.GapMin || off > m.GapMax || x.in.SteadyEnd(x.t, m.wash) < 0 || x.mixerDown(int(l.mixer), l.s, x.t+m.wash) {
			continue
		}
		i := x.in.OpenIndex(x.t)
		x.cands = append(x.cands, cand{kind: startWash, slot: k, mix: int(l.mix), mixer: int(l.mixer), start: x.t, stop: x.t + m.wash,
			cost: int64(m.crew.over[i+m.wash] - m.crew.over[i])})
	}
}

func (x *sweep) mixerDown(k int, a, b int32) bool {
	for _, d := range x.in.Mixers[k].Down {
		if a < int32(d[1]) && int32(d[0]) < b {
			return true
		}
	}
	return false
}

// canMix reports whether a batch of the mix may start in the mixer at t.
func (x *sweep) canMix(m *mix, k int, t int32) bool {
	if t < x.in.Mixers[k].FreeFrom || m.Ready > 0 && x.in.SteadyEnd(t, m.Ready) < 0 || x.mixerDown(k, t, t+m.Ready) {
		return false
	}
	for j := range x.cur.n {
		l := &x.cur.live[j]
		if int(l.mixer) != k {
			continue
		}
		n := &x.mixes[l.mix]
		switch {
		case n.wash == 0 && t >= l.s+n.Ready:
		case l.z >= 0 && t >= l.z+n.wash:
		default:
			return false
		}
	}
	return true
}

// canFeed reports whether a batch started at t may feed the draw.
func (x *sweep) canFeed(o other, t int32) bool {
	s, p := &x.cur, &x.pours[o.pour]
	m := &x.mixes[o.mix]
	if s.link[o.at] != -1 {
		return false
	}
	at := max(x.earliest(s, o.pour, o.first, t), t+m.Ready)
	if at+o.span > m.PotEnd[t] {
		return false
	}
	// A layer with a window must not have to start before the batch is ready.
	step := int(s.step[o.pour])
	if o.first > 0 && step == o.first+1 && s.run[o.pour] == waiting || o.first > 0 && step == o.first && s.run[o.pour] != waiting {
		return s.at[o.pour]+p.Layers[o.first].GapMax >= t+m.Ready
	}
	return true
}

func (x *sweep) findBatches() {
	for mi := range x.mixes {
		m := &x.mixes[mi]
		for _, k := range m.Mixers {
			if !x.canMix(m, int(k), x.t) {
				continue
			}
			x.sets = x.sets[:0]
			for i := range x.pours {
				p := &x.pours[i]
				if x.tables[i] == nil || !p.isNew() {
					continue
				}
				for d := range p.draws {
					if o := (other{i, &p.draws[d]}); int(o.mix) == mi && x.canFeed(o, x.t) {
						x.sets = append(x.sets, o)
					}
				}
			}
			x.addSets(mi, int(k), 0, nil)
		}
	}
}

// addSets adds every set of x.sets from the k-th on that fits with chosen.
func (x *sweep) addSets(mi, mixer, k int, chosen []other) {
	for ; k < len(x.sets); k++ {
		n := append(chosen[:len(chosen):len(chosen)], x.sets[k])
		if !x.fits(n) {
			continue
		}
		net, set := int64(0), uint32(0)
		for _, o := range n {
			net += o.grams
			set |= 1 << o.at
		}
		m := &x.mixes[mi]
		if m.Mixed(net) <= x.in.Mixers[mixer].Capacity {
			i := x.in.OpenIndex(x.t)
			j := i + m.Ready
			over := m.crew.over[i+m.Mix.Mix] - m.crew.over[i] + m.crew.over[j] - m.crew.over[j-m.Remix]
			x.cands = append(x.cands, cand{kind: startBatch, mix: mi, mixer: mixer, set: set, start: x.t, cost: int64(x.batchCost(n)) + int64(over)})
		}
		x.addSets(mi, mixer, k+1, n)
	}
}

func (x *sweep) findSteps() {
	s := &x.cur
	for i := range x.pours {
		p := &x.pours[i]
		if int(s.step[i]) == p.count() || s.run[i] != waiting || int(s.step[i]) == 0 && x.blocked(s, i) {
			continue
		}
		from, to, _ := x.window(s, i)
		if x.t < from || x.t > to {
			continue
		}
		step := int(s.step[i])
		t := x.taskOf(i, step)
		if e := t.end[x.t]; e >= 0 {
			x.addStep(i, step, t, e, false)
		}
		if t.putEnd != nil && t.putEnd[x.t] >= 0 {
			x.addStep(i, step, t, t.putEnd[x.t], true)
		}
	}
}

// addStep adds a start of a step if what is known when the state is reached
// allows it.
func (x *sweep) addStep(i, step int, t *task, e int32, put bool) {
	p := &x.pours[i]
	c := cand{kind: startStep, pour: i, put: put, task: t, start: x.t, stop: e}
	if !put {
		c.cost = int64(t.overtime(x.shop, x.t))
	}
	if p.isNew() && step <= p.dem() && x.isDown(x.tables[i].mold, x.t, e) {
		return
	}
	if step == 1 {
		if !x.mayPour(p, x.tables[i].mold, x.t) {
			return
		}
		c.cost += int64(x.move(p, x.tables[i].mold, x.t))
	}
	if step >= 1 && step < p.cov() {
		for d := range p.draws {
			q := &p.draws[d]
			if !q.feeds(step - 1) {
				continue
			}
			s := x.cur.link[q.at]
			if s < 0 || s+x.mixes[q.mix].Ready > x.t || e > x.mixes[q.mix].PotEnd[s] {
				// A batch that takes no time may start in this very tick.
				if s != -1 || x.mixes[q.mix].Ready > 0 {
					return
				}
			}
		}
	}
	if step == p.count()-1 {
		c.cost += int64(x.tables[i].finished(e))
	}
	x.cands = append(x.cands, c)
}

func (d *draw) feeds(layer int) bool {
	for _, j := range d.layers {
		if int(j) == layer {
			return true
		}
	}
	return false
}

// choose goes through the candidates from the k-th on: skip it, or start it if
// there is room.
func (x *sweep) choose(k int) {
	if k == len(x.cands) {
		x.leave()
		return
	}
	x.choose(k + 1)
	c := &x.cands[k]
	switch c.kind {
	case startStep:
		x.tryStep(k, c)
	case startWash:
		m := &x.mixes[c.mix]
		if x.room(m.crew, c.start, c.stop, false) {
			x.take(m.crew, c.start, c.stop, false, 1)
			x.cur.live[c.slot].z = x.t
			x.started(k, c, 0x8000|uint16(c.mixer))
			x.cur.live[c.slot].z = -1
			x.take(m.crew, c.start, c.stop, false, -1)
		}
	case startBatch:
		x.tryBatch(k, c)
	}
}

func (x *sweep) started(k int, c *cand, acts ...uint16) {
	n := len(x.pick)
	x.pick = append(x.pick, acts...)
	x.cur.cost += c.cost
	x.choose(k + 1)
	x.cur.cost -= c.cost
	x.pick = x.pick[:n]
}

func (x *sweep) tryStep(k int, c *cand) {
	s, i := &x.cur, c.pour
	if s.run[i] != waiting || !x.room(c.task.crew, c.start, c.stop, c.put) || !x.stationRoom(c) || !x.rackRoom(c) {
		return
	}
	step := int(s.step[i])
	old := s.at[i]
	var links [8]int32
	p := &x.pours[i]
	if step >= 1 && step < p.cov() {
		for d := range p.draws {
			q := &p.draws[d]
			links[d&7] = s.link[q.at]
			if q.feeds(step - 1) {
				if b := s.link[q.at]; b < 0 || c.stop > x.mixes[q.mix].PotEnd[b] {
					for u := range d {
						s.link[p.draws[u].at] = links[u&7]
					}
					return
				}
				if q.last == step-1 {
					s.link[q.at] = free
				}
			}
		}
	}
	s.run[i] = straight
	mode := uint16(0)
	if c.put {
		s.run[i], mode = putDown, 1
	}
	s.at[i] = c.stop
	x.take(c.task.crew, c.start, c.stop, c.put, 1)
	x.started(k, c, uint16(i)<<7|uint16(step)<<1|mode)
	x.take(c.task.crew, c.start, c.stop, c.put, -1)
	s.run[i], s.at[i] = waiting, old
	if step >= 1 && step < p.cov() {
		for d := range p.draws {
			s.link[p.draws[d].at] = links[d&7]
		}
	}
}

func (x *sweep) tryBatch(k int, c *cand) {
	s := &x.cur
	m := &x.mixes[c.mix]
	for j := range s.n { // one batch at a time, of those started now too
		if int(s.live[j].mixer) == c.mixer && s.live[j].s == x.t {
			return
		}
	}
	if !x.canMix(m, c.mixer, x.t) {
		return
	}
	for a := range maxDraws {
		if c.set>>a&1 != 0 && s.link[a] != -1 {
			return
		}
	}
	ready := x.t + m.Ready
	if !x.room(m.crew, x.t, x.t+m.Mix.Mix, false) || !x.room(m.crew, ready-m.Remix, ready, false) {
		return
	}
	if s.n == maxLive {
		x.spilled = true
		return
	}
	s.live[s.n] = live{uint8(c.mix), uint8(c.mixer), x.t, -1}
	s.n++
	for a := range maxDraws {
		if c.set>>a&1 != 0 {
			s.link[a] = x.t
		}
	}
	x.takeMixing(m, x.t, 1)
	x.started(k, c, 0xC000|uint16(c.mixer)<<8|uint16(c.mix), uint16(c.set), uint16(c.set>>16))
	x.takeMixing(m, x.t, -1)
	for a := range maxDraws {
		if c.set>>a&1 != 0 {
			s.link[a] = -1
		}
	}
	s.n--
}

// stationRoom reports whether the station of a step has a place. Whatever holds
// it at any later tick holds it now, but for fixed work.
func (x *sweep) stationRoom(c *cand) bool {
	k := c.task.station
	if k == inst.None {
		return true
	}
	n := int32(1)
	for i := range x.pours {
		if x.cur.run[i] != waiting && x.taskOf(i, int(x.cur.step[i])).station == k {
			n++
		}
	}
	top := int32(0)
	for a := range x.in.Fixed {
		f := &x.in.Fixed[a]
		if f.Station == k && f.Start < c.stop && c.start < f.End {
			top = max(top, x.fixedAt(k, max(f.Start, c.start)))
		}
	}
	return n+top <= x.in.Stations[k].Places
}

// fixedAt is how many places of a station fixed work holds at t.
func (x *sweep) fixedAt(k, t int32) (n int32) {
	for a := range x.in.Fixed {
		if f := &x.in.Fixed[a]; f.Station == k && f.Start <= t && t < f.End {
			n++
		}
	}
	return n
}

// rackRoom reports whether all racks together have places for a pour that is
// demolded now.
func (x *sweep) rackRoom(c *cand) bool {
	p := &x.pours[c.pour]
	if int(x.cur.step[c.pour]) != p.dem() {
		return true
	}
	n := p.Places
	for i := range x.pours {
		q, step := &x.pours[i], int(x.cur.step[i])
		if i != c.pour && x.tables[i] != nil && step < q.count() && (step > q.dem() || step == q.dem() && x.cur.run[i] != waiting) {
			n += q.Places
		}
	}
	have := int32(0)
	for k := range x.in.Racks {
		have += x.in.Racks[k].Places[x.t]
	}
	return n <= have
}

// put adds the state x.next at tick t unless an equal one is as cheap.
func (x *sweep) put(t int32, cost int64, acts uint32) {
	x.encode(x.key, &x.next)
	b := x.buckets[t]
	if b == nil {
		b = &bucket{table: make([]int32, 64)}
		x.buckets[t] = b
	}
	if 2*len(b.cost) >= len(b.table) {
		b.grow(len(x.key))
	}
	stride := len(x.key)
	h := hash(x.key) & uint64(len(b.table)-1)
	for b.table[h] != 0 {
		k := int(b.table[h] - 1)
		if bytes.Equal(b.keys[k*stride:(k+1)*stride], x.key) {
			if cost < b.cost[k] {
				b.cost[k], b.from[k], b.acts[k] = cost, x.from, acts
			}
			return
		}
		h = (h + 1) & uint64(len(b.table)-1)
	}
	b.keys = append(b.keys, x.key...)
	b.cost, b.from, b.acts = append(b.cost, cost), append(b.from, x.from), append(b.acts, acts)
	b.table[h] = int32(len(b.cost))
}

func (b *bucket) grow(stride int) {
	b.table = make([]int32, 4*len(b.table))
	for k := range b.cost {
		h := hash(b.keys[k*stride:(k+1)*stride]) & uint64(len(b.table)-1)
		for b.table[h] != 0 {
			h = (h + 1) & uint64(len(b.table)-1)
		}
		b.table[h] = int32(k + 1)
	}
}

func hash(key []byte) uint64 {
	h := uint64(0x9e3779b97f4a7c15)
	for len(key) >= 8 {
		h = (h ^ binary.LittleEndian.Uint64(key)) * 0xff51afd7ed558ccd
		h ^= h >> 32
		key = key[8:]
	}
	for _, c := range key {
		h = (h ^ uint64(c)) * 0xff51afd7ed558ccd
		h ^= h >> 29
	}
	return h ^ h>>31
}

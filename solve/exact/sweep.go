package exact

import "context"

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
	looked  int64 // successors
	chosen  int64 // calls of choose
	cut     bool  // broken off amid a state
	ctx     context.Context
	max     int64 // of expands
	record  bool  // keep all states and ways, for a guide
	base    int64 // cost of the state in hand when it was reached
	slot    int32 // and its place in its bucket
	spilled bool  // some state did not fit
	dropped bool  // some state was dropped for its cost
	beam    int   // 0: all states; else at most so many a tick
	near    *near // nil: anywhere
	end     int32 // node of the cheapest complete state, -1: none

	// Of the state in hand.
	t                int32
	cur              state
	from             int32
	busy             [][]int32 // by row, from the open index of t on
	cands            []cand
	pick             []uint16
	sets             []other
	next             state
	onTrack, toTrack bool // the state in hand, and x.next, are passed through by the plan in hand
	key              []byte
	raw              []byte
	alike            *alike // nil where nothing may change places
}

// An act is what is started: a batch by mixer and mix, followed by its draws in
// setWords words; the clean-up of a mixer; or a step by pour and number, put down
// if the last bit is set.
const (
	actBatch = 0xC000
	actWash  = 0x8000
	setWords = 4
)

func actStep(pour, step int) uint16 { return uint16(pour)<<7 | uint16(step)<<1 }

// node is a state passed through: the one before and what was started there.
type node struct {
	before int32
	acts   uint32 // place in sweep.acts: a count, then so many
	t      int32
}

func (w *week) newSweep(limit, maxExpands int64) *sweep {
	x := &sweep{week: w, limit: min(limit, maxCost), fixed: w.st.fixed, buckets: make([]*bucket, w.in.H+1), max: maxExpands, end: -1}
	x.busy = make([][]int32, len(w.rows))
	for r := range x.busy {
		x.busy[r] = make([]int32, w.open)
	}
	x.key = make([]byte, w.shape().stride)
	if a := w.newAlike(); len(a.tails) > 0 {
		x.alike, x.raw = a, make([]byte, len(x.key))
	}
	return x
}

// run goes through all ticks. It reports whether it came to the end; then limit
// is the least cost below the first limit, or that limit.
func (x *sweep) run(ctx context.Context) bool {
	x.ctx = ctx
	s := x.first()
	s.cost = x.fixed
	t0 := x.in.Now
	x.next = *s
	x.from, x.t = -1, t0
	x.toTrack = x.near != nil
	if i := x.in.OpenIndex(t0); int(i) < x.open {
		x.arrive(t0, x.in.OpenAt[i], 0)
	}
	for t := range x.buckets {
		b := x.buckets[t]
		if b == nil {
			continue
		}
		stride := len(x.key)
		for _, k := range x.pickBeam(b, int32(t)) {
			if x.expands++; x.expands > x.max || x.spilled || x.cut || x.near != nil && x.effort() > x.near.most || x.expands&1023 == 0 && ctx.Err() != nil {
				return false
			}
			x.decode(b.state(k, stride), &x.cur)
			x.cur.cost = b.cost[k]
			if x.cur.cost+b.value[k] > x.top(x.limit) {
				x.dropped = true
				continue
			}
			x.nodes = append(x.nodes, node{b.from[k], b.acts[k], int32(t)})
			x.base, x.slot = x.cur.cost, k
			x.onTrack = x.near != nil && k == b.track
			x.from, x.t = int32(len(x.nodes)-1), int32(t)
			x.expand()
		}
		if !x.record {
			x.buckets[t] = nil
		}
	}
	return !x.spilled && !x.cut
}

// mostCands is the number of starts at one tick up to which sets of them are chosen.
const mostCands = 1 << 17

// chooseMask is how often the end of a run is looked for amid a state, which may have
// more successors than can be followed; a successor counts as at least chooseShare
// calls of choose.
const (
	chooseMask  = 1<<16 - 1
	chooseShare = 64
)

// effort is how many states were looked at, as far as their number tells the time.
func (x *sweep) effort() int64 { return max(x.looked, x.chosen/chooseShare) }

// over reports whether the sweep is to end amid a state.
func (x *sweep) over() bool {
	x.cut = x.cut || len(x.cands) > mostCands
	if x.chosen++; x.chosen&chooseMask == 0 {
		x.cut = x.cut || x.ctx.Err() != nil || x.near != nil && x.effort() > x.near.most
	}
	return x.cut
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
			x.take(x.taskOf(i, int(s.step[i])).crew, ticks{x.t, s.at[i], s.run[i] == putDown}, 1)
		}
	}
	for k := range s.n {
		l := &s.live[k]
		m := &x.mixes[l.mix]
		x.takeMixing(m, l.s, 1)
		if l.z >= 0 {
			x.take(m.crew, ticks{max(l.z, x.t), l.z + x.length(l), false}, 1)
		}
	}
}

func (x *sweep) takeMixing(m *mix, s, n int32) {
	ready := s + m.Ready
	x.take(m.crew, ticks{max(s, x.t), s + m.Mix.Mix, false}, n)
	x.take(m.crew, ticks{max(ready-m.Remix, x.t), ready, false}, n)
}

// take adds n crews in the ticks u.
func (x *sweep) take(c *crew, u ticks, n int32) {
	base := x.in.OpenIndex(x.t)
	for i := x.in.OpenIndex(u.from); i < x.in.OpenIndex(u.to); i++ {
		if u.regular && x.in.Overtime[x.in.OpenAt[i]] {
			continue
		}
		for r, h := range c.need[:len(x.rows)] {
			x.busy[r][i-base] += n * h
		}
	}
}

// room reports whether a crew is to be had in the ticks u.
func (x *sweep) room(c *crew, u ticks) bool {
	base := x.in.OpenIndex(x.t)
	for i := x.in.OpenIndex(u.from); i < x.in.OpenIndex(u.to); i++ {
		if u.regular && x.in.Overtime[x.in.OpenAt[i]] {
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

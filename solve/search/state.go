package search

// Where a pour stands in a state.
const (
	away   = 0 // not placed: it is carried, or missing if it must be planned
	poured = 1 // in its mold, or curing or racked, with the tail still to place
	placed = 2
)

// missed is what a pour that must be planned costs while it is not.
const missed = int64(1e12)

// state is a plan in the making: who is busy when, what holds which place, and
// the cost of it all. It lives in three arenas, so that a copy is three moves
// of memory.
type state struct {
	a32 []int32
	a64 []uint64
	a16 []int16

	cost    int64
	missing int32 // pours that must be planned and are not

	busy  []uint64 // people, words each, on the open axis
	full  []uint64 // stations, cwords each, on the cell axis: no place left
	mixer []uint64 // mixers, cwords each: held

	used  []int16 // stations by cell: places held
	free  []int16 // racks by cell: places left, but for what is lent
	lent  []int16 // racks by block: places taken of all its cells
	least []int16 // racks by block: least places left
	who   []int16 // by task

	start []int32 // by task: open index, none when not placed
	end   []int32 // by task: tick
	stage []int32 // by pour: away, poured, placed
	mold  []int32 // by pour
	pick  []int32 // by pour: index of its mold among its choices
	rack  []int32 // by pour
	hold  []int32 // by pour: the tick to which its rack places are held
	prev  []int32 // by pour: the one before in its mold
	next  []int32
	head  []int32 // by mold
	feed  []int32 // by draw: its batch
	out   []int32 // by shipment: latest ready of its placed pours, none
	paid  []int32 // by call-in: tasks in it

	bMix, bMixer, bStart, bPot []int32 // by batch; bMix none: not there
	bNet, bDraws               []int32
	bPrev, bNext               []int32 // on its mixer
	bHead                      []int32 // by mixer
}

func newState(q *prob) *state {
	s := &state{}
	np, nm := len(q.pours), len(q.Molds)
	var n32 int
	views := []struct {
		v *[]int32
		n int
	}{
		{&s.start, int(q.tasks)}, {&s.end, int(q.tasks)}, {&s.stage, np}, {&s.mold, np}, {&s.pick, np},
		{&s.rack, np}, {&s.hold, np}, {&s.prev, np}, {&s.next, np}, {&s.head, nm}, {&s.feed, int(q.draws)},
		{&s.out, len(q.Ships)}, {&s.paid, len(q.calls)},
		{&s.bMix, int(q.batches)}, {&s.bMixer, int(q.batches)}, {&s.bStart, int(q.batches)},
		{&s.bPot, int(q.batches)}, {&s.bNet, int(q.batches)}, {&s.bDraws, int(q.batches)},
		{&s.bPrev, int(q.batches)}, {&s.bNext, int(q.batches)}, {&s.bHead, len(q.Mixers)},
	}
	for _, v := range views {
		n32 += v.n
	}
	s.a32 = make([]int32, n32)
	for i, at := 0, 0; i < len(views); i++ {
		*views[i].v = s.a32[at : at+views[i].n : at+views[i].n]
		at += views[i].n
	}
	nb, nf, nx := len(q.People)*int(q.words), len(q.Stations)*int(q.cwords), len(q.Mixers)*int(q.cwords)
	s.a64 = make([]uint64, nb+nf+nx)
	s.busy, s.full, s.mixer = s.a64[:nb:nb], s.a64[nb:nb+nf:nb+nf], s.a64[nb+nf:]
	nu, nr := len(q.Stations)*int(q.cells), len(q.Racks)*int(q.cells)
	nk := len(q.Racks) * int(q.blocks)
	s.a16 = make([]int16, nu+nr+2*nk+int(q.whos))
	s.used, s.free = s.a16[:nu:nu], s.a16[nu:nu+nr:nu+nr]
	s.lent, s.least = s.a16[nu+nr:nu+nr+nk:nu+nr+nk], s.a16[nu+nr+nk:nu+nr+2*nk:nu+nr+2*nk]
	s.who = s.a16[nu+nr+2*nk:]
	s.reset(q)
	return s
}

// reset empties the shop: nobody works, all pours are away.
func (s *state) reset(q *prob) {
	for i := range s.a32 {
		s.a32[i] = none
	}
	clear(s.a64)
	clear(s.a16)
	for i := range s.stage {
		s.stage[i] = away
	}
	clear(s.paid)
	for i, w := range q.on {
		for k := range w {
			s.busy[i*int(q.words)+k] = ^w[k]
		}
	}
	for i, w := range q.mixer0 {
		copy(s.mixer[i*int(q.cwords):], w)
	}
	for i := range q.free0 {
		copy(s.free[i*int(q.cells):(i+1)*int(q.cells)], q.free0[i][:q.cells])
		for k := range q.blocks {
			s.reblock(q, int32(i), k)
		}
	}
	for i := range q.Stations {
		if q.Stations[i].Places <= 0 {
			set64(s.full[i*int(q.cwords):(i+1)*int(q.cwords)], 0, q.cells)
		}
	}
	s.cost, s.missing = 0, 0
	for i := range q.pours {
		if q.pours[i].must {
			s.missing++
			s.cost += missed
		} else {
			s.cost += q.pours[i].out
		}
	}
}

func (s *state) copyFrom(o *state) {
	copy(s.a32, o.a32)
	copy(s.a64, o.a64)
	copy(s.a16, o.a16)
	s.cost, s.missing = o.cost, o.missing
}

// Racks are looked at in blocks of 1 << blockBits cells.
const blockBits = 5

// reblock works out the least places left in a block of a rack.
func (s *state) reblock(q *prob, r, k int32) {
	lo := int16(32000)
	f := s.free[r*q.cells:]
	for c := k << blockBits; c < min((k+1)<<blockBits, q.cells); c++ {
		lo = min(lo, f[c])
	}
	s.least[r*q.blocks+k] = lo - s.lent[r*q.blocks+k]
}

// rackAdd takes d places (gives them back when d < 0) of the rack over the
// ticks [a, b).
func (s *state) rackAdd(q *prob, r, a, b int32, d int16) {
	lo, hi := q.span(a, b)
	f := s.free[r*q.cells : (r+1)*q.cells]
	lent, least := s.lent[r*q.blocks:(r+1)*q.blocks], s.least[r*q.blocks:(r+1)*q.blocks]
	for c := lo; c < hi; {
		k := c >> blockBits
		to := min(hi, (k+1)<<blockBits)
		if to-c == 1<<blockBits {
			lent[k] += d
			least[k] -= d
			c = to
			continue
		}
		x := least[k] + lent[k]
		lost := false
		for ; c < to; c++ {
			lost = lost || d < 0 && f[c] == x
			f[c] -= d
			x = min(x, f[c])
		}
		if lost { // the least may be elsewhere now
			s.reblock(q, r, k)
		} else {
			least[k] = x - lent[k]
		}
	}
}

// rackLacks gives the last cell of the ticks [a, b) with fewer than d places left on
// the rack, none if there is none.
func (s *state) rackLacks(q *prob, r, a, b int32, d int16) int32 {
	lo, hi := q.span(a, b)
	f := s.free[r*q.cells : (r+1)*q.cells]
	lent, least := s.lent[r*q.blocks:(r+1)*q.blocks], s.least[r*q.blocks:(r+1)*q.blocks]
	for c := hi - 1; c >= lo; {
		k := c >> blockBits
		if least[k] >= d {
			c = k<<blockBits - 1
			continue
		}
		for ; c >= lo && c >= k<<blockBits; c-- {
			if f[c]-lent[k] < d {
				return c
			}
		}
	}
	return none
}

// stationAdd takes n places of a station over the ticks [a, b); n is 1 or -1.
func (s *state) stationAdd(q *prob, st, a, b int32, n int16) {
	lo, hi := q.span(a, b)
	u := s.used[st*q.cells : (st+1)*q.cells]
	w := s.full[st*q.cwords : (st+1)*q.cwords]
	most := int16(min(q.Stations[st].Places, 30000))
	if most == 1 {
		for c := lo; c < hi; c++ {
			u[c] += n
		}
		if n > 0 {
			set64(w, lo, hi)
		} else {
			unset64(w, lo, hi)
		}
		return
	}
	for c := lo; c < hi; c++ {
		u[c] += n
		if u[c] >= most {
			w[c>>6] |= 1 << (c & 63)
		} else {
			w[c>>6] &^= 1 << (c & 63)
		}
	}
}

// stationBlocked gives the last full cell of the ticks [a, b), none if the
// station has a place over the whole of it.
func (s *state) stationBlocked(q *prob, st, a, b int32) int32 {
	lo, hi := q.span(a, b)
	w := s.full[st*q.cwords : (st+1)*q.cwords]
	if clear64(w, lo, hi) {
		return none
	}
	return lastSet(w, lo, hi)
}

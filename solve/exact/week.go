package exact

import (
	"math"
	"slices"

	"pourweek/solve/inst"
)

// week is a structure with its tables.
type week struct {
	*shop
	st        *structure
	tables    []*tables // by pour, nil for the carried
	before    []int32   // pour before in the mold (curing ones too), -1: none
	least     *cheapest
	joints    [][]*joint // by mix and compressed set of draws, nil: not worked out
	bodies    []int32    // pours to be cast, those of a mold in order
	any       bool       // batches may be shared by all pours
	single    bool       // every task needs the one person there is
	leastCure int32      // ticks that any piece cures at least
	allDraws  uint64     // bits by draw number
	ends      []int      // by pour: steps that are followed; later ones are loose
	guide     *guide     // nil: none
	priced    bool       // some are: all work is paid for at its price when it starts
}

// newWeek lays out the tables of a structure, empty.
func (s *shop) newWeek(st *structure) *week { return s.weekOf(st, false) }

// weekOf is newWeek; with any, batches are shared as if every pour were planned
// and in a mold of its own, which holds for each structure.
func (s *shop) weekOf(st *structure, any bool) *week {
	w := &week{any: any, shop: s, st: st, tables: make([]*tables, len(s.pours)), before: make([]int32, len(s.pours))}
	for i := range s.pours {
		w.ends = append(w.ends, s.pours[i].count())
		w.before[i] = -1
		switch s.pours[i].Stage {
		case inst.Curing:
			w.tables[i] = s.newTables(i, s.pours[i].Mold)
		case inst.Racked:
			w.tables[i] = s.newTables(i, inst.None)
		}
	}
	for m, chain := range st.chains {
		last := int32(-1)
		for i := range s.pours {
			if s.pours[i].Stage == inst.Curing && s.pours[i].Mold == int32(m) {
				last = int32(i)
			}
		}
		for _, i := range chain {
			w.tables[i] = s.newTables(int(i), int32(m))
			w.before[i] = last
			w.bodies = append(w.bodies, i)
			if last >= 0 {
				w.tables[last].next = w.tables[i]
			}
			last = i
		}
	}
	ds := s.all(w.isPlanned)
	for _, o := range ds {
		w.allDraws |= 1 << o.at
	}
	w.leastCure = math.MaxInt32
	for i := range s.pours {
		w.leastCure = min(w.leastCure, s.pours[i].LeastCure())
	}
	w.shares()
	if !any {
		w.least = w.cheapest(ds)
	}
	for _, i := range w.bodies {
		var before *pour
		if b := w.before[i]; b >= 0 {
			before = &s.pours[b]
		}
		w.tables[i].solo = w.newSolo(w.tables[i], before)
	}
	w.single = w.isSingle()
	return w
}

// isSingle reports whether there is a row of one head that every task needs.
func (w *week) isSingle() bool {
	for r := range w.rows {
		ok := slices.Max(w.have[r]) <= 1
		for _, c := range w.crews {
			ok = ok && (c.need[r] > 0 || c.heads == 0 && w.isHold(c))
		}
		if ok {
			return true
		}
	}
	return false
}

func (s *shop) isHold(c *crew) bool {
	return slices.ContainsFunc(s.mixes, func(m mix) bool { return m.hold == c })
}

// fillAll works out every table, those of later pours first.
func (w *week) fillAll(all bool) {
	for i, b := range w.tables {
		if b != nil && w.before[i] < 0 {
			w.fillChain(b, all)
		}
	}
}

func (w *week) fillChain(b *tables, all bool) {
	if b.next != nil {
		w.fillChain(b.next, all)
	}
	w.fill(b, all)
}

// root is the least priced cost of a pour that nothing stands before.
func (w *week) root(b *tables) int32 {
	switch b.p.Stage {
	case inst.Racked:
		return at(b.finFrom[b.p.Next], max(b.p.From, w.in.Now))
	case inst.Curing:
		return at(b.demFrom, w.cured(b.p, 0))
	}
	return w.fromFree(b, 0)
}

// bound is the Lagrangian bound at the prices of the shop: the priced cost of
// all chains and tails, the least batches, less what all people are worth.
// Chains, tails and batches hold different terms of the cost; priced work is in
// each task once, and a batch's mixing in shares that sum to at most 1.
func (w *week) bound() int64 {
	sum := w.st.fixed - w.yLeft[0]
	if w.joints != nil {
		sum += int64(w.batches(w.first(), w.in.Now, w.in.Now, w.allDraws, nil))
	} else {
		sum += int64(w.least.least(w.allDraws))
	}
	for i, b := range w.tables {
		if b != nil && w.before[i] < 0 {
			v := w.root(b)
			if v >= inf {
				return maxCost
			}
			sum += int64(v)
		}
	}
	return sum
}

package exact

import (
	"fmt"
	"slices"

	"pourweek/solve/inst"
)

// quick bounds many structures at the same prices: the priced cost of a chain
// of pours in a mold is worked out once.
type quick struct {
	s      *shop
	chains map[string]int64 // by mold and pours; of a mold's curing pour too
	rest   int64            // racked pours, less what people are worth
	carry  map[string]int64 // least batches by what is carried
	y      [][]int32
}

func newQuick(s *shop) *quick {
	q := &quick{s: s, carry: map[string]int64{}}
	q.prices(s.y)
	return q
}

// prices takes new prices; the shop is left with them.
func (q *quick) prices(y [][]int32) {
	q.y = clone(y)
	q.chains = map[string]int64{}
	q.rest = -1
}

// bound is the Lagrangian bound of a structure at the prices of q, with batches
// shared as freely as in any structure.
func (q *quick) bound(st *structure) int64 {
	if q.rest == -1 {
		copyInto(q.s.y, q.y)
		q.s.reprice()
		w := q.s.weekOf(&structure{}, true)
		w.fillAll(false)
		q.rest = -w.yLeft[0]
		for i, b := range w.tables {
			if b != nil && b.p.Stage == inst.Racked && w.before[i] < 0 {
				q.rest += int64(w.root(b))
			}
		}
	}
	key := fmt.Sprint(st.carried)
	if _, ok := q.carry[key]; !ok {
		w := q.s.weekOf(&structure{}, true)
		w.least = w.cheapest(w.all(w.isPlanned))
		left := uint64(0)
		for _, o := range w.all(func(i int) bool { return w.isPlanned(i) && !slices.Contains(st.carried, int32(i)) }) {
			left |= 1 << o.at
		}
		q.carry[key] = int64(w.least.least(left))
	}
	sum := st.fixed + q.rest + q.carry[key]
	for m := range st.chains {
		sum += q.chain(m, st.chains[m])
		if sum >= maxCost {
			return maxCost
		}
	}
	return sum
}

// chain is the least priced cost of a mold's pours, the curing one included.
func (q *quick) chain(m int, pours []int32) int64 {
	groups := make([]int32, len(pours))
	for k, i := range pours {
		groups[k] = q.s.in.Pours[i].Group
	}
	key := fmt.Sprint(m, groups)
	if v, ok := q.chains[key]; ok {
		return v
	}
	copyInto(q.s.y, q.y)
	q.s.reprice()
	st := &structure{chains: make([][]int32, len(q.s.in.Molds))}
	st.chains[m] = pours
	w := q.s.weekOf(st, true)
	v := int64(0)
	for i, b := range w.tables {
		if b != nil && b.mold == int32(m) && w.before[i] < 0 && b.p.Stage != inst.Racked {
			w.fillChain(b, false)
			if r := w.root(b); r >= inf {
				v = maxCost
			} else {
				v += int64(r)
			}
		}
	}
	q.chains[key] = v
	return v
}

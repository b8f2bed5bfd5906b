package exact

import (
	"fmt"
	"slices"
	"strings"

	"pourweek/solve/inst"
)

// structure says which new pours are carried and which pours follow each other
// in each mold.
type structure struct {
	chains  [][]int32 // by mold: new pours in order
	carried []int32
	fixed   int64 // cost of what is carried
	bound   int64 // no plan of this structure costs less
	y       [][]int32
	aim     int64 // bound towards which the prices were improved last
	closed  bool  // the bound is the cost of the cheapest way
	hard    bool  // a first sweep of this level did not end
}

// maxStructures ends an enumeration that an exact search has no hope for.
const maxStructures = 5000

// structures lists all structures whose carried pours cost less than upper, one
// of each kind that differs only in pours of one group or in molds alike. ok is
// false when there are too many.
func (s *shop) structures(upper int64) (out []structure, ok bool) {
	e := &enum{s: s, upper: upper, left: make([]int, len(s.in.Groups)), seen: map[string]bool{}}
	for g, ps := range s.in.Groups {
		if s.in.Pours[ps[0]].Stage == inst.New {
			e.left[g] = len(ps)
		}
	}
	e.kinds = s.moldKinds()
	e.chains = make([][]int, len(s.in.Molds))
	ok = e.mold(0)
	return e.out, ok
}

type enum struct {
	s      *shop
	upper  int64
	left   []int // pours of a group not yet placed
	chains [][]int
	kinds  []int // molds of one kind are alike
	seen   map[string]bool
	out    []structure
	steps  int
}

// moldKinds numbers molds so that alike ones share a number: free, down, empty
// at the start, and chosen alike by every pour.
func (s *shop) moldKinds() []int {
	kinds := make([]int, len(s.in.Molds))
	keys := map[string]int{}
	for m := range s.in.Molds {
		x := &s.in.Molds[m]
		key := fmt.Sprint(x.FreeFrom, x.Down)
		for i := range s.in.Pours {
			q := &s.in.Pours[i]
			for _, c := range q.Molds {
				if int(c.Mold) == m {
					key += fmt.Sprint(" ", i, c.Prep.Work)
				}
			}
			if q.Mold == int32(m) || q.PinMold == int32(m) || q.BaseMold == int32(m) {
				key += fmt.Sprint(" !", m)
			}
		}
		k, ok := keys[key]
		if !ok {
			k = len(keys)
			keys[key] = k
		}
		kinds[m] = k
	}
	return kinds
}

// mold fills the molds from m on in every way.
func (e *enum) mold(m int) bool {
	if e.steps++; e.steps > 200*maxStructures || len(e.out) > maxStructures {
		return false
	}
	if m == len(e.chains) {
		e.emit()
		return true
	}
	if !e.mold(m + 1) {
		return false
	}
	for g, n := range e.left {
		if n == 0 || e.s.pours[e.s.in.Groups[g][0]].prep[int32(m)] == nil {
			continue
		}
		e.left[g]--
		e.chains[m] = append(e.chains[m], g)
		ok := e.mold(m)
		e.chains[m] = e.chains[m][:len(e.chains[m])-1]
		e.left[g]++
		if !ok {
			return false
		}
	}
	return true
}

// emit adds the structure at hand if it is new and may be cheap enough.
func (e *enum) emit() {
	cost := int64(0)
	for g, n := range e.left {
		if n > 0 {
			q := &e.s.in.Pours[e.s.in.Groups[g][0]]
			if q.PinMold != inst.None {
				return
			}
			cost += int64(n) * q.Carry
			if q.BaseMold != inst.None {
				cost += int64(n) * int64(e.s.in.Costs.Move)
			}
		}
	}
	if cost >= e.upper {
		return
	}
	var parts []string
	for m, c := range e.chains {
		parts = append(parts, fmt.Sprint(e.kinds[m], c))
	}
	slices.Sort(parts)
	key := strings.Join(parts, ";")
	if e.seen[key] {
		return
	}
	e.seen[key] = true
	st := structure{fixed: cost}
	used := make([]int, len(e.left))
	for _, c := range e.chains {
		var chain []int32
		for _, g := range c {
			chain = append(chain, e.s.in.Groups[g][used[g]])
			used[g]++
		}
		st.chains = append(st.chains, chain)
	}
	for g, n := range e.left {
		ps := e.s.in.Groups[g]
		for k := range n {
			st.carried = append(st.carried, ps[len(ps)-1-k])
		}
	}
	e.out = append(e.out, st)
}

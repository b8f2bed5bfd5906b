package oracle

import (
	"math"

	"pourweek/model"
)

// maxNodes ends a search that grows beyond a toy.
const maxNodes = 20_000_000

const never = math.MaxInt64 / 4

// Best returns the cheapest plan that is allowed and its cost. It tries every
// set of carried pours, every order of pours on molds, every start and way of
// every step, every mixer, start, clean-up and content of batches, every rack
// and every person, and leaves out only what cannot cost less than a plan in
// hand, or than a limit that rises until a plan is found. ok is false when the
// problem was too big to finish; else a nil plan means that none is allowed.
//
// Toys only: at most 64 open ticks and some three pours.
func Best(p *model.Problem) (plan *model.Plan, cost model.Mils, ok bool) {
	s := newSearch(p)
	if s == nil {
		return nil, 0, false
	}
	if s.dead {
		return nil, 0, true
	}
	all := s.structures()
	least := int64(never)
	for _, st := range all {
		least = min(least, st.least)
	}
	if least >= never {
		return nil, 0, true
	}
	for slack := int64(1000); ; slack *= 4 {
		limit := least + slack
		if slack > 1<<26 {
			limit = never
		}
		s.best, s.found = limit, nil
		for i := range all {
			if all[i].least < s.best {
				s.tryStructure(&all[i])
			}
			if s.nodes > maxNodes {
				return nil, 0, false
			}
		}
		if s.found != nil {
			return s.found, model.Mils(s.best), true
		}
		if limit == never {
			return nil, 0, true
		}
	}
}

// chain is the pours of one mold in order.
type chain struct {
	mold  int
	pours []int
}

// structure says which pours are planned and in which order on which mold.
type structure struct {
	chains  []chain
	carried []int
	least   int64 // no plan of this structure costs less
	order   []spot
}

// spot is a pour to place, in its mold after another.
type spot struct {
	pour, mold int // mold -1: it is in none to choose
	after      int // pour before it in the mold, -1: none
	least      int64
}

// structures lists all ways to carry pours and to line the others up on molds.
func (s *search) structures() []structure {
	var out []structure
	cur := structure{chains: make([]chain, len(s.p.Molds))}
	for m := range cur.chains {
		cur.chains[m].mold = m
	}
	var rec func(i int)
	rec = func(i int) {
		if i == len(s.p.Pours) {
			if st := s.close(cur); st.least < never {
				out = append(out, st)
			}
			return
		}
		q := &s.p.Pours[i]
		if q.Stage != model.New {
			rec(i + 1)
			return
		}
		if q.Pin == nil {
			cur.carried = append(cur.carried, i)
			rec(i + 1)
			cur.carried = cur.carried[:len(cur.carried)-1]
		}
		for _, c := range q.Molds {
			m := s.moldAt[c.Mold]
			old := cur.chains[m].pours
			for at := 0; at <= len(old); at++ {
				n := append([]int{}, old[:at]...)
				n = append(append(n, i), old[at:]...)
				cur.chains[m].pours = n
				rec(i + 1)
			}
			cur.chains[m].pours = old
		}
	}
	rec(0)
	return out
}

// close fixes the order of placing and works out what a structure costs at
// least: what each pour costs on its own, what is carried, and the cheapest
// batches of its draws in any grouping. These are different terms of the cost,
// so they add up.
func (s *search) close(st structure) structure {
	out := structure{carried: append([]int{}, st.carried...)}
	planned := make([]bool, len(s.p.Pours))
	for i := range s.p.Pours {
		if s.p.Pours[i].Stage != model.New {
			out.order = append(out.order, spot{i, -1, -1, s.minFrom(i, s.first(i), -1, 0)})
		}
	}
	for _, c := range st.chains {
		out.chains = append(out.chains, chain{c.mold, append([]int{}, c.pours...)})
		after := s.standing[c.mold]
		for _, i := range c.pours {
			planned[i] = true
			least := s.minFrom(i, 0, c.mold, -1)
			if after < 0 {
				least = s.minFrom(i, 0, c.mold, s.free(c.mold))
			}
			out.order = append(out.order, spot{i, c.mold, after, least})
			after = i
		}
	}
	for _, o := range out.order {
		out.least = min(never, out.least+o.least)
	}
	for _, i := range out.carried {
		out.least += int64(s.p.Pours[i].Carry)
		if s.p.Pours[i].Base != nil {
			out.least += int64(s.p.Costs.Move)
		}
	}
	var ds []drawRef
	for i := range s.p.Pours {
		if planned[i] {
			for d := range s.p.Pours[i].Draws {
				ds = append(ds, drawRef{i, d})
			}
		}
	}
	out.least = min(never, out.least+s.batchLeast(nil, ds))
	return out
}

// drawRef names a draw.
type drawRef struct{ pour, draw int }

// batchLeast is the least cost of batches and waste when the draws left join
// the batches at hand or new ones, whatever the times; never if one fits in no
// mixer.
func (s *search) batchLeast(have []*load, left []drawRef) int64 {
	nets := make([]model.Grams, 0, len(have)+len(left))
	mixes := make([]int, 0, len(have)+len(left))
	caps := make([]model.Grams, 0, len(have)+len(left))
	for _, b := range have {
		nets, mixes, caps = append(nets, b.net), append(mixes, b.mix), append(caps, s.p.Mixers[b.mixer].Capacity)
	}
	best := int64(never)
	var rec func(i int)
	rec = func(i int) {
		if i == len(left) {
			cost := int64(0)
			for k := range nets {
				m := &s.p.Mixes[mixes[k]]
				cost += int64(s.p.Costs.Batch) + int64(s.p.Costs.Waste)*int64(mixedMass(m, nets[k])-nets[k])
			}
			best = min(best, cost)
			return
		}
		d := &s.p.Pours[left[i].pour].Draws[left[i].draw]
		mix := s.mixAt[d.Mix]
		m := &s.p.Mixes[mix]
		for k := range nets {
			if mixes[k] == mix && mixedMass(m, nets[k]+d.Grams) <= caps[k] {
				nets[k] += d.Grams
				rec(i + 1)
				nets[k] -= d.Grams
			}
		}
		if top := s.capacity(m); mixedMass(m, d.Grams) <= top {
			nets, mixes, caps = append(nets, d.Grams), append(mixes, mix), append(caps, top)
			rec(i + 1)
			n := len(nets) - 1
			nets, mixes, caps = nets[:n], mixes[:n], caps[:n]
		}
	}
	rec(0)
	return best
}

// capacity is that of the largest mixer of a mix.
func (s *search) capacity(m *model.Mix) model.Grams {
	top := model.Grams(-1)
	for _, id := range m.Mixers {
		top = max(top, s.p.Mixers[s.mixerAt[id]].Capacity)
	}
	return top
}

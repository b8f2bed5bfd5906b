package bound

import (
	"math/bits"

	"pourweek/solve/inst"
)

// set is a set of skills. At every tick the heads asked of its skills are at
// most the people present who have one of them.
type set struct {
	mask uint64
	have []int64 // by open tick: people with a skill in the set, less fixed work
	most int64   // people with a skill in the set, at any tick, whether fixed work needs them or not
	per  int64   // heads count in whole multiples of it, rounded down: in ones, or in pairs
}

// pairs is the row of the set that counts heads in pairs: tasks that ask two
// heads of it each are at most half the people, rounded down. Nil where that
// says nothing more.
func (s set) pairs(crews [][]inst.Head) *set {
	some := false
	for _, c := range crews {
		some = some || s.asks(c) >= 2
	}
	p := set{mask: s.mask, per: 2, most: s.most / 2}
	odd := false
	for _, h := range s.have {
		p.have = append(p.have, h/2)
		odd = odd || h%2 == 1
	}
	if !some || !odd {
		return nil
	}
	return &p
}

// asks is the number of heads that the crew asks of the set, in its multiples.
func (s set) asks(crew []inst.Head) int64 {
	n := int64(0)
	for _, h := range crew {
		if s.mask>>h.Skill&1 == 1 {
			n += int64(h.N)
		}
	}
	return n / s.per
}

// skillSets lists the sets that are worth a price: closed under "everyone who
// has one of these has no other asked skill outside", and not the union of two
// sets that share no person.
func skillSets(ax *axis, crews [][]inst.Head) []set {
	in := ax.in
	var asked uint64
	for _, c := range crews {
		for _, h := range c {
			asked |= 1 << h.Skill
		}
	}
	var list []set
	seen := map[uint64]bool{}
	for _, m := range candidates(asked) {
		m = closure(in, asked, m)
		if m == 0 || seen[m] || splits(in, m) {
			continue
		}
		seen[m] = true
		list = append(list, newSet(ax, m))
	}
	for _, s := range list {
		if p := s.pairs(crews); p != nil {
			list = append(list, *p)
		}
	}
	return list
}

// maxAsked is the number of skills up to which all sets are looked at; above,
// only single skills, pairs and all.
const maxAsked = 7

func candidates(asked uint64) []uint64 {
	n := bits.OnesCount64(asked)
	var list []uint64
	for m := asked; m != 0; m = (m - 1) & asked {
		if n <= maxAsked {
			list = append(list, m)
		}
		if n > 16 {
			break
		}
	}
	if n > maxAsked {
		list = append(list, asked)
		for a := uint64(1); a != 0; a <<= 1 {
			for b := a; b != 0; b <<= 1 {
				if asked&a != 0 && asked&b != 0 {
					list = append(list, a|b)
				}
			}
		}
	}
	return list
}

// people is the set of people, by index, who have a skill of the mask.
func people(in *inst.Inst, mask uint64) map[int]bool {
	s := map[int]bool{}
	for i := range in.People {
		if in.People[i].Mask&mask != 0 {
			s[i] = true
		}
	}
	return s
}

// closure adds the asked skills that only people with a skill of the mask have.
func closure(in *inst.Inst, asked, mask uint64) uint64 {
	out := mask
	for s := 0; s < 64; s++ {
		b := uint64(1) << s
		if asked&b == 0 || mask&b != 0 {
			continue
		}
		inside := true
		for i := range in.People {
			if in.People[i].Mask&b != 0 && in.People[i].Mask&mask == 0 {
				inside = false
			}
		}
		if inside {
			out |= b
		}
	}
	return out
}

// splits reports whether the mask is the union of two sets that share no
// person: the row of the whole is then the sum of two rows.
func splits(in *inst.Inst, mask uint64) bool {
	first := mask & -mask
	for {
		grown := first
		have := people(in, first)
		for s := 0; s < 64; s++ {
			b := uint64(1) << s
			if mask&b == 0 || grown&b != 0 {
				continue
			}
			for i := range in.People {
				if in.People[i].Mask&b != 0 && have[i] {
					grown |= b
				}
			}
		}
		if grown == first {
			return grown != mask
		}
		first = grown
	}
}

func newSet(ax *axis, mask uint64) set {
	in := ax.in
	s := set{mask: mask, per: 1, have: make([]int64, ax.n)}
	for i := range s.have {
		for j := range in.People {
			if p := &in.People[j]; p.Mask&mask != 0 && p.On[ax.tick[i]] {
				s.have[i]++
			}
		}
		s.most = max(s.most, s.have[i])
	}
	for i := range in.Fixed {
		f := &in.Fixed[i]
		h := s.asks(f.Crew)
		for x := in.OpenIndex(f.Start); x < in.OpenIndex(f.End); x++ {
			s.have[x] = max(s.have[x]-h, 0)
		}
	}
	return s
}

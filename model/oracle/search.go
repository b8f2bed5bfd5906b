package oracle

import (
	"slices"

	"pourweek/model"
)

// search is an exhaustive search over one problem. Ticks are plain ints.
type search struct {
	p          *model.Problem
	h          int
	open, over []bool
	regSum     []int
	idx        []int    // index among the open ticks, by tick
	skills     []string // in use
	have       [][]int8 // people that have a skill of a set, by set and open tick
	reach      []uint64 // by person: open ticks of presence
	moldAt, mixAt, mixerAt, rackAt,
	stationAt map[string]int
	standing []int // curing pour by mold, -1: none
	cure     map[string][]int
	memo     map[key]int64

	best  int64 // a plan must cost less
	found *model.Plan
	nodes int
	dead  bool // the fixed work alone asks more than there is

	// What is placed so far.
	st      *structure
	later   []int64    // least cost of the pours from the k-th of the order on
	steps   [][]placed // by pour
	racks   []int      // chosen rack by pour
	uses    []taken
	heads   [][]int8 // by skill and open tick
	held    [][]int8 // by station and tick
	onRack  [][]int  // by rack and tick
	batches []*load
	draws   [][]*load // by pour and draw
}

type key struct{ pour, step, mold, prev int }

// placed is a step with its times.
type placed struct{ s, e int }

// taken is a task in its ticks.
type taken struct {
	crew  model.Crew
	ticks uint64
	to    target
}

// target says which entry of the plan a task's people go to: at is the pour,
// the fixed work or the place in search.batches, part the step of the pour or
// the task of the batch (0 mix, 1 remix, 2 wash).
type target struct {
	kind     targetKind
	at, part int
}

type targetKind int

const (
	ofPour targetKind = iota
	ofBatch
	ofFixed
)

// load is a batch under construction.
type load struct {
	mix, mixer, s, ready, last int
	net                        model.Grams
	n                          int
	z, end                     int // clean-up
}

func newSearch(p *model.Problem) *search {
	s := &search{
		p: p, h: int(p.Horizon), open: mask(p.Open, p.Horizon), over: mask(p.Overtime, p.Horizon),
		moldAt: map[string]int{}, mixAt: map[string]int{}, mixerAt: map[string]int{}, rackAt: map[string]int{}, stationAt: map[string]int{},
		cure: map[string][]int{}, memo: map[key]int64{},
	}
	s.regSum, s.idx = make([]int, s.h+1), make([]int, s.h)
	n := 0
	for t := range s.h {
		s.regSum[t+1] = s.regSum[t]
		s.idx[t] = n
		if s.open[t] {
			n++
			if !s.over[t] {
				s.regSum[t+1]++
			}
		}
	}
	if n > 64 {
		return nil
	}
	for i := range p.Molds {
		s.moldAt[p.Molds[i].ID] = i
		s.standing = append(s.standing, -1)
	}
	for i := range p.Mixes {
		s.mixAt[p.Mixes[i].ID] = i
	}
	for i := range p.Mixers {
		s.mixerAt[p.Mixers[i].ID] = i
	}
	for i := range p.Racks {
		s.rackAt[p.Racks[i].ID] = i
		s.onRack = append(s.onRack, make([]int, s.h))
	}
	for i := range p.Stations {
		s.stationAt[p.Stations[i].ID] = i
		s.held = append(s.held, make([]int8, s.h))
	}
	for _, c := range p.Cures {
		v := make([]int, s.h+1)
		for t := range v {
			v[t] = t + int(c.Lag.At(model.Tick(t)))
		}
		s.cure[c.ID] = v
	}
	for i := range p.Pours {
		if p.Pours[i].Stage == model.Curing {
			s.standing[s.moldAt[p.Pours[i].Mold]] = i
		}
		s.draws = append(s.draws, make([]*load, len(p.Pours[i].Draws)))
	}
	s.steps, s.racks = make([][]placed, len(p.Pours)), make([]int, len(p.Pours))
	s.crews(n)
	for i := range p.Fixed {
		f := &p.Fixed[i]
		ok := s.hold(string(f.Station), int(f.Start), int(f.End), 1)
		if !s.take(f.Crew, s.word(int(f.Start), int(f.End)), target{kind: ofFixed, at: i}) || !ok {
			s.dead = true
		}
	}
	return s
}

// crews counts the people of every set of skills at every open tick.
func (s *search) crews(n int) {
	seen := map[string]bool{}
	for _, x := range s.p.People {
		for _, k := range x.Skills {
			if !seen[k] {
				seen[k] = true
				s.skills = append(s.skills, k)
			}
		}
	}
	slices.Sort(s.skills)
	s.heads = make([][]int8, len(s.skills))
	for k := range s.heads {
		s.heads[k] = make([]int8, n)
	}
	s.have = make([][]int8, 1<<len(s.skills))
	for set := range s.have {
		s.have[set] = make([]int8, n)
	}
	for _, x := range s.p.People {
		on := mask(x.On, s.p.Horizon)
		word := uint64(0)
		for t, b := range on {
			if b && s.open[t] {
				word |= 1 << s.idx[t]
			}
		}
		s.reach = append(s.reach, word)
		for set := range s.have {
			if s.hasOne(x.Skills, set) {
				for i := range n {
					if word>>i&1 != 0 {
						s.have[set][i]++
					}
				}
			}
		}
	}
}

func (s *search) hasOne(skills []string, set int) bool {
	for k, name := range s.skills {
		if set>>k&1 != 0 && slices.Contains(skills, name) {
			return true
		}
	}
	return false
}

func (s *search) reg(a, b int) int64 {
	a, b = min(max(a, 0), s.h), min(max(b, 0), s.h)
	if b <= a {
		return 0
	}
	return int64(s.regSum[b] - s.regSum[a])
}

// take notes a task; false, and nothing noted, if some set of skills has too
// few people. That is necessary for telling people off and checked here only to
// stop early.
func (s *search) take(crew model.Crew, ticks uint64, to target) bool {
	for k, name := range s.skills {
		if n := crew[name]; n > 0 {
			for w, i := ticks, 0; w != 0; w, i = w>>1, i+1 {
				if w&1 != 0 {
					s.heads[k][i] += int8(n)
				}
			}
		}
	}
	s.uses = append(s.uses, taken{crew, ticks, to})
	ok := true
	for name := range crew {
		ok = ok && slices.Contains(s.skills, name)
	}
	for set := 1; ok && set < len(s.have); set++ {
		for w, i := ticks, 0; w != 0 && ok; w, i = w>>1, i+1 {
			if w&1 == 0 {
				continue
			}
			n := int8(0)
			for k := range s.skills {
				if set>>k&1 != 0 {
					n += s.heads[k][i]
				}
			}
			ok = n <= s.have[set][i]
		}
	}
	if !ok {
		s.giveBack()
	}
	return ok
}

// giveBack undoes the last take.
func (s *search) giveBack() {
	u := s.uses[len(s.uses)-1]
	s.uses = s.uses[:len(s.uses)-1]
	for k, name := range s.skills {
		if n := u.crew[name]; n > 0 {
			for w, i := u.ticks, 0; w != 0; w, i = w>>1, i+1 {
				if w&1 != 0 {
					s.heads[k][i] -= int8(n)
				}
			}
		}
	}
}

// hold adds n holders of a station and reports whether it has room.
func (s *search) hold(station string, a, b, n int) bool {
	if station == "" {
		return true
	}
	k := s.stationAt[station]
	ok := true
	for t := max(a, 0); t < min(b, s.h); t++ {
		s.held[k][t] += int8(n)
		ok = ok && int(s.held[k][t]) <= s.p.Stations[k].Places
	}
	return ok
}

// word is the open ticks in [a, b) as a set.
func (s *search) word(a, b int) (w uint64) {
	for t := max(a, 0); t < min(b, s.h); t++ {
		if s.open[t] {
			w |= 1 << s.idx[t]
		}
	}
	return w
}

// rack adds n places held of a rack and reports whether it has room.
func (s *search) rack(k, a, b, n int) bool {
	ok := true
	for t := max(a, 0); t < min(b, s.h); t++ {
		s.onRack[k][t] += n
		ok = ok && (n <= 0 || int64(s.onRack[k][t]) <= s.p.Racks[k].Places.At(model.Tick(t)))
	}
	return ok
}

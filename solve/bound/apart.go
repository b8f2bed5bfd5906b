package bound

import (
	"slices"

	"pourweek/solve/inst"
)

// spread reports whether stretches of the types of node at, and one more of
// type t, can be in different molds, whichever of the types' molds they take.
func (x *mix) spread(l *lagrangian, at, t int32) bool {
	types := []int32{t}
	for a := at; a > 0; a = x.nodes[a].parent {
		types = append(types, x.nodes[a].typ)
	}
	taken := map[int32]int{}
	var place func(i int, seen map[int32]bool) bool
	place = func(i int, seen map[int32]bool) bool {
		for _, m := range x.types[types[i]].molds {
			if seen[m] {
				continue
			}
			seen[m] = true
			if y, ok := taken[m]; !ok || place(y, seen) {
				taken[m] = i
				return true
			}
		}
		return false
	}
	for i, t := range types {
		if x.types[t].molds != nil && !place(i, map[int32]bool{}) {
			return false
		}
	}
	return true
}

// separate reports whether the stretches (local) can be of different pours in
// different molds: not more of a group than it has pours, and a mold for each,
// unless molds can be cast in twice.
func (x *mix) separate(l *lagrangian, list []int32) bool {
	if x.twice || x.greedy(l, list) {
		return true
	}
	key := uint64(0)
	for _, j := range list {
		key += l.kinds[x.kinds[j]].key
	}
	ok, known := x.apart[key]
	if !known {
		ok = true
		m := matching{l, x, list, map[int32]int{}, nil}
		for i, j := range list {
			m.seen = map[int32]bool{}
			if !l.groups[l.kinds[x.kinds[j]].group].loose && !m.place(i) {
				ok = false
				break
			}
		}
		x.apart[key] = ok
	}
	return ok
}

// greedy looks for a mold for each stretch in turn; false proves nothing.
func (x *mix) greedy(l *lagrangian, list []int32) bool {
	var taken [16]int32
	n := 0
	for _, j := range list {
		g := l.groups[l.kinds[x.kinds[j]].group]
		if g.loose {
			continue
		}
		found := false
		for i := range g.pour.Molds {
			m := g.pour.Molds[i].Mold
			if g.pour.PinMold != inst.None && m != g.pour.PinMold || slices.Contains(taken[:n], m) {
				continue
			}
			if n == len(taken) {
				return false
			}
			taken[n], found = m, true
			n++
			break
		}
		if !found {
			return false
		}
	}
	return true
}

// matching gives each stretch of a list (local) a mold of its own.
type matching struct {
	l     *lagrangian
	x     *mix
	list  []int32
	taken map[int32]int
	seen  map[int32]bool // molds looked at for the entry at hand
}

// place finds a mold for entry i by augmenting paths.
func (m *matching) place(i int) bool {
	p := m.l.groups[m.l.kinds[m.x.kinds[m.list[i]]].group].pour
	for _, c := range p.Molds {
		if m.seen[c.Mold] || p.PinMold != inst.None && c.Mold != p.PinMold {
			continue
		}
		m.seen[c.Mold] = true
		y, ok := m.taken[c.Mold]
		if !ok || m.place(y) {
			m.taken[c.Mold] = i
			return true
		}
	}
	return false
}

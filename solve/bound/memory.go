package bound

import (
	"cmp"
	"maps"
	"math/bits"
	"slices"
)

// A mold's path that takes a pour twice proves less than it could, since no plan
// does. So paths remember which pours they took, and may not take one too often.
// Paths that remember everything would be too many: of each pour it is chosen
// past which others it is remembered, by what paths have taken too often so far
// (paths with a neighborhood of memory, chosen as they are needed: Baldacci,
// Mingozzi, Roberti 2011, "New route relaxation and pricing strategies for the
// vehicle routing problem"; Roberti, Mingozzi 2014, "Dynamic ng-path relaxation
// for the delivery man problem"; both from memory).

// memory is what the paths of molds remember, by the first mold of their class: a
// path that took a pour of the first group still knows so after one of the
// second. Groups are those of inst.Inst.Groups. A path always knows that it just
// took the only pour of a group. All cases of a run share one memory and add to it.
type memory map[[3]int]bool

func (m memory) keeps(mold int32, a, b *group) bool {
	return a == b && a.n == 1 || m[[3]int{int(mold), a.in, b.in}]
}

// state is a memory of the paths of a class.
type state struct {
	v     []int64 // the cheapest path from each index on, the mold being free then
	moves []int   // what it may take next
	may   []bool  // by move
}

// move is a pour taken by a path.
type move struct {
	item int // of the class
	to   int // the state after it
	b    *body
}

// paths are the cheapest ways of a mold through the week, by what they remember.
// Classes of one family have one of them.
type paths struct {
	states []state // the first one with nothing remembered
	moves  []move
}

// automaton is the states and moves of a class without their costs.
type automaton struct {
	next  [][]int  // by state: moves
	moves [][2]int // item and state after it
}

// How much is remembered. The values come from trials of 500 passes on small and
// medium weeks.
const (
	mostMoves  = 24 // of a class, or movesEach for each of its items
	movesEach  = 2
	mostStates = 64   // of a class
	roomInCase = 2    // times as much where a case is laid out; one that takes more forgets
	learnEvery = 40   // passes after which paths remember more
	learnShare = 0.15 // times a pass that a cycle must come up
)

// remembering lays out what the paths of the class remember; false if that takes
// more than about so many times the usual room, as an empty memory never does.
func (c *class) remembering(mem memory, times int) (a automaton, ok bool) {
	n := len(c.items)
	kept := make([][]int, n) // by item: those still known of after it
	for k, it := range c.items {
		for h, x := range c.items {
			if mem.keeps(c.molds[0], x.g, it.g) {
				kept[k] = append(kept[k], h)
			}
		}
	}
	at, moves := map[string]int{}, map[[2]int]int{}
	var counts [][]byte
	find := func(q []byte) int {
		i, ok := at[string(q)]
		if !ok {
			i = len(counts)
			at[string(q)] = i
			counts = append(counts, q)
		}
		return i
	}
	find(make([]byte, n))
	for i := 0; i < len(counts); i++ {
		if len(counts) > max(times*mostStates, n+1) || len(a.moves) > times*max(mostMoves, movesEach*n) {
			return a, false
		}
		a.next = append(a.next, nil)
		for k, it := range c.items {
			if int64(counts[i][k]) >= it.g.n {
				continue
			}
			// A count that does not fit a byte starts anew, which forgets: it allows more.
			q := make([]byte, n)
			for _, h := range kept[k] {
				if q[h] = counts[i][h]; h == k {
					q[h]++
				}
			}
			key := [2]int{k, find(q)}
			m, ok := moves[key]
			if !ok {
				m = len(a.moves)
				moves[key], a.moves = m, append(a.moves, key)
			}
			a.next[i] = append(a.next[i], m)
		}
	}
	return a, true
}

// remember gives the class states and moves.
func (c *class) remember(l *lagrangian, a automaton) {
	c.states, c.moves = nil, nil
	used := map[*group]int{}
	for _, m := range a.moves {
		g := c.items[m[0]].g
		if used[g] == len(g.bodies) {
			g.bodies = append(g.bodies, newBody(l, g))
		}
		c.moves = append(c.moves, move{m[0], m[1], g.bodies[used[g]]})
		used[g]++
	}
	for _, next := range a.next {
		s := state{make([]int64, l.ax.n+1), next, make([]bool, len(a.moves))}
		for _, m := range next {
			s.may[m] = true
		}
		c.states = append(c.states, s)
	}
}

// cycle is a path that takes too many pours of one group: which item of a class,
// and which others lie between.
type cycle struct {
	class, item int
	between     uint64
}

// note counts the cycles of a path of the i-th class, given as a list of items.
func (l *lagrangian) note(i int, path []int) {
	if len(l.classes[i].items) > 64 {
		return // cycle.between holds no more
	}
	for b, k := range path {
		between, n := uint64(0), int64(0)
		for a := b - 1; a >= 0; a-- {
			if path[a] != k {
				between |= 1 << path[a]
			} else if n++; n == l.classes[i].items[k].g.n {
				l.cycles[cycle{i, k, between}]++
				break
			}
		}
	}
}

// learn makes paths remember what would have kept them from the cycles that were
// counted in learnEvery passes, the most frequent first, as far as there is room: in a
// case too, that of the whole week.
func (l *lagrangian) learn() {
	list := slices.SortedFunc(maps.Keys(l.cycles), func(a, b cycle) int {
		return cmp.Or(cmp.Compare(l.cycles[b], l.cycles[a]), cmp.Compare(a.class, b.class), cmp.Compare(a.item, b.item), cmp.Compare(a.between, b.between))
	})
	for _, x := range list {
		if float64(l.cycles[x]) < learnShare*learnEvery {
			break
		}
		c := l.classes[x.class]
		var more [][3]int
		add := func(k int) {
			key := [3]int{int(c.molds[0]), c.items[x.item].g.in, c.items[k].g.in}
			if !l.mem[key] {
				l.mem[key], more = true, append(more, key)
			}
		}
		add(x.item)
		for m := x.between; m != 0; m &= m - 1 {
			add(bits.TrailingZeros64(m))
		}
		if len(more) == 0 {
			continue
		}
		a, ok := c.remembering(l.mem, 1)
		if !ok {
			for _, key := range more {
				delete(l.mem, key)
			}
			continue
		}
		c.remember(l, a)
	}
	clear(l.cycles)
}

package sat

import (
	"cmp"
	"math"
	"slices"
)

// item is one term of a sum: weight when lit is true. Tagged items belong to a
// task, and items of tasks that never run together exclude each other.
type item struct {
	lit    Lit
	weight int
	task   TaskID
	tagged bool
}

// mdd encodes sum of weights <= capacity as a decision diagram over groups of
// items of which at most one is true (I. Abio et al., "A new look at BDDs for
// pseudo-Boolean constraints", 2012, with one layer per group as in M. Bofill
// et al., 2017). Node n at layer i with room c means: the items from i on take
// at most c. As all weights are >= 0 one direction is enough: n and an item
// imply the child with less room.
type mdd struct {
	e      *encoder
	groups [][]item
	rest   []int // most that the groups from i on can take
	nodes  [][]mddNode
}

// mddNode holds for every room in [lo, hi].
type mddNode struct {
	lit    Lit
	lo, hi int
}

// atMost demands that the items sum up to at most capacity when conds hold.
func (e *encoder) atMost(items []item, capacity int, conds []Lit) {
	var c []Lit
	for _, l := range conds {
		c = append(c, -l)
	}
	var use []item
	for _, it := range items {
		switch {
		case it.lit == True:
			capacity -= it.weight
		case it.weight > 0 && it.lit != False:
			use = append(use, it)
		}
	}
	if capacity < 0 {
		e.add(c...)
		return
	}
	fits := use[:0]
	for _, it := range use {
		if it.weight > capacity {
			e.add(append(c[:len(c):len(c)], -it.lit)...)
			continue
		}
		fits = append(fits, it)
	}
	d := &mdd{e: e, groups: e.group(fits)}
	d.rest = make([]int, len(d.groups)+1)
	for i := len(d.groups) - 1; i >= 0; i-- {
		d.rest[i] = d.rest[i+1] + d.groups[i][0].weight
	}
	d.nodes = make([][]mddNode, len(d.groups))
	root := d.build(0, capacity)
	e.add(append(c, root.lit)...)
}

// group lays items into groups of which at most one can be true, heaviest
// first, greedily.
func (e *encoder) group(items []item) [][]item {
	slices.SortStableFunc(items, func(a, b item) int { return cmp.Compare(b.weight, a.weight) })
	var groups [][]item
next:
	for _, it := range items {
		if it.tagged {
		search:
			for g := range groups {
				for _, o := range groups[g] {
					if !o.tagged || o.task == it.task || !e.exclusive(o.task, it.task) {
						continue search
					}
				}
				groups[g] = append(groups[g], it)
				continue next
			}
		}
		groups = append(groups, []item{it})
	}
	return groups
}

// exclusive says that two tasks never run together, by lags or as a pair
// already kept apart.
func (e *encoder) exclusive(a, b TaskID) bool {
	return e.pairs[[2]TaskID{min(a, b), max(a, b)}] || e.never2(a, b)
}

func (d *mdd) build(i, room int) mddNode {
	if room < 0 {
		return mddNode{False, math.MinInt / 2, -1}
	}
	if room >= d.rest[i] {
		return mddNode{True, d.rest[i], math.MaxInt / 2}
	}
	for _, n := range d.nodes[i] {
		if n.lo <= room && room <= n.hi {
			return n
		}
	}
	skip := d.build(i+1, room)
	n := mddNode{d.e.fresh(), skip.lo, skip.hi}
	d.e.add(-n.lit, skip.lit)
	weight, child := -1, mddNode{}
	for _, it := range d.groups[i] {
		if it.weight != weight {
			weight = it.weight
			child = d.build(i+1, room-weight)
			n.lo, n.hi = max(n.lo, child.lo+weight), min(n.hi, child.hi+weight)
		}
		d.e.add(-n.lit, -it.lit, child.lit)
	}
	d.nodes[i] = append(d.nodes[i], n)
	return n
}

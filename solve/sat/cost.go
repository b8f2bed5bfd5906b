package sat

import (
	"cmp"
	"slices"
	"sort"
)

// steps is a cost in order encoding: vals ascending, all > 0, and lits[i] is
// true whenever the cost is vals[i] or more.
type steps struct {
	vals []int64
	lits []Lit
}

// at is the literal of "cost >= v" for v > 0; False above the greatest value.
func (s *steps) at(v int64) Lit {
	i := sort.Search(len(s.vals), func(i int) bool { return s.vals[i] >= v })
	if i == len(s.vals) {
		return False
	}
	return s.lits[i]
}

// objective bounds the total cost of a model: base, which nothing undercuts,
// and what comes on top.
type objective interface {
	// atMost lists assumptions that hold the total at or below bound.
	atMost(bound int64) []Lit
	// above is the least total above bound that can be.
	above(bound int64) int64
}

// terms splits the model's cost into a constant base and independent groups.
func (e *encoder) terms() (base int64, groups []*steps) {
	for t := range e.m.tasks {
		if e.m.tasks[t].cost != nil {
			b, s := e.taskCost(TaskID(t))
			base += b
			if len(s.vals) > 0 {
				groups = append(groups, s)
			}
		}
	}
	b, more := e.litCosts()
	return base + b, append(groups, more...)
}

// taskCost is the cost of one task by its start.
func (e *encoder) taskCost(t TaskID) (int64, *steps) {
	k, s := &e.m.tasks[t], e.starts[t]
	from, to := e.span(t)
	cost := k.cost[from:to]
	var base int64
	if k.Presence == True {
		base = slices.Min(cost)
	}
	r := &steps{}
	for _, v := range slices.Compact(slices.Sorted(slices.Values(cost))) {
		if v <= base {
			continue
		}
		r.vals = append(r.vals, v-base)
		r.lits = append(r.lits, e.costs(k.Presence, s, cost, v))
	}
	e.linkSteps(r)
	return base, r
}

// costs is a literal that is true when the start of a present task costs v or more.
func (e *encoder) costs(presence Lit, s *ladder, cost []int64, v int64) Lit {
	var spans [][2]int
	for i := 0; i < len(cost); i++ {
		if cost[i] < v {
			continue
		}
		from := i
		for i+1 < len(cost) && cost[i+1] >= v {
			i++
		}
		spans = append(spans, [2]int{from, i})
	}
	if len(spans) == 1 && presence == True {
		switch {
		case spans[0][0] == 0:
			return s.lits[spans[0][1]]
		case spans[0][1] == len(cost)-1:
			return s.ge(s.vals[spans[0][0]])
		}
	}
	q := e.fresh()
	for _, p := range spans {
		e.add(-presence, -s.ge(s.vals[p[0]]), -s.lits[p[1]], q)
	}
	return q
}

func (e *encoder) linkSteps(s *steps) {
	for i := 1; i < len(s.lits); i++ {
		e.add(-s.lits[i], s.lits[i-1])
	}
}

// litCosts groups the costs of literals. Literals of which exactly one, or at
// most one, is true by a constraint make one group.
func (e *encoder) litCosts() (base int64, groups []*steps) {
	cost := map[Lit]int64{}
	var order []Lit
	for _, c := range e.m.costs {
		if _, ok := cost[c.lit]; !ok {
			order = append(order, c.lit)
		}
		cost[c.lit] += c.cost
	}
	base += cost[True]
	delete(cost, True)
	delete(cost, False)
	for _, c := range e.m.cons {
		lits, exact := atMostOne(c)
		if len(lits) == 0 {
			continue
		}
		b, s := e.groupCost(lits, exact, cost)
		base += b
		if len(s.vals) > 0 {
			groups = append(groups, s)
		}
	}
	for _, l := range order {
		if v, ok := cost[l]; ok {
			groups = append(groups, &steps{[]int64{v}, []Lit{l}})
		}
	}
	return base, groups
}

// atMostOne lists the literals of a constraint that always holds and lets at
// most one of them be true.
func atMostOne(c ruled) (lits []Lit, exact bool) {
	if c.rule != 0 {
		return nil, false
	}
	switch k := c.c.(type) {
	case ExactlyOne:
		return k, true
	case AtMost:
		if k.Weights == nil && k.Max == 1 {
			return k.Lits, false
		}
	}
	return nil, false
}

// groupCost takes the costs of exclusive literals out of cost.
func (e *encoder) groupCost(lits []Lit, exact bool, cost map[Lit]int64) (int64, *steps) {
	own := make([]int64, len(lits))
	var all []int64
	for i, l := range lits {
		if slices.Contains(lits[:i], l) {
			return 0, &steps{}
		}
		own[i] = cost[l.norm()]
		all = append(all, own[i])
	}
	var base int64
	if exact {
		base = slices.Min(all)
	}
	r := &steps{}
	for _, v := range slices.Compact(slices.Sorted(slices.Values(all))) {
		if v <= base {
			continue
		}
		q := e.fresh()
		for i, l := range lits {
			if own[i] >= v {
				e.add(-l.norm(), q)
			}
		}
		r.vals, r.lits = append(r.vals, v-base), append(r.lits, q)
	}
	e.linkSteps(r)
	for _, l := range lits {
		delete(cost, l.norm())
	}
	return base, r
}

// maxTotalizer bounds the clauses spent on a totalizer; above it the cost is
// added up in binary, which is small but propagates less.
const maxTotalizer = 20_000

// objective encodes the total for bounds below top, as a totalizer when that
// takes at most size clauses.
func (e *encoder) objective(base int64, groups []*steps, top int64, size int) objective {
	limit := max(top-base, 1) // sums from here on need not be told apart
	groups = slices.Clone(groups)
	if planTotalizer(groups, limit) > size {
		return e.adder(base, groups)
	}
	for len(groups) > 1 {
		sortGroups(groups)
		groups = append(groups[2:], e.merge(groups[0], groups[1], limit))
	}
	t := &totalizer{base: base}
	if len(groups) == 1 {
		t.sum = *groups[0]
	}
	return t
}

func sortGroups(g []*steps) {
	slices.SortStableFunc(g, func(a, b *steps) int { return cmp.Compare(len(a.vals), len(b.vals)) })
}

// totalizer is a generalized totalizer (S. Joshi, R. Martins, V. Manquinho,
// CP 2015) over steps: one literal per sum that can be.
type totalizer struct {
	base int64
	sum  steps
}

func (t *totalizer) atMost(bound int64) []Lit {
	if bound < t.base {
		return []Lit{False}
	}
	if l := t.sum.at(bound - t.base + 1); l != False {
		return []Lit{-l}
	}
	return nil
}

func (t *totalizer) above(bound int64) int64 {
	if bound < t.base {
		return t.base
	}
	i := sort.Search(len(t.sum.vals), func(i int) bool { return t.sum.vals[i] > bound-t.base })
	if i == len(t.sum.vals) {
		return bound + 1
	}
	return t.base + t.sum.vals[i]
}

// sums lists the distinct sums of two step costs, those from limit on as limit.
func sums(a, b []int64, limit int64) []int64 {
	r := make([]int64, 0, len(a)+len(b)+len(a)*len(b))
	r = append(append(r, a...), b...)
	for _, v := range a {
		for _, w := range b {
			r = append(r, v+w)
		}
	}
	for i := range r {
		r[i] = min(r[i], limit)
	}
	slices.Sort(r)
	return slices.Compact(r)
}

// planTotalizer counts the clauses that merging would take, stopping above
// maxTotalizer.
func planTotalizer(groups []*steps, limit int64) int {
	left := make([]*steps, 0, len(groups))
	for _, g := range groups {
		left = append(left, &steps{vals: g.vals})
	}
	size := 0
	for len(left) > 1 && size <= maxTotalizer {
		sortGroups(left)
		a, b := left[0].vals, left[1].vals
		size += (len(a) + 1) * (len(b) + 1)
		if size > maxTotalizer {
			break
		}
		left = append(left[2:], &steps{vals: sums(a, b, limit)})
	}
	return size
}

func (e *encoder) merge(a, b *steps, limit int64) *steps {
	r := &steps{vals: sums(a.vals, b.vals, limit)}
	for range r.vals {
		r.lits = append(r.lits, e.fresh())
	}
	e.linkSteps(r)
	for i, v := range a.vals {
		e.add(-a.lits[i], r.at(min(v, limit)))
		for j, w := range b.vals {
			e.add(-a.lits[i], -b.lits[j], r.at(min(v+w, limit)))
		}
	}
	for j, w := range b.vals {
		e.add(-b.lits[j], r.at(min(w, limit)))
	}
	return r
}

package sat

import (
	"cmp"
	"slices"
)

func (c Cumulative) encode(e *encoder) {
	uses := make([]Use, 0, len(c.Uses))
	for _, u := range c.Uses {
		if u.Demand > 0 && e.most(End(u.Task)) > e.least(Start(u.Task)) {
			uses = append(uses, u)
		}
	}
	slices.SortStableFunc(uses, func(a, b Use) int { return cmp.Compare(b.Demand, a.Demand) })
	if e.off == False {
		c.pairs(e, uses)
	}
	ticks := e.ticksOf(uses)
	if c.way == byTick || e.mayVanish(uses) || c.way == byEstimate && c.prefersTicks(e, uses, ticks) {
		for _, t := range ticks {
			c.encodeTick(e, uses, t)
		}
		return
	}
	for i := range uses {
		c.encodeTask(e, uses, i)
	}
}

// mayVanish says that a task with slack may have no length: only ticks can
// tell then.
func (e *encoder) mayVanish(uses []Use) bool {
	for _, u := range uses {
		if e.m.tasks[u.Task].Slack > 0 && e.length(u.Task, false) == 0 {
			return true
		}
	}
	return false
}

// pairs keeps apart any two uses that do not fit together.
func (c Cumulative) pairs(e *encoder, uses []Use) {
	for i, u := range uses {
		for _, v := range uses[:i] {
			if u.Demand+v.Demand > c.Capacity && u.Task != v.Task && e.always(u) && e.always(v) {
				e.disjoint(u.Task, v.Task)
			}
		}
	}
}

// always says that a use takes place and has a length whatever its start; a
// task of no length may lie inside another.
func (e *encoder) always(u Use) bool { return len(e.conds(u)) == 0 && e.length(u.Task, false) > 0 }

// ticksOf lists the ticks at which a use may start, ascending: a load is
// highest at one of them.
func (e *encoder) ticksOf(uses []Use) []int {
	var r []int
	for _, u := range uses {
		r = append(r, e.starts[u.Task].vals...)
	}
	slices.Sort(r)
	return slices.Compact(r)
}

// prefersTicks estimates which decomposition gives fewer clauses.
func (c Cumulative) prefersTicks(e *encoder, uses []Use, ticks []int) bool {
	tick, task := 0, 0
	for _, u := range uses {
		tick += e.most(End(u.Task)) - e.lo[u.Task]
		task += len(uses) * min(c.Capacity, len(uses))
		for _, v := range uses {
			task += len(e.starts[v.Task].vals) + len(e.starts[u.Task].vals)
		}
	}
	span := ticks[max(0, len(ticks)-1):]
	if len(span) == 0 {
		return true
	}
	// Windows are counted in ticks, but only starts are looked at.
	tick = tick * len(ticks) / max(1, span[0]-ticks[0]+1)
	return tick*min(c.Capacity, len(uses)) <= 4*task
}

func (c Cumulative) encodeTick(e *encoder, uses []Use, tick int) {
	var items []item
	capacity := c.Capacity
	for _, u := range uses {
		switch r := e.running(u, tick); r {
		case False:
		case True:
			capacity -= u.Demand
		default:
			items = append(items, item{lit: r, weight: u.Demand, task: u.Task, tagged: true})
		}
	}
	e.atMost(items, capacity, nil)
}

// running is a literal that is true when u runs at tick (it may be true
// otherwise too, which never helps).
func (e *encoder) running(u Use, tick int) Lit {
	key := runKey{u.Task, tick, u.When.norm()}
	if l, ok := e.runs[key]; ok {
		return l
	}
	l := e.makeRunning(u, tick)
	e.runs[key] = l
	return l
}

func (e *encoder) makeRunning(u Use, tick int) Lit {
	s, ends := e.starts[u.Task], e.endsOf(u.Task)
	var reasons [][]Lit // any of these conjunctions makes u run
	if e.m.tasks[u.Task].Slack > 0 {
		return e.conjunction(append(e.conds(u), s.le(tick), e.ladder(End(u.Task)).ge(tick+1)))
	}
	for i := 0; i < len(ends); i++ {
		if s.vals[i] > tick || ends[i] <= tick {
			continue
		}
		from := i
		for i+1 < len(ends) && s.vals[i+1] <= tick && ends[i+1] > tick {
			i++
		}
		var r []Lit
		for _, l := range append([]Lit{s.ge(s.vals[from]), s.lits[i]}, e.conds(u)...) {
			if l != True {
				r = append(r, l)
			}
		}
		reasons = append(reasons, r)
	}
	switch {
	case len(reasons) == 0:
		return False
	case len(reasons) == 1 && len(reasons[0]) == 0:
		return True
	case len(reasons) == 1 && len(reasons[0]) == 1:
		return reasons[0][0]
	}
	run := e.fresh()
	defer func(off Lit) { e.off = off }(e.off)
	e.off = False // shared by all rules
	for _, r := range reasons {
		b := []Lit{run}
		for _, l := range r {
			b = append(b, -l)
		}
		e.add(b...)
	}
	return run
}

// conjunction is a literal that is true when all of lits are.
func (e *encoder) conjunction(lits []Lit) Lit {
	c := []Lit{}
	for _, l := range lits {
		if l == False {
			return False
		}
		if l != True {
			c = append(c, -l)
		}
	}
	switch len(c) {
	case 0:
		return True
	case 1:
		return -c[0]
	}
	defer func(off Lit) { e.off = off }(e.off)
	e.off = False // shared by all rules
	all := e.fresh()
	e.add(append(c, all)...)
	return all
}

// encodeTask bounds the load at the start of uses[at].
func (c Cumulative) encodeTask(e *encoder, uses []Use, at int) {
	u := uses[at]
	var items []item
	conds := e.conds(u)
	for i, v := range uses {
		if i == at || v.Task != u.Task && e.never2(u.Task, v.Task) {
			continue
		}
		if v.Task == u.Task {
			w := e.fresh()
			b := []Lit{w}
			for _, l := range e.conds(v) {
				b = append(b, -l)
			}
			e.add(b...)
			items = append(items, item{lit: w, weight: v.Demand, task: v.Task})
			continue
		}
		items = append(items, item{lit: e.overlap(u, v), weight: v.Demand, task: v.Task, tagged: true})
	}
	if l := e.length(u.Task, false); l == 0 { // it may take nothing: look at starts with a length only
		has := e.fresh()
		s, ends := e.starts[u.Task], e.endsOf(u.Task)
		for i, v := range s.vals {
			if ends[i] > v {
				e.add(-s.lits[i], s.le(v-1), has)
			}
		}
		conds = append(conds, has)
	}
	e.atMost(items, c.Capacity-u.Demand, conds)
}

// overlap is a literal that is true when v runs at the start of u.
func (e *encoder) overlap(u, v Use) Lit {
	su, sv, ev := e.ladder(Start(u.Task)), e.ladder(Start(v.Task)), e.ladder(End(v.Task))
	before, after, both := e.fresh(), e.fresh(), e.fresh()
	for _, t := range sv.vals {
		e.add(-sv.le(t), su.le(t-1), before)
	}
	for _, t := range su.vals {
		e.add(-su.le(t), ev.le(t), after)
	}
	b := []Lit{-before, -after, both}
	for _, l := range e.conds(v) {
		b = append(b, -l)
	}
	e.add(b...)
	return both
}

package sat

// implied demands to >= from + lag when all of conds are true.
func (e *encoder) implied(from, to *ladder, lag int, conds []Lit) {
	c := make([]Lit, 0, len(conds)+2)
	for _, l := range conds {
		c = append(c, -l)
	}
	before := False // "from is below this value"
	for i, v := range from.vals {
		if i == 0 || to.le(v+lag-1) != to.le(from.vals[i-1]+lag-1) {
			e.add(append(c, before, to.ge(v+lag))...)
		}
		before = from.lits[i]
	}
}

func (c Lag) encode(e *encoder) {
	conds := []Lit{e.m.tasks[c.From.Task].Presence, e.m.tasks[c.To.Task].Presence}
	for _, w := range c.When {
		conds = append(conds, w.norm())
	}
	e.implied(e.ladder(c.From), e.ladder(c.To), c.Min, conds)
}

func (c Clause) encode(e *encoder) {
	b := make([]Lit, 0, len(c))
	for _, l := range c {
		b = append(b, l.norm())
	}
	e.add(b...)
}

func (c AtMost) encode(e *encoder) {
	items := make([]item, 0, len(c.Lits))
	for i, l := range c.Lits {
		items = append(items, item{lit: l.norm(), weight: c.weight(i)})
	}
	e.atMost(items, c.Max, nil)
}

func (c ExactlyOne) encode(e *encoder) {
	Clause(c).encode(e)
	if len(c) > 6 {
		AtMost{Lits: c, Max: 1}.encode(e)
		return
	}
	for i := range c {
		for j := range i {
			e.add(-c[i].norm(), -c[j].norm())
		}
	}
}

func (c Alternative) encode(e *encoder) {
	master := e.m.tasks[c.Task].Presence
	some, one := Clause{master.Not()}, AtMost{Max: 1}
	for _, t := range c.Options {
		p := e.m.tasks[t].Presence
		some, one.Lits = append(some, p), append(one.Lits, p)
		e.add(-p, master)
		conds := []Lit{p}
		for _, end := range []bool{false, true} {
			a, b := e.ladder(Point{c.Task, end}), e.ladder(Point{t, end})
			e.implied(a, b, 0, conds)
			e.implied(b, a, 0, conds)
		}
	}
	some.encode(e)
	one.encode(e)
}

// conds lists the conditions under which a use takes place, constants dropped.
func (e *encoder) conds(u Use) []Lit {
	var r []Lit
	for _, l := range []Lit{e.m.tasks[u.Task].Presence, u.When.norm()} {
		if l != True {
			r = append(r, l)
		}
	}
	return r
}

// never2 says whether two tasks cannot run at the same time, by the lags that
// always hold or by their bounds.
func (e *encoder) never2(a, b TaskID) bool { return e.precedes(a, b) || e.precedes(b, a) }

func (e *encoder) precedes(a, b TaskID) bool {
	if e.dist != nil && e.dist[a][b] != never && e.dist[a][b] >= e.length(a, true) {
		return true
	}
	return e.most(End(a)) <= e.lo[b]
}

func (c Unary) encode(e *encoder) {
	for i, u := range c.Uses {
		for j := range i {
			v := c.Uses[j]
			if c.Setup == nil && e.off == False && len(e.conds(u))+len(e.conds(v)) == 0 {
				e.disjoint(u.Task, v.Task)
				continue
			}
			e.order(u, v, c.setup(i, j), c.setup(j, i))
		}
	}
}

// disjoint keeps two present tasks apart, once whatever number of constraints ask.
func (e *encoder) disjoint(a, b TaskID) {
	key := [2]TaskID{min(a, b), max(a, b)}
	if e.pairs[key] {
		return
	}
	e.pairs[key] = true
	if e.precedes(a, b) || e.precedes(b, a) {
		return
	}
	e.order(Use{Task: a}, Use{Task: b}, 0, 0)
}

// order keeps two uses apart with a literal for which comes first.
func (e *encoder) order(u, v Use, uv, vu int) {
	conds := append(e.conds(u), e.conds(v)...)
	if u.Task == v.Task {
		e.implied(e.ladder(End(u.Task)), e.ladder(Start(u.Task)), min(uv, vu), conds)
		return
	}
	if uv <= 0 && e.precedes(u.Task, v.Task) || vu <= 0 && e.precedes(v.Task, u.Task) {
		return
	}
	su, eu := e.ladder(Start(u.Task)), e.ladder(End(u.Task))
	sv, ev := e.ladder(Start(v.Task)), e.ladder(End(v.Task))
	first := e.fresh()
	e.implied(eu, sv, uv, append(conds[:len(conds):len(conds)], first))
	e.implied(ev, su, vu, append(conds[:len(conds):len(conds)], -first))
}

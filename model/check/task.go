package check

import (
	"cmp"
	"maps"
	"slices"

	"pourweek/model"
)

// demand is what the problem asks of a task.
type demand struct {
	work     model.Tick
	crew     model.Crew
	station  model.OptID
	when     []model.Interval
	pausable bool
}

// task judges a planned task by sections 1 to 3 and notes whom and what it
// keeps. iv is sane.
func (c *checker) task(where Where, d demand, iv model.Interval, who model.Who) {
	s, e := iv.From(), iv.To()
	if s < c.p.Now {
		c.add(fault{Now, where, "", s}, "%s starts at %s, before now, %s", where, c.at(s), c.at(c.p.Now))
	}
	if e > c.p.Horizon {
		c.add(fault{Horizon, where, "", e}, "%s ends at %s, after the horizon, %s", where, c.at(e), c.at(c.p.Horizon))
	}
	if d.when != nil && !inSome(d.when, s) {
		c.add(fault{When, where, "", s}, "%s starts at %s, outside the times in which it may start", where, c.at(s))
	}
	if d.station != "" {
		c.holdStation(string(d.station), iv, where)
	}
	var buf [8]model.Interval
	var taken []model.Interval
	switch {
	case !d.pausable:
		if c.steady(where, d.work, iv) {
			taken = append(buf[:0], iv)
		}
	case c.straight(d.work, iv):
		taken = within(buf[:0], c.cal.openIn, iv)
	case c.putDown(d.work, iv):
		taken = within(buf[:0], c.cal.regIn, iv)
	default:
		c.notPausable(where, d.work, iv)
	}
	c.crew(where, d.crew, who, taken)
	c.pay(d.crew, taken)
}

func (c *checker) steady(where Where, work model.Tick, iv model.Interval) bool {
	if iv.Len() != work {
		c.add(fault{Steady, where, "", iv.From()}, "%s takes %s from %s to %s; it is %s of work without a pause",
			where, many(iv.Len(), "tick"), c.at(iv.From()), c.at(iv.To()), many(work, "tick"))
		return false
	}
	if c.cal.opens(iv.From(), iv.To()) != work {
		closed := c.cal.firstClosed(iv)
		c.add(fault{Steady, where, "", closed}, "%s goes on from %s to %s without a pause, but the shop is closed at %s",
			where, c.at(iv.From()), c.at(iv.To()), c.at(closed))
		return false
	}
	return true
}

// straight reports whether iv takes the first open ticks from its start on.
func (c *checker) straight(work model.Tick, iv model.Interval) bool {
	return c.cal.isOpen(iv.From()) && c.cal.isOpen(iv.To()-1) && c.cal.opens(iv.From(), iv.To()) == work
}

// putDown reports whether iv takes the first regular ticks from its start on.
func (c *checker) putDown(work model.Tick, iv model.Interval) bool {
	return c.cal.isRegular(iv.From()) && c.cal.isRegular(iv.To()-1) && c.cal.reg(iv.From(), iv.To()) == work
}

func (c *checker) notPausable(where Where, work model.Tick, iv model.Interval) {
	f := fault{Pausable, where, "", iv.From()}
	if !c.cal.isOpen(iv.From()) {
		c.add(f, "%s starts at %s, when the shop is closed", where, c.at(iv.From()))
		return
	}
	c.add(f, "%s runs from %s to %s, which is %s, %d of them regular; its %s of work end there neither straight on nor put down for overtime",
		where, c.at(iv.From()), c.at(iv.To()), many(c.cal.opens(iv.From(), iv.To()), "open tick"), c.cal.reg(iv.From(), iv.To()), many(work, "tick"))
}

// pay adds what the ticks that a task takes cost: overtime and call-ins.
func (c *checker) pay(crew model.Crew, taken []model.Interval) {
	heads := 0
	for _, n := range crew {
		heads += n
	}
	for _, iv := range taken {
		over := c.cal.opens(iv.From(), iv.To()) - c.cal.reg(iv.From(), iv.To())
		c.terms.Overtime += c.p.Costs.Overtime * model.Mils(heads) * model.Mils(over)
		for i := range c.p.Callins {
			ci := &c.p.Callins[i]
			if !c.called[i] && max(ci.From, iv.From()) < min(ci.To, iv.To()) {
				c.called[i] = true
				c.terms.Callin += ci.Cost
			}
		}
	}
}

// noTask judges the who of a task of no ticks: nobody is named for it.
func (c *checker) noTask(where Where, who model.Who) { c.crew(where, nil, who, nil) }

// crew judges the people named for a task that takes the ticks of taken, and
// notes them as busy. An entry without people names nobody.
func (c *checker) crew(where Where, crew model.Crew, who model.Who, taken []model.Interval) {
	task := len(c.tasks)
	c.tasks = append(c.tasks, where)
	asked := 0
	for skill, heads := range inOrder(crew) {
		ids, has := who[skill]
		if has {
			asked++
		}
		if len(ids) != heads {
			c.add(fault{Heads, where, skill, 0}, "%s asks %d for the skill %q, and the plan names %d", where, heads, skill, len(ids))
		}
		for _, id := range ids {
			c.person(where, task, skill, id, taken)
		}
	}
	if asked == len(who) {
		return
	}
	for skill, ids := range inOrder(who) {
		if _, ok := crew[skill]; !ok && len(ids) > 0 {
			c.add(fault{Heads, where, skill, 0}, "%s asks nobody for the skill %q, and the plan names %d", where, skill, len(ids))
		}
	}
}

// inOrder ranges over a map by its keys in ascending order.
func inOrder[V any, M ~map[string]V](m M) func(yield func(string, V) bool) {
	return func(yield func(string, V) bool) {
		if len(m) <= 1 {
			maps.All(m)(yield)
			return
		}
		for _, k := range slices.Sorted(maps.Keys(m)) {
			if !yield(k, m[k]) {
				return
			}
		}
	}
}

func (c *checker) person(where Where, task int, skill, id string, taken []model.Interval) {
	i, ok := c.personIx[id]
	if !ok {
		c.add(fault{Known, where, id, 0}, "%s names the person %q, whom the problem does not have", where, id)
		return
	}
	if !slices.Contains(c.p.People[i].Skills, skill) {
		c.add(fault{Skill, where, id, 0}, "%s names %q for the skill %q, which they do not have", where, id, skill)
	}
	if c.lastTask[i] == task {
		c.add(fault{Once, where, id, 0}, "%s names %q twice", where, id)
		return
	}
	c.lastTask[i] = task
	here := true
	for _, iv := range taken {
		c.busy[i] = append(c.busy[i], stint{iv, task})
		if t := absent(c.on[i], iv); here && t < iv.To() {
			here = false
			c.add(fault{Present, where, id, t}, "%s needs %q at %s, when they are not present", where, id, c.at(t))
		}
	}
}

// absent is the first tick of iv that no interval of on holds, iv.To() if all
// are held. on is joined.
func absent(on []model.Interval, iv model.Interval) model.Tick {
	i, _ := slices.BinarySearchFunc(on, iv.From(), func(r model.Interval, t model.Tick) int {
		if r.To() <= t {
			return -1
		}
		return 1
	})
	if i == len(on) || on[i].From() > iv.From() {
		return iv.From()
	}
	return min(on[i].To(), iv.To())
}

// people judges that nobody is in two tasks at once.
func (c *checker) people() {
	for i, stints := range c.busy {
		slices.SortFunc(stints, func(a, b stint) int {
			return cmp.Or(cmp.Compare(a.iv.From(), b.iv.From()), cmp.Compare(a.task, b.task))
		})
		for k := 1; k < len(stints); k++ {
			last, next := stints[k-1], stints[k]
			if next.iv.From() < last.iv.To() {
				id, t := c.p.People[i].ID, next.iv.From()
				a, b := c.tasks[last.task], c.tasks[next.task]
				c.add(fault{Busy, b, id, t}, "%q is at %s in both %s and %s", id, c.at(t), a, b)
			}
			if next.iv.To() < last.iv.To() { // the longer one goes on
				stints[k] = stint{model.Interval{next.iv.From(), last.iv.To()}, last.task}
			}
		}
	}
}

// doFixed judges the fixed work: its ticks are given, its people are not.
func (c *checker) doFixed() {
	known := make(map[string]bool, len(c.p.Fixed))
	for i := range c.p.Fixed {
		f := &c.p.Fixed[i]
		known[f.ID] = true
		where, iv := Where{Fixed: f.ID}, model.Interval{f.Start, f.End}
		if f.Station != "" {
			c.holdStation(string(f.Station), iv, where)
		}
		var buf [8]model.Interval
		c.crew(where, f.Crew, c.plan.Fixed[f.ID], within(buf[:0], c.cal.openIn, iv))
	}
	for id := range inOrder(c.plan.Fixed) {
		if !known[id] {
			c.add(fault{Known, Where{Fixed: id}, id, 0}, "the plan names people for the fixed work %q, which the problem does not have", id)
		}
	}
}

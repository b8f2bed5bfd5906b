// Package check judges plans: is a plan allowed, and what does it cost. It is
// written from the planning model alone and shares nothing with the search, so
// that what it allows can be relied on.
package check

import (
	"fmt"
	"slices"
	"time"

	"pourweek/model"
)

// Verdict is the judgment on a plan.
type Verdict struct {
	// Allowed says that the plan keeps every rule and states its cost, terms and
	// bound as they are.
	Allowed bool
	// Cost is what the plan costs, Terms.Total(). It is 0 if a rule is broken
	// other than Cost, Terms and Bound: such a plan has no cost.
	Cost  model.Mils
	Terms model.Terms
	// Broken holds what is broken, in an order that depends on problem and plan
	// alone; empty if Allowed.
	Broken []Broken
}

// Check judges a plan by the planning model. p must be valid (Validate finds
// nothing); the plan may be anything at all and may be nil. Both are only read.
// Where what is planned of a pour or batch makes no sense (a step missing, an
// end before its start), the rules that build on it are not looked at. A plan
// whose Cost is model.Unstated states neither cost nor terms. Cost O(n log n)
// in the tasks and the people in them, about a millisecond for a large week.
func Check(p *model.Problem, plan *model.Plan) *Verdict {
	if plan == nil {
		plan = &model.Plan{Cost: model.Unstated}
	}
	c := newChecker(p, plan)
	c.listBatches()
	c.listPours()
	c.doFixed()
	c.mixBatches()
	for i := range c.pours {
		switch x := &c.pours[i]; {
		case x.sound:
			c.pour(x)
		case x.PourPlan != nil:
			c.feedsAtAll(x)
		}
	}
	c.runMixers()
	c.useMolds()
	c.ship()
	c.rest()
	c.hold()
	c.people()
	if len(c.broken) > 0 {
		return &Verdict{Broken: c.broken}
	}
	c.price()
	c.compare()
	return &Verdict{len(c.broken) == 0, c.terms.Total(), c.terms, c.broken}
}

// far bounds the ticks that are reckoned with, so that no sum overflows.
const far = model.Tick(1) << 40

// checker holds one judgment under way. Slices that are by something are by its
// index in the problem.
type checker struct {
	p      *model.Problem
	plan   *model.Plan
	cal    calendar
	broken []Broken
	terms  model.Terms

	personIx  map[string]int
	stationIx map[string]int
	rackIx    map[string]int
	moldIx    map[string]int

	on       [][]model.Interval // by person, touching intervals joined
	busy     [][]stint          // by person
	lastTask []int              // by person, the number of the task they were last seen in
	tasks    []Where            // name of each task with people, by its number

	stations [][]holding // by station
	racks    [][]holding // by rack

	batches map[string]*batch
	inMixer map[string][]*batch
	pours   []planned // by pour
	called  []bool    // by call-in
}

// stint is the time that a task takes a person, without a gap.
type stint struct {
	iv   model.Interval
	task int
}

// holding is n places held over iv.
type holding struct {
	iv    model.Interval
	n     int
	where Where
}

func newChecker(p *model.Problem, plan *model.Plan) *checker {
	c := &checker{
		p: p, plan: plan, cal: newCalendar(p),
		personIx:  index(p.People, func(v *model.Person) string { return v.ID }),
		stationIx: index(p.Stations, func(v *model.Station) string { return v.ID }),
		rackIx:    index(p.Racks, func(v *model.Rack) string { return v.ID }),
		moldIx:    index(p.Molds, func(v *model.Mold) string { return v.ID }),
		on:        make([][]model.Interval, len(p.People)),
		busy:      make([][]stint, len(p.People)),
		lastTask:  make([]int, len(p.People)),
		stations:  make([][]holding, len(p.Stations)),
		racks:     make([][]holding, len(p.Racks)),
		batches:   make(map[string]*batch, len(plan.Batches)),
		inMixer:   make(map[string][]*batch, len(p.Mixers)),
		pours:     make([]planned, len(p.Pours)),
		called:    make([]bool, len(p.Callins)),
	}
	for i := range p.People {
		c.on[i] = join(p.People[i].On)
		c.lastTask[i] = -1
	}
	return c
}

func index[T any](list []T, id func(*T) string) map[string]int {
	m := make(map[string]int, len(list))
	for i := range list {
		m[id(&list[i])] = i
	}
	return m
}

// fault is what add needs besides a sentence.
type fault struct {
	rule  Rule
	where Where
	thing string
	tick  model.Tick
}

func (c *checker) add(f fault, format string, args ...any) {
	c.broken = append(c.broken, Broken{f.rule, f.where, f.thing, f.tick, fmt.Sprintf(format, args...)})
}

// at says a tick in words: Mon Mar 1 07:00 (tick 28), in the offset of the
// problem's start.
func (c *checker) at(t model.Tick) string {
	start, err := time.Parse(time.RFC3339, c.p.Start)
	if err != nil || t < -far || t > far || c.p.TickMinutes <= 0 || c.p.TickMinutes > model.MinutesPerDay {
		return fmt.Sprintf("tick %d", t)
	}
	// Days and minutes apart: a Duration holds no more than 292 years.
	min := int64(t) * int64(c.p.TickMinutes)
	day := start.AddDate(0, 0, int(min/model.MinutesPerDay))
	return fmt.Sprintf("%s (tick %d)", day.Add(time.Duration(min%model.MinutesPerDay)*time.Minute).Format("Mon Jan 2 15:04"), t)
}

// many says a number of things in words.
func many(n model.Tick, thing string) string {
	switch {
	case n == 1:
		return "1 " + thing
	case thing == "entry":
		return fmt.Sprintf("%d entries", n)
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// compare holds the computed cost against what the plan states.
func (c *checker) compare() {
	stated, cost := c.plan.Cost, c.terms.Total()
	if stated != model.Unstated {
		if stated != cost {
			c.add(fault{rule: Cost}, "the plan states a cost of %d mils; it costs %d", stated, cost)
		}
		if c.plan.Terms != c.terms {
			for _, name := range model.TermNames {
				if s, is := *c.plan.Terms.Term(name), *c.terms.Term(name); s != is {
					c.add(fault{rule: Terms, thing: name}, "the plan states %d mils for the term %s; it is %d", s, name, is)
				}
			}
		}
	}
	if c.plan.Bound > cost {
		c.add(fault{rule: Bound}, "the plan states that no plan costs less than %d mils, and costs %d itself", c.plan.Bound, cost)
	}
}

// inSome reports whether t lies in one of the intervals.
func inSome(ivs []model.Interval, t model.Tick) bool {
	return slices.ContainsFunc(ivs, func(iv model.Interval) bool { return iv.From() <= t && t < iv.To() })
}

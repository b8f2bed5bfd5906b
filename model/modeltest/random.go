// Package modeltest makes weeks at random for tests: whole problems with every
// optional rule of the planning model on and off, and toys that an exhaustive
// search can finish.
package modeltest

import (
	"fmt"
	"math/rand/v2"

	"pourweek/model"
)

// Options narrows what Random draws. The zero value draws 1 to 40 pours with
// all optional rules on and off.
type Options struct {
	MinPours int  // at least so many pours; 0: 1
	MaxPours int  // at most so many pours; 0: 40
	Plain    bool // none of the optional rules
}

// gen draws one problem. Everything comes from r in a fixed order, so that a
// seed says all.
type gen struct {
	r     *rand.Rand
	o     Options
	p     *model.Problem
	day   model.Tick // ticks in a day
	hour  model.Tick // ticks in an hour
	days  int        // days in the horizon
	last  int        // first layers start before the end of this day
	today int        // the day of Now

	opens  []model.Interval // by day: first open tick, last regular tick + 1; empty when closed
	skills []string
	core   []model.Person // always there in regular time; the first has every skill
	types  []piece
	must   int // pours that no plan may carry, so far
	pins   map[string]bool
	full   bool // racks must take all that is cast already at once
}

// Random draws a problem of a few days to two weeks. The same seed and options
// give the same problem. It is valid, and nearly always has an allowed plan:
// pins lie on different days in molds of their own, and what is cast already
// has generous limits.
func Random(seed uint64, o Options) *model.Problem {
	if o.MinPours < 1 {
		o.MinPours = 1
	}
	if o.MaxPours < o.MinPours {
		o.MaxPours = max(40, o.MinPours)
	}
	g := &gen{r: rand.New(rand.NewPCG(seed, 0x9e3779b97f4a7c15)), o: o, pins: map[string]bool{}}
	g.p = &model.Problem{
		Format: model.ProblemFormat, Name: fmt.Sprintf("random-%d", seed), Start: "2027-03-01T00:00:00Z",
		Open: []model.Interval{}, Overtime: []model.Interval{}, Fixed: []model.Fixed{},
	}
	n := g.between(o.MinPours, o.MaxPours)
	if g.maybe(2) {
		n = g.between(o.MinPours, min(o.MaxPours, o.MinPours+8))
	}
	g.calendar()
	g.people(n)
	g.shop(n)
	g.pours(n)
	g.racks()
	g.shipments()
	g.fixed()
	g.costs()
	return g.p
}

// between draws a number in the closed range [a, b].
func (g *gen) between(a, b int) int {
	if b <= a {
		return a
	}
	return a + g.r.IntN(b-a+1)
}

// ticks draws a number of ticks in the closed range of minutes [a, b], rounded
// up to ticks.
func (g *gen) ticks(a, b int) model.Tick {
	t := g.p.TickMinutes
	return model.Tick((g.between(a, b) + t - 1) / t)
}

// maybe is true once in n draws.
func (g *gen) maybe(n int) bool { return g.r.IntN(n) == 0 }

// rule is true once in n draws, and never in a plain problem.
func (g *gen) rule(n int) bool { return g.maybe(n) && !g.o.Plain }

func pick[T any](g *gen, xs []T) T { return xs[g.r.IntN(len(xs))] }

func (g *gen) calendar() {
	p := g.p
	p.TickMinutes = pick(g, []int{5, 5, 15})
	g.hour = model.Tick(60 / p.TickMinutes)
	g.day = 24 * g.hour
	g.days = g.between(6, 14)
	g.last = g.between(2, min(g.days-4, 5))
	p.Horizon = model.Tick(g.days) * g.day
	p.PourUntil = model.Tick(g.last) * g.day
	p.MoveTolerance = g.ticks(0, 60)
	if g.maybe(3) {
		g.today = g.between(0, 1)
		p.Now = model.Tick(g.today)*g.day + 7*g.hour + g.ticks(0, 120)
	}
	over := g.maybe(2)
	long := g.hour * model.Tick(g.between(1, 3))
	for d := range g.days {
		at := model.Tick(d) * g.day
		from, to := at+7*g.hour, at+17*g.hour
		noon := at + 12*g.hour
		if d%7 > 4 {
			if !(d%7 == 5 && g.rule(3)) {
				g.opens = append(g.opens, model.Interval{})
				continue
			}
			to = at + 13*g.hour
			p.Callins = append(p.Callins, model.Callin{From: at, To: at + g.day, Cost: model.Mils(g.between(10, 200) * 1000)})
			if g.maybe(2) {
				p.Open = append(p.Open, model.Interval{from, to})
				p.Overtime = append(p.Overtime, model.Interval{from, to})
				g.opens = append(g.opens, model.Interval{})
				continue
			}
		}
		g.opens = append(g.opens, model.Interval{from, to})
		if to < noon+g.hour {
			p.Open = append(p.Open, model.Interval{from, to})
			continue
		}
		end := to
		if over {
			end += long
			p.Overtime = append(p.Overtime, model.Interval{to, end})
		}
		p.Open = append(p.Open, model.Interval{from, noon}, model.Interval{noon + max(1, g.hour/2), end})
	}
}

// on cuts the open ticks to those of the days kept, with or without overtime.
func (g *gen) on(keep func(day int) bool, over bool) []model.Interval {
	out := []model.Interval{}
	for _, iv := range g.p.Open {
		if !keep(int(iv[0] / g.day)) {
			continue
		}
		if !over {
			for _, x := range g.p.Overtime {
				if x[0] <= iv[0] && iv[1] <= x[1] {
					iv[1] = iv[0]
				} else if iv[0] < x[0] && x[0] < iv[1] {
					iv[1] = x[0]
				}
			}
		}
		if iv[0] < iv[1] {
			out = append(out, iv)
		}
	}
	return out
}

func (g *gen) people(pours int) {
	names := []string{"hand", "mix", "spray", "finish", "lift", "paint"}
	g.skills = names[:g.between(1, len(names))]
	n := g.between(1, 1+min(7, pours/4+1))
	core := g.between(1, n)
	for i := range n {
		x := model.Person{ID: fmt.Sprintf("p%d", i+1)}
		for _, s := range g.skills {
			if i == 0 || g.maybe(2) {
				x.Skills = append(x.Skills, s)
			}
		}
		if len(x.Skills) == 0 {
			x.Skills = []string{pick(g, g.skills)}
		}
		away := -1
		if i >= core {
			away = g.between(0, g.days)
		}
		x.On = g.on(func(d int) bool { return d != away }, g.maybe(2))
		if i < core {
			g.core = append(g.core, x)
		}
		g.p.People = append(g.p.People, x)
	}
}

// crew draws a demand of one or two heads that the core can always meet.
func (g *gen) crew(like ...string) model.Crew {
	first := g.skills[0]
	for _, s := range g.skills {
		for _, l := range like {
			if s == l {
				first = s
			}
		}
	}
	c := model.Crew{first: 1}
	if g.maybe(4) {
		c[pick(g, g.skills)]++
	}
	if !g.met(c) {
		return model.Crew{first: 1}
	}
	return c
}

// met reports whether the core can be told off to a demand of at most two
// heads. The first of the core has every skill, so some other must have one of
// them.
func (g *gen) met(c model.Crew) bool {
	heads := 0
	for _, k := range c {
		heads += k
	}
	if heads < 2 {
		return true
	}
	for _, x := range g.core[1:] {
		for _, s := range x.Skills {
			if c[s] > 0 {
				return true
			}
		}
	}
	return false
}

// when draws for every open day one window of at least four hours that starts
// with the day or an hour after.
func (g *gen) when() []model.Interval {
	late := g.hour * model.Tick(g.between(0, 1))
	long := g.hour * model.Tick(g.between(4, 8))
	var out []model.Interval
	for _, iv := range g.opens {
		if iv[0] < iv[1] {
			out = append(out, model.Interval{iv[0] + late, min(iv[0]+late+long, iv[1])})
		}
	}
	return out
}

func (g *gen) costs() {
	t := g.p.TickMinutes
	per := func(a, b int) model.Mils {
		if g.maybe(8) {
			return 0
		}
		return model.Mils(g.between(a, b) * t)
	}
	g.p.Costs = model.Costs{
		Idle: per(10, 100), Held: per(10, 100), RackWait: per(4, 40), Overtime: per(100, 800),
		Batch: model.Mils(g.between(0, 12) * 1000), Waste: model.Mils(g.between(0, 2)),
		Move: model.Mils(g.between(0, 30) * 1000),
	}
}

package why

import (
	"fmt"
	"slices"

	"pourweek/model"
)

// Link is one step of a pour and what it waited for.
type Link struct {
	Step string // prep, a layer, cover, demold or a finish step
	At   model.Interval
	// Waited is the time between the earliest start that the step before
	// allows and the real start, 0 when it did not wait.
	Waited model.Tick
	Text   string // the binding rule, a sentence without its period
	Binds  string // what it waited for: "mold M3", "crew finish", "rack long"; "" if it did not wait
}

// busy is one thing that people, a mold, a rack or a station are held for.
type busy struct {
	what    string // A-103/1 polish
	iv      model.Interval
	people  []string
	station string
}

// chainer looks for what binds each step of a planned pour.
type chainer struct {
	p     *model.Problem
	plan  *model.Plan
	clock func(model.Tick) string
	open  []bool
	over  []bool
	on    map[string][]bool
	pours map[string]*model.Pour
	mixes map[string]*model.Mix
	busy  []busy
	works map[string][]int // by person and tick: the index in busy plus one, 0 where free
	racks map[string][]int // by rack and tick: the places held
	rigs  map[string][]int // by station and tick: the places held
}

// Chain explains when each step of a planned pour starts, in order. clock
// writes a tick as the shop reads it. The answer tells what keeps the step from
// starting a tick earlier in this plan; a plan that moves other work as well
// may do better. Nil if the plan does not have the pour.
func Chain(p *model.Problem, plan *model.Plan, pour string, clock func(model.Tick) string) []Link {
	c := &chainer{p: p, plan: plan, clock: clock}
	var x *model.PourPlan
	var q *model.Pour
	for i := range plan.Pours {
		if plan.Pours[i].ID == pour {
			x = &plan.Pours[i]
		}
	}
	for i := range p.Pours {
		if p.Pours[i].ID == pour {
			q = &p.Pours[i]
		}
	}
	if x == nil || q == nil {
		return nil
	}
	c.lay()
	return c.links(q, x)
}

func mask(h model.Tick, ivs []model.Interval) []bool {
	m := make([]bool, h)
	for _, iv := range ivs {
		for t := max(iv[0], 0); t < min(iv[1], h); t++ {
			m[t] = true
		}
	}
	return m
}

// lay lists everything that the plan keeps people, racks and stations busy with.
func (c *chainer) lay() {
	h := c.p.Horizon
	c.open, c.over = mask(h, c.p.Open), mask(h, c.p.Overtime)
	c.on, c.works, c.racks, c.rigs = map[string][]bool{}, map[string][]int{}, map[string][]int{}, map[string][]int{}
	for _, x := range c.p.People {
		c.on[x.ID], c.works[x.ID] = mask(h, x.On), make([]int, h)
	}
	for _, x := range c.p.Racks {
		c.racks[x.ID] = make([]int, h)
	}
	for _, x := range c.p.Stations {
		c.rigs[x.ID] = make([]int, h)
	}
	c.mixes, c.pours = map[string]*model.Mix{}, map[string]*model.Pour{}
	for i := range c.p.Mixes {
		c.mixes[c.p.Mixes[i].ID] = &c.p.Mixes[i]
	}
	for i := range c.p.Pours {
		c.pours[c.p.Pours[i].ID] = &c.p.Pours[i]
	}
	for _, b := range c.plan.Batches {
		m := c.mixes[b.Mix]
		ready := b.Start + m.Mix + m.Rest + m.Remix
		c.add(b.ID+" mixing", &model.Interval{b.Start, b.Start + m.Mix}, b.Who.Mix, "")
		c.add(b.ID+" remixing", &model.Interval{ready - m.Remix, ready}, b.Who.Remix, "")
		c.add(b.ID+" washing", &b.Wash, b.Who.Wash, "")
	}
	for _, f := range c.p.Fixed {
		c.add(f.ID, &model.Interval{f.Start, f.End}, c.plan.Fixed[f.ID], f.Station)
	}
	for i := range c.plan.Pours {
		x := &c.plan.Pours[i]
		list := steps(c.pours[x.ID], x)
		for _, s := range list {
			c.add(x.ID+" "+s.id, s.iv, s.who, s.station)
		}
		c.spans(c.pours[x.ID], x, list)
	}
	c.rest()
}

// spans adds what a pour holds between two moments of its life.
func (c *chainer) spans(q *model.Pour, x *model.PourPlan, list []step) {
	at := map[string]model.Tick{}
	for _, s := range list {
		at[s.id+".start"], at[s.id+".end"] = s.iv[0], s.iv[1]
	}
	for _, s := range q.Spans {
		if to, ok := at[s.To]; ok { // one that began in a step done before begins at tick 0
			c.add(x.ID, &model.Interval{at[s.From], to}, nil, model.OptID(s.Station))
		}
	}
}

// rest counts the places of racks that the plan holds, to the end of the pour or,
// where a shipment holds them, until it leaves.
func (c *chainer) rest() {
	until := map[string]model.Tick{}
	for _, x := range c.plan.Pours {
		until[x.ID] = x.Ready
	}
	for _, s := range c.p.Shipments {
		out := model.Tick(0)
		for _, id := range s.Pours {
			out = max(out, until[id])
		}
		if len(s.Trucks) > 0 {
			i := slices.IndexFunc(s.Trucks, func(t model.Tick) bool { return t >= out })
			if i < 0 {
				out = c.p.Horizon
			} else {
				out = s.Trucks[i]
			}
		}
		for _, id := range s.Pours {
			if until[id] > 0 && s.Hold {
				until[id] = out
			}
		}
	}
	for _, x := range c.plan.Pours {
		from := model.Tick(0)
		if x.Demold != nil {
			from = x.Demold[0]
		}
		for t := from; t < min(until[x.ID], c.p.Horizon); t++ {
			c.racks[x.Rack][t] += c.pours[x.ID].Places
		}
	}
}

func (c *chainer) add(what string, iv *model.Interval, who model.Who, st model.OptID) {
	if iv == nil || iv[1] <= iv[0] {
		return
	}
	b := busy{what: what, iv: *iv, station: string(st)}
	for _, ids := range who {
		b.people = append(b.people, ids...)
	}
	slices.Sort(b.people)
	c.busy = append(c.busy, b)
	for t := max(iv[0], 0); t < min(iv[1], c.p.Horizon); t++ {
		if held := c.rigs[b.station]; held != nil {
			held[t]++
		}
		for _, id := range b.people {
			if c.open[t] {
				c.works[id][t] = len(c.busy)
			}
		}
	}
}

// step is one task of a planned pour with what it asks for.
type step struct {
	id      string
	iv      *model.Interval
	who     model.Who
	crew    model.Crew
	station model.OptID
	when    []model.Interval
	work    model.Tick
	pauses  bool       // it is pausable, else steady
	gap     model.Tick // least distance from the step before
	gapText string
}

func steps(q *model.Pour, x *model.PourPlan) []step {
	var out []step
	whoAt := func(list []model.Who, j int) model.Who {
		if j < len(list) {
			return list[j]
		}
		return nil
	}
	if x.Prep != nil {
		work := model.Tick(1)
		for _, m := range q.Molds {
			if m.Mold == string(x.Mold) {
				work = m.Work
			}
		}
		out = append(out, step{"prep", x.Prep, x.Who.Prep, q.Prep.Crew, q.Prep.Station, q.Prep.When, work, true, 0, ""})
	}
	for j := range x.Layers {
		y := q.Layers[j]
		gap := y.Gap[0]
		if j == 0 {
			gap = 0
		}
		out = append(out, step{y.ID, &x.Layers[j], whoAt(x.Who.Layers, j), y.Crew, y.Station, y.When, y.Work, false, gap, "the coat before must stand"})
	}
	if x.Cover != nil {
		out = append(out, step{"cover", x.Cover, x.Who.Cover, q.Cover.Crew, q.Cover.Station, q.Cover.When, q.Cover.Work, false, q.Cover.Gap[0], "the last coat must stand"})
	}
	if x.Demold != nil {
		out = append(out, step{"demold", x.Demold, x.Who.Demold, q.Demold.Crew, q.Demold.Station, q.Demold.When, q.Demold.Work, false, 0, "it cures"})
	}
	for j, iv := range x.Finish {
		if iv != nil {
			f := q.Finish[j]
			out = append(out, step{f.ID, iv, whoAt(x.Who.Finish, j), f.Crew, f.Station, f.When, f.Work, f.Pausable, f.Rest, "it must rest"})
		}
	}
	return out
}

func (c *chainer) links(q *model.Pour, x *model.PourPlan) []Link {
	var out []Link
	list := steps(q, x)
	for i := range list {
		s := &list[i]
		end, earliest := c.after(q, x, list, i)
		l := Link{Step: s.id, At: *s.iv, Waited: max(s.iv[0]-earliest, 0)}
		switch {
		case l.Waited == 0 && i == 0:
			l.Text = "it starts as soon as it may"
		case l.Waited == 0 && earliest > end:
			l.Text = fmt.Sprintf("%s until %s", s.gapText, c.clock(earliest))
		case l.Waited == 0:
			l.Text = "it follows at once"
		default:
			l.Binds, l.Text = c.binding(q, x, s, earliest)
		}
		out = append(out, l)
	}
	return out
}

// after gives the end of what comes before a step, and the earliest start that
// it allows.
func (c *chainer) after(q *model.Pour, x *model.PourPlan, list []step, i int) (end, earliest model.Tick) {
	s := &list[i]
	end = max(q.Release, c.p.Now)
	if q.Stage == model.Racked {
		end = max(q.From, c.p.Now)
	}
	if i > 0 {
		end = list[i-1].iv[1]
	}
	switch {
	case s.id == "demold" && x.CureEnd != nil:
		return end, max(*x.CureEnd, c.p.Now)
	case s.id == "demold" && q.Stage == model.Curing:
		return end, max(q.CureEnd, c.p.Now)
	case i > 0:
		return end, end + s.gap
	}
	return end, end
}

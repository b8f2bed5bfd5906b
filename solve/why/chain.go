package why

import (
	"fmt"
	"slices"
	"strings"

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
	on    map[string][]bool
	busy  []busy
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

// lay lists everything that the plan keeps people and stations busy with.
func (c *chainer) lay() {
	c.open = mask(c.p.Horizon, c.p.Open)
	c.on = map[string][]bool{}
	for _, x := range c.p.People {
		c.on[x.ID] = mask(c.p.Horizon, x.On)
	}
	mixes := map[string]*model.Mix{}
	for i := range c.p.Mixes {
		mixes[c.p.Mixes[i].ID] = &c.p.Mixes[i]
	}
	for _, b := range c.plan.Batches {
		m := mixes[b.Mix]
		ready := b.Start + m.Mix + m.Rest + m.Remix
		c.add(b.ID+" mixing", &model.Interval{b.Start, b.Start + m.Mix}, b.Who.Mix, "")
		c.add(b.ID+" remixing", &model.Interval{ready - m.Remix, ready}, b.Who.Remix, "")
		c.add(b.ID+" washing", &b.Wash, b.Who.Wash, "")
	}
	for _, f := range c.p.Fixed {
		c.add(f.ID, &model.Interval{f.Start, f.End}, c.plan.Fixed[f.ID], f.Station)
	}
	at := map[string]*model.Pour{}
	for i := range c.p.Pours {
		at[c.p.Pours[i].ID] = &c.p.Pours[i]
	}
	for i := range c.plan.Pours {
		for _, s := range steps(at[c.plan.Pours[i].ID], &c.plan.Pours[i]) {
			c.add(c.plan.Pours[i].ID+" "+s.id, s.iv, s.who, s.station)
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
		out = append(out, step{"prep", x.Prep, x.Who.Prep, q.Prep.Crew, q.Prep.Station, q.Prep.When, work, 0, ""})
	}
	for j := range x.Layers {
		y := q.Layers[j]
		gap := y.Gap[0]
		if j == 0 {
			gap = 0
		}
		out = append(out, step{y.ID, &x.Layers[j], whoAt(x.Who.Layers, j), y.Crew, y.Station, y.When, y.Work, gap, "the coat before must stand"})
	}
	if x.Cover != nil {
		out = append(out, step{"cover", x.Cover, x.Who.Cover, q.Cover.Crew, q.Cover.Station, q.Cover.When, q.Cover.Work, q.Cover.Gap[0], "the last coat must stand"})
	}
	if x.Demold != nil {
		out = append(out, step{"demold", x.Demold, x.Who.Demold, q.Demold.Crew, q.Demold.Station, q.Demold.When, q.Demold.Work, 0, "it cures"})
	}
	for j, iv := range x.Finish {
		if iv != nil {
			f := q.Finish[j]
			out = append(out, step{f.ID, iv, whoAt(x.Who.Finish, j), f.Crew, f.Station, f.When, f.Work, f.Rest, "it must rest"})
		}
	}
	return out
}

func (c *chainer) links(q *model.Pour, x *model.PourPlan) []Link {
	var out []Link
	end := max(q.Release, c.p.Now)
	if q.Stage == model.Racked {
		end = max(q.From, c.p.Now)
	}
	for i, s := range steps(q, x) {
		earliest := end
		switch {
		case s.id == "demold" && x.CureEnd != nil:
			earliest = max(*x.CureEnd, c.p.Now)
		case i > 0 || q.Stage == model.Curing:
			earliest = end + s.gap
		}
		l := Link{Step: s.id, At: *s.iv, Waited: max(s.iv[0]-earliest, 0)}
		switch {
		case l.Waited == 0 && i == 0:
			l.Text = "it starts as soon as it may"
		case l.Waited == 0 && earliest > end:
			l.Text = fmt.Sprintf("%s until %s", s.gapText, c.clock(earliest))
		case l.Waited == 0:
			l.Text = "it follows at once"
		default:
			l.Binds, l.Text = c.binding(q, x, &s, earliest)
		}
		out = append(out, l)
		end = s.iv[1]
	}
	return out
}

// binding says what keeps the step from starting a tick earlier.
func (c *chainer) binding(q *model.Pour, x *model.PourPlan, s *step, earliest model.Tick) (binds, text string) {
	t := s.iv[0] - 1
	for t >= earliest && !c.mayStart(s, t) {
		t--
	}
	if t < earliest {
		return "hours", "the shop is closed, or the hours for this step begin, at " + c.clock(s.iv[0])
	}
	if text := c.moldOrRack(q, x, s, t); text != "" {
		if s.id == "demold" {
			return "rack " + x.Rack, text
		}
		return "mold " + string(x.Mold), text
	}
	if text := c.batchBinds(x, s); text != "" {
		return "batch", text
	}
	if skill, text := c.crewBinds(q, x, s, t); text != "" {
		return "crew " + skill, text
	}
	if s.station != "" {
		for _, b := range c.busy {
			if b.station == string(s.station) && b.iv[0] < t+s.work && b.iv[1] > t && b.what != q.ID+" "+s.id {
				return "station " + b.station, fmt.Sprintf("%s is held for %s until %s", s.station, b.what, c.clock(b.iv[1]))
			}
		}
	}
	if c.onlyOvertime(s, earliest) {
		return "overtime", "only overtime is left before, which costs more"
	}
	return "choice", "it could start earlier by itself; the plan waits, because that is cheaper for the week or keeps a later step in its window"
}

// onlyOvertime reports whether every start before the planned one takes overtime.
func (c *chainer) onlyOvertime(s *step, earliest model.Tick) bool {
	over := mask(c.p.Horizon, c.p.Overtime)
	for t := earliest; t < s.iv[0]; t++ {
		if c.mayStart(s, t) && !over[t] {
			return false
		}
	}
	return true
}

func (c *chainer) mayStart(s *step, t model.Tick) bool {
	if t < 0 || t >= c.p.Horizon || !c.open[t] {
		return false
	}
	return s.when == nil || slices.ContainsFunc(s.when, func(iv model.Interval) bool { return iv[0] <= t && t < iv[1] })
}

// moldOrRack: a prep waits for the mold's piece before, a demold for a place.
func (c *chainer) moldOrRack(q *model.Pour, x *model.PourPlan, s *step, t model.Tick) string {
	switch s.id {
	case "prep":
		for i := range c.plan.Pours {
			y := &c.plan.Pours[i]
			mold := y.Mold
			if y.ID != q.ID && mold == x.Mold && y.Demold != nil && y.Demold[1] > t && y.Demold[1] <= s.iv[0] {
				return fmt.Sprintf("mold %s holds %s until %s", x.Mold, y.ID, c.clock(y.Demold[1]))
			}
		}
	case "demold":
		if full := c.rackFull(q, x, t); full {
			return fmt.Sprintf("rack %s has no place left before %s", x.Rack, c.clock(s.iv[0]))
		}
	}
	return ""
}

func (c *chainer) rackFull(q *model.Pour, x *model.PourPlan, t model.Tick) bool {
	held, places := 0, 0
	at := map[string]*model.Pour{}
	for i := range c.p.Pours {
		at[c.p.Pours[i].ID] = &c.p.Pours[i]
	}
	for _, y := range c.plan.Pours {
		if y.Rack != x.Rack || y.ID == q.ID {
			continue
		}
		from := model.Tick(0)
		if y.Demold != nil {
			from = y.Demold[0]
		}
		if from <= t && t < y.Ready {
			held += at[y.ID].Places
		}
	}
	for _, r := range c.p.Racks {
		if r.ID == x.Rack {
			places = int(r.Places.At(t))
		}
	}
	return held+q.Places > places
}

// batchBinds: a coat cannot start before its batch is ready.
func (c *chainer) batchBinds(x *model.PourPlan, s *step) string {
	for _, b := range c.plan.Batches {
		if !slices.Contains(x.Draws, b.ID) {
			continue
		}
		for _, m := range c.p.Mixes {
			if ready := b.Start + m.Mix + m.Rest + m.Remix; m.ID == b.Mix && ready == s.iv[0] && s.crew != nil && isLayer(x, s) {
				return fmt.Sprintf("batch %s, mixed from %s, is ready then", b.ID, c.clock(b.Start))
			}
		}
	}
	return ""
}

func isLayer(x *model.PourPlan, s *step) bool {
	return slices.ContainsFunc(x.Layers, func(iv model.Interval) bool { return iv == *s.iv })
}

// crewBinds: too few people of a skill are free over the step's first ticks.
func (c *chainer) crewBinds(q *model.Pour, x *model.PourPlan, s *step, t model.Tick) (skill, text string) {
	skills := make([]string, 0, len(s.crew))
	for k := range s.crew {
		skills = append(skills, k)
	}
	slices.Sort(skills)
	for _, k := range skills {
		free, why := 0, []string{}
		for _, person := range c.p.People {
			if !slices.Contains(person.Skills, k) {
				continue
			}
			if text := c.occupied(person.ID, model.Interval{t, t + s.work}, q.ID+" "+s.id); text != "" {
				why = append(why, text)
			} else {
				free++
			}
		}
		if free < s.crew[k] {
			return k, fmt.Sprintf("too few with the skill %s are free before: %s", k, strings.Join(why, "; "))
		}
	}
	return "", ""
}

// occupied says what a person does in the interval, "" if they are free.
func (c *chainer) occupied(person string, iv model.Interval, but string) string {
	for _, b := range c.busy {
		if b.what != but && slices.Contains(b.people, person) && b.iv[0] < iv[1] && b.iv[1] > iv[0] {
			return fmt.Sprintf("%s is at %s until %s", person, b.what, c.clock(b.iv[1]))
		}
	}
	for t := iv[0]; t < min(iv[1], c.p.Horizon); t++ {
		if c.open[t] && !c.on[person][t] {
			return person + " is not there"
		}
	}
	return ""
}

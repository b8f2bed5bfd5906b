package why

import (
	"fmt"
	"slices"
	"strings"

	"pourweek/model"
)

// bind is what keeps a step from starting at a tick.
type bind struct {
	name string        // "mold M3", "crew finish", "batch", ...; "" where nothing that is known of does
	text func() string // a sentence without its period
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
	if b := c.bindsAt(q, x, s, t); b.name != "" {
		return b.name, b.text()
	}
	first := c.moldBefore(x, s, earliest)
	if c.onlyOvertime(s, earliest) {
		return "overtime", first + "only overtime is left before, which costs more"
	}
	return "choice", first + "it could start earlier by itself; the plan waits, because that is cheaper for the week or keeps a later step in its window"
}

// moldBefore says what the mold of a prep that waits by choice was held for at
// first, as most of a long wait may be that; "" where it was free all along.
func (c *chainer) moldBefore(x *model.PourPlan, s *step, earliest model.Tick) string {
	if s.id != "prep" {
		return ""
	}
	for t := s.iv[0] - 1; t >= earliest; t-- {
		if b := c.moldBinds(x, s, t); b.name != "" {
			return b.text() + "; after that "
		}
	}
	return ""
}

// bindsAt says what keeps the step from starting at a tick t before its start, at
// which the hours would let it: its mold or rack, its batch, its people, its
// station, the first of these that does.
func (c *chainer) bindsAt(q *model.Pour, x *model.PourPlan, s *step, t model.Tick) bind {
	var b bind
	switch s.id {
	case "prep":
		b = c.moldBinds(x, s, t)
	case "demold":
		b = c.rackBinds(q, x, s, t)
	default:
		b = c.batchBinds(q, x, s, t)
	}
	if b.name == "" || b.name == "batch" {
		if o := c.crewBinds(s.crew, c.takes(s, t), q.ID+" "+s.id); o.name != "" {
			return o
		}
		if o := c.rigBinds(q, s, t); o.name != "" {
			return o
		}
	}
	return b
}

// onlyOvertime reports whether every start before the planned one takes overtime.
func (c *chainer) onlyOvertime(s *step, earliest model.Tick) bool {
	for t := earliest; t < s.iv[0]; t++ {
		if c.mayStart(s, t) && !c.over[t] {
			return false
		}
	}
	return true
}

// mayStart reports whether the hours let a step start: the shop is open, all
// through a steady step, and the step's own times allow it.
func (c *chainer) mayStart(s *step, t model.Tick) bool {
	if t < 0 || t+s.work > c.p.Horizon || !c.open[t] {
		return false
	}
	if s.when != nil && !slices.ContainsFunc(s.when, func(iv model.Interval) bool { return iv[0] <= t && t < iv[1] }) {
		return false
	}
	return s.pauses || !slices.Contains(c.open[t:t+s.work], false)
}

// regular reports whether a step that starts at a tick, as mayStart lets it, can
// be done without overtime.
func (c *chainer) regular(s *step, t model.Tick) bool {
	return c.mayStart(s, t) && !c.over[t] && (s.pauses || !slices.Contains(c.over[t:t+s.work], true))
}

// takes lists the ticks that a step takes from t on; one that starts in regular
// hours and may pause is put down for overtime.
func (c *chainer) takes(s *step, t model.Tick) []model.Tick {
	skip := s.pauses && !c.over[t]
	var out []model.Tick
	for ; t < c.p.Horizon && len(out) < int(s.work); t++ {
		if c.open[t] && !(skip && c.over[t]) {
			out = append(out, t)
		}
	}
	return out
}

// moldBinds: a prep waits for the piece before in its mold, or for the mold to be
// free or no longer down.
func (c *chainer) moldBinds(x *model.PourPlan, s *step, t model.Tick) bind {
	id := string(x.Mold)
	for i := range c.plan.Pours {
		y := &c.plan.Pours[i]
		if y.ID != x.ID && y.Mold == x.Mold && y.Demold != nil && y.Demold[1] > t && y.Demold[1] <= s.iv[0] {
			return bind{"mold " + id, func() string { return fmt.Sprintf("mold %s holds %s until %s", id, y.ID, c.clock(y.Demold[1])) }}
		}
	}
	for i := range c.p.Molds {
		m := &c.p.Molds[i]
		if m.ID != id {
			continue
		}
		if m.FreeFrom > t {
			return bind{"mold " + id, func() string { return fmt.Sprintf("mold %s is not free before %s", id, c.clock(m.FreeFrom)) }}
		}
		for _, iv := range m.Down {
			if iv[1] > t && iv[0] < s.iv[0] {
				return bind{"mold " + id, func() string { return fmt.Sprintf("mold %s is down until %s", id, c.clock(iv[1])) }}
			}
		}
	}
	return bind{}
}

// rackBinds: a demold waits for a place on its rack from then on.
func (c *chainer) rackBinds(q *model.Pour, x *model.PourPlan, s *step, t model.Tick) bind {
	for _, r := range c.p.Racks {
		for ; r.ID == x.Rack && t < s.iv[0]; t++ {
			if c.racks[r.ID][t]+q.Places > int(r.Places.At(t)) {
				return bind{"rack " + r.ID, func() string { return fmt.Sprintf("rack %s has no place left before %s", r.ID, c.clock(s.iv[0])) }}
			}
		}
	}
	return bind{}
}

// batchBinds: a coat cannot start before its batches are ready. A batch waits for
// its mixer, or for people to mix it, else for nothing that is counted ("batch").
func (c *chainer) batchBinds(q *model.Pour, x *model.PourPlan, s *step, t model.Tick) bind {
	var found bind
	for i, d := range q.Draws {
		for k := range c.plan.Batches {
			b := &c.plan.Batches[k]
			if i >= len(x.Draws) || b.ID != x.Draws[i] || !slices.ContainsFunc(d.Layers, func(j int) bool { return q.Layers[j].ID == s.id }) {
				continue
			}
			m := c.mixes[b.Mix]
			ready := b.Start + m.Mix + m.Rest + m.Remix
			if ready <= t {
				continue
			}
			o := c.sooner(b, m, ready-t)
			text := fmt.Sprintf("batch %s, mixed from %s, is ready then", b.ID, c.clock(b.Start))
			if ready != s.iv[0] {
				text = fmt.Sprintf("batch %s, mixed from %s, is ready at %s", b.ID, c.clock(b.Start), c.clock(ready))
			}
			switch {
			case o.name == "":
				found = bind{"batch", func() string { return text }}
			default:
				return bind{o.name, func() string { return text + "; " + o.text() }}
			}
		}
	}
	return found
}

// sooner says what keeps a batch from being mixed some ticks earlier.
func (c *chainer) sooner(b *model.BatchPlan, m *model.Mix, by model.Tick) bind {
	from := b.Start - by
	length := m.Mix + m.Rest + m.Remix
	if from < c.p.Now || slices.Contains(c.open[from:from+length], false) {
		return bind{"hours", func() string { return "it cannot be mixed sooner: the shop is closed then, or that is past" }}
	}
	for i := range c.plan.Batches {
		if o := &c.plan.Batches[i]; o.ID != b.ID && o.Mixer == b.Mixer && o.Start < b.Start && o.Wash[1] > from {
			return bind{"mixer " + b.Mixer, func() string {
				return fmt.Sprintf("before, mixer %s is held for %s until %s", b.Mixer, o.ID, c.clock(o.Wash[1]))
			}}
		}
	}
	for i := range c.p.Mixers {
		x := &c.p.Mixers[i]
		for _, iv := range append([]model.Interval{{0, x.FreeFrom}}, x.Down...) {
			if x.ID == b.Mixer && iv[0] < b.Start && iv[1] > from {
				return bind{"mixer " + b.Mixer, func() string { return fmt.Sprintf("before, mixer %s cannot be used until %s", b.Mixer, c.clock(iv[1])) }}
			}
		}
	}
	for _, part := range []model.Interval{{from, from + m.Mix}, {from + length - m.Remix, from + length}} {
		var ticks []model.Tick
		for t := part[0]; t < part[1]; t++ {
			ticks = append(ticks, t)
		}
		if o := c.crewBinds(m.Crew, ticks, b.ID+" "); o.name != "" {
			return o
		}
	}
	return bind{}
}

// crewBinds: too few people of a skill are free over the ticks. What begins with
// own is the task itself, which would be done then instead.
func (c *chainer) crewBinds(crew model.Crew, ticks []model.Tick, own string) bind {
	skills := make([]string, 0, len(crew))
	for k := range crew {
		skills = append(skills, k)
	}
	slices.Sort(skills)
	for _, k := range skills {
		free := 0
		for i := range c.p.People {
			if x := &c.p.People[i]; slices.Contains(x.Skills, k) && c.occupied(x.ID, ticks, own) < 0 {
				free++
			}
		}
		if free < crew[k] {
			return bind{"crew " + k, func() string { return c.tooFew(k, ticks, own) }}
		}
	}
	return bind{}
}

// tooFew says what those who have a skill do in the ticks.
func (c *chainer) tooFew(skill string, ticks []model.Tick, own string) string {
	var why []string
	for i := range c.p.People {
		x := &c.p.People[i]
		if !slices.Contains(x.Skills, skill) {
			continue
		}
		switch at := c.occupied(x.ID, ticks, own); {
		case at == 0:
			why = append(why, x.ID+" is not there")
		case at > 0:
			b := &c.busy[at-1]
			why = append(why, fmt.Sprintf("%s is at %s until %s", x.ID, b.what, c.clock(b.iv[1])))
		}
	}
	return fmt.Sprintf("too few with the skill %s are free before: %s", skill, strings.Join(why, "; "))
}

// occupied gives the task that a person does in one of the ticks (its index in
// busy plus one), 0 if they are not there in one, -1 if they are free in all.
func (c *chainer) occupied(person string, ticks []model.Tick, own string) int {
	for _, t := range ticks {
		if at := c.works[person][t]; at > 0 && !strings.HasPrefix(c.busy[at-1].what, own) {
			return at
		}
	}
	for _, t := range ticks {
		if !c.on[person][t] {
			return 0
		}
	}
	return -1
}

// rigBinds: the places of a station are taken while the step would be at it, or
// while the pour would hold one in a span that begins with the step.
func (c *chainer) rigBinds(q *model.Pour, s *step, t model.Tick) bind {
	if ticks := c.takes(s, t); s.station != "" && len(ticks) > 0 {
		if b := c.rigFull(string(s.station), model.Interval{t, ticks[len(ticks)-1] + 1}, *s.iv); b.name != "" {
			return b
		}
	}
	for _, span := range q.Spans {
		iv := model.Interval{}
		switch span.From {
		case s.id + ".start":
			iv = model.Interval{t, s.iv[0]}
		case s.id + ".end":
			iv = model.Interval{t + s.work, s.iv[1]}
		}
		if b := c.rigFull(span.Station, iv, model.Interval{}); b.name != "" {
			return b
		}
	}
	return bind{}
}

// rigFull looks for a tick in which all places of a station are held, by others
// than what holds one in own.
func (c *chainer) rigFull(station string, iv, own model.Interval) bind {
	for _, r := range c.p.Stations {
		for t := iv[0]; r.ID == station && t < min(iv[1], c.p.Horizon); t++ {
			held := c.rigs[r.ID][t]
			if own[0] <= t && t < own[1] {
				held--
			}
			if held < r.Places {
				continue
			}
			return bind{"station " + r.ID, func() string {
				for _, b := range c.busy {
					if b.station == r.ID && b.iv[0] <= t && t < b.iv[1] && b.iv != own {
						return fmt.Sprintf("%s is held for %s until %s", r.ID, b.what, c.clock(b.iv[1]))
					}
				}
				return r.ID + " has no place"
			}}
		}
	}
	return bind{}
}

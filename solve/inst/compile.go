package inst

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"pourweek/model"
)

// Index maps ids to their place in a list.
type Index map[string]int32

// IndexOf numbers the ids of a list.
func IndexOf[T any](xs []T, id func(*T) string) Index {
	m := make(Index, len(xs))
	for i := range xs {
		m[id(&xs[i])] = int32(i)
	}
	return m
}

func (m Index) at(kind, id string) (int32, error) {
	i, ok := m[id]
	if !ok {
		return None, fmt.Errorf("%s %q is not in the problem", kind, id)
	}
	return i, nil
}

type compiler struct {
	*Inst
	skills, mixes, mixers, molds, racks, stations, pours Index
	cures                                                map[string][]int32
	err                                                  error
}

// Compile turns a valid problem into its compiled form. It errors when an id
// is unknown or there are more than 64 skills; other faults are for
// model.Problem.Validate to find first. Cost O(H * (people + racks + cures) +
// pours).
func Compile(p *model.Problem) (*Inst, error) {
	c := &compiler{Inst: &Inst{P: p, Cal: newCal(p)}}
	c.Now, c.PourUntil = int32(p.Now), int32(p.PourUntil)
	c.MoveTolerance, c.Costs = int32(p.MoveTolerance), p.Costs
	c.indexAll()
	if len(c.Skills) > 64 {
		return nil, fmt.Errorf("%d skills; at most 64 are possible", len(c.Skills))
	}
	c.resources()
	for i := range p.Pours {
		c.Pours = append(c.Pours, c.pour(&p.Pours[i]))
	}
	for i := range c.Pours {
		if n := c.Pours[i].Places; n > maxPlaces && c.err == nil {
			c.err = fmt.Errorf("pour %q takes %d rack places; at most %d can be planned", c.Pours[i].ID, n, maxPlaces)
		}
	}
	c.shipments()
	c.group()
	if c.err != nil {
		return nil, c.err
	}
	return c.Inst, nil
}

// maxPlaces is the most rack places that a piece may take.
const maxPlaces = 10_000

func (c *compiler) indexAll() {
	p := c.P
	c.mixes = IndexOf(p.Mixes, func(x *model.Mix) string { return x.ID })
	c.mixers = IndexOf(p.Mixers, func(x *model.Mixer) string { return x.ID })
	c.molds = IndexOf(p.Molds, func(x *model.Mold) string { return x.ID })
	c.racks = IndexOf(p.Racks, func(x *model.Rack) string { return x.ID })
	c.stations = IndexOf(p.Stations, func(x *model.Station) string { return x.ID })
	c.pours = IndexOf(p.Pours, func(x *model.Pour) string { return x.ID })
	seen := map[string]bool{}
	add := func(s string) {
		if !seen[s] {
			seen[s] = true
			c.Skills = append(c.Skills, s)
		}
	}
	for _, x := range p.People {
		for _, s := range x.Skills {
			add(s)
		}
	}
	crew := func(m model.Crew) {
		for s := range m {
			add(s)
		}
	}
	for _, x := range p.Mixes {
		crew(x.Crew)
	}
	for _, x := range p.Fixed {
		crew(x.Crew)
	}
	for i := range p.Pours {
		x := &p.Pours[i]
		crew(x.Prep.Crew)
		crew(x.Cover.Crew)
		crew(x.Demold.Crew)
		for _, l := range x.Layers {
			crew(l.Crew)
		}
		for _, f := range x.Finish {
			crew(f.Crew)
		}
	}
	slices.Sort(c.Skills)
	c.skills = IndexOf(c.Skills, func(s *string) string { return *s })
}

func (c *compiler) ref(m Index, kind, id string) int32 {
	i, err := m.at(kind, id)
	if err != nil && c.err == nil {
		c.err = err
	}
	return i
}

func (c *compiler) optRef(m Index, kind string, id model.OptID) int32 {
	if id == "" {
		return None
	}
	return c.ref(m, kind, string(id))
}

func (c *compiler) crew(m model.Crew) (hs []Head, n int32) {
	for s, k := range m {
		if k > 0 {
			hs = append(hs, Head{c.ref(c.skills, "skill", s), int32(k)})
			n += int32(k)
		}
	}
	slices.SortFunc(hs, func(a, b Head) int { return int(a.Skill - b.Skill) })
	return hs, n
}

func (c *compiler) task(w model.Tick, crew model.Crew, st model.OptID, pausable bool, when []model.Interval) Task {
	t := Task{Work: c.span(w), Station: c.optRef(c.stations, "station", st), Pausable: pausable, When: when}
	t.Crew, t.Heads = c.crew(crew)
	return t
}

// span is a length of time, cut to one tick more than the week has: a longer one
// says no more, and a sum of them stays far from what 32 bits hold.
func (c *compiler) span(t model.Tick) int32 { return int32(min(t, model.Tick(c.H)+1)) }

func (c *compiler) optSpan(t *model.Tick) int32 {
	if t == nil {
		return -1
	}
	return c.span(*t)
}

func opt(t *model.Tick) int32 {
	if t == nil {
		return -1
	}
	return int32(*t)
}

// table lays a step function out over the ticks 0 .. n-1, cut to most.
func table(s model.Steps, n, most int32) []int32 {
	v := make([]int32, n)
	k, cur := 0, int64(0)
	for t := range v {
		for k < len(s) && s[k][0] <= int64(t) {
			cur = s[k][1]
			k++
		}
		v[t] = int32(min(cur, int64(most)))
	}
	return v
}

func (c *compiler) resources() {
	p := c.P
	for _, x := range p.People {
		q := Person{ID: x.ID, On: Mask(x.On, c.H)}
		for _, s := range x.Skills {
			q.Mask |= 1 << c.skills[s]
		}
		c.People = append(c.People, q)
	}
	for _, x := range p.Mixers {
		c.Mixers = append(c.Mixers, Mixer{x.ID, int64(x.Capacity), int32(x.FreeFrom), c.optSpan(x.Keep), x.Down})
	}
	for i := range p.Mixes {
		c.Mixes = append(c.Mixes, c.mix(&p.Mixes[i]))
	}
	for _, x := range p.Molds {
		c.Molds = append(c.Molds, Mold{x.ID, int32(x.FreeFrom), x.Down})
	}
	for _, x := range p.Racks {
		c.Racks = append(c.Racks, Rack{x.ID, table(x.Places, c.H, 1<<30)})
	}
	for _, x := range p.Stations {
		c.Stations = append(c.Stations, Station{x.ID, int32(x.Places)})
	}
	c.cures = map[string][]int32{}
	for _, x := range p.Cures {
		v := table(x.Lag, c.H+1, c.H+1)
		for t := range v {
			v[t] += int32(t)
		}
		c.cures[x.ID] = v
	}
	for _, x := range p.Fixed {
		f := Fixed{ID: x.ID, Start: int32(x.Start), End: int32(x.End), Station: c.optRef(c.stations, "station", x.Station)}
		f.Crew, _ = c.crew(x.Crew)
		c.Fixed = append(c.Fixed, f)
	}
	for _, x := range p.Callins {
		c.Callins = append(c.Callins, Callin{int32(x.From), int32(x.To), int64(x.Cost)})
	}
}

func (c *compiler) mix(x *model.Mix) Mix {
	m := Mix{
		ID: x.ID, Mix: c.span(x.Mix), Rest: c.span(x.Rest), Remix: c.span(x.Remix), Wash: c.span(x.Wash),
		GapMin: c.span(x.WashGap[0]), GapMax: c.span(x.WashGap[1]),
		Loss: int64(x.Loss), Min: int64(x.Min), Step: int64(x.Step), PotEnd: table(x.PotLife, c.H, c.H+1),
	}
	m.Ready = m.Mix + m.Rest + m.Remix
	for t := range m.PotEnd {
		m.PotEnd[t] += int32(t)
	}
	m.Crew, m.Heads = c.crew(x.Crew)
	m.Before = make([]int32, len(c.P.Mixes))
	for i := range m.Before {
		m.Before[i] = -1
	}
	for id, w := range x.WashBefore {
		if i := c.ref(c.mixes, "mix", id); i >= 0 {
			m.Before[i] = c.span(w)
		}
	}
	for _, id := range x.Mixers {
		m.Mixers = append(m.Mixers, c.ref(c.mixers, "mixer", id))
	}
	return m
}

func (c *compiler) pour(x *model.Pour) Pour {
	q := Pour{
		ID: x.ID, Due: int32(x.Due), LatePerTick: int64(x.LatePerTick), Places: int32(x.Places),
		PinMold: None, BaseMold: None, Ship: None, Mold: None, Rack: None,
		PrepMax: -1, MoldMax: -1, MoldUntil: -1, FromMax: -1,
	}
	switch x.Stage {
	case model.New:
		c.newPour(x, &q)
	case model.Curing:
		q.Stage, q.Mold = Curing, c.ref(c.molds, "mold", x.Mold)
		q.CuredAt, q.MoldUntil = int32(x.CureEnd), opt(x.MoldUntil)
	case model.Racked:
		q.Stage, q.Rack = Racked, c.ref(c.racks, "rack", x.Rack)
		q.Next, q.From, q.FromMax = int32(x.Next), int32(x.From), opt(x.FromMax)
	default:
		c.err = fmt.Errorf("pour %q has the stage %q; allowed are new, curing, racked", x.ID, x.Stage)
	}
	if x.Stage != model.Racked {
		q.Demold = c.task(x.Demold.Work, x.Demold.Crew, x.Demold.Station, false, x.Demold.When)
		for _, id := range x.Racks {
			q.Racks = append(q.Racks, c.ref(c.racks, "rack", id))
		}
		slices.Sort(q.Racks)
	}
	for _, f := range x.Finish {
		q.Finish = append(q.Finish, Finish{c.task(f.Work, f.Crew, f.Station, f.Pausable, f.When), c.span(f.Rest), c.optSpan(f.RestMax)})
	}
	for _, s := range x.Spans {
		q.Spans = append(q.Spans, Span{c.ref(c.stations, "station", s.Station), c.moment(x, s.From), c.moment(x, s.To)})
	}
	return q
}

func (c *compiler) newPour(x *model.Pour, q *Pour) {
	q.Stage, q.Release, q.Carry = New, int32(x.Release), int64(x.Carry)
	q.PrepMax, q.MoldMax = c.optSpan(x.PrepMax), c.optSpan(x.MoldMax)
	for _, m := range x.Molds {
		q.Molds = append(q.Molds, Choice{c.ref(c.molds, "mold", m.Mold),
			c.task(m.Work, x.Prep.Crew, x.Prep.Station, true, x.Prep.When)})
	}
	slices.SortFunc(q.Molds, func(a, b Choice) int { return cmp.Compare(a.Mold, b.Mold) })
	for _, l := range x.Layers {
		q.Layers = append(q.Layers, Layer{Task: c.task(l.Work, l.Crew, l.Station, false, l.When),
			GapMin: c.span(l.Gap[0]), GapMax: c.span(l.Gap[1])})
	}
	for i, d := range x.Draws {
		e := Draw{Mix: c.ref(c.mixes, "mix", d.Mix), Grams: int64(d.Grams)}
		for _, j := range d.Layers {
			if j < 0 || j >= len(q.Layers) {
				c.err = fmt.Errorf("pour %q: draw %d names layer %d of %d", x.ID, i, j, len(q.Layers))
				continue
			}
			e.Layers = append(e.Layers, int32(j))
			q.Layers[j].Draws = append(q.Layers[j].Draws, int32(i))
		}
		slices.Sort(e.Layers)
		q.Draws = append(q.Draws, e)
	}
	q.Cover = c.task(x.Cover.Work, x.Cover.Crew, x.Cover.Station, false, x.Cover.When)
	q.CoverGapMin, q.CoverGapMax = c.span(x.Cover.Gap[0]), c.span(x.Cover.Gap[1])
	cure, ok := c.cures[x.Cure]
	if !ok && c.err == nil {
		c.err = fmt.Errorf("pour %q names the cure %q, which is not in the problem", x.ID, x.Cure)
	}
	q.CureEnd = cure
	if x.Pin != nil {
		q.PinMold, q.PinStart = c.ref(c.molds, "mold", x.Pin.Mold), int32(x.Pin.Start)
	}
	if x.Base != nil && c.P.Costs.Move > 0 { // a base says nothing where moving is free
		// A base may name a mold that is gone; no choice then equals it.
		q.BaseMold, q.BaseStart = int32(len(c.P.Molds)), int32(x.Base.Start)
		if i, ok := c.molds[x.Base.Mold]; ok {
			q.BaseMold = i
		}
	}
}

func (c *compiler) moment(x *model.Pour, s string) Moment {
	i := strings.LastIndexByte(s, '.')
	if i < 0 || (s[i+1:] != "start" && s[i+1:] != "end") {
		c.err = fmt.Errorf("pour %q: %q is no moment; allowed are STEP.start and STEP.end", x.ID, s)
		return Moment{}
	}
	step, end := s[:i], s[i+1:] == "end"
	switch step {
	case "prep":
		return Moment{AtPrep, 0, end}
	case "cover":
		return Moment{AtCover, 0, end}
	case "demold":
		return Moment{AtDemold, 0, end}
	}
	for j, l := range x.Layers {
		if l.ID == step {
			return Moment{AtLayer, int32(j), end}
		}
	}
	for j, f := range x.Finish {
		if f.ID == step {
			return Moment{AtFinish, int32(j), end}
		}
	}
	if x.Stage != model.New { // a layer done long ago
		return Moment{AtLayer, 0, end}
	}
	c.err = fmt.Errorf("pour %q has no step %q", x.ID, step)
	return Moment{}
}

func (c *compiler) shipments() {
	for i, x := range c.P.Shipments {
		s := Ship{ID: x.ID, Due: int32(x.Due), LatePerTick: int64(x.LatePerTick), Hold: x.Hold}
		for _, id := range x.Pours {
			if j := c.ref(c.pours, "pour", id); j >= 0 {
				s.Pours = append(s.Pours, j)
				c.Pours[j].Ship = int32(i)
			}
		}
		for _, t := range x.Trucks {
			s.Trucks = append(s.Trucks, int32(t))
		}
		if x.Trucks != nil && len(x.Trucks) == 0 {
			s.Trucks = []int32{c.H} // none is left
		}
		c.Ships = append(c.Ships, s)
	}
}

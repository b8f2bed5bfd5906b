package model

import (
	"io"
	"slices"
	"strings"
)

// DefaultTickMinutes is the length of a tick where a problem gives none.
const DefaultTickMinutes = 5

// ReadProblem reads a problem in the form of section 7 of the planning model
// and validates it. name stands for the file in messages. The error is a
// *ReadError that lists everything that is wrong, each with its line and
// column: unknown, doubled and missing fields, fields that do not belong to
// the stage of a pour, and what Validate finds. A nil field of an optional list
// means that it was left out; required lists and crews are never nil. Cost
// O(bytes), some 10 ms for a large week.
func ReadProblem(name string, r io.Reader) (*Problem, error) {
	s, err := newJSONSource(name, r, maxProblemBytes)
	if err != nil {
		return nil, err
	}
	p := &Problem{TickMinutes: DefaultTickMinutes}
	if err := s.run(func() { s.problem(p) }); err != nil {
		return nil, err
	}
	if issues := p.Validate(); len(issues) > 0 {
		s.place(issues)
		return nil, s.err()
	}
	return p, nil
}

func (s *jsonSource) problem(p *Problem) {
	s.object("a problem", []jsonField{
		{"format", false, s.format(&p.Format, ProblemFormat)},
		{"name", false, s.stringTo(&p.Name)},
		{"start", false, s.stringTo(&p.Start)},
		{"tick_minutes", true, numberTo(s, &p.TickMinutes)},
		{"horizon", false, numberTo(s, &p.Horizon)},
		{"pour_until", false, numberTo(s, &p.PourUntil)},
		{"now", false, numberTo(s, &p.Now)},
		{"move_tolerance", false, numberTo(s, &p.MoveTolerance)},
		{"open", false, s.intervals(&p.Open)},
		{"overtime", false, s.intervals(&p.Overtime)},
		{"people", false, listTo(s, &p.People, maxPeople, s.person)},
		{"mixers", false, listTo(s, &p.Mixers, maxThings, s.mixer)},
		{"mixes", false, listTo(s, &p.Mixes, maxThings, s.mix)},
		{"molds", false, listTo(s, &p.Molds, maxThings, s.mold)},
		{"racks", false, listTo(s, &p.Racks, maxThings, s.rack)},
		{"stations", false, listTo(s, &p.Stations, maxThings, s.station)},
		{"cures", false, listTo(s, &p.Cures, maxThings, s.cure)},
		{"fixed", false, listTo(s, &p.Fixed, maxThings, s.fixed)},
		{"callins", true, listTo(s, &p.Callins, maxThings, s.callin)},
		{"shipments", true, listTo(s, &p.Shipments, maxThings, s.shipment)},
		{"pours", false, listTo(s, &p.Pours, maxPours, s.pour)},
		{"costs", false, func() { s.costs(&p.Costs) }},
	})
}

// format takes the format mark, and stops at another one: what follows would
// be nothing but noise.
func (s *jsonSource) format(p *string, want string) func() {
	return func() {
		s.peek()
		at := s.pos
		if s.stringTo(p)(); *p != want {
			s.stop(at, "format %q where %q is due", *p, want)
		}
	}
}

func (s *jsonSource) person(p *Person) {
	s.object("a person", []jsonField{
		{"id", false, s.stringTo(&p.ID)},
		{"skills", false, s.texts(&p.Skills)},
		{"on", false, s.intervals(&p.On)},
	})
}

func (s *jsonSource) mixer(m *Mixer) {
	s.object("a mixer", []jsonField{
		{"id", false, s.stringTo(&m.ID)},
		{"capacity_g", false, numberTo(s, &m.Capacity)},
		{"free_from", false, numberTo(s, &m.FreeFrom)},
		{"down", false, s.intervals(&m.Down)},
		{"keep", true, optNumber(s, &m.Keep)},
	})
}

func (s *jsonSource) mix(m *Mix) {
	s.object("a mix", []jsonField{
		{"id", false, s.stringTo(&m.ID)},
		{"mix", false, numberTo(s, &m.Mix)},
		{"rest", false, numberTo(s, &m.Rest)},
		{"remix", false, numberTo(s, &m.Remix)},
		{"wash", false, numberTo(s, &m.Wash)},
		{"wash_gap", false, s.interval(&m.WashGap)},
		{"wash_before", true, mapTo(s, &m.WashBefore, "wash_before, ticks by mix",
			func(string) Tick { return Tick(s.integer()) })},
		{"crew", false, s.crew(&m.Crew)},
		{"loss_g", false, numberTo(s, &m.Loss)},
		{"min_g", false, numberTo(s, &m.Min)},
		{"step_g", false, numberTo(s, &m.Step)},
		{"pot_life", false, s.steps(&m.PotLife)},
		{"mixers", false, s.texts(&m.Mixers)},
	})
}

func (s *jsonSource) mold(m *Mold) {
	s.object("a mold", []jsonField{
		{"id", false, s.stringTo(&m.ID)},
		{"free_from", false, numberTo(s, &m.FreeFrom)},
		{"down", false, s.intervals(&m.Down)},
	})
}

func (s *jsonSource) rack(r *Rack) {
	s.object("a rack", []jsonField{
		{"id", false, s.stringTo(&r.ID)},
		{"places", false, s.steps(&r.Places)},
	})
}

func (s *jsonSource) station(t *Station) {
	s.object("a station", []jsonField{
		{"id", false, s.stringTo(&t.ID)},
		{"places", false, numberTo(s, &t.Places)},
	})
}

func (s *jsonSource) cure(c *Cure) {
	s.object("a cure", []jsonField{
		{"id", false, s.stringTo(&c.ID)},
		{"lag", false, s.steps(&c.Lag)},
	})
}

func (s *jsonSource) fixed(f *Fixed) {
	s.object("fixed work", []jsonField{
		{"id", false, s.stringTo(&f.ID)},
		{"start", false, numberTo(s, &f.Start)},
		{"end", false, numberTo(s, &f.End)},
		{"crew", false, s.crew(&f.Crew)},
		{"station", true, s.optID(&f.Station)},
	})
}

func (s *jsonSource) callin(c *Callin) {
	s.object("a call-in", []jsonField{
		{"from", false, numberTo(s, &c.From)},
		{"to", false, numberTo(s, &c.To)},
		{"cost", false, numberTo(s, &c.Cost)},
	})
}

func (s *jsonSource) shipment(h *Shipment) {
	s.object("a shipment", []jsonField{
		{"id", false, s.stringTo(&h.ID)},
		{"pours", false, s.texts(&h.Pours)},
		{"due", false, numberTo(s, &h.Due)},
		{"late_per_tick", false, numberTo(s, &h.LatePerTick)},
		{"trucks", true, listTo(s, &h.Trucks, maxListLen, func(t *Tick) { numberTo(s, t)() })},
		{"hold", true, s.boolTo(&h.Hold)},
	})
}

func (s *jsonSource) costs(c *Costs) {
	s.object("the costs", []jsonField{
		{"idle", false, numberTo(s, &c.Idle)},
		{"held", false, numberTo(s, &c.Held)},
		{"rack_wait", false, numberTo(s, &c.RackWait)},
		{"overtime", false, numberTo(s, &c.Overtime)},
		{"batch", false, numberTo(s, &c.Batch)},
		{"waste", false, numberTo(s, &c.Waste)},
		{"move", false, numberTo(s, &c.Move)},
	})
}

// stageFields says for each field of a pour in which stages it stands: n, c, r
// for new, curing, racked; capital where it may be left out.
var stageFields = map[string]string{
	"id": "ncr", "order": "ncr", "piece": "ncr", "stage": "ncr", "due": "ncr", "late_per_tick": "ncr",
	"places": "ncr", "spans": "NCR", "finish": "ncr",
	"release": "n", "carry": "n", "molds": "n", "prep": "n", "prep_max": "N", "layers": "n", "draws": "n",
	"cover": "n", "cure": "n", "mold_max": "N", "pin": "N", "base": "N",
	"demold": "nc", "racks": "nc",
	"mold": "c", "cure_end": "c", "mold_until": "C",
	"rack": "r", "next": "r", "from": "r", "from_max": "R",
}

// pour takes a pour. Its stage may stand anywhere, so all fields are read as
// optional and judged when the stage is known.
func (s *jsonSource) pour(p *Pour) {
	s.peek()
	at := s.pos
	seen := map[string]int{}
	fields := s.pourFields(p)
	for i := range fields {
		f := &fields[i]
		f.null = true
		read := f.read
		f.read = func() {
			s.peek()
			seen[f.name] = s.pos
			read()
		}
	}
	s.object("a pour", fields)
	if at >= len(s.src) || s.src[at] != '{' {
		return
	}
	var key string
	switch p.Stage {
	case New, Curing, Racked:
		key = string(p.Stage[0])
	default:
		if pos, ok := seen["stage"]; ok {
			s.add(pos, "stage %q of pour %q; stages are new, curing, racked", string(p.Stage), p.ID)
		} else {
			s.add(at, "field \"stage\" is missing in a pour; stages are new, curing, racked")
		}
		return
	}
	for _, f := range fields {
		in := stageFields[f.name]
		pos, has := seen[f.name]
		switch {
		case has && !strings.Contains(strings.ToLower(in), key):
			s.add(pos, "field %q does not belong to a %s pour; its fields are %s", f.name, p.Stage, stageNames(fields, key))
		case !has && strings.Contains(in, key):
			s.add(at, "field %q is missing in a %s pour", f.name, p.Stage)
		}
	}
}

func stageNames(fields []jsonField, key string) string {
	return fieldNames(slices.DeleteFunc(slices.Clone(fields), func(f jsonField) bool {
		return !strings.Contains(strings.ToLower(stageFields[f.name]), key)
	}))
}

func (s *jsonSource) pourFields(p *Pour) []jsonField {
	const many = maxStepsOfPour
	return []jsonField{
		{"id", false, s.stringTo(&p.ID)},
		{"order", false, s.stringTo(&p.Order)},
		{"piece", false, s.stringTo(&p.Piece)},
		{"stage", false, s.stringTo((*string)(&p.Stage))},
		{"release", false, numberTo(s, &p.Release)},
		{"due", false, numberTo(s, &p.Due)},
		{"late_per_tick", false, numberTo(s, &p.LatePerTick)},
		{"carry", false, numberTo(s, &p.Carry)},
		{"molds", false, listTo(s, &p.Molds, maxThings, s.moldChoice)},
		{"prep", false, func() { s.demand(&p.Prep) }},
		{"prep_max", false, optNumber(s, &p.PrepMax)},
		{"layers", false, listTo(s, &p.Layers, many, s.layer)},
		{"draws", false, listTo(s, &p.Draws, many, s.draw)},
		{"cover", false, func() { s.cover(&p.Cover) }},
		{"cure", false, s.stringTo(&p.Cure)},
		{"mold_max", false, optNumber(s, &p.MoldMax)},
		{"mold", false, s.stringTo(&p.Mold)},
		{"cure_end", false, numberTo(s, &p.CureEnd)},
		{"mold_until", false, optNumber(s, &p.MoldUntil)},
		{"demold", false, func() { s.demold(&p.Demold) }},
		{"racks", false, s.texts(&p.Racks)},
		{"rack", false, s.stringTo(&p.Rack)},
		{"places", false, numberTo(s, &p.Places)},
		{"next", false, numberTo(s, &p.Next)},
		{"from", false, numberTo(s, &p.From)},
		{"from_max", false, optNumber(s, &p.FromMax)},
		{"spans", false, listTo(s, &p.Spans, many, s.span)},
		{"finish", false, listTo(s, &p.Finish, many, s.finish)},
		{"pin", false, func() { p.Pin = s.spot("a pin") }},
		{"base", false, func() { p.Base = s.spot("a base") }},
	}
}

func (s *jsonSource) moldChoice(m *MoldChoice) {
	s.object("a mold choice", []jsonField{
		{"mold", false, s.stringTo(&m.Mold)},
		{"work", false, numberTo(s, &m.Work)},
	})
}

func (s *jsonSource) demand(d *Demand) {
	s.object("prep", []jsonField{
		{"crew", false, s.crew(&d.Crew)},
		{"station", true, s.optID(&d.Station)},
		{"when", true, s.intervals(&d.When)},
	})
}

func (s *jsonSource) layer(l *Layer) {
	s.object("a layer", []jsonField{
		{"id", false, s.stringTo(&l.ID)},
		{"work", false, numberTo(s, &l.Work)},
		{"crew", false, s.crew(&l.Crew)},
		{"station", true, s.optID(&l.Station)},
		{"gap", false, s.interval(&l.Gap)},
		{"when", true, s.intervals(&l.When)},
	})
}

func (s *jsonSource) draw(d *Draw) {
	s.object("a draw", []jsonField{
		{"mix", false, s.stringTo(&d.Mix)},
		{"grams", false, numberTo(s, &d.Grams)},
		{"layers", false, listTo(s, &d.Layers, maxStepsOfPour, func(n *int) { numberTo(s, n)() })},
	})
}

func (s *jsonSource) cover(c *Cover) {
	s.object("the cover", []jsonField{
		{"work", false, numberTo(s, &c.Work)},
		{"crew", false, s.crew(&c.Crew)},
		{"station", true, s.optID(&c.Station)},
		{"gap", false, s.interval(&c.Gap)},
		{"when", true, s.intervals(&c.When)},
	})
}

func (s *jsonSource) demold(d *Demolding) {
	s.object("the demold", []jsonField{
		{"work", false, numberTo(s, &d.Work)},
		{"crew", false, s.crew(&d.Crew)},
		{"station", true, s.optID(&d.Station)},
		{"when", true, s.intervals(&d.When)},
	})
}

func (s *jsonSource) finish(f *Finish) {
	s.object("a finish step", []jsonField{
		{"id", false, s.stringTo(&f.ID)},
		{"work", false, numberTo(s, &f.Work)},
		{"crew", false, s.crew(&f.Crew)},
		{"station", true, s.optID(&f.Station)},
		{"rest", false, numberTo(s, &f.Rest)},
		{"rest_max", true, optNumber(s, &f.RestMax)},
		{"pausable", false, s.boolTo(&f.Pausable)},
		{"when", true, s.intervals(&f.When)},
	})
}

func (s *jsonSource) span(v *Span) {
	s.object("a span", []jsonField{
		{"station", false, s.stringTo(&v.Station)},
		{"from", false, s.stringTo(&v.From)},
		{"to", false, s.stringTo(&v.To)},
	})
}

func (s *jsonSource) spot(what string) *Spot {
	var v Spot
	s.object(what, []jsonField{
		{"mold", false, s.stringTo(&v.Mold)},
		{"start", false, numberTo(s, &v.Start)},
	})
	return &v
}

package model

import (
	"io"
)

// Unstated stands in Plan.Cost for a plan whose file states no cost. Checkers
// then have nothing to compare theirs with.
const Unstated Mils = -1

// ReadPlan reads a plan in the form of section 7 of the planning model. name
// stands for the file in messages. The error is a *ReadError as of
// ReadProblem. It knows no problem, so that it cannot tell whether the ids
// mean anything: the checker does. A who that is absent or null is nil; a plan
// without cost has the cost Unstated; without a bound, 0.
func ReadPlan(name string, r io.Reader) (*Plan, error) {
	s, err := newJSONSource(name, r, maxPlanBytes)
	if err != nil {
		return nil, err
	}
	p := &Plan{Cost: Unstated}
	tasks := 0
	rd := planReader{s, &tasks}
	if err := s.run(func() { rd.plan(p) }); err != nil {
		return nil, err
	}
	return p, nil
}

// planReader counts the whos it meets, the one thing in a plan that takes far
// more memory than bytes in the file.
type planReader struct {
	*jsonSource
	whos *int
}

func (s planReader) plan(p *Plan) {
	s.object("a plan", []jsonField{
		{"format", false, s.format(&p.Format, PlanFormat)},
		{"problem", false, s.stringTo(&p.Problem)},
		{"batches", false, listTo(s.jsonSource, &p.Batches, maxListLen, s.batch)},
		{"pours", false, listTo(s.jsonSource, &p.Pours, maxPours, s.pour)},
		{"carried", false, s.texts(&p.Carried)},
		{"bound", true, numberTo(s.jsonSource, &p.Bound)},
		{"fixed", false, mapTo(s.jsonSource, &p.Fixed, "fixed, people by fixed work", func(string) Who {
			var w Who
			s.who(&w)()
			return w
		})},
		{"cost", true, numberTo(s.jsonSource, &p.Cost)},
		{"terms", true, func() { s.terms(&p.Terms) }},
	})
}

func (s planReader) who(p *Who) func() {
	return func() {
		if s.null() {
			return
		}
		if *s.whos++; *s.whos > maxWhos {
			s.stop(s.pos, "more than %d tasks with people", maxWhos)
		}
		mapTo(s.jsonSource, p, "who, people by skill", func(string) []string {
			var ids []string
			s.texts(&ids)()
			return ids
		})()
	}
}

func (s planReader) batch(b *BatchPlan) {
	s.object("a batch", []jsonField{
		{"id", false, s.stringTo(&b.ID)},
		{"mixer", false, s.stringTo(&b.Mixer)},
		{"mix", false, s.stringTo(&b.Mix)},
		{"start", false, numberTo(s.jsonSource, &b.Start)},
		{"wash", false, s.interval(&b.Wash)},
		{"who", true, func() {
			s.object("the who of a batch", []jsonField{
				{"mix", true, s.who(&b.Who.Mix)},
				{"remix", true, s.who(&b.Who.Remix)},
				{"wash", true, s.who(&b.Who.Wash)},
			})
		}},
	})
}

func (s planReader) optInterval(p **Interval) func() {
	return func() {
		var v Interval
		s.interval(&v)()
		*p = &v
	}
}

func (s planReader) pour(p *PourPlan) {
	const many = maxStepsOfPour
	s.object("a planned pour", []jsonField{
		{"id", false, s.stringTo(&p.ID)},
		{"mold", true, s.optID(&p.Mold)},
		{"rack", false, s.stringTo(&p.Rack)},
		{"prep", true, s.optInterval(&p.Prep)},
		{"layers", true, listTo(s.jsonSource, &p.Layers, many, func(v *Interval) { s.interval(v)() })},
		{"cover", true, s.optInterval(&p.Cover)},
		{"cure_end", true, optNumber(s.jsonSource, &p.CureEnd)},
		{"demold", true, s.optInterval(&p.Demold)},
		{"finish", false, listTo(s.jsonSource, &p.Finish, many, func(v **Interval) {
			if !s.null() {
				s.optInterval(v)()
			}
		})},
		{"draws", true, s.texts(&p.Draws)},
		{"ready", false, numberTo(s.jsonSource, &p.Ready)},
		{"who", true, func() { s.pourWho(&p.Who) }},
	})
}

func (s planReader) pourWho(w *PourWho) {
	each := func(v *Who) { s.who(v)() }
	s.object("the who of a pour", []jsonField{
		{"prep", true, s.who(&w.Prep)},
		{"layers", true, listTo(s.jsonSource, &w.Layers, maxStepsOfPour, each)},
		{"cover", true, s.who(&w.Cover)},
		{"demold", true, s.who(&w.Demold)},
		{"finish", true, listTo(s.jsonSource, &w.Finish, maxStepsOfPour, each)},
	})
}

func (s planReader) terms(t *Terms) {
	fields := make([]jsonField, 0, len(TermNames))
	for _, name := range TermNames {
		fields = append(fields, jsonField{name, false, numberTo(s.jsonSource, t.Term(name))})
	}
	s.object("the terms", fields)
}

// TermNames lists the terms of the cost by their field names, in the order of
// section 6.
var TermNames = []string{
	"late", "ship", "carry", "idle", "held", "rack_wait", "overtime", "callin", "batch", "waste", "move",
}

// Term points to the term of that field name, or is nil if there is none.
func (t *Terms) Term(name string) *Mils {
	switch name {
	case "late":
		return &t.Late
	case "ship":
		return &t.Ship
	case "carry":
		return &t.Carry
	case "idle":
		return &t.Idle
	case "held":
		return &t.Held
	case "rack_wait":
		return &t.RackWait
	case "overtime":
		return &t.Overtime
	case "callin":
		return &t.Callin
	case "batch":
		return &t.Batch
	case "waste":
		return &t.Waste
	case "move":
		return &t.Move
	}
	return nil
}

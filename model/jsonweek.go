package model

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"
)

// maxWeekBytes bounds a week document: a problem, a plan and their labels.
const maxWeekBytes = maxProblemBytes + maxPlanBytes

// ReadWeek reads a week document that WriteWeek wrote and validates its
// problem. name stands for the file in messages. The error is a *ReadError as
// of ReadProblem: every field has to be there, no other may be, Monday has to be
// one, and an optimal plan costs what is proven. Problem and Plan of the result are
// never nil, its labels' maps neither; whether the plan is allowed is the checker's
// to say.
func ReadWeek(name string, r io.Reader) (*Week, error) {
	s, err := newJSONSource(name, r, maxWeekBytes)
	if err != nil {
		return nil, err
	}
	w := &Week{Problem: &Problem{TickMinutes: DefaultTickMinutes}, Plan: &Plan{Cost: Unstated}}
	if err := s.run(func() { s.week(w) }); err != nil {
		return nil, err
	}
	issues := w.Problem.Validate()
	for i := range issues {
		issues[i].Path = strings.TrimSuffix("problem."+issues[i].Path, ".")
	}
	if day, err := time.Parse(time.DateOnly, w.Monday); err != nil {
		issues = append(issues, Issue{Path: "monday", Text: strconv.Quote(w.Monday) + " where a date such as 2027-03-01 is due"})
	} else if day.Weekday() != time.Monday {
		issues = append(issues, Issue{Path: "monday", Text: strconv.Quote(w.Monday) + ", a " + day.Weekday().String() + ", where a Monday is due"})
	}
	if w.Status == StatusOptimal && w.Plan.Bound != w.Plan.Cost {
		issues = append(issues, Issue{Path: "status", Text: fmt.Sprintf("%q where the plan costs %d and %d is proven", w.Status, w.Plan.Cost, w.Plan.Bound)})
	}
	if _, err := time.LoadLocation(w.Zone); err != nil { // "" is UTC, and what prints takes the start's own offset
		issues = append(issues, Issue{Path: "zone", Text: strconv.Quote(w.Zone) + " where an IANA time zone such as America/Denver is due"})
	}
	if len(issues) > 0 {
		s.place(issues)
		return nil, s.err()
	}
	return w, nil
}

// StatusOptimal is the status of a week whose plan is proven to be the cheapest.
const StatusOptimal = "optimal"

func (s *jsonSource) week(w *Week) {
	tasks := 0
	s.object("a week", []jsonField{
		{"format", false, s.format(&w.Format, WeekFormat)},
		{"shop", false, s.stringTo(&w.Shop)},
		{"zone", false, s.stringTo(&w.Zone)},
		{"currency", false, s.stringTo(&w.Currency)},
		{"monday", false, s.stringTo(&w.Monday)},
		{"seed", false, s.seed(&w.Seed)},
		{"work", false, numberTo(s, &w.Work)},
		{"status", false, s.stringTo(&w.Status)},
		{"bound_source", false, s.stringTo(&w.BoundSource)},
		{"labels", false, func() { s.labels(&w.Labels) }},
		{"problem", false, func() { s.problem(w.Problem) }},
		{"plan", false, func() { planReader{s, &tasks}.plan(w.Plan) }},
		{"log", true, s.texts(&w.Log)},
	})
}

// seed takes a whole number of 64 bits without sign.
func (s *jsonSource) seed(p *uint64) func() {
	return func() {
		if b := s.peek(); b < '0' || b > '9' {
			s.wrong("a seed, a whole number from 0 on,", nil)
			return
		}
		end := s.numberEnd()
		raw := string(s.src[s.pos:end])
		n, err := strconv.ParseUint(raw, 10, 64)
		if err != nil || raw != strconv.FormatUint(n, 10) {
			s.add(s.pos, "%q where a seed is due, a whole number from 0 to 18446744073709551615", raw)
		}
		*p = n
		s.pos = end
	}
}

func (s *jsonSource) labels(l *Labels) {
	s.object("the labels", []jsonField{
		{"pieces", false, labelsTo(s, &l.Pieces, "pieces, labels by piece type", s.pieceLabel)},
		{"mixes", false, labelsTo(s, &l.Mixes, "mixes, labels by mix", s.mixLabel)},
		{"orders", false, labelsTo(s, &l.Orders, "orders, labels by order", s.orderLabel)},
		{"steps", false, labelsTo(s, &l.Steps, "steps, labels by step", s.stepLabel)},
		{"notes", false, s.texts(&l.Notes)},
	})
}

func labelsTo[T any](s *jsonSource, p *map[string]T, what string, each func(*T)) func() {
	return mapTo(s, p, what, func(string) T {
		var v T
		each(&v)
		return v
	})
}

func (s *jsonSource) pieceLabel(l *PieceLabel) {
	s.object("the label of a piece type", []jsonField{
		{"name", false, s.stringTo(&l.Name)},
		{"grams", false, numberTo(s, &l.Grams)},
	})
}

func (s *jsonSource) mixLabel(l *MixLabel) {
	s.object("the label of a mix", []jsonField{
		{"color", false, s.stringTo(&l.Color)},
		{"family", false, s.stringTo(&l.Family)},
	})
}

func (s *jsonSource) orderLabel(l *OrderLabel) {
	s.object("the label of an order", []jsonField{
		{"due", false, s.stringTo(&l.Due)},
		{"urgency", false, s.stringTo(&l.Urgency)},
		{"note", false, s.stringTo(&l.Note)},
		{"truck", false, s.boolTo(&l.Truck)},
		{"whole", false, s.boolTo(&l.Whole)},
	})
}

func (s *jsonSource) stepLabel(l *StepLabel) {
	s.object("the label of a step", []jsonField{
		{"name", false, s.stringTo(&l.Name)},
		{"dust", false, s.boolTo(&l.Dust)},
		{"wet", false, s.boolTo(&l.Wet)},
	})
}

// WriteWeek writes a week document, problem and plan in the layout of
// WriteProblem and WritePlan. Equal weeks give equal bytes. The error is as of
// WriteProblem, or says that the week has no problem or no plan.
func WriteWeek(out io.Writer, w *Week) error {
	if w.Problem == nil || w.Plan == nil {
		return errors.New("a week without a problem or a plan cannot be written")
	}
	o := &jsonOut{}
	o.document(func() {
		o.top("format")
		o.quote(WeekFormat)
		for _, f := range []struct{ name, text string }{
			{"shop", w.Shop}, {"zone", w.Zone}, {"currency", w.Currency}, {"monday", w.Monday},
		} {
			o.top(f.name)
			o.quote(f.text)
		}
		o.top("seed")
		o.b = strconv.AppendUint(o.b, w.Seed, 10)
		o.top("work")
		number(o, w.Work)
		o.top("status")
		o.quote(w.Status)
		o.top("bound_source")
		o.quote(w.BoundSource)
		o.top("labels")
		o.labels(&w.Labels)
		o.top("problem")
		o.problem(w.Problem)
		o.top("plan")
		o.plan(w.Plan)
		if len(w.Log) > 0 {
			o.top("log")
			rows(o, w.Log, func(v *string) { o.quote(*v) })
		}
	})
	return o.flush(out)
}

func (o *jsonOut) labels(l *Labels) {
	o.document(func() {
		labels(o, "pieces", l.Pieces, func(v PieceLabel) {
			o.textField("name", v.Name)
			numberField(o, "grams", v.Grams)
		})
		labels(o, "mixes", l.Mixes, func(v MixLabel) {
			o.textField("color", v.Color)
			o.textField("family", v.Family)
		})
		labels(o, "orders", l.Orders, func(v OrderLabel) {
			o.textField("due", v.Due)
			o.textField("urgency", v.Urgency)
			o.textField("note", v.Note)
			o.boolField("truck", v.Truck)
			o.boolField("whole", v.Whole)
		})
		labels(o, "steps", l.Steps, func(v StepLabel) {
			o.textField("name", v.Name)
			o.boolField("dust", v.Dust)
			o.boolField("wet", v.Wet)
		})
		o.top("notes")
		rows(o, l.Notes, func(v *string) { o.quote(*v) })
	})
}

func (o *jsonOut) boolField(name string, b bool) {
	o.key(name)
	o.bool(b)
}

// labels writes a map with one entry a line.
func labels[T any](o *jsonOut, name string, m map[string]T, each func(T)) {
	o.top(name)
	if len(m) == 0 {
		o.b = append(o.b, "{}"...)
		return
	}
	o.document(func() {
		sorted(m, func(id string, v T) {
			o.top(id)
			o.object(func() { each(v) })
		})
	})
}

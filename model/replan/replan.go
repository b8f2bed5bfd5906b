// Package replan carries a published week forward to a later moment: what was
// planned before it is taken as done, unless the shop's log says otherwise,
// and each pour gets the stage in which the planning model can go on with it.
package replan

import (
	"fmt"
	"slices"
	"time"

	"pourweek/model"
)

// Facts says where the week went otherwise than planned. Times are ticks of
// the published problem, all of them before the moment of replanning.
type Facts struct {
	Poured   map[string]Poured                // by pour: its first layer began then
	Waiting  map[string]string                // by pour: the first step that has not begun: prep, a layer, demold or a finish step
	Failed   map[string]Failed                // by pour: given up while casting, to be poured again
	Lost     map[string]model.Tick            // by batch: thrown away
	Scrapped map[string]model.Tick            // by pour: the cast piece is thrown away, to be poured again
	Demolded map[string]Demolded              // by pour: taken out then
	Done     map[string]map[string]model.Tick // by pour and finish step: it ended then
	Longer   map[string]map[string]model.Tick // by pour and step id (or cover, demold): more work, in open ticks
	Recure   bool                             // the air changed: cures under way follow those of the new problem

	// InOrder keeps clean-ups under way as short as planned where the next batch
	// of the mixer is planned to follow them. Then only a plan that has it follow,
	// such as the one of Kept, is one that the shop can do.
	InOrder bool

	Zone *time.Location // for the times in notes and refusals; nil: that of the published problem's start
}

// Poured is a casting as it really went.
type Poured struct {
	At   model.Tick
	Mold string // "" for the planned one
}

// Failed is a casting as it was given up.
type Failed struct {
	At  model.Tick // from then on its mold is free
	Was model.Tick // 0: at At; else when the log has it, where At is the moment from which the week goes on
}

// Demolded is a demold as it really went.
type Demolded struct {
	At   model.Tick // its end
	Rack string     // "" for the planned one
	Was  model.Tick // 0: at At; else the end that the log tells, where At is the moment from which the week goes on
}

// Note is something the lead should know about the state that was worked out.
type Note struct {
	Pour    string // or batch
	Text    string
	Caution bool // it is about people's safety
}

func (n Note) String() string { return n.Pour + ": " + n.Text }

// Advance lays the state of the published week at q.Now over the fresh problem
// q, which is compiled from the shop's files of today (or made by Fresh) and
// may begin on another Monday. q is changed and returned. Pours that are done
// leave it; pours in mold or on a rack that q does not know are added. Each
// pour not yet begun gets the published mold and start as its base.
//
// Sources: planning model, sections 2 to 6. It errors when the two problems
// do not share their ticks; the error is Refused when the facts cannot be.
func Advance(q *model.Problem, pub *model.Problem, plan *model.Plan, f Facts) (*model.Problem, []Note, error) {
	shift, err := shiftOf(q, pub)
	if err != nil {
		return nil, nil, err
	}
	a := &advance{q: q, pub: pub, shift: shift, now: q.Now + shift, facts: f,
		batches: map[string]*batch{}, mixes: map[string]*model.Mix{}, cures: map[string]model.Steps{}}
	a.cal = newCalendar(pub)
	for i := range pub.Mixes {
		a.mixes[pub.Mixes[i].ID] = &pub.Mixes[i]
	}
	for i := range pub.Cures {
		a.cures[pub.Cures[i].ID] = pub.Cures[i].Lag
	}
	a.readPlan(plan)
	a.applyFacts()
	if len(a.refused) > 0 {
		return nil, nil, a.refused
	}
	a.closeOverBatches()
	a.takeTurns()
	if a.oneInAMold(); len(a.refused) > 0 {
		return nil, nil, a.refused
	}
	a.q.Fixed = slices.DeleteFunc(a.q.Fixed, func(x model.Fixed) bool { return x.End <= q.Now })
	a.carryOver()
	a.batchesUnderWay()
	for _, l := range a.lives {
		a.place(l)
	}
	a.fixSpans()
	a.man(plan)
	a.q.Pours = slices.DeleteFunc(a.q.Pours, func(p model.Pour) bool { return a.gone[p.ID] })
	a.settleRacks()
	a.pruneShipments()
	return q, a.notes, nil
}

// Fresh copies the parts of a published problem that Advance changes and sets
// the moment of replanning. Pins and bases of the published week are dropped.
func Fresh(p *model.Problem, now model.Tick) *model.Problem {
	q := *p
	q.Now = now
	q.Fixed = slices.Clone(p.Fixed)
	q.Mixers = slices.Clone(p.Mixers)
	for i := range q.Mixers {
		q.Mixers[i].Down = slices.Clone(q.Mixers[i].Down)
	}
	q.Molds = slices.Clone(p.Molds)
	q.Racks = slices.Clone(p.Racks)
	q.Shipments = slices.Clone(p.Shipments)
	for i := range q.Shipments {
		q.Shipments[i].Pours = slices.Clone(q.Shipments[i].Pours)
	}
	q.Pours = slices.Clone(p.Pours)
	for i := range q.Pours {
		q.Pours[i].Pin, q.Pours[i].Base = nil, nil
		q.Pours[i].Finish = slices.Clone(q.Pours[i].Finish)
		q.Pours[i].Layers = slices.Clone(q.Pours[i].Layers)
		q.Pours[i].Molds = slices.Clone(q.Pours[i].Molds)
	}
	return &q
}

// Freeze pins every pour of q that has a base starting before until, where its
// prep can still be done in time and its mold is not down over its casting and
// cure. It returns the ids that it pinned.
func Freeze(q *model.Problem, until model.Tick) []string {
	var ids []string
	cal := newCalendar(q)
	for i := range q.Pours {
		p := &q.Pours[i]
		if p.Base == nil || p.Pin != nil || p.Base.Start >= until || p.Base.Start >= q.PourUntil {
			continue
		}
		for _, m := range p.Molds {
			if m.Mold == p.Base.Mold && cal.openIn(max(q.Now, p.Release), p.Base.Start) >= m.Work && !downFor(q, p) {
				pin := *p.Base
				p.Pin = &pin
				ids = append(ids, p.ID)
			}
		}
	}
	return ids
}

// downFor reports whether the mold of a pour's base is down, or not free yet,
// between its first coat and the least end of its cure.
func downFor(q *model.Problem, p *model.Pour) bool {
	end := p.Base.Start + p.Cover.Gap[0] + p.Cover.Work
	for j, y := range p.Layers {
		end += y.Work
		if j > 0 {
			end += y.Gap[0]
		}
	}
	if c := named(q.Cures, func(c *model.Cure) bool { return c.ID == p.Cure }); c != nil {
		end += model.Tick(c.Lag.At(end))
	}
	m := named(q.Molds, func(m *model.Mold) bool { return m.ID == p.Base.Mold })
	return m == nil || m.FreeFrom > p.Base.Start || slices.ContainsFunc(m.Down, func(iv model.Interval) bool {
		return iv[0] < end && iv[1] > p.Base.Start
	})
}

// shiftOf is the tick of pub at which q begins.
func shiftOf(q, pub *model.Problem) (model.Tick, error) {
	if q.TickMinutes != pub.TickMinutes {
		return 0, fmt.Errorf("the published week counts in ticks of %d min and the shop now in ticks of %d min; keep the tick length until the week is over",
			pub.TickMinutes, q.TickMinutes)
	}
	a, err := time.Parse(time.RFC3339, pub.Start)
	if err != nil {
		return 0, fmt.Errorf("start of the published week: %w", err)
	}
	b, err := time.Parse(time.RFC3339, q.Start)
	if err != nil {
		return 0, fmt.Errorf("start of the new week: %w", err)
	}
	d, tick := b.Sub(a), time.Duration(q.TickMinutes)*time.Minute
	if d%tick != 0 {
		return 0, fmt.Errorf("the published week starts at %s and the new one at %s, which is not a whole number of ticks apart", pub.Start, q.Start)
	}
	return model.Tick(d / tick), nil
}

// advance works in the ticks of the published problem; toQ turns them.
type advance struct {
	q, pub  *model.Problem
	shift   model.Tick
	now     model.Tick // q.Now in ticks of pub
	facts   Facts
	cal     *calendar
	lives   []*life
	byPour  map[string]*life
	batches map[string]*batch
	order   []*batch // in the order of the plan
	washes  []*batch // those whose washing is under way or to come
	mixes   map[string]*model.Mix
	cures   map[string]model.Steps
	gone    map[string]bool
	notes   []Note
	refused Refused
}

func (a *advance) toQ(t model.Tick) model.Tick { return max(t-a.shift, 0) }

func (a *advance) note(id, format string, args ...any) {
	a.notes = append(a.notes, Note{Pour: id, Text: fmt.Sprintf(format, args...)})
}

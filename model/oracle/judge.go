// Package oracle answers toy problems by exhaustive search and judges plans by
// a second reading of the planning model. It is slow, shares nothing with the
// checker or the solvers, and serves tests alone.
package oracle

import (
	"fmt"
	"slices"
	"strings"

	"pourweek/model"
)

// Allowed reports whether the plan keeps every rule of the planning model and
// states its cost and terms as they are (or none), and no bound above them.
func Allowed(p *model.Problem, plan *model.Plan) bool {
	t, broken := Terms(p, plan)
	stated := plan.Cost != model.Unstated
	return broken == "" && (!stated || plan.Terms == t && plan.Cost == t.Total()) && plan.Bound <= t.Total()
}

// judge holds one judgment. The first broken rule is kept; what follows from a
// broken plan is not looked at.
type judge struct {
	p      *model.Problem
	plan   *model.Plan
	open   []bool
	over   []bool
	broken string
	terms  model.Terms

	uses    []use               // all tasks, fixed work included
	busy    map[string][]bool   // by person
	station map[string][]int    // holders by tick
	rack    map[string][]int    // places held by tick
	batches map[string]batchUse // by id
	pours   map[string]*pourUse // planned, by id
}

// use is a task as it is done.
type use struct {
	what  string
	crew  model.Crew
	who   model.Who
	ticks []model.Tick
	fixed bool
}

type batchUse struct {
	model.BatchPlan
	mix   *model.Mix
	ready model.Tick
	last  model.Tick // end of the working time
	net   model.Grams
	draws int
}

type pourUse struct {
	*model.PourPlan
	q     *model.Pour
	mold  string
	cured model.Tick // end of the cure
}

// Judge returns the cost of the plan by the planning model, or the first broken
// rule in words. It does not look at the cost, terms and bound that the plan
// states.
func Judge(p *model.Problem, plan *model.Plan) (cost model.Mils, broken string) {
	t, broken := Terms(p, plan)
	return t.Total(), broken
}

// Terms is Judge with the cost term by term.
func Terms(p *model.Problem, plan *model.Plan) (t model.Terms, broken string) {
	j := &judge{
		p: p, plan: plan, open: mask(p.Open, p.Horizon), over: mask(p.Overtime, p.Horizon), busy: map[string][]bool{},
		station: map[string][]int{}, rack: map[string][]int{}, batches: map[string]batchUse{}, pours: map[string]*pourUse{},
	}
	for _, step := range []func(){j.lists, j.fixed, j.allBatches, j.allPours, j.draws, j.mixers, j.molds, j.ships, j.places, j.people} {
		step()
		if j.broken != "" {
			return model.Terms{}, j.broken
		}
	}
	j.costs()
	return j.terms, ""
}

func mask(ivs []model.Interval, h model.Tick) []bool {
	m := make([]bool, h)
	for _, iv := range ivs {
		for t := iv[0]; t < iv[1]; t++ {
			if t >= 0 && t < h {
				m[t] = true
			}
		}
	}
	return m
}

func (j *judge) fail(format string, a ...any) {
	if j.broken == "" {
		j.broken = fmt.Sprintf(format, a...)
	}
}

func (j *judge) need(ok bool, format string, a ...any) bool {
	if !ok {
		j.fail(format, a...)
	}
	return ok
}

func (j *judge) isOpen(t model.Tick) bool { return t >= 0 && t < j.p.Horizon && j.open[t] }

func (j *judge) reg(a, b model.Tick) (n model.Mils) {
	for t := max(a, 0); t < min(b, j.p.Horizon); t++ {
		if j.open[t] && !j.over[t] {
			n++
		}
	}
	return n
}

func inSome(ivs []model.Interval, t model.Tick) bool {
	return slices.ContainsFunc(ivs, func(iv model.Interval) bool { return iv[0] <= t && t < iv[1] })
}

// job is a task as the problem asks for it.
type job struct {
	work     model.Tick
	crew     model.Crew
	station  model.OptID
	pausable bool
	when     []model.Interval
}

// task checks one planned task and notes the ticks that it takes.
func (j *judge) task(what string, x job, iv model.Interval, who model.Who) {
	s, e := iv[0], iv[1]
	if !j.need(s >= j.p.Now, "%s starts before now", what) || !j.need(e <= j.p.Horizon && s >= 0, "%s is outside the horizon", what) {
		return
	}
	if x.when != nil && !j.need(inSome(x.when, s), "%s starts at %d, when it may not", what, s) {
		return
	}
	var ticks []model.Tick
	if !x.pausable {
		if !j.need(e == s+x.work, "%s has another length", what) {
			return
		}
		for t := s; t < e; t++ {
			if !j.need(j.isOpen(t), "%s works at the closed tick %d", what, t) {
				return
			}
			ticks = append(ticks, t)
		}
	} else {
		ticks = j.paused(s, e, x.work)
		if !j.need(ticks != nil, "%s is paused as it may not be", what) {
			return
		}
	}
	j.uses = append(j.uses, use{what: what, crew: x.crew, who: who, ticks: ticks})
	if x.station != "" {
		j.hold(string(x.station), s, e)
	}
}

// paused lists the ticks of a pausable task from s to e, nil if there is no way
// to do it so.
func (j *judge) paused(s, e, w model.Tick) []model.Tick {
	if !j.isOpen(s) {
		return nil
	}
	for _, put := range []bool{false, true} {
		if put && j.over[s] {
			continue
		}
		var ticks []model.Tick
		for t := s; t < j.p.Horizon && model.Tick(len(ticks)) < w; t++ {
			if j.open[t] && !(put && j.over[t]) {
				ticks = append(ticks, t)
			}
		}
		if model.Tick(len(ticks)) == w && ticks[w-1]+1 == e {
			return ticks
		}
	}
	return nil
}

func (j *judge) hold(station string, a, b model.Tick) {
	n := j.station[station]
	if n == nil {
		n = make([]int, j.p.Horizon)
		j.station[station] = n
	}
	for t := max(a, 0); t < min(b, j.p.Horizon); t++ {
		n[t]++
	}
}

func (j *judge) holdRack(rack string, a, b model.Tick, places int) {
	n := j.rack[rack]
	if n == nil {
		n = make([]int, j.p.Horizon)
		j.rack[rack] = n
	}
	for t := max(a, 0); t < min(b, j.p.Horizon); t++ {
		n[t] += places
	}
}

// lists checks that every pour is answered once and every id is known.
func (j *judge) lists() {
	seen := map[string]bool{}
	byID := map[string]*model.Pour{}
	for i := range j.p.Pours {
		byID[j.p.Pours[i].ID] = &j.p.Pours[i]
	}
	for i := range j.plan.Pours {
		x := &j.plan.Pours[i]
		q := byID[x.ID]
		if !j.need(q != nil, "pour %q is unknown", x.ID) || !j.need(!seen[x.ID], "pour %q twice", x.ID) {
			return
		}
		seen[x.ID] = true
		j.pours[x.ID] = &pourUse{PourPlan: x, q: q}
	}
	for _, id := range j.plan.Carried {
		q := byID[id]
		if !j.need(q != nil, "pour %q is unknown", id) || !j.need(!seen[id], "pour %q twice", id) {
			return
		}
		seen[id] = true
		j.need(q.Stage == model.New, "pour %q is cast already and cannot be carried", id)
		j.need(q.Pin == nil, "pour %q is pinned and cannot be carried", id)
	}
	for id := range byID {
		j.need(seen[id], "pour %q is not answered", id)
	}
}

func (j *judge) fixed() {
	known := map[string]bool{}
	for _, f := range j.p.Fixed {
		known[f.ID] = true
		var ticks []model.Tick
		for t := f.Start; t < f.End; t++ {
			if j.isOpen(t) {
				ticks = append(ticks, t)
			}
		}
		j.uses = append(j.uses, use{what: f.ID, crew: f.Crew, who: j.plan.Fixed[f.ID], ticks: ticks, fixed: true})
		if f.Station != "" {
			j.hold(string(f.Station), f.Start, f.End)
		}
	}
	for id := range j.plan.Fixed {
		j.need(known[id], "fixed work %q is unknown", id)
	}
}

// people checks who does what.
func (j *judge) people() {
	at := map[string]*model.Person{}
	on := map[string][]bool{}
	for i := range j.p.People {
		x := &j.p.People[i]
		at[x.ID] = x
		on[x.ID] = mask(x.On, j.p.Horizon)
		j.busy[x.ID] = make([]bool, j.p.Horizon)
	}
	for _, u := range j.uses {
		seen := map[string]bool{}
		for s := range u.who {
			j.need(u.crew[s] > 0, "%s names people for %q, which it does not ask", u.what, s)
		}
		for s, n := range u.crew {
			if !j.need(len(u.who[s]) == n, "%s names %d of %d heads of %q", u.what, len(u.who[s]), n, s) {
				return
			}
			for _, id := range u.who[s] {
				x := at[id]
				if !j.need(x != nil, "%s names %q, who is unknown", u.what, id) ||
					!j.need(slices.Contains(x.Skills, s), "%s: %s has no skill %q", u.what, id, s) ||
					!j.need(!seen[id], "%s names %s twice", u.what, id) {
					return
				}
				seen[id] = true
				for _, t := range u.ticks {
					j.need(on[id][t], "%s: %s is away at %d", u.what, id, t)
					j.need(!j.busy[id][t], "%s: %s works elsewhere at %d", u.what, id, t)
					j.busy[id][t] = true
				}
			}
		}
	}
}

// places checks racks and stations.
func (j *judge) places() {
	for _, x := range j.p.Stations {
		for t, n := range j.station[x.ID] {
			j.need(n <= x.Places, "station %s is held %d times at %d", x.ID, n, t)
		}
	}
	for _, x := range j.p.Racks {
		for t, n := range j.rack[x.ID] {
			j.need(int64(n) <= x.Places.At(model.Tick(t)), "rack %s holds %d at %d", x.ID, n, t)
		}
	}
}

func stepOf(moment string) (step string, end bool) {
	step, end = strings.CutSuffix(moment, ".end")
	if !end {
		step = strings.TrimSuffix(moment, ".start")
	}
	return step, end
}

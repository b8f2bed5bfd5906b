package week

import (
	"fmt"
	"slices"
	"strings"

	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/shop"
)

// recipe is what all pours of a piece type have in common, in ticks.
type recipe struct {
	piece    *shop.Piece
	coats    coats
	pour     model.Pour // the fields of stage new, without id, order and dates
	shortest model.Tick // from the start of prep to ready, at least
	cure     *shop.Cure
}

// recipe works a piece type out, once.
func (w *compiler) recipe(p *shop.Piece) *recipe {
	if r, ok := w.recipes[p.Name]; ok {
		return r
	}
	r := &recipe{piece: p, coats: w.coatsOf(p), cure: w.shop.Cure(p.Cure)}
	w.recipes[p.Name] = r
	r.pour = model.Pour{
		Piece: p.Name, Stage: model.New,
		Molds:   w.moldsFor(p),
		Prep:    model.Demand{Crew: crewOf(p.Prep.Crew), Station: model.OptID(p.Prep.Station), When: w.starts(p.Prep, p.Pos, fmt.Sprintf("the prep of %q", p.Name))},
		PrepMax: w.optDown(p.PrepMax),
		Layers:  r.coats.layers,
		Draws:   r.coats.draws,
		Cover: model.Cover{Work: max(1, w.up(p.Cover.Work)), Crew: crewOf(p.Cover.Crew), Station: model.OptID(p.Cover.Station),
			Gap: w.window(p.Cover.GapMin, p.Cover.GapMax), When: w.starts(p.Cover.Task, p.Cover.Pos, fmt.Sprintf("the cover of %q", p.Name))},
		MoldMax: w.optDown(p.MoldMax),
		Demold: model.Demolding{Work: max(1, w.up(p.Demold.Work)), Crew: crewOf(p.Demold.Crew), Station: model.OptID(p.Demold.Station),
			When: w.starts(p.Demold.Task, p.Demold.Pos, fmt.Sprintf("the demold of %q", p.Name))},
		Racks: slices.Clone(p.Racks), Places: p.Places,
	}
	if r.pour.Cover.Gap.Len() < 0 {
		w.noTick(p.Cover.Pos, fmt.Sprintf("the cover of %q", p.Name), p.Cover.GapMin, p.Cover.GapMax)
	}
	for i := range p.Finish {
		r.pour.Finish = append(r.pour.Finish, w.finish(p, &p.Finish[i]))
	}
	for _, s := range p.Spans {
		r.pour.Spans = append(r.pour.Spans, model.Span{Station: s.Station, From: r.coats.moment(s.From), To: r.coats.moment(s.To)})
	}
	shortestCure := w.cureFor(r)
	if m := r.pour.MoldMax; m != nil && shortestCure > *m {
		w.errs.At(p.Pos, "lengthen the longest time in the mold, or take a shorter cure",
			"%q must be out of its mold %s after the cover, and its cure %q lasts %s at least", p.Name, w.span(*m), p.Cure, w.span(shortestCure))
	}
	w.checkRacks(p)
	r.shortest = shortestOf(&r.pour, shortestCure)
	w.stepLabels(r)
	return r
}

func (w *compiler) finish(p *shop.Piece, f *shop.Finish) model.Finish {
	out := model.Finish{
		ID: f.Name, Work: max(1, w.up(f.Work)), Crew: crewOf(f.Crew), Station: model.OptID(f.Station),
		Rest: w.up(f.Rest), RestMax: w.optDown(f.RestMax), Pausable: f.PutDown,
		When: w.starts(f.Task, f.Pos, fmt.Sprintf("step %q of %q", f.Name, p.Name)),
	}
	if out.RestMax != nil && *out.RestMax < out.Rest {
		w.noTick(f.Pos, fmt.Sprintf("step %q of %q", f.Name, p.Name), f.Rest, *f.RestMax)
	}
	return out
}

// starts is when a step may start, and reports hours in which no tick begins: to
// the solver an empty list is no rule.
func (w *compiler) starts(t shop.Task, at diag.Pos, what string) []model.Interval {
	out := w.cal.starts(t.When)
	if t.When != nil && len(out) == 0 {
		w.errs.At(at, fmt.Sprintf("widen its \"when\" to %d min or more, or make the ticks shorter", w.shop.TickMinutes),
			"%s may start in no hour of these weeks: no tick of %d min begins in its \"when\"", what, w.shop.TickMinutes)
	}
	return out
}

// moldsFor are the molds that can cast a piece type, in the order of the file.
func (w *compiler) moldsFor(p *shop.Piece) []model.MoldChoice {
	var out []model.MoldChoice
	for i := range w.shop.Molds {
		for _, c := range w.shop.Molds[i].Casts {
			if c.Piece == p.Name {
				out = append(out, model.MoldChoice{Mold: w.shop.Molds[i].Name, Work: max(1, w.up(c.Prep))})
				break
			}
		}
	}
	return out
}

// cureFor sets the pour's cure, made with the piece's own least time in the
// mold, and gives the shortest time that it takes from open hours on.
func (w *compiler) cureFor(r *recipe) model.Tick {
	if r.cure == nil {
		return 0
	}
	floor := w.up(r.piece.MoldMin)
	id := r.cure.Name
	plain := w.cureSteps(r.cure, 0)
	steps := plain
	if least(plain) < floor {
		steps = w.cureSteps(r.cure, floor)
		id = fmt.Sprintf("%s, %s at least", r.cure.Name, w.span(floor))
	}
	r.pour.Cure = id
	if !slices.ContainsFunc(w.p.Cures, func(c model.Cure) bool { return c.ID == id }) {
		w.p.Cures = append(w.p.Cures, model.Cure{ID: id, Lag: steps})
	}
	return least(steps)
}

// least is the smallest value of a step function.
func least(s model.Steps) model.Tick {
	if len(s) == 0 {
		return 0
	}
	v := s[0][1]
	for _, e := range s {
		v = min(v, e[1])
	}
	return model.Tick(v)
}

// checkRacks reports a piece type that no rack it may rest on can ever hold.
func (w *compiler) checkRacks(p *shop.Piece) {
	for _, name := range p.Racks {
		r := w.shop.Rack(name)
		if r == nil || mostPlaces(r) >= p.Places {
			return
		}
	}
	w.errs.At(p.Pos, "give it a larger rack, or let it hold fewer places",
		"%q holds %d places, and none of its racks (%s) ever has as many", p.Name, p.Places, strings.Join(p.Racks, ", "))
}

func mostPlaces(r *shop.Rack) int {
	n := r.Places
	for _, c := range r.Changes {
		n = max(n, c.Places)
	}
	return n
}

// shortestOf is the time from the start of the prep to ready at least, by the
// clock.
func shortestOf(p *model.Pour, cure model.Tick) model.Tick {
	var t model.Tick
	for i, m := range p.Molds {
		if i == 0 || m.Work < t {
			t = m.Work
		}
	}
	for i, l := range p.Layers {
		if i > 0 {
			t += max(0, l.Gap[0])
		}
		t += l.Work
	}
	t += max(0, p.Cover.Gap[0]) + p.Cover.Work + cure + p.Demold.Work
	for _, f := range p.Finish {
		t += f.Rest + f.Work
	}
	return t
}

// moment translates a moment of the shop file: a coat in lifts begins with its
// first lift and ends with its last.
func (c coats) moment(m string) string {
	if coat, ok := strings.CutSuffix(m, ".start"); ok {
		if id, ok := c.first[coat]; ok {
			return id + ".start"
		}
	}
	if coat, ok := strings.CutSuffix(m, ".end"); ok {
		if id, ok := c.last[coat]; ok {
			return id + ".end"
		}
	}
	return m
}

// stepLabels notes the names and dangers of a piece type's steps.
func (w *compiler) stepLabels(r *recipe) {
	put := func(id, name string, dust, wet bool) {
		l := w.labels.Steps[id]
		if l.Name == "" {
			l.Name = name
		}
		l.Dust, l.Wet = l.Dust || dust, l.Wet || wet
		w.labels.Steps[id] = l
	}
	for i, l := range r.pour.Layers {
		wet := slices.ContainsFunc(r.pour.Draws, func(d model.Draw) bool { return slices.Contains(d.Layers, i) })
		put(l.ID, l.ID, false, wet)
	}
	for _, f := range r.piece.Finish {
		put(f.Name, f.Name, f.Dust != shop.NoDust, f.Dust == shop.WetDust)
	}
}

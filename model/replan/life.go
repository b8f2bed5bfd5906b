package replan

import (
	"maps"
	"slices"

	"pourweek/model"
)

// life is a pour as it stands: the published plan with the facts worked in.
// Times are ticks of the published problem; a step that has not begun by now
// counts as not begun, whatever its time.
type life struct {
	pour   *model.Pour // as published
	mold   string
	rack   string
	prep   *model.Interval
	layers []model.Interval // nil when done before the published week
	cover  *model.Interval
	cured  model.Tick
	demold *model.Interval
	finish []*model.Interval // nil entries were done before the published week
	draws  []string

	again   bool       // to be poured anew
	freeAt  model.Tick // again: since when mold and rack are free
	forced  bool       // casting is under way because its batch is
	out     bool       // its demold stands fixed: a casting under way needs the mold after it
	planned bool       // in the published plan
	longer  map[string]model.Tick
}

// batch is a mixer load of the published plan.
type batch struct {
	plan   model.BatchPlan
	mixed  model.Tick // its start as published
	pours  []*life
	lost   bool
	forced bool
	moved  bool // it was mixed at another time than planned, for a pour that was cast then
}

func clonePtr(p *model.Interval) *model.Interval {
	if p == nil {
		return nil
	}
	v := *p
	return &v
}

func (a *advance) readPlan(plan *model.Plan) {
	a.byPour, a.gone = map[string]*life{}, map[string]bool{}
	for i := range plan.Batches {
		b := &batch{plan: plan.Batches[i], mixed: plan.Batches[i].Start}
		a.batches[b.plan.ID] = b
		a.order = append(a.order, b)
	}
	at := map[string]*model.PourPlan{}
	for i := range plan.Pours {
		at[plan.Pours[i].ID] = &plan.Pours[i]
	}
	for i := range a.pub.Pours {
		p := &a.pub.Pours[i]
		l := &life{pour: p, longer: a.facts.Longer[p.ID]}
		a.lives = append(a.lives, l)
		a.byPour[p.ID] = l
		x := at[p.ID]
		if x == nil {
			continue // carried
		}
		l.planned = true
		l.mold, l.rack = string(x.Mold), x.Rack
		l.prep, l.cover, l.demold = clonePtr(x.Prep), clonePtr(x.Cover), clonePtr(x.Demold)
		l.layers, l.draws = slices.Clone(x.Layers), slices.Clone(x.Draws)
		if x.CureEnd != nil {
			l.cured = *x.CureEnd
		}
		for _, f := range x.Finish {
			l.finish = append(l.finish, clonePtr(f))
		}
		for _, id := range l.draws {
			if b := a.batches[id]; b != nil && !slices.Contains(b.pours, l) {
				b.pours = append(b.pours, l)
			}
		}
	}
}

// applyFacts works the log into the lives. A fact about a pour that the
// published week does not have is noted and left alone.
func (a *advance) applyFacts() {
	for _, id := range slices.Sorted(maps.Keys(a.facts.Lost)) {
		if b := a.batches[id]; b == nil {
			a.note(id, "no batch of the published week is called that")
		} else {
			b.lost = true
		}
	}
	for _, l := range a.lives {
		id := l.pour.ID
		if x, ok := a.facts.Poured[id]; ok {
			a.poured(l, x)
		}
		a.notAhead(l)
		if step, ok := a.facts.Waiting[id]; ok {
			a.wait(l, step)
		}
		a.stretch(l)
		a.stays(l)
		if x, ok := a.facts.Demolded[id]; ok && a.outCanBe(l, x) {
			a.demolded(l, x)
		}
		for j := range l.pour.Finish {
			if t, ok := a.facts.Done[id][l.pour.Finish[j].ID]; ok && a.finishCanBe(l, j, t) {
				a.finished(l, j, t)
			}
		}
		a.lost(l)
		if x, ok := a.facts.Failed[id]; ok {
			l.again, l.freeAt = true, x.At
			a.pastCasting(l, x)
		}
		if t, ok := a.facts.Scrapped[id]; ok {
			l.again, l.freeAt = true, t
		}
	}
	a.lostAhead()
	for _, id := range unknown(a.facts, a.byPour) {
		if q := a.find(id); q != nil && q.Stage == model.New && a.facts.givenUp(id) {
			a.note(id, "it was done when the published week went on, and the log has it thrown away since: it is cast again")
			continue
		}
		a.note(id, "the log names it, and the published week has no such pour")
	}
}

// unknown lists the pours of the facts that are not in the week, sorted.
func unknown(f Facts, known map[string]*life) []string {
	var out []string
	add := func(id string) {
		if known[id] == nil && !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	for id := range f.Poured {
		add(id)
	}
	for id := range f.Waiting {
		add(id)
	}
	for id := range f.Failed {
		add(id)
	}
	for id := range f.Scrapped {
		add(id)
	}
	for id := range f.Demolded {
		add(id)
	}
	for id := range f.Done {
		add(id)
	}
	for id := range f.Longer {
		add(id)
	}
	slices.Sort(out)
	return out
}

// poured moves the casting to where it really began. Its coats keep the
// planned distances, or the least ones the problem allows if it was carried.
func (a *advance) poured(l *life, x Poured) {
	p := l.pour
	if p.Stage != model.New {
		a.note(p.ID, "the log says it was poured, and it was in its mold before the week began; the entry is left alone")
		return
	}
	if x.Mold != "" {
		l.mold = x.Mold
	}
	if len(l.layers) == 0 {
		a.castFrom(l, x.At)
	} else {
		d := x.At - l.layers[0][0]
		for i := range l.layers {
			l.layers[i][0] += d
			l.layers[i][1] += d
		}
		l.cover[0] += d
		l.cover[1] += d
		if l.prep != nil && l.prep[1] > x.At {
			l.prep[0] -= l.prep[1] - x.At
			l.prep[1] = x.At
		}
		a.follow(l, d)
	}
	l.planned, l.forced = true, true
	l.cured = l.cover[1] + model.Tick(a.cures[p.Cure].At(l.cover[1]))
}

// castFrom lays the coats and the cover out as close as the gaps allow.
func (a *advance) castFrom(l *life, t model.Tick) {
	p := l.pour
	if l.mold == "" && len(p.Molds) > 0 {
		l.mold = p.Molds[0].Mold
		a.note(p.ID, "it was carried and is logged as poured without a mold; %s is taken", l.mold)
	}
	if len(p.Racks) > 0 {
		l.rack = p.Racks[0]
	}
	l.prep = &model.Interval{t, t}
	for j, y := range p.Layers {
		if j > 0 {
			t = l.layers[j-1][1] + y.Gap[0]
		}
		l.layers = append(l.layers, model.Interval{t, t + y.Work})
		t += y.Work
	}
	t += p.Cover.Gap[0]
	l.cover = &model.Interval{t, t + p.Cover.Work}
	l.finish = make([]*model.Interval, len(p.Finish))
}

// follow has the batches of a pour that began d ticks later than planned go with
// it: those that would not be ready, or no longer good, for its coats were mixed
// right before them; the others are washed out later if it ran late.
func (a *advance) follow(l *life, d model.Tick) {
	for i, id := range l.draws {
		b := a.batches[id]
		if b == nil || a.mixes[b.plan.Mix] == nil || len(l.pour.Draws[i].Layers) == 0 {
			continue
		}
		m, fed, by := a.mixes[b.plan.Mix], l.pour.Draws[i].Layers, max(d, 0)
		start := l.layers[slices.Min(fed)][0] - m.Mix - m.Rest - m.Remix
		good := b.plan.Start + model.Tick(m.PotLife.At(b.plan.Start))
		if b.plan.Start > start || l.layers[slices.Max(fed)][1] > good {
			by = start - b.plan.Start
			b.plan.Start, b.moved = start, true
		}
		b.plan.Wash[0] += by
		b.plan.Wash[1] += by
	}
}

// never is later than any tick.
const never = model.Tick(1 << 40)

// waitFrom takes the named step and all after it as not begun.
func (l *life) waitFrom(step string) {
	p := l.pour
	at := slices.IndexFunc(p.Finish, func(f model.Finish) bool { return f.ID == step })
	for j := range l.finish {
		if l.finish[j] != nil && (at < 0 || j >= at) {
			l.finish[j] = &model.Interval{never, never}
		}
	}
	if at >= 0 {
		return
	}
	if l.demold != nil {
		l.demold = &model.Interval{never, never}
	}
	if step == "demold" {
		return
	}
	for j := range l.layers {
		l.layers[j] = model.Interval{never, never}
	}
	if l.cover != nil {
		l.cover = &model.Interval{never, never}
	}
	if step == "prep" && l.prep != nil {
		l.prep = &model.Interval{never, never}
	}
}

// wait works in that a step of a pour has not begun. Of a casting that is still
// to come by the plan that is nothing new: its place in the plan stays.
func (a *advance) wait(l *life, step string) {
	casting := step != "demold" && !slices.ContainsFunc(l.pour.Finish, func(f model.Finish) bool { return f.ID == step })
	if !casting || len(l.layers) == 0 || l.layers[0][0] < a.now || a.mixedFor(l) {
		l.waitFrom(step)
		return
	}
	if step == "prep" && l.prep != nil && l.prep[0] < a.now {
		l.prep = &model.Interval{never, never}
		return
	}
	a.note(l.pour.ID, "the log has it waiting, and the published plan has it only %s: that changes nothing", a.at(l.layers[0][0]))
}

// mixedFor reports whether a batch for the pour was begun.
func (a *advance) mixedFor(l *life) bool {
	return slices.ContainsFunc(l.draws, func(id string) bool { return a.batches[id] != nil && a.batches[id].plan.Start < a.now })
}

// stretch makes the steps longer that took longer, and what follows later.
func (a *advance) stretch(l *life) {
	for j := range l.layers {
		if n := l.longer[l.pour.Layers[j].ID]; n > 0 && l.layers[j][0] < a.now {
			for k := j; k < len(l.layers); k++ {
				if k > j {
					l.layers[k][0] += n
				}
				l.layers[k][1] += n
			}
			l.cover[0] += n
			l.cover[1] += n
			l.cured = l.cover[1] + model.Tick(a.cures[l.pour.Cure].At(l.cover[1]))
		}
	}
	if n := l.longer["demold"]; n > 0 && l.demold != nil && l.demold[0] < a.now {
		l.demold[1] = a.cal.later(l.demold[1], n)
	}
	for j, iv := range l.finish {
		if n := l.longer[l.pour.Finish[j].ID]; n > 0 && iv != nil && iv[0] < a.now {
			iv[1] = a.cal.later(iv[1], n)
		}
	}
}

func (a *advance) demolded(l *life, x Demolded) {
	really := x.At
	if x.Was != 0 {
		really = x.Was
	}
	a.strippedEarly(l, really)
	if x.Rack != "" {
		l.rack = x.Rack
	}
	if l.rack == "" && len(l.pour.Racks) > 0 {
		l.rack = l.pour.Racks[0]
		a.note(l.pour.ID, "the log names no rack for it; %s is taken", l.rack)
	}
	l.demold = &model.Interval{x.At - l.pour.Demold.Work, x.At}
	l.planned = true
	if len(l.finish) == 0 {
		l.finish = make([]*model.Interval, len(l.pour.Finish))
	}
	for j := range l.finish {
		if l.finish[j] == nil {
			l.finish[j] = &model.Interval{never, never}
		}
	}
}

// finished takes a finish step as ended at t, and those before it as done.
func (a *advance) finished(l *life, j int, t model.Tick) {
	for k := 0; k <= j && k < len(l.finish); k++ {
		if l.finish[k] == nil {
			continue
		}
		if l.finish[k][1] > t || k == j {
			l.finish[k][1] = t
			l.finish[k][0] = min(l.finish[k][0], t-1)
		}
	}
	if l.demold != nil && l.demold[1] > t {
		l.demold[1] = t
		l.demold[0] = min(l.demold[0], t-l.pour.Demold.Work)
	}
}

// lost marks a pour to be poured again when a batch that it needed was thrown
// away before its coats were on.
func (a *advance) lost(l *life) {
	for i, id := range l.draws {
		b := a.batches[id]
		if b == nil || !b.lost {
			continue
		}
		at := a.facts.Lost[id]
		if x, ok := a.facts.Poured[l.pour.ID]; ok && x.At > at {
			continue // it drew from another
		}
		for _, j := range l.pour.Draws[i].Layers {
			if j >= len(l.layers) || l.layers[j][1] <= at {
				continue
			}
			if l.layers[0][0] < at {
				l.again, l.freeAt = true, at
				a.note(l.pour.ID, "its coats were not all on when batch %s was lost; it is poured again", id)
			} else {
				l.waitFrom("cast") // the prep stands
			}
			return
		}
	}
}

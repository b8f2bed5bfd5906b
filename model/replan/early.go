package replan

import "pourweek/model"

// caution adds a note that is about people's safety.
func (a *advance) caution(id, format string, args ...any) {
	a.note(id, "CAUTION: "+format, args...)
	a.notes[len(a.notes)-1].Caution = true
}

// breaks ends every caution about a piece that is, or may be, stripped too early.
const breaks = "a piece that is stripped early can break and hurt people: keep clear of it, and let the engineer and local practice decide"

// stays keeps a piece in its mold that the plan had out by now, but before the
// cure end that follows from the log: what was planned counts as done only if it
// could be. An entry that it is out, or that a step after it is done, is a fact.
// Where its mold was used again by now, and it could be out by then, it was taken
// out when it was cured.
func (a *advance) stays(l *life) {
	id := l.pour.ID
	_, out := a.facts.Demolded[id]
	if out || len(a.facts.Done[id]) > 0 || l.pour.Stage != model.New || len(l.layers) == 0 || l.layers[0][0] >= a.now ||
		l.demold == nil || l.demold[0] >= a.now || a.facts.givenUp(id) {
		return
	}
	cured := a.curedAt(l)
	if l.demold[0] >= cured {
		return
	}
	work := l.demold[1] - l.demold[0]
	if next := a.nextIn(l); next < a.now && cured+work <= next {
		a.caution(id, "it was to be stripped %s and was cured only %s, as it was cast: it counts as stripped then, since %s was used again %s. If it was out before, log it as demolded; %s",
			a.at(l.demold[0]), a.at(cured), l.mold, a.at(next), breaks)
		*l.demold = model.Interval{cured, cured + work}
		return
	}
	a.caution(id, "it was to be stripped %s and is cured only %s, as it was cast: it counts as still in %s, and nothing after the demold as done. If it is out already, log it as demolded; %s",
		a.at(l.demold[0]), a.at(cured), l.mold, breaks)
	l.waitFrom("demold")
}

// nextIn is the tick at which work begins for the pour that comes next in the mold
// of a piece, never if there is none.
func (a *advance) nextIn(l *life) model.Tick {
	next := never
	for _, o := range a.lives {
		if _, waits := a.facts.Waiting[o.pour.ID]; waits || o == l || o.pour.Stage != model.New || len(o.layers) == 0 {
			continue
		}
		mold, cast := o.mold, o.layers[0][0]
		t := cast
		if o.prep != nil {
			t = min(t, o.prep[0])
		}
		if x, ok := a.facts.Poured[o.pour.ID]; ok { // it may not be worked in yet
			t, cast = t+x.At-cast, x.At
			if x.Mold != "" {
				mold = x.Mold
			}
		}
		if mold == l.mold && cast > l.layers[0][0] {
			next = min(next, t)
		}
	}
	return next
}

// strippedEarly cautions where the log has a piece out of its mold before its
// cure end. It happened, so it counts.
func (a *advance) strippedEarly(l *life, t model.Tick) {
	cured, cover := l.pour.CureEnd, model.Tick(0)
	if l.pour.Stage == model.New {
		cured, cover = a.curedAt(l), l.cover[1]
	}
	switch {
	case t >= cured:
	case l.pour.Stage == model.New:
		a.caution(l.pour.ID, "it was out of its mold %s with %s of cure, and %s are the least (until %s); %s whether it may be lifted, moved or used",
			a.at(t), a.hours(max(t-cover, 0)), a.hours(cured-cover), a.at(cured), breaks)
	default:
		a.caution(l.pour.ID, "it was out of its mold %s, %s before the end of its least cure, %s; %s whether it may be lifted, moved or used",
			a.at(t), a.hours(cured-t), a.at(cured), breaks)
	}
}

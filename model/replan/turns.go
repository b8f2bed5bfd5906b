package replan

import (
	"cmp"
	"slices"

	"pourweek/model"
)

// turn is a coat or cover of a casting under way that needs a station.
type turn struct {
	life    *life
	step    int // of the layers; their number stands for the cover
	station string
}

// hold is a place of a station that is held by what is no turn.
type hold struct {
	station string
	iv      model.Interval
}

// interval is when the step is done, by what is known.
func (t *turn) interval() model.Interval {
	if t.step == len(t.life.layers) {
		return *t.life.cover
	}
	return t.life.layers[t.step]
}

// limits are the least and most ticks between the step before and this one, and
// when it may start (nil: at any time).
func (t *turn) limits() (model.Interval, []model.Interval) {
	if t.step == len(t.life.layers) {
		return t.life.pour.Cover.Gap, t.life.pour.Cover.When
	}
	y := &t.life.pour.Layers[t.step]
	return y.Gap, y.When
}

// name is the step's id.
func (t *turn) name() string {
	if t.step == len(t.life.layers) {
		return "cover"
	}
	return t.life.pour.Layers[t.step].ID
}

// takeTurns has coats of castings under way wait where a coat before them holds
// their station longer than was planned: in the order of the plan each begins as
// soon as there is a place, in the hours in which it may, and the coats after it keep
// their distances. What the log says of a start stays, and so does everything where no
// station is short of places. What a longer wait may have spoiled is noted.
func (a *advance) takeTurns() {
	was := map[*life][]model.Interval{}
	todo, done := a.turns()
	for i := range todo {
		l := todo[i].life
		was[l] = append(slices.Clone(l.layers), *l.cover)
	}
	others, waited := a.otherHolders(), []turn{}
	for len(todo) > 0 {
		k := 0
		for i := range todo {
			if before(&todo[i], &todo[k]) {
				k = i
			}
		}
		x := todo[k]
		todo = slices.Delete(todo, k, k+1)
		if d := a.waitFor(&x, done, others); d > 0 {
			a.later(&x, d)
			waited = append(waited, x)
		} else if k := a.heldLonger(&x, done); k != nil {
			a.note(x.life.pour.ID, "%s counts as done %s, as planned, though %s held %s until %s by the log: log when it was poured",
				x.name(), a.at(x.interval()[1]), k.life.pour.ID, x.station, a.at(k.interval()[1]))
		}
		done = append(done, x)
	}
	if len(waited) > 0 {
		a.tellTurns(was, waited)
		a.batchesWait(waited)
	}
}

// turns lists the steps of castings under way that need a station: those that may
// have to wait, and those that began when the log says.
func (a *advance) turns() (todo, told []turn) {
	for _, l := range a.lives {
		if l.again || !a.begun(l) || l.cover == nil || l.pour.Stage != model.New {
			continue
		}
		for j := range l.pour.Layers {
			st := l.pour.Layers[j].Station
			if st == "" || l.layers[j][0] >= never {
				continue
			}
			if _, ok := a.facts.Poured[l.pour.ID]; ok && j == 0 {
				told = append(told, turn{l, j, string(st)})
			} else {
				todo = append(todo, turn{l, j, string(st)})
			}
		}
		if st := l.pour.Cover.Station; st != "" && l.cover[0] < never {
			todo = append(todo, turn{l, len(l.layers), string(st)})
		}
	}
	return todo, told
}

// otherHolders lists what else is under way at stations: work that stands fixed,
// preps of castings under way, demolds and finish steps that have begun.
func (a *advance) otherHolders() []hold {
	var out []hold
	add := func(st model.OptID, iv *model.Interval) {
		if st != "" && iv != nil && iv[0] < never && iv[1] > a.now {
			out = append(out, hold{string(st), *iv})
		}
	}
	for i := range a.pub.Fixed {
		x := &a.pub.Fixed[i]
		add(x.Station, &model.Interval{x.Start, x.End})
	}
	for _, l := range a.lives {
		if l.again {
			continue
		}
		if l.pour.Stage == model.New && a.begun(l) {
			add(l.pour.Prep.Station, l.prep)
		}
		if l.demold != nil && (l.demold[0] < a.now || l.out) {
			add(l.pour.Demold.Station, l.demold)
		}
		for j, iv := range l.finish {
			if iv != nil && iv[0] < a.now {
				add(l.pour.Finish[j].Station, iv)
			}
		}
	}
	return out
}

// before orders turns by when they begin.
func before(a, b *turn) bool {
	return cmp.Or(cmp.Compare(a.interval()[0], b.interval()[0]), cmp.Compare(a.interval()[1], b.interval()[1])) < 0
}

// canStart reports whether a step of so much work can begin at t by the hours: the
// shop is open all through it, and it may start then.
func (a *advance) canStart(t, work model.Tick, when []model.Interval) bool {
	return a.cal.openIn(t, t+work) == work && (when == nil || slices.ContainsFunc(when, func(iv model.Interval) bool {
		return iv[0] <= t && t < iv[1]
	}))
}

// waitFor is how long a step waits for those that hold its station, 0 if there is a
// place, if it is done (the log would say if it was not), or if there is none before
// the week ends.
func (a *advance) waitFor(x *turn, done []turn, others []hold) model.Tick {
	places, iv := a.placesOf(x.station), x.interval()
	if places < 0 || iv[1] <= a.now {
		return 0
	}
	_, when := x.limits()
	work := iv[1] - iv[0]
	for t := iv[0]; t+work <= a.pub.Horizon; t++ {
		to := t + work
		if t == iv[0] && t < a.now && x.life.longer[x.name()] > 0 {
			to = t + 1 // it has begun: nothing that begins later has it wait
		}
		if (t == iv[0] || a.canStart(t, work, when)) && a.holders(x.station, t, to, done, others) < places {
			return t - iv[0]
		}
	}
	return 0
}

// heldLonger is the step that the log says took longer, and that held the station of a
// one which is done by the plan, in the last half day, when that needed it; nil if there
// is none.
func (a *advance) heldLonger(x *turn, done []turn) *turn {
	places, iv := a.placesOf(x.station), x.interval()
	if places < 0 || iv[1] > a.now || a.now-iv[1] > model.Tick(model.MinutesPerDay/2/a.pub.TickMinutes) ||
		a.holders(x.station, iv[0], iv[1], done, nil) < places {
		return nil
	}
	for k := range done {
		y := &done[k]
		if h := y.interval(); y.station == x.station && h[0] < iv[1] && iv[0] < h[1] && y.life.longer[y.name()] > 0 {
			return y
		}
	}
	return nil
}

// placesOf is how many places a station has today, -1 if there is none of the name.
func (a *advance) placesOf(station string) int {
	if s := named(a.q.Stations, func(s *model.Station) bool { return s.ID == station }); s != nil {
		return s.Places
	}
	return -1
}

// holders is the most places of a station that are held at once in [from, to).
func (a *advance) holders(station string, from, to model.Tick, steps []turn, others []hold) int {
	most := 0
	for t := from; t < to; t++ {
		n := 0
		for k := range steps {
			if iv := steps[k].interval(); steps[k].station == station && iv[0] <= t && t < iv[1] {
				n++
			}
		}
		for _, h := range others {
			if h.station == station && h.iv[0] <= t && t < h.iv[1] {
				n++
			}
		}
		most = max(most, n)
	}
	return most
}

// inHours is the first time from t on at which a step can begin by the hours and
// within a range, else the last one before.
func (a *advance) inHours(t, work model.Tick, in model.Interval, when []model.Interval) (model.Tick, bool) {
	for s := t; s <= in[1] && s+work <= a.pub.Horizon; s++ {
		if a.canStart(s, work, when) {
			return s, true
		}
	}
	for s := t - 1; s >= max(in[0], a.now); s-- {
		if a.canStart(s, work, when) {
			return s, true
		}
	}
	return t, false
}

// later moves a step and all that follow it in its casting by d. One that would come
// when the shop is closed, or when it may not start, comes after that or before it
// where its gap allows.
func (a *advance) later(x *turn, d model.Tick) {
	l := x.life
	l.forced = true // its batch is mixed, or a coat is on
	end := model.Tick(0)
	for y := (turn{l, x.step, ""}); y.step <= len(l.layers); y.step++ {
		iv := y.interval()
		gap, when := y.limits()
		work, t := iv[1]-iv[0], iv[0]+d
		if y.step > x.step && a.canStart(iv[0], work, when) {
			if s, ok := a.inHours(t, work, model.Interval{end + gap[0], end + gap[1]}, when); ok && s >= iv[0] {
				d, t = d+s-t, s
			}
		}
		iv = model.Interval{t, t + work}
		if end = iv[1]; y.step == len(l.layers) {
			*l.cover = iv
		} else {
			l.layers[y.step] = iv
		}
	}
	l.cured = l.cover[1] + model.Tick(a.cures[l.pour.Cure].At(l.cover[1]))
}

// tellTurns notes which steps wait, and what of their castings a wait may have spoiled.
func (a *advance) tellTurns(was map[*life][]model.Interval, waited []turn) {
	var told []*life
	for i := range waited {
		if l := waited[i].life; !slices.Contains(told, l) {
			told = append(told, l)
		}
	}
	for _, l := range told {
		p := l.pour
		for x := (turn{l, 0, ""}); x.step <= len(l.layers); x.step++ {
			iv, old := x.interval(), was[l][x.step]
			if iv == old {
				continue
			}
			gap, when := x.limits()
			if i := slices.IndexFunc(waited, func(y turn) bool { return y.life == l && y.step == x.step }); i >= 0 {
				a.note(p.ID, "%s waits for a place of %s until %s", x.name(), waited[i].station, a.at(iv[0]))
			}
			if x.step == 0 {
				if m := p.PrepMax; m != nil && l.prep != nil && iv[0]-l.prep[1] > *m && old[0]-l.prep[1] <= *m {
					a.note(p.ID, "%s was prepared %s before, and at most %s are allowed: look whether it has to be done again",
						l.mold, a.hours(iv[0]-l.prep[1]), a.hours(*m))
				}
			} else if had := iv[0] - l.layers[x.step-1][1]; had > gap[1] && had > old[0]-was[l][x.step-1][1] {
				a.note(p.ID, "that is %s after the coat before, and at most %s are allowed: judge by hand whether it may go on, else log it failed",
					a.hours(had), a.hours(gap[1]))
			}
			if work := iv[1] - iv[0]; a.canStart(old[0], work, when) && !a.canStart(iv[0], work, when) {
				a.note(p.ID, "%s then comes %s, outside the hours in which it can be done: see to it by hand", x.name(), a.at(iv[0]))
			}
		}
	}
}

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
	told    bool // the log has it begun when it did
}

// interval is when the step is done, by what is known.
func (t *turn) interval() model.Interval {
	if t.step == len(t.life.layers) {
		return *t.life.cover
	}
	return t.life.layers[t.step]
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
// soon as there is a place, in open hours, and the coats after it keep their
// distances. What the log says of a start stays, and so does everything where no
// station is short of places. What a longer wait may have spoiled is noted.
func (a *advance) takeTurns() {
	var todo, done []turn
	for _, l := range a.lives {
		if l.again || !a.begun(l) || l.cover == nil || l.pour.Stage != model.New {
			continue
		}
		for j := range l.pour.Layers {
			if st := l.pour.Layers[j].Station; st != "" && l.layers[j][0] < never {
				_, told := a.facts.Poured[l.pour.ID]
				todo = append(todo, turn{l, j, string(st), told && j == 0})
			}
		}
		if st := l.pour.Cover.Station; st != "" && l.cover[0] < never {
			todo = append(todo, turn{l, len(l.layers), string(st), false})
		}
	}
	for len(todo) > 0 {
		k := 0
		for i := range todo {
			if before(&todo[i], &todo[k]) {
				k = i
			}
		}
		x := todo[k]
		todo = slices.Delete(todo, k, k+1)
		if !x.told {
			a.waitTurn(&x, done)
		}
		done = append(done, x)
	}
}

// before orders turns by when they begin.
func before(a, b *turn) bool {
	return cmp.Or(cmp.Compare(a.interval()[0], b.interval()[0]), cmp.Compare(a.interval()[1], b.interval()[1])) < 0
}

// waitTurn moves a step, and what follows it, behind those that hold its station.
func (a *advance) waitTurn(x *turn, done []turn) {
	s := named(a.q.Stations, func(s *model.Station) bool { return s.ID == x.station })
	iv := x.interval()
	if s == nil || iv[1] <= a.now {
		return // it is done: the log would say if it was not
	}
	work, t := iv[1]-iv[0], iv[0]
	for t+work <= a.pub.Horizon && (a.holders(x.station, t, t+work, done) >= s.Places || t > iv[0] && a.cal.openIn(t, t+work) < work) {
		t++
	}
	if d := t - iv[0]; d > 0 && t+work <= a.pub.Horizon {
		a.later(x, d)
	}
}

// holders is the most places of a station that steps hold at once in [from, to).
func (a *advance) holders(station string, from, to model.Tick, steps []turn) int {
	most := 0
	for t := from; t < to; t++ {
		n := 0
		for k := range steps {
			if iv := steps[k].interval(); steps[k].station == station && iv[0] <= t && t < iv[1] {
				n++
			}
		}
		most = max(most, n)
	}
	return most
}

// later moves a step and all that follow it in its casting by d, and notes it.
func (a *advance) later(x *turn, d model.Tick) {
	l := x.life
	l.forced = true // its batch is mixed, or a coat is on
	for j := x.step; j < len(l.layers); j++ {
		l.layers[j][0] += d
		l.layers[j][1] += d
	}
	l.cover[0] += d
	l.cover[1] += d
	l.cured = l.cover[1] + model.Tick(a.cures[l.pour.Cure].At(l.cover[1]))
	p := l.pour
	a.note(p.ID, "%s waits for a place of %s until %s", x.name(), x.station, a.at(x.interval()[0]))
	if x.step > 0 {
		most := p.Cover.Gap[1]
		if x.step < len(l.layers) {
			most = p.Layers[x.step].Gap[1]
		}
		if gap := x.interval()[0] - l.layers[x.step-1][1]; gap > most {
			a.note(p.ID, "that is %s after the coat before, and at most %s are allowed: judge by hand whether it may go on, else log it failed",
				a.hours(gap), a.hours(most))
		}
	}
	a.batchesWait(l)
}

// batchesWait moves batches that are not mixed yet along with the coats that they
// feed, and notes where one that is mixed gets too old.
func (a *advance) batchesWait(l *life) {
	for i, id := range l.draws {
		b := a.batches[id]
		if b == nil || a.mixes[b.plan.Mix] == nil || len(l.pour.Draws[i].Layers) == 0 {
			continue
		}
		m, fed := a.mixes[b.plan.Mix], l.pour.Draws[i].Layers
		good := b.plan.Start + model.Tick(m.PotLife.At(b.plan.Start))
		end := l.layers[slices.Max(fed)][1]
		if end <= good || b.lost {
			continue
		}
		if b.plan.Start < a.now {
			a.note(id, "it is past its pot life when %s is laid %s: throw it away and log it lost", l.pour.ID, a.at(end))
			continue
		}
		by := end - good
		b.plan.Start += by
		b.plan.Wash[0] += by
		b.plan.Wash[1] += by
	}
}

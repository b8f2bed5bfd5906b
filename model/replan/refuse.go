package replan

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/logbook"
)

// Refusal says that what the log tells cannot be, as the published plan and the
// rest of the log have it.
type Refusal struct {
	What  logbook.Kind // of the entry; "" where no one entry is wrong by itself
	Which string
	Step  string
	Text  string // what was read and why it cannot be
	Hint  string // what would be right
}

// Names reports whether the refusal is about the entry.
func (r Refusal) Names(e logbook.Entry) bool {
	return r.What == e.What && r.Which == e.Which && r.Step == e.Step
}

// Refused is the error of a state that cannot be: all refusals at once.
type Refused []Refusal

func (r Refused) Error() string {
	var l []string
	for _, x := range r {
		l = append(l, x.Text)
	}
	return strings.Join(l, "\n")
}

// Problems gives each refusal of an entry of the log its place there. What is
// about no entry is left out.
func (r Refused) Problems(log []logbook.Entry) *diag.List {
	list := &diag.List{}
	for _, x := range r {
		for i := len(log) - 1; i >= 0; i-- {
			if x.Names(log[i]) {
				list.Add(log[i].Position.Problem(x.Text, x.Hint))
				break
			}
		}
	}
	return list
}

func (a *advance) refuse(what logbook.Kind, which, step, hint, format string, args ...any) {
	a.refused = append(a.refused, Refusal{what, which, step, fmt.Sprintf(format, args...), hint})
}

// at is a tick of the published problem as people write it.
func (a *advance) at(t model.Tick) string {
	start, err := time.Parse(time.RFC3339, a.pub.Start)
	if err != nil {
		return fmt.Sprintf("tick %d", t)
	}
	if a.facts.Zone != nil {
		start = start.In(a.facts.Zone)
	}
	return start.Add(time.Duration(t) * time.Duration(a.pub.TickMinutes) * time.Minute).Format("Mon 2006-01-02 15:04")
}

// hours is a number of ticks in hours.
func (a *advance) hours(t model.Tick) string {
	return fmt.Sprintf("%.1f h", float64(int(t)*a.pub.TickMinutes)/60)
}

// poursOnce refuses an entry that has a pour begin that another entry had begin
// at another time or in another mold, with nothing between them that undid it.
func poursOnce(log []logbook.Entry) Refused {
	var out Refused
	began := map[string]logbook.Entry{}
	for _, e := range log {
		switch e.What {
		case logbook.Failed, logbook.Scrapped, logbook.Waiting:
			delete(began, e.Which)
		case logbook.BatchLost:
			clear(began) // any of them may have drawn from it
		case logbook.Poured:
			b, twice := began[e.Which]
			if twice && (!b.When.Equal(e.When) || b.Mold != e.Mold) {
				out = append(out, Refusal{e.What, e.Which, e.Step,
					fmt.Sprintf("%s was poured %s by this entry and %s by %s", e.Which, at(e), at(b), b.Position.Place()),
					"keep the one that is right and take the other out; a pour that was given up in between needs an entry failed"})
			}
			began[e.Which] = e
		}
	}
	return out
}

// at is when and, if it says so, in which mold an entry has a pour begin.
func at(e logbook.Entry) string {
	s := e.When.Format("2006-01-02 15:04")
	if e.Mold != "" {
		s += " in " + e.Mold
	}
	return s
}

// castBy reports whether the pour had begun by t, and if not, says why not.
func (a *advance) castBy(l *life, t model.Tick) (bool, string) {
	switch {
	case l.pour.Stage != model.New:
		return true, ""
	case len(l.layers) == 0:
		return false, "the published plan carries it and no entry has it poured"
	case l.layers[0][0] >= never:
		return false, "the log has its casting waiting"
	case l.layers[0][0] >= t:
		return false, "it is cast from " + a.at(l.layers[0][0]) + " on, by the plan and the log"
	}
	return true, ""
}

// early is how long before its time something may be begun without a line in
// the log: an hour, in minutes.
const early = 60

// begins is the tick at which the first work for a pour begins: its prep, a
// batch, or its casting; never if nothing of it was planned.
func (a *advance) begins(l *life) model.Tick {
	t := never
	if l.pour.Stage != model.New {
		return 0
	}
	if l.prep != nil {
		t = min(t, l.prep[0])
	}
	if len(l.layers) > 0 {
		t = min(t, l.layers[0][0])
	}
	for _, id := range l.draws {
		if b := a.batches[id]; b != nil {
			t = min(t, b.plan.Start)
		}
	}
	return t
}

// notAhead refuses that a pour failed or a piece was scrapped before any of it
// was begun.
func (a *advance) notAhead(l *life) {
	id, slack := l.pour.ID, model.Tick(early/a.pub.TickMinutes)
	_, poured := a.facts.Poured[id]
	if poured {
		slack = 0
	}
	if x, ok := a.facts.Failed[id]; ok && a.begins(l) > x.At+slack {
		_, why := a.castBy(l, x.At)
		a.refuse(logbook.Failed, id, "", "correct its time, or log before it when it was poured",
			"%s cannot have been given up while casting %s: %s", id, a.at(x.At), why)
	}
	if t, ok := a.facts.Scrapped[id]; ok {
		if cast, why := a.castBy(l, t+slack+1); !cast {
			a.refuse(logbook.Scrapped, id, "", "correct its time, or log before it when it was poured",
				"%s cannot have been thrown away as a cast piece %s: %s", id, a.at(t), why)
		}
	}
}

// lostAhead refuses that a batch was thrown away before it was mixed.
func (a *advance) lostAhead() {
	for _, b := range a.order {
		t, ok := a.facts.Lost[b.plan.ID]
		start := min(b.plan.Start, b.mixed) // a pour cast later, of another batch, has moved it
		if ok && start > t+model.Tick(early/a.pub.TickMinutes) {
			a.refuse(logbook.BatchLost, b.plan.ID, "", "correct its time or name the batch that was lost; one mixed for a pour that came early needs an entry poured",
				"batch %s cannot have been thrown away %s: it is mixed from %s on, by the plan and the log", b.plan.ID, a.at(t), a.at(start))
		}
	}
}

// outCanBe reports whether the piece can have been out of its mold as the log
// says, and refuses the entry or notes that it is left alone if not.
func (a *advance) outCanBe(l *life, x Demolded) bool {
	id := l.pour.ID
	if l.pour.Stage == model.Racked {
		a.note(id, "the log says it was out of its mold, and it was so when the published week went on; the entry is left alone")
		return false
	}
	cast, why := a.castBy(l, x.At)
	if !cast {
		a.refuse(logbook.Demolded, id, "", "correct its time, or log before it when it was poured",
			"%s cannot have been out of its mold %s: %s", id, a.at(x.At), why)
		return false
	}
	if l.pour.Stage == model.New && l.cover[1] > x.At && !a.facts.givenUp(id) { // else it is the wreck that is out
		a.refuse(logbook.Demolded, id, "", "correct its time, or log before it when it was poured; a casting that was given up is logged as failed",
			"%s cannot have been out of its mold %s: it is covered only %s, by the plan and the log", id, a.at(x.At), a.at(l.cover[1]))
		return false
	}
	return true
}

// finishCanBe reports whether finish step j can have ended at t, and refuses the
// entry, or notes what it left out, if not. It is called before the entry is
// worked in, for the steps in their order.
func (a *advance) finishCanBe(l *life, j int, t model.Tick) bool {
	id, step := l.pour.ID, l.pour.Finish[j].ID
	no := func(hint, format string, args ...any) bool {
		a.refuse(logbook.Finished, id, step, hint, "%s of %s cannot have ended %s: %s", step, id, a.at(t), fmt.Sprintf(format, args...))
		return false
	}
	if cast, why := a.castBy(l, t); !cast {
		return no("correct its time, or log before it when it was poured", "%s", why)
	}
	if l.pour.Stage == model.Racked && j < l.pour.Next {
		a.note(id, "the log says that %s ended, and it was done when the published week went on; the entry is left alone", step)
		return false
	}
	_, out := a.facts.Demolded[id]
	if l.pour.Stage != model.Racked {
		cured := a.curedAt(l)
		switch {
		case out && l.demold != nil && l.demold[1] >= t:
			return no("correct one of the two times", "the log has it out of its mold only %s", a.at(l.demold[1]))
		case !out && cured >= t:
			return no("correct its time, or log before it when it was demolded", "it is cured only %s, and no entry has it out of its mold before", a.at(cured))
		}
	}
	for k := 0; k < j && k < len(l.finish); k++ {
		before := l.pour.Finish[k].ID
		iv := l.finish[k]
		end, told := a.facts.Done[id][before]
		switch {
		case iv == nil: // done before the published week
		case told && end >= t:
			return no("correct one of the two times", "%s comes before it and ended %s by the log", before, a.at(end))
		case !told && iv[0] >= never:
			return no(fmt.Sprintf("log when it ended: finished %s %s", id, before), "%s comes before it and has not been done", before)
		case !told && iv[0] >= t:
			return no(fmt.Sprintf("correct its time, or log before it when that ended: finished %s %s", id, before),
				"%s comes before it and begins %s by the plan", before, a.at(iv[0]))
		}
	}
	a.restedBefore(l, j, t)
	return true
}

// restedBefore notes a finish step that ended at t and cannot have waited for
// the rest before it.
func (a *advance) restedBefore(l *life, j int, t model.Tick) {
	f := l.pour.Finish[j]
	from, after := l.demold, "the demold"
	if j > 0 && j-1 < len(l.finish) {
		from, after = l.finish[j-1], l.pour.Finish[j-1].ID
	}
	if from == nil || from[0] >= never {
		return
	}
	if had := t - f.Work - min(from[1], t); had < f.Rest {
		a.note(l.pour.ID, "%s ended %s and can have rested only %s after %s, where %s are the least: look whether it has to be done again",
			f.ID, a.at(t), a.hours(max(had, 0)), after, a.hours(f.Rest))
	}
}

// oneInAMold refuses that two pieces were in one mold at a time, at any moment
// before now, or will be, by what is under way.
func (a *advance) oneInAMold() {
	type stay struct {
		l        *life
		from, to model.Tick
	}
	in := map[string][]stay{}
	var molds []string
	for _, l := range a.lives {
		s, mold := stay{l: l, from: -1, to: never}, l.mold
		switch {
		case l.pour.Stage == model.Racked:
			continue
		case l.pour.Stage == model.Curing:
			mold = l.pour.Mold
		case len(l.layers) == 0:
			continue
		default:
			s.from = l.layers[0][0]
		}
		if l.demold != nil {
			s.to = l.demold[1]
		}
		if l.again {
			s.to = min(s.to, l.freeAt)
		}
		if l.again && s.from >= a.now || !l.again && l.pour.Stage == model.New && !a.begun(l) || s.to <= s.from {
			continue
		}
		if in[mold] == nil {
			molds = append(molds, mold)
		}
		in[mold] = append(in[mold], s)
	}
	for _, mold := range molds {
		l := in[mold]
		slices.SortStableFunc(l, func(a, b stay) int { return int(a.from - b.from) })
		for i := 1; i < len(l); i++ {
			x, y := l[i-1], l[i]
			if y.from >= x.to {
				continue
			}
			since, until := "from before the published week", "and has not been taken out since"
			if x.from >= 0 {
				since = "from " + a.at(x.from)
			}
			if x.to < a.now {
				until = "to " + a.at(x.to)
			}
			a.refuse("", x.l.pour.ID, "",
				fmt.Sprintf("log when %s was demolded, or what became of %s (waiting, or poured at another time or in another mold)", x.l.pour.ID, y.l.pour.ID),
				"two pieces cannot be in the mold %q: by the plan and the log %s is in it %s %s, and %s is poured in it %s",
				mold, x.l.pour.ID, since, until, y.l.pour.ID, a.at(y.from))
		}
	}
}

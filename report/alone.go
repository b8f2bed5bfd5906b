package report

import (
	"fmt"
	"slices"
	"strings"

	"pourweek/model"
)

// alone finds the earliest at which a pour could do its steps if it had the
// shop to itself: every mold, mixer, rack and person free of other work. Longest
// rests, pot lives and down times in the middle of a stay are not looked at, and
// hands are counted, not named; so what it finds is never too late: no allowed
// plan does the step earlier.
type alone struct {
	*builder
	runs map[string]*run // by crew
}

// run tells where a crew can work.
type run struct {
	good []bool
	len  []int32 // ticks in a row, from t on, that are good
}

// never is past every horizon.
const never = model.Tick(1) << 40

func newAlone(b *builder) *alone { return &alone{b, map[string]*run{}} }

// crew finds the ticks in which the shop is open and enough people with each
// skill are present.
func (a *alone) crew(c model.Crew) *run {
	var skills []string
	for s := range c {
		skills = append(skills, s)
	}
	slices.Sort(skills)
	var key strings.Builder
	for _, s := range skills {
		fmt.Fprintf(&key, "%q:%d ", s, c[s])
	}
	if r := a.runs[key.String()]; r != nil {
		return r
	}
	h := int(a.horizon)
	r := &run{make([]bool, h+1), make([]int32, h+1)}
	for t := range h {
		r.good[t] = a.isOpen(model.Tick(t))
	}
	for _, s := range skills {
		heads := a.heads(s)
		for t := range h {
			r.good[t] = r.good[t] && heads[t] >= c[s]
		}
	}
	for t := h - 1; t >= 0; t-- {
		if r.good[t] {
			r.len[t] = r.len[t+1] + 1
		}
	}
	a.runs[key.String()] = r
	return r
}

// heads counts the people with a skill by tick.
func (a *alone) heads(skill string) []int {
	n := make([]int, a.horizon+1)
	for i := range a.p.People {
		p := &a.p.People[i]
		if !slices.Contains(p.Skills, skill) {
			continue
		}
		for _, iv := range p.On {
			for t := max(iv.From(), 0); t < min(iv.To(), a.horizon); t++ {
				n[t]++
			}
		}
	}
	return n
}

// step is what the earliest place of a task depends on.
type step struct {
	work model.Tick
	crew model.Crew
	when []model.Interval
}

func inWhen(when []model.Interval, t model.Tick) bool {
	return len(when) == 0 || inSome(when, t)
}

func inSome(ivs []model.Interval, t model.Tick) bool {
	return slices.ContainsFunc(ivs, func(iv model.Interval) bool { return iv.From() <= t && t < iv.To() })
}

// steady is the earliest interval of a steady task that starts at or after
// from.
func (a *alone) steady(s step, from model.Tick) model.Interval {
	r := a.crew(s.crew)
	for t := max(from, a.p.Now, 0); t+s.work <= a.horizon; t++ {
		if model.Tick(r.len[t]) >= s.work && inWhen(s.when, t) {
			return model.Interval{t, t + s.work}
		}
	}
	return model.Interval{never, never}
}

// pausable is the earliest start and the earliest end, not always of the same
// place, of a pausable task that starts at or after from; allowed tells at which
// ticks it may start.
func (a *alone) pausable(s step, from model.Tick, allowed func(model.Tick) bool) model.Interval {
	best := model.Interval{never, never}
	for _, takes := range []func(model.Tick) bool{a.isOpen, func(t model.Tick) bool { return a.isOpen(t) && !a.isOvertime(t) }} {
		for t := max(from, a.p.Now, 0); t < a.horizon; t++ {
			if !takes(t) || !inWhen(s.when, t) || !allowed(t) {
				continue
			}
			if end, ok := a.end(t, s, takes); ok {
				best[0], best[1] = min(best[0], t), min(best[1], end)
				break
			}
		}
	}
	return best
}

// end is where a pausable task that starts at t ends; false if its crew is
// missing in a tick that it takes, or the horizon is passed.
func (a *alone) end(t model.Tick, s step, takes func(model.Tick) bool) (model.Tick, bool) {
	good := a.crew(s.crew).good
	left := s.work
	for ; t < a.horizon && left > 0; t++ {
		if takes(t) {
			if !good[t] {
				return 0, false
			}
			left--
		}
	}
	return t, left == 0
}

// mixed is the earliest at which a batch of a mix is ready.
func (a *alone) mixed(id string) model.Tick {
	m := a.mixes[id]
	best := never
	if m == nil {
		return best
	}
	open, crew := a.crew(nil), a.crew(m.Crew)
	all := m.Mix + m.Rest + m.Remix
	for _, name := range m.Mixers {
		x := a.mixers[name]
		if x == nil {
			continue
		}
		for t := max(a.p.Now, x.FreeFrom, 0); t+all <= a.horizon; t++ {
			remix := t + m.Mix + m.Rest
			if model.Tick(open.len[t]) >= all && model.Tick(crew.len[t]) >= m.Mix &&
				model.Tick(crew.len[remix]) >= m.Remix && !inSome(x.Down, t) {
				best = min(best, t+all)
				break
			}
		}
	}
	return best
}

// unmixed is a mix of the pour's first coat of which there can be no batch; "" if
// there is none.
func (a *alone) unmixed(q *model.Pour) string {
	for _, d := range q.Draws {
		if slices.Contains(d.Layers, 0) && a.mixed(d.Mix) >= never {
			return d.Mix
		}
	}
	return ""
}

// earliest is what alone finds of a pour: the start of its first coat (never
// for one that is poured) and its ready; never if there is no place up to the
// horizon.
type earliest struct{ coat, ready model.Tick }

func (a *alone) pour(q *model.Pour) earliest {
	switch q.Stage {
	case model.Curing:
		d := a.steady(step{q.Demold.Work, q.Demold.Crew, q.Demold.When}, q.CureEnd)
		return earliest{never, a.finish(q, d.To(), 0)}
	case model.Racked:
		return earliest{never, a.finish(q, q.From, q.Next)}
	}
	prepared := never
	for _, c := range q.Molds {
		m := a.molds[c.Mold]
		if m == nil {
			continue
		}
		up := func(t model.Tick) bool { return !inSome(m.Down, t) }
		iv := a.pausable(step{c.Work, q.Prep.Crew, q.Prep.When}, max(q.Release, m.FreeFrom), up)
		prepared = min(prepared, iv.To())
	}
	coat, at := never, prepared
	for j := range q.Layers {
		l := &q.Layers[j]
		if j > 0 {
			at += l.Gap[0]
		}
		for _, d := range q.Draws {
			if slices.Contains(d.Layers, j) {
				at = max(at, a.mixed(d.Mix))
			}
		}
		iv := a.steady(step{l.Work, l.Crew, l.When}, at)
		if j == 0 {
			coat = iv.From()
		}
		at = iv.To()
	}
	at = a.steady(step{q.Cover.Work, q.Cover.Crew, q.Cover.When}, at+q.Cover.Gap[0]).To()
	if at >= never {
		return earliest{coat, never}
	}
	for i := range a.p.Cures {
		if a.p.Cures[i].ID == q.Cure {
			at += model.Tick(a.p.Cures[i].Lag.At(at))
			break
		}
	}
	d := a.steady(step{q.Demold.Work, q.Demold.Crew, q.Demold.When}, at)
	return earliest{coat, a.finish(q, d.To(), 0)}
}

// finish is the earliest end of the finish steps from the first on, the step
// before having ended at or after from.
func (a *alone) finish(q *model.Pour, from model.Tick, first int) model.Tick {
	for j := first; j < len(q.Finish); j++ {
		f := &q.Finish[j]
		if j > first || q.Stage != model.Racked {
			from += f.Rest
		}
		s := step{f.Work, f.Crew, f.When}
		if f.Pausable {
			from = a.pausable(s, from, func(model.Tick) bool { return true }).To()
		} else {
			from = a.steady(s, from).To()
		}
	}
	return min(from, never)
}

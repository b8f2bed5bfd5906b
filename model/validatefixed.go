package model

import (
	"cmp"
	"fmt"
	"slices"
)

// Overload is the first tick at which fixed work asks more than there is of one
// thing: places of a station or, where Station is "", heads of a skill or, where
// Skill is "" too, of all skills that it needs together.
type Overload struct {
	At           Tick
	Asked, There int
	Station      string
	Skill        string
}

// Sentence says what is asked and what there is; at says when, such as "at tick 5".
func (o *Overload) Sentence(at string) string {
	what := fmt.Sprintf("the skill %q", o.Skill)
	switch {
	case o.Station != "":
		return fmt.Sprintf("fixed work holds %s of station %q %s; it has %d", many(o.Asked, "place"), o.Station, at, o.There)
	case o.Skill == "":
		what = "the skills that it needs"
	}
	return fmt.Sprintf("fixed work asks %s of %s %s, with %d present", many(o.Asked, "head"), what, at, o.There)
}

// Takes reports whether the fixed work is part of what is too much.
func (o *Overload) Takes(f *Fixed) bool {
	_, skilled := f.Crew[o.Skill]
	switch {
	case f.Start > o.At || f.End <= o.At:
		return false
	case o.Station != "":
		return string(f.Station) == o.Station
	case o.Skill == "":
		return len(f.Crew) > 0
	}
	return skilled
}

// fixedLoad judges that fixed work asks no more places of a station and no more
// heads of a skill than there are, and no more heads in all than people with
// one of its skills. That is necessary, not sufficient: who can be where is for
// a solver to find. (Section 2.)
func (v *validator) fixedLoad() {
	p := v.p
	stations, skills := map[string]*load{}, map[string]*load{}
	var all load
	for i := range p.Fixed {
		f := &p.Fixed[i]
		iv := Interval{f.Start, f.End}
		if f.Station != "" {
			at(stations, string(f.Station)).asks(iv, 1)
		}
		for skill, heads := range f.Crew {
			at(skills, skill).asks(iv, heads)
			all.asks(iv, heads)
		}
	}
	for i := range p.Stations {
		s := &p.Stations[i]
		l := stations[s.ID]
		if l == nil {
			continue
		}
		l.has([]Interval{{0, p.Horizon}}, s.Places)
		if t, asked, there := l.short(nil); asked > there {
			v.overload(&Overload{At: t, Asked: asked, There: there, Station: s.ID})
		}
	}
	for i := range p.People {
		x := &p.People[i]
		some := false
		for _, skill := range slices.Compact(slices.Sorted(slices.Values(x.Skills))) {
			if l := skills[skill]; l != nil {
				some = true
				l.has(x.On, 1)
			}
		}
		if some {
			all.has(x.On, 1)
		}
	}
	for _, skill := range sortedKeys(skills) {
		v.heads(skill, skills[skill])
	}
	if len(skills) > 1 {
		v.heads("", &all)
	}
}

// heads judges the heads asked of a skill ("": of all that fixed work needs)
// against the people present.
func (v *validator) heads(skill string, l *load) {
	if len(v.open) == 0 {
		return // fixed work takes open ticks alone
	}
	if t, asked, there := l.short(v.open); asked > there {
		v.overload(&Overload{At: t, Asked: asked, There: there, Skill: skill})
	}
}

func (v *validator) overload(x *Overload) {
	n := len(v.issues)
	v.add("fixed", "%s", x.Sentence(fmt.Sprintf("at tick %d", x.At)))
	if len(v.issues) > n {
		v.issues[n].Overload = x
	}
}

// at is the load by that name, made if it is not there.
func at(m map[string]*load, name string) *load {
	if m[name] == nil {
		m[name] = &load{}
	}
	return m[name]
}

// load is what is asked and what there is, by time.
type load struct {
	events []loadEvent
}

type loadEvent struct {
	t           Tick
	asked, have int
}

func (l *load) asks(iv Interval, n int) {
	l.events = append(l.events, loadEvent{iv.From(), n, 0}, loadEvent{iv.To(), -n, 0})
}

func (l *load) has(ivs []Interval, n int) {
	for _, iv := range ivs {
		l.events = append(l.events, loadEvent{iv.From(), 0, n}, loadEvent{iv.To(), 0, -n})
	}
}

// short is the first tick of open (nil: of all) at which more is asked than
// there is, with both; both are 0 if there is none.
func (l *load) short(open []Interval) (t Tick, asked, have int) {
	slices.SortFunc(l.events, func(a, b loadEvent) int { return cmp.Compare(a.t, b.t) })
	for i := 0; i < len(l.events); {
		t = l.events[i].t
		for ; i < len(l.events) && l.events[i].t == t; i++ {
			asked += l.events[i].asked
			have += l.events[i].have
		}
		if asked <= have {
			continue
		}
		if open == nil {
			return t, asked, have
		}
		// The last event takes all away, so that there is a next one.
		if next, ok := firstOpen(open, Interval{t, l.events[i].t}); ok {
			return next, asked, have
		}
	}
	return 0, 0, 0
}

// firstOpen is the first tick of iv that open holds.
func firstOpen(open []Interval, iv Interval) (Tick, bool) {
	i, _ := slices.BinarySearchFunc(open, iv.From(), func(o Interval, t Tick) int {
		if o.To() <= t {
			return -1
		}
		return 1
	})
	if i == len(open) || open[i].From() >= iv.To() {
		return 0, false
	}
	return max(open[i].From(), iv.From()), true
}

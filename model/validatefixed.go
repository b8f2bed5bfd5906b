package model

import (
	"cmp"
	"fmt"
	"slices"
)

// fixedLoad judges that fixed work asks no more places of a station and no more
// heads of a skill than there are. That is necessary, not sufficient: who can
// be where is for a solver to find. (Section 2.)
func (v *validator) fixedLoad() {
	p := v.p
	for i := range p.Stations {
		s := &p.Stations[i]
		var l load
		for k := range p.Fixed {
			if f := &p.Fixed[k]; f.Station == OptID(s.ID) {
				l.asks(Interval{f.Start, f.End}, 1)
			}
		}
		l.has([]Interval{{0, p.Horizon}}, s.Places)
		if t, asked, there := l.short(); asked > there {
			v.add("fixed", "fixed work holds %s of station %q at tick %d; it has %d", many(asked, "place"), s.ID, t, there)
		}
	}
	asked := map[string]bool{}
	for k := range p.Fixed {
		for skill := range p.Fixed[k].Crew {
			asked[skill] = true
		}
	}
	for _, skill := range sortedKeys(asked) {
		v.heads(fmt.Sprintf("the skill %q", skill), func(s string) bool { return s == skill })
	}
	if len(asked) > 1 {
		v.heads("the skills that it needs", func(s string) bool { return asked[s] })
	}
}

// heads judges the heads asked of a set of skills against the people present
// who have one of them.
func (v *validator) heads(what string, in func(string) bool) {
	p := v.p
	var l load
	for k := range p.Fixed {
		f := &p.Fixed[k]
		n := 0
		for skill, heads := range f.Crew {
			if in(skill) {
				n += heads
			}
		}
		if n > 0 {
			for _, o := range p.Open {
				if iv := (Interval{max(f.Start, o.From()), min(f.End, o.To())}); iv.Len() > 0 {
					l.asks(iv, n)
				}
			}
		}
	}
	for i := range p.People {
		if x := &p.People[i]; slices.ContainsFunc(x.Skills, in) {
			l.has(x.On, 1)
		}
	}
	if t, asked, there := l.short(); asked > there {
		v.add("fixed", "fixed work asks %s of %s at tick %d, with %d present", many(asked, "head"), what, t, there)
	}
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

// short is the first tick at which more is asked than there is, with both; both
// are 0 if there is none.
func (l *load) short() (t Tick, asked, have int) {
	slices.SortFunc(l.events, func(a, b loadEvent) int { return cmp.Compare(a.t, b.t) })
	for i := 0; i < len(l.events); {
		t = l.events[i].t
		for ; i < len(l.events) && l.events[i].t == t; i++ {
			asked += l.events[i].asked
			have += l.events[i].have
		}
		if asked > have {
			return t, asked, have
		}
	}
	return 0, 0, 0
}

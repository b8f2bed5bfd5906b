package model

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// TooLong is a step that has to be done in one go and is longer than any stretch
// of time in which it could be: no plan has it done, on whatever day.
type TooLong struct {
	Pour    string
	Piece   string
	Step    string // demold, the id of a layer or of a finish step, mixing and the mix
	Work    Tick
	Crew    Crew // nil: the shop itself is not open for so long
	Longest Tick // the longest stretch, shorter than Work; of the crew 0 where it is never there at once
	Finish  bool // it is a finish step, which may be let be put down
	minutes int  // of a tick
}

// Sentence says it in words, without its period.
func (x *TooLong) Sentence() string { return x.Step + " of " + x.Piece + " " + x.Takes() }

// Takes is the sentence without the step.
func (x *TooLong) Takes() string {
	takes := "takes " + x.span(x.Work) + " in one go, and "
	var crew []string
	for _, k := range slices.Sorted(maps.Keys(x.Crew)) {
		crew = append(crew, fmt.Sprintf("%d %s", x.Crew[k], k))
	}
	switch {
	case x.Crew == nil:
		return takes + "the shop is open for " + x.span(x.Longest) + " at a stretch at most"
	case x.Longest == 0:
		return takes + "its crew, " + strings.Join(crew, ", ") + ", is never there at once"
	}
	return takes + "its crew, " + strings.Join(crew, ", ") + ", is there for " + x.span(x.Longest) + " at a stretch at most"
}

// span writes ticks as hours and minutes, exactly: a step that is longer by
// minutes never reads as if it were as long.
func (x *TooLong) span(t Tick) string {
	m := int(t) * x.minutes
	switch {
	case m%60 == 0:
		return fmt.Sprintf("%d h", m/60)
	case m < 60:
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d h %d min", m/60, m%60)
}

// Mend says what can be done about it.
func (x *TooLong) Mend() string {
	if x.Longest == 0 && x.Crew != nil {
		return "have its crew there together, or ask for fewer"
	}
	longer := "open the shop for longer"
	if x.Crew != nil {
		longer = "have its crew there for longer"
	}
	if x.Finish {
		return "make it shorter, split it, " + longer + ", or let it be put down"
	}
	return "make it shorter, split it, or " + longer
}

// FindTooLong lists the steps that pours still have and that are too long. People
// of a skill are counted, not named, and stations, hours of a step and other work
// are not looked at, so that what it finds holds in every plan. (Planning model,
// sections 2 and 3.) Cost O(H * people * crews + steps).
func FindTooLong(p *Problem) []TooLong {
	f := &stretches{p: p, open: make([]bool, p.Horizon), runs: map[string]Tick{}}
	for _, iv := range p.Open {
		for t := max(iv[0], 0); t < min(iv[1], p.Horizon); t++ {
			f.open[t] = true
		}
	}
	var out []TooLong
	for i := range p.Pours {
		out = append(out, f.pour(&p.Pours[i])...)
	}
	return out
}

type stretches struct {
	p    *Problem
	open []bool
	runs map[string]Tick // longest stretch by crew
}

// pour lists the steps of a pour that are too long.
func (f *stretches) pour(q *Pour) []TooLong {
	var found []TooLong
	see := func(step string, work Tick, crew Crew, finish bool) {
		if x := f.step(q, step, work, crew); x != nil {
			x.Finish = finish
			found = append(found, *x)
		}
	}
	if q.Stage == New {
		for i := range q.Draws {
			if k := slices.IndexFunc(f.p.Mixes, func(m Mix) bool { return m.ID == q.Draws[i].Mix }); k >= 0 {
				m := &f.p.Mixes[k]
				see("mixing "+m.ID, m.Mix+m.Rest+m.Remix, nil, false)
				see("mixing "+m.ID, m.Mix, m.Crew, false)
			}
		}
		for i := range q.Layers {
			see(q.Layers[i].ID, q.Layers[i].Work, q.Layers[i].Crew, false)
		}
		see("cover", q.Cover.Work, q.Cover.Crew, false)
	}
	if q.Stage != Racked {
		see("demold", q.Demold.Work, q.Demold.Crew, false)
	}
	for i := range q.Finish {
		if s := &q.Finish[i]; !s.Pausable && (q.Stage != Racked || i >= q.Next) {
			see(s.ID, s.Work, s.Crew, true)
		}
	}
	return found
}

// step compares one step with the longest stretch in which the shop is open, then
// with the longest of its crew.
func (f *stretches) step(q *Pour, step string, work Tick, crew Crew) *TooLong {
	x := &TooLong{Pour: q.ID, Piece: q.Piece, Step: step, Work: work, minutes: f.p.TickMinutes}
	if x.Longest = f.longest(nil); x.Longest < work {
		return x
	}
	if x.Longest = f.longest(crew); x.Longest < work {
		x.Crew = crew
		return x
	}
	return nil
}

// longest is the longest run of open ticks with enough people of each skill.
func (f *stretches) longest(crew Crew) Tick {
	key := fmt.Sprint(crew) // with sorted keys
	if n, ok := f.runs[key]; ok {
		return n
	}
	heads := map[string][]int{}
	for k := range crew {
		heads[k] = make([]int, f.p.Horizon)
	}
	for i := range f.p.People {
		for _, k := range f.p.People[i].Skills {
			for _, iv := range f.p.People[i].On {
				for t := max(iv[0], 0); heads[k] != nil && t < min(iv[1], f.p.Horizon); t++ {
					heads[k][t]++
				}
			}
		}
	}
	var run, best Tick
	for t := range f.p.Horizon {
		run++
		if !f.open[t] {
			run = 0
		}
		for k, n := range crew {
			if heads[k][t] < n {
				run = 0
			}
		}
		best = max(best, run)
	}
	f.runs[key] = best
	return best
}

package week

import (
	"fmt"
	"maps"
	"slices"

	"pourweek/model"
	"pourweek/model/shop"
)

// fixedWork lays the fixed work out on the days of the horizon. A day on which
// the shop is closed then, or on which the people for it are not there, has
// none; the second is noted.
func (w *compiler) fixedWork() {
	for i := range w.shop.Work {
		x := &w.shop.Work[i]
		for _, d := range w.clock.days {
			hours := dated(x.Hours, x.Dates, d)
			for n, h := range hours {
				f, ok := w.fixed(x, d, h)
				if !ok {
					continue
				}
				if len(hours) > 1 {
					f.ID += fmt.Sprintf(" #%d", n+1)
				}
				w.p.Fixed = append(w.p.Fixed, f)
			}
		}
	}
	slices.SortStableFunc(w.p.Fixed, func(a, b model.Fixed) int { return int(a.Start - b.Start) })
	w.staff()
}

func (w *compiler) fixed(x *shop.FixedWork, d shop.Date, h shop.Hours) (model.Fixed, bool) {
	i, ok := w.clock.outward(d, h)
	if !ok || i.To() <= w.p.Now || model.TicksIn(w.cal.open, i[0], i[1]) == 0 {
		return model.Fixed{}, false
	}
	return model.Fixed{ID: x.Name + " " + d.String(), Start: i[0], End: i[1], Crew: crewOf(x.Crew), Station: model.OptID(x.Station)}, true
}

// staff takes out fixed work for which there are not enough people, given the
// fixed work before it. People are named greedily, those with fewest skills
// first, so that it errs to the side of taking work out, with a note.
func (w *compiler) staff() {
	busy := map[string][]model.Interval{}
	kept := w.p.Fixed[:0]
	for _, f := range w.p.Fixed {
		if n := w.holding(kept, &f); n >= w.stationPlaces(f.Station) {
			w.note("%q at %s is left out: fixed work holds all %d places of station %q already", f.ID, w.clock.local(f.Start), n, f.Station)
			continue
		}
		who, short := w.name(&f, busy)
		if short != "" {
			w.note("%q at %s is left out: it needs %d with the skill %s, and fewer are there and free",
				f.ID, w.clock.local(f.Start), f.Crew[short], short)
			continue
		}
		for _, id := range who {
			busy[id] = append(busy[id], model.Interval{f.Start, f.End})
		}
		kept = append(kept, f)
	}
	w.p.Fixed = kept
}

// name finds people for fixed work; short is a skill that is missing.
func (w *compiler) name(f *model.Fixed, busy map[string][]model.Interval) (who []string, short string) {
	takes := model.Intersect(w.p.Open, []model.Interval{{f.Start, f.End}})
	var free []*model.Person
	for i := range w.p.People {
		p := &w.p.People[i]
		clash := slices.ContainsFunc(busy[p.ID], func(b model.Interval) bool { return b[0] < f.End && f.Start < b[1] })
		if !clash && len(model.Subtract(takes, p.On)) == 0 {
			free = append(free, p)
		}
	}
	slices.SortStableFunc(free, func(a, b *model.Person) int { return len(a.Skills) - len(b.Skills) })
	taken := map[string]bool{}
	for _, skill := range slices.Sorted(maps.Keys(f.Crew)) {
		need := f.Crew[skill]
		for _, p := range free {
			if need > 0 && !taken[p.ID] && slices.Contains(p.Skills, skill) {
				taken[p.ID] = true
				who = append(who, p.ID)
				need--
			}
		}
		if need > 0 {
			return nil, skill
		}
	}
	return who, ""
}

// holding is how many of the fixed work hold the station of f at some time in it.
func (w *compiler) holding(kept []model.Fixed, f *model.Fixed) int {
	n := 0
	for _, k := range kept {
		if f.Station != "" && k.Station == f.Station && k.Start < f.End && f.Start < k.End {
			n++
		}
	}
	return n
}

func (w *compiler) stationPlaces(id model.OptID) int {
	for _, s := range w.p.Stations {
		if id == model.OptID(s.ID) {
			return s.Places
		}
	}
	return 1
}

package week

import (
	"maps"
	"slices"
	"strings"

	"pourweek/model"
)

// stations compares what each station is held for with the hours it has: open
// hours for tasks; spans may hold it when the shop is closed too, so that they
// are compared with all hours.
func (s *shortages) stations() {
	tasks, spans := map[string]model.Tick{}, map[string]model.Tick{}
	for i := range s.p.Pours {
		p := &s.p.Pours[i]
		for _, t := range s.tasks(p) {
			if t.station != "" {
				tasks[string(t.station)] += t.work
			}
		}
		for _, x := range p.Spans {
			spans[x.Station] += s.spanLength(p, x)
		}
	}
	for _, x := range s.p.Stations {
		open := model.TicksIn(s.p.Open, s.p.Now, s.p.Horizon) * model.Tick(x.Places)
		if ask := tasks[x.ID]; ask > open {
			s.say("station %s: tasks hold it for %s and it has %s of open hours: %s too few", x.ID, s.hours(ask), s.hours(open), s.hours(ask-open))
		}
		all := (s.p.Horizon - s.p.Now) * model.Tick(x.Places)
		if ask := tasks[x.ID] + spans[x.ID]; ask > all && spans[x.ID] > 0 {
			s.say("station %s: pieces hold its places for %s and it has %s, nights included: %s too few", x.ID, s.hours(ask), s.hours(all), s.hours(ask-all))
		}
	}
}

// racks compares what each set of racks that pieces may rest on is held for
// with its places times hours.
func (s *shortages) racks() {
	need := map[string]model.Tick{}
	sets := map[string][]string{}
	for i := range s.p.Pours {
		p := &s.p.Pours[i]
		racks := p.Racks
		if p.Stage == model.Racked {
			racks = []string{p.Rack}
		}
		key := strings.Join(sorted(racks), ", ")
		sets[key] = sorted(racks)
		need[key] += model.Tick(p.Places) * s.onRack(p)
	}
	for _, key := range slices.Sorted(maps.Keys(sets)) {
		var ask, have model.Tick
		for other, racks := range sets {
			if !slices.ContainsFunc(racks, func(r string) bool { return !slices.Contains(sets[key], r) }) {
				ask += need[other]
			}
		}
		for _, r := range s.p.Racks {
			if slices.Contains(sets[key], r.ID) {
				have += s.placeTicks(r.Places)
			}
		}
		if ask > have {
			s.say("rack %s: pieces hold its places for %s at least and it has %s: %s too few", key, s.hours(ask), s.hours(have), s.hours(ask-have))
		}
	}
}

// placeTicks is the sum of a step function from now to the horizon.
func (s *shortages) placeTicks(places model.Steps) model.Tick {
	var sum model.Tick
	for i, e := range places {
		end := s.p.Horizon
		if i+1 < len(places) {
			end = model.Tick(places[i+1][0])
		}
		sum += model.Tick(e[1]) * max(0, end-max(model.Tick(e[0]), s.p.Now))
	}
	return sum
}

// onRack is how long a pour holds its rack from now on, at least.
func (s *shortages) onRack(p *model.Pour) model.Tick {
	var t model.Tick
	first := 0
	if p.Stage == model.Racked {
		first = p.Next
		t = max(0, p.From-s.p.Now)
	} else {
		t = p.Demold.Work
	}
	for i := first; i < len(p.Finish); i++ {
		if p.Stage != model.Racked || i > first {
			t += p.Finish[i].Rest
		}
		t += p.Finish[i].Work
	}
	return t
}

// molds compares the pours that only a set of molds can take with the hours up
// to the end of the planned week. The last pour of each mold has to begin in
// the week, and only its prep counts.
func (s *shortages) molds() {
	groups := map[string][]*model.Pour{}
	sets := map[string][]string{}
	for i := range s.p.Pours {
		p := &s.p.Pours[i]
		if p.Stage != model.New {
			continue
		}
		var ids []string
		for _, m := range p.Molds {
			ids = append(ids, m.Mold)
		}
		ids = sorted(ids)
		key := strings.Join(ids, ", ")
		sets[key] = ids
		groups[key] = append(groups[key], p)
	}
	for _, key := range slices.Sorted(maps.Keys(sets)) {
		var pours []*model.Pour
		for other, ids := range sets {
			if !slices.ContainsFunc(ids, func(m string) bool { return !slices.Contains(sets[key], m) }) {
				pours = append(pours, groups[other]...)
			}
		}
		s.moldSet(key, sets[key], pours)
	}
}

// moldSet reports a set of molds that cannot take all of the pours.
func (s *shortages) moldSet(key string, molds []string, pours []*model.Pour) {
	var rest []model.Tick // of all pours, what comes after the prep
	var ask, have model.Tick
	for _, p := range pours {
		after := shortestOf(p, s.cure[p.Cure]) - leastPrep(p)
		for _, f := range p.Finish {
			after -= f.Rest + f.Work
		}
		rest = append(rest, after)
		ask += leastPrep(p) + after
	}
	slices.Sort(rest)
	for i := 0; i < len(molds) && i < len(rest); i++ {
		ask -= rest[len(rest)-1-i] - 1
	}
	for _, m := range s.p.Molds {
		if slices.Contains(molds, m.ID) {
			from := max(s.p.Now, m.FreeFrom)
			have += max(0, s.p.PourUntil-from) - model.TicksIn(m.Down, from, s.p.PourUntil)
		}
	}
	for i := range s.p.Pours {
		if p := &s.p.Pours[i]; p.Stage == model.Curing && slices.Contains(molds, p.Mold) {
			have -= min(max(0, p.CureEnd+p.Demold.Work-s.p.Now), max(0, s.p.PourUntil-s.p.Now))
		}
	}
	if have = max(0, have); ask > have {
		s.say("mold %s: %d pours hold it for %s up to the start of the last and there are %s in the planned week, nights included: %s too few",
			key, len(pours), s.hours(ask), s.hours(have), s.hours(ask-have))
	}
}

// spanLength is how long a span holds its station from now on, at least: the
// least time between its two moments, 0 where one of them is past.
func (s *shortages) spanLength(p *model.Pour, x model.Span) model.Tick {
	if p.Stage != model.New {
		return 0
	}
	at := map[string]model.Tick{}
	t := model.Tick(0)
	step := func(id string, gap, work model.Tick) {
		t += max(0, gap)
		at[id+".start"] = t
		t += work
		at[id+".end"] = t
	}
	step("prep", 0, leastPrep(p))
	for i, l := range p.Layers {
		gap := l.Gap[0]
		if i == 0 {
			gap = 0
		}
		step(l.ID, gap, l.Work)
	}
	step("cover", p.Cover.Gap[0], p.Cover.Work)
	step("demold", s.cure[p.Cure], p.Demold.Work)
	for _, f := range p.Finish {
		step(f.ID, f.Rest, f.Work)
	}
	return max(0, at[x.To]-at[x.From])
}

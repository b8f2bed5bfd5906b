package week

import (
	"fmt"
	"maps"
	"math/bits"
	"slices"
	"strings"

	"pourweek/model"
)

// maxSkills bounds the sets of skills that are compared: 2^maxSkills of them.
const maxSkills = 12

// Shortages says why not all of a problem can be done: which crew or which
// stretch of work there never is, and which skills, stations, racks and molds
// have too few hours and by how many. Each sentence is true of every plan (it
// compares the least that the work takes with the most that there is); that
// there is none does not mean that all can be done. Cost O(pours + 2^skills x
// people).
func Shortages(p *model.Problem) []string {
	s := &shortages{p: p}
	s.cures()
	s.crews()
	s.stretches()
	s.skills()
	s.stations()
	s.racks()
	s.molds()
	return s.out
}

type shortages struct {
	p    *model.Problem
	cure map[string]model.Tick // least lag
	out  []string
}

func (s *shortages) say(format string, args ...any) {
	if text := fmt.Sprintf(format, args...); !slices.Contains(s.out, text) {
		s.out = append(s.out, text)
	}
}

func (s *shortages) cures() {
	s.cure = map[string]model.Tick{}
	for _, c := range s.p.Cures {
		s.cure[c.ID] = least(c.Lag)
	}
}

// task is one task of a pour, as far as it counts here.
type task struct {
	name    string
	crew    model.Crew
	station model.OptID
	work    model.Tick
	inWeek  bool // it begins before the end of the planned week in every plan
}

// tasks lists the tasks that a pour still has, mixing left out.
func (s *shortages) tasks(p *model.Pour) []task {
	var out []task
	if p.Stage == model.New {
		out = append(out, task{"prep", p.Prep.Crew, p.Prep.Station, leastPrep(p), true})
		for i, l := range p.Layers {
			out = append(out, task{l.ID, l.Crew, l.Station, l.Work, i == 0})
		}
		out = append(out, task{"cover", p.Cover.Crew, p.Cover.Station, p.Cover.Work, false})
	}
	if p.Stage != model.Racked {
		out = append(out, task{"demold", p.Demold.Crew, p.Demold.Station, p.Demold.Work, false})
	}
	for i, f := range p.Finish {
		if p.Stage != model.Racked || i >= p.Next {
			out = append(out, task{f.ID, f.Crew, f.Station, f.Work, false})
		}
	}
	return out
}

func leastPrep(p *model.Pour) model.Tick {
	var t model.Tick
	for i, m := range p.Molds {
		if i == 0 || m.Work < t {
			t = m.Work
		}
	}
	return t
}

// heads counts the people of each skill.
func (s *shortages) heads() map[string]int {
	have := map[string]int{}
	for i := range s.p.People {
		for _, k := range s.p.People[i].Skills {
			have[k]++
		}
	}
	return have
}

// crews finds tasks that ask for more people of a skill than there are.
func (s *shortages) crews() {
	have := s.heads()
	lack := func(what string, c model.Crew) {
		for _, k := range slices.Sorted(maps.Keys(c)) {
			if c[k] > have[k] {
				s.say("%s asks for %d with the skill %s at once, and %d have it", what, c[k], k, have[k])
			}
		}
	}
	for i := range s.p.Pours {
		p := &s.p.Pours[i]
		for _, t := range s.tasks(p) {
			lack(fmt.Sprintf("%s of %s", t.name, p.Piece), t.crew)
		}
	}
	used := s.batches(func(*model.Draw) bool { return true })
	for i := range s.p.Mixes {
		if m := &s.p.Mixes[i]; used[m.ID] > 0 {
			lack("mixing "+m.ID, m.Crew)
		}
	}
}

// stretches finds steady tasks that are longer than any stretch of open hours, or
// of hours in which their crew is there. What crews says is not said again.
func (s *shortages) stretches() {
	have := s.heads()
	for _, x := range model.FindTooLong(s.p) {
		told := false
		for k, n := range x.Crew {
			told = told || n > have[k]
		}
		if !told {
			s.say("%s", x.Sentence())
		}
	}
}

// batches is the least number of batches of each mix for the draws that count.
func (s *shortages) batches(counts func(*model.Draw) bool) map[string]model.Tick {
	grams := map[string]model.Grams{}
	for i := range s.p.Pours {
		for k := range s.p.Pours[i].Draws {
			if d := &s.p.Pours[i].Draws[k]; counts(d) {
				grams[d.Mix] += d.Grams
			}
		}
	}
	capacity := map[string]model.Grams{}
	for _, x := range s.p.Mixers {
		capacity[x.ID] = x.Capacity
	}
	out := map[string]model.Tick{}
	for _, m := range s.p.Mixes {
		var most model.Grams
		for _, id := range m.Mixers {
			most = max(most, capacity[id]-m.Loss)
		}
		if g := grams[m.ID]; g > 0 && most > 0 {
			out[m.ID] = model.Tick((g + most - 1) / most)
		}
	}
	return out
}

// period is a stretch of time in which a part of the work has to be done.
type period struct {
	name string
	end  model.Tick
	week bool // only what has to begin in the planned week
}

func (s *shortages) periods() []period {
	return []period{{"in the planned week", s.p.PourUntil, true}, {"up to the end of the last week", s.p.Horizon, false}}
}

// asked is the heads times ticks that each skill is asked for in a period.
func (s *shortages) asked(in period) map[string]model.Tick {
	need := map[string]model.Tick{}
	add := func(c model.Crew, ticks model.Tick) {
		for k, n := range c {
			need[k] += model.Tick(n) * ticks
		}
	}
	for i := range s.p.Pours {
		for _, t := range s.tasks(&s.p.Pours[i]) {
			switch {
			case !in.week:
				add(t.crew, t.work)
			case t.inWeek && t.name == "prep":
				add(t.crew, t.work)
			case t.inWeek:
				add(t.crew, 1) // the first layer may run over the end of the week
			}
		}
	}
	n := s.batches(func(d *model.Draw) bool { return !in.week || slices.Contains(d.Layers, 0) })
	for _, m := range s.p.Mixes {
		wash := m.Wash
		for _, t := range m.WashBefore {
			wash = min(wash, t)
		}
		if in.week {
			wash = 0
		}
		add(m.Crew, n[m.ID]*(m.Mix+m.Remix+wash))
	}
	for _, f := range s.p.Fixed {
		add(f.Crew, model.TicksIn(s.p.Open, max(f.Start, s.p.Now), min(f.End, in.end)))
	}
	return need
}

// skills compares, for every set of skills, the hours asked of it with those of
// the people who have one of it. (Planning model, section 3.)
func (s *shortages) skills() {
	for _, in := range s.periods() {
		need := s.asked(in)
		names := slices.Sorted(maps.Keys(need))
		if len(names) > maxSkills {
			names = names[:maxSkills]
		}
		sets := make([]int, 1<<len(names))
		for i := range sets {
			sets[i] = i
		}
		slices.SortStableFunc(sets, func(a, b int) int {
			return bits.OnesCount(uint(a)) - bits.OnesCount(uint(b))
		})
		short := map[int]model.Tick{}
		for _, set := range sets[1:] {
			ask, have := s.compare(set, names, need, in)
			if ask <= have || explained(short, set, ask-have) {
				continue
			}
			short[set] = ask - have
			s.say("skill %s: %s of work are asked for %s and %s are there, overtime and call-ins included: %s too few",
				pick(set, names), s.hours(ask), in.name, s.hours(have), s.hours(ask-have))
		}
		if len(short) > 0 {
			return
		}
	}
}

// compare is what a set of skills is asked for and what the people have.
func (s *shortages) compare(set int, names []string, need map[string]model.Tick, in period) (ask, have model.Tick) {
	for i, k := range names {
		if set&(1<<i) != 0 {
			ask += need[k]
		}
	}
	for i := range s.p.People {
		x := &s.p.People[i]
		for j, k := range names {
			if set&(1<<j) != 0 && slices.Contains(x.Skills, k) {
				have += model.TicksIn(x.On, s.p.Now, in.end)
				break
			}
		}
	}
	return ask, have
}

// explained says that a part of the set is short by as much.
func explained(short map[int]model.Tick, set int, by model.Tick) bool {
	for sub, n := range short {
		if sub&set == sub && n >= by {
			return true
		}
	}
	return false
}

func pick(set int, names []string) string {
	var out []string
	for i, k := range names {
		if set&(1<<i) != 0 {
			out = append(out, k)
		}
	}
	return strings.Join(out, ", ")
}

// hours prints ticks as hours.
func (s *shortages) hours(t model.Tick) string {
	return fmt.Sprintf("%.1f h", float64(t)*float64(s.p.TickMinutes)/60)
}

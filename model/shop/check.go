package shop

import (
	"fmt"
	"sort"
	"strings"
	"time"

	"pourweek/model"
	"pourweek/model/diag"
)

// checkNames reports names that are used and do not exist.
func (r *reader) checkNames() {
	s := r.shop
	known := map[string][]string{
		"station":    names(s.Stations, func(x Station) string { return x.Name }),
		"mix":        names(s.Mixes, func(x Mix) string { return x.Name }),
		"mixer":      names(s.Mixers, func(x Mixer) string { return x.Name }),
		"cure":       names(s.Cures, func(x Cure) string { return x.Name }),
		"rack":       names(s.Racks, func(x Rack) string { return x.Name }),
		"overtime":   names(s.Calendar.Overtime, func(x Overtime) string { return x.Name }),
		"piece type": names(s.Pieces, func(x Piece) string { return x.Name }),
		"skill":      skills(s.People),
	}
	plural := map[string]string{"station": "stations", "mix": "mixes", "mixer": "mixers", "cure": "cures", "rack": "racks",
		"overtime": "overtime names", "piece type": "piece types", "skill": "skills"}
	sets := map[string]map[string]bool{}
	for what, list := range known {
		sets[what] = map[string]bool{}
		for _, name := range list {
			sets[what][name] = true
		}
	}
	for _, a := range r.asked {
		if sets[a.what][a.name] || len(known[a.what]) == 0 && r.own > 0 || a.what == "skill" && r.doubt("people") {
			continue // the mistakes above say why
		}
		hint := r.near(a.name, plural[a.what], known[a.what])
		if a.what == "piece type" {
			r.moldsDoubtful = true
		}
		switch {
		case a.what == "skill":
			r.fail(a.pos, hint, "the crew asks for skill %s, which nobody has", diag.Quote(a.name))
		case a.mold != "":
			r.fail(a.pos, hint, "mold %s can cast %s, which no piece type is called", diag.Quote(a.mold), diag.Quote(a.name))
		default:
			r.fail(a.pos, hint, "%q is %s, which no %s is called", a.by, diag.Quote(a.name), a.what)
		}
	}
}

func names[T any](list []T, name func(T) string) []string {
	var out []string
	for _, x := range list {
		out = append(out, name(x))
	}
	return out
}

// skills are the skills that anybody has, sorted.
func skills(people []Person) []string {
	seen := map[string]bool{}
	var out []string
	for _, p := range people {
		for _, s := range p.Skills {
			if !seen[s] {
				seen[s] = true
				out = append(out, s)
			}
		}
	}
	sort.Strings(out)
	return out
}

// checkTwice reports names that stand twice: through ranges, and of molds and
// racks, which floor.csv names in one column.
func (r *reader) checkTwice() {
	first := map[string]diag.Pos{}
	once := func(what, name string, pos diag.Pos) {
		if at, twice := first[what+name]; twice {
			r.fail(pos, "give each its own name", "%s %s stands twice, first on %s", what, diag.Quote(name), at.Place())
			return
		}
		first[what+name] = pos
	}
	s := r.shop
	for _, m := range s.Molds {
		once("mold or rack", m.Name, m.Pos)
	}
	for _, x := range s.Racks {
		once("mold or rack", x.Name, x.Pos)
	}
	for _, p := range s.People {
		once("person", p.Name, p.Pos)
	}
	for _, m := range s.Mixers {
		once("mixer", m.Name, m.Pos)
	}
	for _, x := range s.Stations {
		once("station", x.Name, x.Pos)
	}
	for _, p := range s.Pieces {
		once("piece type", p.Name, p.Pos)
	}
	for _, u := range s.Urgencies {
		once("urgency", u.Name, u.Pos)
	}
	for _, x := range s.Calendar.Extra {
		once("extra date", x.Date.String(), x.Pos)
	}
}

func (r *reader) checkCalendar() {
	c := &r.shop.Calendar
	open := len(c.Extra) > 0
	for _, h := range c.Hours {
		open = open || len(h) > 0
	}
	if !open && r.place("hours").Line > 0 && r.own == 0 {
		r.fail(r.place("hours"), "write hours: {mon-thu: 7:00-15:30, fri: 7:00-13:00}", "the shop is never open")
	}
	for _, o := range c.Overtime {
		if r.hoursDoubt() {
			break
		}
		given := len(o.Dates) > 0
		for d, h := range o.Hours {
			given = given || len(h) > 0
			if both := meet(h, c.Hours[d]); len(both) > 0 {
				r.fail(r.place("overtime", o.Name, "hours"), "let overtime begin where the regular hours end",
					"overtime %s is %s on %s, when the shop is open in regular hours", diag.Quote(o.Name), both[0], weekdayName(time.Weekday(d)))
				break
			}
		}
		for _, d := range o.Dates {
			if both := meet(d.Hours, c.regular(d.Date)); len(both) > 0 {
				r.fail(d.Pos, "let overtime begin where the regular hours end",
					"overtime %s is %s on %s, when the shop is open in regular hours", diag.Quote(o.Name), both[0], d.Date)
			}
		}
		if !given {
			r.fail(o.Pos, "give hours: {mon-thu: 15:30-17:30} or dates: {2027-03-06: 7:00-12:00}", "overtime %s has neither hours nor dates", diag.Quote(o.Name))
		}
	}
}

// regular are the regular hours of a date, closed times not taken out.
func (c *Calendar) regular(d Date) []Hours {
	for _, x := range c.Extra {
		if x.Date == d {
			return x.Hours
		}
	}
	return c.Hours[d.Weekday()]
}

// open are all hours of a weekday in which anybody may work, extra dates that
// fall on it included.
func (c *Calendar) open(d time.Weekday) []Hours {
	out := append([]Hours(nil), c.Hours[d]...)
	for _, x := range c.Extra {
		if x.Date.Weekday() == d {
			out = append(out, x.Hours...)
		}
	}
	for _, o := range c.Overtime {
		out = append(out, minus(o.Hours[d], c.Lunch[d])...)
		for _, x := range o.Dates {
			if x.Date.Weekday() == d {
				out = append(out, minus(x.Hours, c.Lunch[d])...)
			}
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].From < out[j].From })
	var joined []Hours
	for _, h := range out {
		if n := len(joined); n > 0 && h.From <= joined[n-1].To {
			joined[n-1].To = max(joined[n-1].To, h.To)
			continue
		}
		joined = append(joined, h)
	}
	return joined
}

// longestOpen is the longest time on end in which the shop is open, in minutes.
// Where a day is open to midnight it is taken as a week, for what goes on past
// midnight.
func (r *reader) longestOpen() Clock {
	long := Clock(0)
	for d := range 7 {
		for _, h := range r.open[d] {
			if h.To == 24*60 {
				return 7 * 24 * 60
			}
			long = max(long, h.To-h.From)
		}
	}
	return long
}

func (r *reader) checkPeople() {
	r.checkSkills()
	c := &r.shop.Calendar
	for _, p := range r.shop.People {
		if p.Hours == nil || r.hoursDoubt() || r.doubt("people/"+p.Name) {
			continue
		}
		meets := len(c.Extra) > 0
		for d, h := range p.Hours {
			meets = meets || len(meet(h, c.Hours[d])) > 0
		}
		if !meets {
			r.fail(r.place("people", p.Name, "hours"), "own hours lie in the shop's hours; overtime is given by overtime",
				"%s is never there when the shop is open", diag.Quote(p.Name))
		}
	}
}

// checkSkills reports a skill that no crew asks for and that looks like one that
// some crew does.
func (r *reader) checkSkills() {
	asked := map[string]bool{}
	var list []string
	for _, a := range r.asked {
		if a.what == "skill" && !asked[a.name] {
			asked[a.name] = true
			list = append(list, a.name)
		}
	}
	sort.Strings(list)
	for _, p := range r.shop.People {
		for _, s := range p.Skills {
			if asked[s] || r.own > 100 || r.doubt("mixes", "pieces", "work") {
				continue
			}
			if near, ok := diag.Nearest(s, list); ok {
				r.fail(r.place("people", p.Name, "skills"), fmt.Sprintf("did you mean %s? if not, take it out: nothing needs it", near),
					"%s has the skill %s, which no crew asks for", diag.Quote(p.Name), diag.Quote(s))
			}
		}
	}
}

// crewFits reports a crew that cannot be put together from all people at once.
func (r *reader) crewFits(crew model.Crew, what string, pos diag.Pos) {
	if r.doubt("people") {
		return
	}
	words := crewWords(crew)
	verdict, known := r.crews[words]
	if !known && len(r.crews) < maxCrews {
		verdict = r.judgeCrew(crew, words)
		r.crews[words] = verdict
	}
	if verdict[0] != "" {
		r.fail(pos, verdict[1], "%s %s", what, verdict[0])
	}
}

const (
	maxCrew  = 60    // heads of a crew that are matched with people
	maxCrews = 1_000 // different crews that are judged
)

// judgeCrew says what is wrong with a crew and what to do about it, "" if nothing.
func (r *reader) judgeCrew(crew model.Crew, words string) [2]string {
	have := map[string][]int{}
	for i, p := range r.shop.People {
		for _, s := range p.Skills {
			have[s] = append(have[s], i)
		}
	}
	var asked []string
	for _, skill := range sortedCrew(crew) {
		n := len(have[skill])
		if n == 0 {
			return [2]string{} // reported by name
		}
		if n < crew[skill] {
			return [2]string{fmt.Sprintf("asks for %d heads of skill %s, and %d people have it", crew[skill], diag.Quote(skill), n),
				"ask for fewer, or give more people the skill"}
		}
		for range crew[skill] {
			asked = append(asked, skill)
		}
	}
	if len(asked) <= maxCrew && !match(asked, have) {
		return [2]string{fmt.Sprintf("asks for %s, and there are not so many different people with these skills", words),
			"ask for fewer, or give more people the skills"}
	}
	return [2]string{}
}

// match says whether each asked head can be another person of those who have its
// skill (augmenting paths).
func match(asked []string, have map[string][]int) bool {
	of := map[int]int{} // the head that a person is, from 1
	for head := range asked {
		seen := map[int]bool{}
		var try func(head int) bool
		try = func(head int) bool {
			for _, p := range have[asked[head]] {
				if seen[p] {
					continue
				}
				seen[p] = true
				if of[p] == 0 || try(of[p]-1) {
					of[p] = head + 1
					return true
				}
			}
			return false
		}
		if !try(head) {
			return false
		}
	}
	return true
}

func sortedCrew(crew model.Crew) []string {
	var out []string
	for s := range crew {
		out = append(out, s)
	}
	sort.Strings(out)
	return out
}

func crewWords(crew model.Crew) string {
	var out []string
	for _, s := range sortedCrew(crew) {
		out = append(out, fmt.Sprintf("%d %s", crew[s], s))
	}
	return strings.Join(out, " and ")
}

func (r *reader) checkWork() {
	for _, w := range r.shop.Work {
		if r.hoursDoubt() || r.doubt("work/"+w.Name) {
			continue
		}
		given := len(w.Dates) > 0
		for d, h := range w.Hours {
			given = given || len(h) > 0
			for _, x := range h {
				if len(meet([]Hours{x}, r.open[d])) == 0 {
					r.fail(r.place("work", w.Name, "hours"), "lay it into the shop's hours", "fixed work %s is %s on %s, when the shop is closed",
						diag.Quote(w.Name), x, weekdayName(time.Weekday(d)))
				}
			}
		}
		if !given {
			r.fail(w.Pos, "give hours: {thu: 13:00-14:00} or dates: {2027-03-04: 13:00-14:00}", "fixed work %s has neither hours nor dates", diag.Quote(w.Name))
		}
		r.crewFits(w.Crew, "fixed work "+diag.Quote(w.Name), r.place("work", w.Name, "crew"))
	}
}

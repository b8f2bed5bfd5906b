package model

import (
	"fmt"
	"sort"
	"strconv"
	"strings"
	"time"
)

// Bounds on the size of a problem.
const (
	maxHorizon     = 200_000
	maxPours       = 5_000
	maxPeople      = 5_000
	maxThings      = 20_000
	maxStepsOfPour = 64
	maxWhos        = 500_000
	maxTick        = 1_000_000_000     // either side of 0
	maxGrams       = 1_000_000_000_000 // a million tonnes
	maxTotal       = 4e18              // mils that all costs together may come to
)

// Issue is something in a problem that the planning model does not allow.
// Path is the place of the value, such as pours[3].layers[0].gap, empty for the
// problem as a whole; Text is the sentence that says what was found and what is
// allowed.
type Issue struct {
	Path     string
	Text     string
	Overload *Overload // where fixed work asks more than there is; else nil
}

// String is the sentence with its place.
func (i Issue) String() string {
	if i.Path == "" {
		return i.Text
	}
	return i.Path + ": " + i.Text
}

// Validate lists everything in the problem that the planning model does not
// allow, in the order of its fields and at most a thousand; nil if it is valid. What makes a plan
// impossible without being wrong, such as a pour whose gaps no opening hours
// fit, is not its matter, but fixed work that asks more than there is, is. Cost
// O(n log n) in the size of the problem, about a millisecond for a large week.
func (p *Problem) Validate() []Issue {
	v := &validator{p: p}
	v.header()
	v.people()
	v.mixersAndMixes()
	v.things()
	v.fixed()
	v.shipments()
	v.pours()
	v.money()
	if len(v.issues) == 0 {
		v.fixedLoad()
	}
	return v.issues
}

// validator holds one validation. The maps say which ids there are.
type validator struct {
	p       *Problem
	issues  []Issue
	horizon Tick // as it is, or the longest if that is no horizon

	open []Interval // those of the problem, touching ones joined

	mixers, mixes, molds, racks, stations, cures, pourIDs *idSet
}

func (v *validator) add(path, format string, args ...any) {
	if len(v.issues) >= maxDiagnostics {
		return
	}
	v.issues = append(v.issues, Issue{Path: path, Text: fmt.Sprintf(format, args...)})
}

// bounded judges a number; what names it in the sentence.
func bounded[T ~int | ~int64](v *validator, path, what string, n, lo, hi T) {
	if n < lo || n > hi {
		v.add(path, "%s %d; it is at least %d and at most %d", what, n, lo, hi)
	}
}

// anyTick judges a tick that may lie outside the horizon.
func (v *validator) anyTick(path, what string, t Tick) {
	bounded(v, path, what, t, -maxTick, maxTick)
}

// ticks judges a number of ticks.
func (v *validator) ticks(path, what string, t, least Tick) {
	bounded(v, path, what, t, least, maxTick)
}

func (v *validator) optTicks(path, what string, t *Tick) {
	if t != nil {
		v.ticks(path, what, *t, 0)
	}
}

func (v *validator) price(path, what string, m Mils) {
	bounded(v, path, what, m, 0, maxNumber)
}

func (v *validator) header() {
	p := v.p
	if p.Format != ProblemFormat {
		v.add("format", "format %q where %q is due", p.Format, ProblemFormat)
	}
	if _, err := time.Parse(time.RFC3339, p.Start); err != nil {
		v.add("start", "start %q; it is an instant such as 2027-03-01T00:00:00Z (RFC 3339)", p.Start)
	}
	bounded(v, "tick_minutes", "tick_minutes", p.TickMinutes, 1, MinutesPerDay)
	bounded(v, "horizon", "horizon", p.Horizon, 1, maxHorizon)
	if v.horizon = p.Horizon; v.horizon < 1 || v.horizon > maxHorizon {
		v.horizon = maxHorizon
	}
	bounded(v, "pour_until", "pour_until", p.PourUntil, 0, v.horizon)
	bounded(v, "now", "now", p.Now, 0, v.horizon)
	v.ticks("move_tolerance", "move_tolerance", p.MoveTolerance, 0)
	v.calendar("open", p.Open)
	v.open = joined(p.Open)
	v.calendar("overtime", p.Overtime)
	v.subset("overtime", "overtime", p.Overtime)
}

// intervals judges that intervals hold something, ascend and are disjoint.
func (v *validator) intervals(path string, ivs []Interval) {
	for i, iv := range ivs {
		at := fmt.Sprintf("%s[%d]", path, i)
		v.anyTick(at, "the tick", iv.From())
		v.anyTick(at, "the tick", iv.To())
		if iv.From() >= iv.To() {
			v.add(at, "the interval [%d, %d] ends where it starts or before; it is [from, to] with from < to", iv.From(), iv.To())
		}
		if i > 0 && iv.From() < ivs[i-1].To() {
			v.add(at, "the interval [%d, %d] starts before the one before it ends at %d; intervals ascend and do not overlap",
				iv.From(), iv.To(), ivs[i-1].To())
		}
	}
}

// calendar judges intervals that lie in the horizon.
func (v *validator) calendar(path string, ivs []Interval) {
	v.intervals(path, ivs)
	for i, iv := range ivs {
		if iv.From() < 0 || iv.To() > v.horizon {
			v.add(fmt.Sprintf("%s[%d]", path, i), "the interval [%d, %d] reaches out of the problem; it lies from 0 to the horizon %d",
				iv.From(), iv.To(), v.horizon)
		}
	}
}

// subset judges that intervals lie in the open ticks.
func (v *validator) subset(path, what string, ivs []Interval) {
	for i, iv := range ivs {
		if t := firstClosed(v.open, iv); t < iv.To() {
			v.add(fmt.Sprintf("%s[%d]", path, i), "%s [%d, %d] holds tick %d, in which the shop is not open", what, iv.From(), iv.To(), t)
		}
	}
}

// firstClosed is the first tick of iv that open does not hold, iv.To() if it
// holds all. open ascends without touching.
func firstClosed(open []Interval, iv Interval) Tick {
	i := sort.Search(len(open), func(i int) bool { return open[i].To() > iv.From() })
	if i == len(open) || open[i].From() > iv.From() {
		return iv.From()
	}
	return min(open[i].To(), iv.To())
}

// joined merges ascending intervals that touch.
func joined(ivs []Interval) []Interval {
	var out []Interval
	for _, iv := range ivs {
		if n := len(out); n > 0 && iv.From() <= out[n-1].To() {
			out[n-1][1] = max(out[n-1][1], iv.To())
		} else {
			out = append(out, iv)
		}
	}
	return out
}

// steps judges a step function with values from least on.
func (v *validator) steps(path string, s Steps, least int64) {
	if len(s) == 0 || s[0][0] != 0 {
		v.add(path, "the first entry of the step function is %s; it is [0, value]", firstStep(s))
	}
	for i, e := range s {
		at := fmt.Sprintf("%s[%d]", path, i)
		bounded(v, at, "the value", e[1], least, maxTick)
		bounded(v, at, "the tick", e[0], 0, maxTick)
		if i > 0 && e[0] <= s[i-1][0] {
			v.add(at, "the entry from tick %d follows the one from tick %d; entries ascend", e[0], s[i-1][0])
		}
	}
}

func firstStep(s Steps) string {
	if len(s) == 0 {
		return "missing"
	}
	return fmt.Sprintf("[%d, %d]", s[0][0], s[0][1])
}

// ids lists the ids of things and judges that each is there once.
func ids[T any](v *validator, path, what string, list []T, id func(*T) string) *idSet {
	seen := make(map[string]bool, len(list))
	for i := range list {
		s, at := id(&list[i]), fmt.Sprintf("%s[%d].id", path, i)
		if s == "" {
			v.add(at, "an empty id; every %s has one", what)
		} else if seen[s] {
			v.add(at, "id %q stands twice; every %s has its own", s, what)
		}
		seen[s] = true
	}
	return &idSet{has: seen}
}

// known judges that an id is one of those there are.
func (v *validator) known(path, what, id string, have *idSet) {
	if !have.has[id] {
		v.add(path, "unknown %s %q; there %s", what, id, have.some())
	}
}

// idSet is the ids that there are of a kind.
type idSet struct {
	has  map[string]bool
	text string // of some, once made
}

// some lists the ids in ascending order, at most twelve.
func (s *idSet) some() string {
	const most = 12
	if s.text != "" {
		return s.text
	}
	switch all := sortedKeys(s.has); {
	case len(all) == 0:
		s.text = "are none"
	case len(all) == 1:
		s.text = fmt.Sprintf("is only %q", all[0])
	case len(all) > most:
		s.text = fmt.Sprintf("are %s and %d more", quoted(all[:most]), len(all)-most)
	default:
		s.text = "are " + quoted(all)
	}
	return s.text
}

func quoted(words []string) string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = strconv.Quote(w)
	}
	return strings.Join(out, ", ")
}

// many says a number of things in words.
func many(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// distinct judges a list of ids: each known, none twice.
func (v *validator) distinct(path, what string, list []string, have *idSet) {
	seen := make(map[string]bool, len(list))
	for i, id := range list {
		at := fmt.Sprintf("%s[%d]", path, i)
		v.known(at, what, id, have)
		if seen[id] {
			v.add(at, "%s %q stands twice in a list", what, id)
		}
		seen[id] = true
	}
}

// crew judges heads by skill.
func (v *validator) crew(path string, c Crew) {
	for _, skill := range sortedKeys(c) {
		if n := c[skill]; n < 1 || n > maxPeople {
			v.add(path, "%d heads for the skill %q; they are at least 1 and at most %d", n, skill, maxPeople)
		}
	}
}

// gap judges a closed range of ticks.
func (v *validator) gap(path, what string, g Interval) {
	if g.From() < 0 || g.To() < g.From() || g.To() > maxTick {
		v.add(path, "%s [%d, %d]; it is [min, max] with 0 <= min <= max <= %d ticks", what, g.From(), g.To(), Tick(maxTick))
	}
}

package shop

import (
	"fmt"
	"slices"

	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/unit"
)

// minCure is the shortest time from cover to demold that is planned without the
// file's own word: the project's floor.
const minCure unit.Minutes = 16 * 60

// maxLifts is the most equal lifts into which a coat is split that no mixer load
// holds.
const maxLifts = 12

// netLoad is the most of a mix that one batch in a mixer can give to pours.
func netLoad(m *Mix, x *Mixer) model.Grams {
	return x.Capacity/m.Step*m.Step - m.Loss
}

// Load is the most of a mix that one batch can give to pours, in the largest of
// its mixers; 0 or less if no mixer can hold a batch.
func (s *Shop) Load(m *Mix) model.Grams {
	best := model.Grams(0)
	for _, name := range m.Mixers {
		if x := s.Mixer(name); x != nil && m.Step > 0 && x.Capacity >= m.Smallest {
			best = max(best, netLoad(m, x))
		}
	}
	return best
}

func (r *reader) checkMixes() {
	long := r.longestOpen()
	for i := range r.shop.Mixes {
		m := &r.shop.Mixes[i]
		what := "mix " + diag.Quote(m.Name)
		r.crewFits(m.Crew, what, r.place("mixes", m.Name, "crew"))
		if r.unknownMixers(m) || r.doubt("mixes/"+m.Name) {
			continue
		}
		if !slices.ContainsFunc(m.Mixers, func(x string) bool { return r.doubt("mixers/" + x) }) {
			r.loads[m.Name] = r.shop.Load(m)
			r.checkLoad(m)
		}
		ready := m.Mix + m.Rest + m.Remix
		at := r.place("mixes", m.Name, "pot life")
		r.checkAirFor(m.PotLife, what, at)
		if life := m.PotLife.longest(&r.shop.Air); !r.doubt("air") && m.Mix > 0 && len(m.PotLife.Points) > 0 && life <= ready {
			r.fail(at, "the pot life counts from the start of mixing; look at mix, rest, remix and pot life",
				"the pot life of %s is %s at best, and it is ready after %s", what, minutes(life), minutes(ready))
		}
		r.fitsDay(long, ready, "mixing "+diag.Quote(m.Name), r.place("mixes", m.Name, "mix"))
		r.fitsDay(long, m.Wash, "washing "+diag.Quote(m.Name), r.place("mixes", m.Name, "wash"))
	}
}

func (r *reader) unknownMixers(m *Mix) bool {
	for _, name := range m.Mixers {
		if r.shop.Mixer(name) == nil {
			return true
		}
	}
	return len(m.Mixers) == 0
}

// checkLoad reports a mix that none of its mixers can hold.
func (r *reader) checkLoad(m *Mix) {
	if m.Step <= 0 {
		return
	}
	biggest := model.Grams(0)
	for _, name := range m.Mixers {
		biggest = max(biggest, r.shop.Mixer(name).Capacity)
	}
	switch {
	case biggest == 0: // the mixer is reported
	case m.Smallest > biggest:
		r.fail(r.place("mixes", m.Name, "smallest"), "name a larger mixer, or make the smallest batch smaller",
			"the smallest batch of mix %s is %s, and the largest of its mixers holds %s", diag.Quote(m.Name), kilograms(m.Smallest), kilograms(biggest))
	case r.loads[m.Name] <= 0:
		r.fail(r.place("mixes", m.Name, "mixers"), "name a larger mixer, or look at step and loss",
			"mix %s is mixed in steps of %s and loses %s, and the largest of its mixers holds %s",
			diag.Quote(m.Name), kilograms(m.Step), kilograms(m.Loss), kilograms(biggest))
	}
}

// checkAirFor reports a pot life by temperature without air, or with air outside
// of its points.
func (r *reader) checkAirFor(p PotLife, what string, at diag.Pos) {
	a := &r.shop.Air
	switch {
	case r.doubt("air"):
	case p.Fixed || len(p.Points) == 0:
	case len(a.Usual) == 0:
		r.fail(at, "give air: 68 F, or air: {usual: {0:00: 60 F, 9:00: 68 F}}", "the pot life of %s goes by temperature, and the file gives no air", what)
	case len(p.Points) > 1:
		cold, warm := a.span()
		if cold < p.Points[0].Temp || warm > p.Points[len(p.Points)-1].Temp {
			r.fail(at, "add the pot life at the coldest and the warmest air", "the pot life of %s is given from %s to %s, and the air is between %s and %s",
				what, degrees(p.Points[0].Temp), degrees(p.Points[len(p.Points)-1].Temp), degrees(cold), degrees(warm))
		}
	}
}

// fitsDay reports a piece of work, not to be put down, that no stretch of open
// hours holds.
func (r *reader) fitsDay(long Clock, work unit.Minutes, what string, at diag.Pos) {
	if !r.hoursDoubt() && long > 0 && work > unit.Minutes(long) {
		r.fail(at, "make it shorter, split it, or let it be put down if it is a finish step",
			"%s takes %s on end, and the shop is never open longer than %s on end", what, minutes(work), minutes(unit.Minutes(long)))
	}
}

func (r *reader) checkCures() {
	for i := range r.shop.Cures {
		c := &r.shop.Cures[i]
		if r.doubt("cures/" + c.Name) {
			continue
		}
		if (len(c.AtTemp) > 0) == (c.Hours > 0 || c.ByDay != nil) {
			r.fail(c.Pos, "give hours: 16 h, or at: {10 C: 29 h, 20 C: 16 h}", "cure %s needs one of %q and %q", diag.Quote(c.Name), "hours", "at")
			continue
		}
		at := r.place("cures", c.Name, "hours")
		if len(c.AtTemp) > 0 {
			at = r.place("cures", c.Name, "at")
			r.checkAirForCure(c, at)
		}
		if short := c.Shortest(); short < minCure && c.Early == "" {
			r.fail(at, `write at least 16 h, or say why under "under 16 h": {hours: 12 h, under 16 h: heated table, tested by cubes}`,
				"cure %s is %s, under 16 h", diag.Quote(c.Name), minutes(short))
		}
		if c.Early != "" && wordCount(c.Early) < 2 {
			r.fail(r.place("cures", c.Name, "under 16 h"), "say in a few words why this cure may be under 16 h",
				"the reason %s says nothing", diag.Quote(c.Early))
		}
	}
}

func (r *reader) checkAirForCure(c *Cure, at diag.Pos) {
	a := &r.shop.Air
	if r.doubt("air") {
		return
	}
	if len(a.Usual) == 0 {
		r.fail(at, "give air: 68 F, or air: {usual: {0:00: 60 F, 9:00: 68 F}}", "cure %s goes by temperature, and the file gives no air", diag.Quote(c.Name))
		return
	}
	if cold, _ := a.span(); cold < c.AtTemp[0].Temp {
		r.fail(at, "add the time at the coldest air", "cure %s is given from %s on, and the air is down to %s", diag.Quote(c.Name), degrees(c.AtTemp[0].Temp), degrees(cold))
	}
}

func wordCount(s string) int {
	n, in := 0, false
	for _, c := range s {
		if c == ' ' {
			in = false
		} else if !in {
			in, n = true, n+1
		}
	}
	return n
}

// minutes is a length of time as a message says it.
func minutes(m unit.Minutes) string {
	switch {
	case m >= 60 && m%60 == 0:
		return fmt.Sprintf("%d h", m/60)
	case m > 60:
		return fmt.Sprintf("%d h %d min", m/60, m%60)
	}
	return fmt.Sprintf("%d min", m)
}

// kilograms is a mass as a message says it.
func kilograms(g model.Grams) string {
	return fmt.Sprintf("%s kg (%s lb)", trim(float64(g)/1000), trim(float64(g)/453.59237))
}

func trim(f float64) string { return fmt.Sprintf("%.4g", f) }

// degrees is a temperature as a message says it.
func degrees(t unit.Temp) string {
	return fmt.Sprintf("%s C (%s F)", trim(t.Celsius()), trim(t.Fahrenheit()))
}

package replan

import (
	"slices"
	"time"

	"pourweek/model"
	"pourweek/model/logbook"
	"pourweek/model/shop"
	"pourweek/model/unit"
)

// ChangeAir is the air of a shop with what the log says of it, the later entry
// over the earlier. It reports whether anything changed: a shop without air
// has no use for it.
func ChangeAir(air shop.Air, zone *time.Location, log []logbook.Entry) (shop.Air, bool) {
	changed := false
	if len(air.Usual) == 0 {
		return air, false
	}
	air.Days = slices.Clone(air.Days)
	for _, e := range log {
		if e.What != logbook.Air {
			continue
		}
		changed = true
		from, to := e.When.In(zone), e.Until.In(zone)
		for d := shop.DateOf(from); !shop.DateOf(to).Before(d); d = d.Add(1) {
			a, b := shop.Clock(0), shop.Clock(24*60)
			if d == shop.DateOf(from) {
				a = clockOfDay(from)
			}
			if d == shop.DateOf(to) {
				b = clockOfDay(to)
			}
			if a < b {
				air.Days = withDay(air.Days, shop.AirDay{Date: d, Steps: between(air.Temps(d), a, b, e.Temp)})
			}
		}
	}
	return air, changed
}

func clockOfDay(t time.Time) shop.Clock { return shop.Clock(t.Hour()*60 + t.Minute()) }

func withDay(days []shop.AirDay, x shop.AirDay) []shop.AirDay {
	for i := range days {
		if days[i].Date == x.Date {
			days[i].Steps = x.Steps
			return days
		}
	}
	return append(days, x)
}

// between puts a temperature over a day's steps from a to b.
func between(steps []shop.AirStep, a, b shop.Clock, t unit.Temp) []shop.AirStep {
	var out []shop.AirStep
	after := t
	for _, s := range steps {
		if s.From < a {
			out = append(out, s)
		}
		if s.From <= b {
			after = s.Temp
		}
	}
	out = append(out, shop.AirStep{From: a, Temp: t})
	if b < 24*60 {
		out = append(out, shop.AirStep{From: b, Temp: after})
	}
	for _, s := range steps {
		if s.From > b {
			out = append(out, s)
		}
	}
	return out
}

// curedAt is when a pour cast in the published week is cured, in its ticks: as
// planned, or, where the air has changed, as the new problem's cure says.
func (a *advance) curedAt(l *life) model.Tick {
	if !a.facts.Recure || l.cover == nil || l.cover[1] < a.shift {
		return l.cured
	}
	c := named(a.q.Cures, func(c *model.Cure) bool { return c.ID == l.pour.Cure })
	if c == nil {
		return l.cured
	}
	return l.cover[1] + model.Tick(c.Lag.At(l.cover[1]-a.shift))
}

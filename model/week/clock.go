package week

import (
	"time"
	_ "time/tzdata" // the zones, where the system has none

	"pourweek/model"
	"pourweek/model/orders"
	"pourweek/model/shop"
)

// clock turns the shop's civil time into ticks. Ticks are real time from the
// first instant of the planned Monday, so a day with a clock change has more or
// fewer of them.
type clock struct {
	loc     *time.Location
	start   time.Time // tick 0
	length  time.Duration
	horizon model.Tick
	days    []shop.Date // from the Monday on, the day after the last included
}

// newClock lays out the given number of civil days from the Monday on.
func newClock(loc *time.Location, monday shop.Date, days, tickMinutes int) *clock {
	c := &clock{loc: loc, length: time.Duration(tickMinutes) * time.Minute}
	for i := range days + 1 {
		c.days = append(c.days, monday.Add(i))
	}
	c.start = c.instant(c.days[0], 0, late)
	c.horizon = c.down(c.instant(c.days[days], 0, early))
	return c
}

// side says which instant is meant by a civil time that the clock change
// repeats: 1:30 on the night when the clock is put back from 2 to 1.
type side int

const (
	early side = iota // the first of the two: for ends, due times
	late              // the second of the two: for beginnings
)

// instant is the moment at which the zone's clock shows the time of day (as
// time from midnight by the clock; 24 h and more are the days after) on that date. A time that the clock change
// leaves out is the moment of the change.
func (c *clock) instant(d shop.Date, ofDay time.Duration, s side) time.Time {
	naive := time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC).Add(ofDay)
	var first, last time.Time
	for _, probe := range []time.Duration{-24 * time.Hour, 24 * time.Hour} {
		_, offset := naive.Add(probe).In(c.loc).Zone()
		t := naive.Add(-time.Duration(offset) * time.Second)
		if !sameClock(t.In(c.loc), naive) {
			continue
		}
		if first.IsZero() || t.Before(first) {
			first = t
		}
		if last.IsZero() || t.After(last) {
			last = t
		}
	}
	switch {
	case first.IsZero():
		return c.change(naive)
	case s == early:
		return first
	}
	return last
}

// change is the moment of the clock change that leaves out the civil time.
func (c *clock) change(naive time.Time) time.Time {
	t := time.Date(naive.Year(), naive.Month(), naive.Day(), naive.Hour(), naive.Minute(), naive.Second(), 0, c.loc)
	begin, end := t.ZoneBounds()
	if end.IsZero() || (!begin.IsZero() && t.Sub(begin) < end.Sub(t)) {
		return begin
	}
	return end
}

func sameClock(t, naive time.Time) bool {
	return t.Year() == naive.Year() && t.YearDay() == naive.YearDay() &&
		t.Hour() == naive.Hour() && t.Minute() == naive.Minute() && t.Second() == naive.Second()
}

// down is the last tick boundary at or before t, up the first at or after it.
// Both may lie before 0 or beyond the horizon.
func (c *clock) down(t time.Time) model.Tick {
	d := t.Sub(c.start)
	n := d / c.length
	if d%c.length < 0 {
		n--
	}
	return model.Tick(n)
}

func (c *clock) up(t time.Time) model.Tick {
	n := c.down(t)
	if c.at(n).Before(t) {
		n++
	}
	return n
}

// at is the instant of a tick boundary.
func (c *clock) at(t model.Tick) time.Time {
	return c.start.Add(time.Duration(t) * c.length)
}

// local is a tick as the shop's clock shows it: Thu 2027-03-04 15:30.
func (c *clock) local(t model.Tick) string {
	return c.at(t).In(c.loc).Format("Mon 2006-01-02 15:04")
}

// moment is the instant of a moment of the shop file.
func (c *clock) moment(m shop.Moment, s side) time.Time {
	return c.instant(m.Date, ofDay(m.Clock), s)
}

// civil is the instant of a moment of the orders file, its date at midnight if
// it has no time.
func (c *clock) civil(m orders.Moment, s side) time.Time {
	of := time.Duration(m.Hour)*time.Hour + time.Duration(m.Minute)*time.Minute + time.Duration(m.Second)*time.Second
	return c.instant(dateOf(m), of, s)
}

func dateOf(m orders.Moment) shop.Date { return shop.Date{Year: m.Year, Month: m.Month, Day: m.Day} }

func ofDay(c shop.Clock) time.Duration { return time.Duration(c) * time.Minute }

// inward is the ticks that lie wholly between two civil times of a date (from
// its midnight on, as of instant), cut to
// the horizon; none if that is empty.
func (c *clock) inward(d shop.Date, h shop.Hours) (model.Interval, bool) {
	i := model.Interval{c.up(c.instant(d, ofDay(h.From), late)), c.down(c.instant(d, ofDay(h.To), early))}
	return cut(i, c.horizon)
}

// outward is the ticks that two civil times of a date touch, cut to the horizon.
func (c *clock) outward(d shop.Date, h shop.Hours) (model.Interval, bool) {
	i := model.Interval{c.down(c.instant(d, ofDay(h.From), early)), c.up(c.instant(d, ofDay(h.To), late))}
	return cut(i, c.horizon)
}

// periods is the ticks that the periods touch, which may lie outside the
// horizon.
func (c *clock) periods(in []shop.Period) []model.Interval {
	var out []model.Interval
	for _, p := range in {
		out = append(out, model.Interval{c.down(c.moment(p.From, early)), c.up(c.moment(p.To, late))})
	}
	return model.Union(out)
}

// touched is periods cut to the horizon.
func (c *clock) touched(in []shop.Period) []model.Interval {
	return model.Intersect(c.periods(in), []model.Interval{{0, c.horizon}})
}

// cut limits an interval to [0, horizon); false if nothing is left.
func cut(i model.Interval, horizon model.Tick) (model.Interval, bool) {
	i[0], i[1] = max(i[0], 0), min(i[1], horizon)
	return i, i.Len() > 0
}

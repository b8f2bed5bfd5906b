package report

import (
	"fmt"
	"time"

	"pourweek/model"
)

// clock turns ticks into the shop's civil time and counts open and regular
// ticks. It covers the ticks 0 to H of a problem.
type clock struct {
	start   time.Time // tick 0, in the shop's zone
	minutes int       // in a tick
	horizon model.Tick
	open    []int32 // open[t]: open ticks before t
	regular []int32 // regular[t]: open ticks before t that are not overtime
}

// newClock needs the start of a valid problem. An unknown zone is an error; an
// empty one means the offset of the start.
func newClock(p *model.Problem, zone string) (*clock, error) {
	start, err := time.Parse(time.RFC3339, p.Start)
	if err != nil {
		return nil, fmt.Errorf("start %q is no moment in time", p.Start)
	}
	if zone != "" {
		loc, err := time.LoadLocation(zone)
		if err != nil {
			return nil, fmt.Errorf("time zone %q is not known", zone)
		}
		start = start.In(loc)
	}
	c := &clock{start: start, minutes: p.TickMinutes, horizon: p.Horizon}
	c.open = c.count(p.Open)
	over := c.count(p.Overtime)
	c.regular = make([]int32, len(c.open))
	for t := range c.open {
		c.regular[t] = c.open[t] - over[t]
	}
	return c, nil
}

// count returns for each t from 0 to H the number of ticks before t that lie in
// the intervals, which do not overlap.
func (c *clock) count(ivs []model.Interval) []int32 {
	n := make([]int32, c.horizon+1)
	for _, iv := range ivs {
		for t := max(iv.From(), 0); t < min(iv.To(), c.horizon); t++ {
			n[t+1] = 1
		}
	}
	for t := 1; t < len(n); t++ {
		n[t] += n[t-1]
	}
	return n
}

func (c *clock) clamp(t model.Tick) model.Tick { return min(max(t, 0), c.horizon) }

// reg is reg(a, b) of section 1: the regular ticks in [a, b), 0 if b <= a.
func (c *clock) reg(a, b model.Tick) int64 {
	if b <= a {
		return 0
	}
	return int64(c.regular[c.clamp(b)] - c.regular[c.clamp(a)])
}

// opens is the number of open ticks in [a, b), 0 if b <= a.
func (c *clock) opens(a, b model.Tick) int64 {
	if b <= a {
		return 0
	}
	return int64(c.open[c.clamp(b)] - c.open[c.clamp(a)])
}

func (c *clock) isOpen(t model.Tick) bool {
	return t >= 0 && t < c.horizon && c.open[t+1] > c.open[t]
}

func (c *clock) isOvertime(t model.Tick) bool {
	return c.isOpen(t) && c.regular[t+1] == c.regular[t]
}

// at is the moment at which a tick begins. Ticks count real time, so that a day
// with a clock change has more or fewer of them.
func (c *clock) at(t model.Tick) time.Time {
	return c.start.Add(time.Duration(t) * time.Duration(c.minutes) * time.Minute)
}

// hours turns a number of ticks into hours.
func (c *clock) hours(ticks int64) float64 { return float64(ticks) * float64(c.minutes) / 60 }

// date is the civil date of the tick that begins at t: 2027-03-01.
func (c *clock) date(t model.Tick) string { return c.at(t).Format(time.DateOnly) }

// nextDay is the first tick after t that begins on a later date. Where the
// clocks change at midnight, the moment at which the date begins may not be on
// the clock, or be there twice: it is then looked for around the one of package
// time.
func (c *clock) nextDay(t model.Tick) model.Tick {
	d := c.at(t)
	next := time.Date(d.Year(), d.Month(), d.Day()+1, 0, 0, 0, 0, d.Location())
	length := time.Duration(c.minutes) * time.Minute
	n := model.Tick(next.Sub(c.start) / length)
	date := c.date(t)
	for n = max(n, t+1); n > t+1 && c.date(n-1) != date; {
		n--
	}
	for c.date(n) == date {
		n++
	}
	return n
}

// parts cuts the ticks that a piece of work takes in [from, to) at midnight:
// one interval for each day, from the first tick taken to the last.
func (c *clock) parts(iv model.Interval, takes func(model.Tick) bool) []model.Interval {
	var l []model.Interval
	for t := iv.From(); t < iv.To(); {
		end := min(c.nextDay(t), iv.To())
		first, last := model.Tick(-1), model.Tick(-1)
		for ; t < end; t++ {
			if takes(t) {
				if first < 0 {
					first = t
				}
				last = t
			}
		}
		if first >= 0 {
			l = append(l, model.Interval{first, last + 1})
		}
	}
	return l
}

// taken tells which ticks a pausable task of w ticks takes that is done over
// iv: all open ones, or, put down for overtime, all regular ones. (Section 2.)
func (c *clock) taken(iv model.Interval, w model.Tick) func(model.Tick) bool {
	if c.opens(iv.From(), iv.To()) == int64(w) {
		return c.isOpen
	}
	return func(t model.Tick) bool { return c.isOpen(t) && !c.isOvertime(t) }
}

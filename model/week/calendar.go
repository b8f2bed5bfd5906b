package week

import (
	"cmp"
	"slices"

	"pourweek/model"
	"pourweek/model/shop"
)

// calendar is when the shop works, in ticks.
type calendar struct {
	clock    *clock
	shop     *shop.Shop
	closed   []model.Interval
	regular  []model.Interval
	overtime []model.Interval            // outside the regular hours
	windows  map[string][]model.Interval // the overtime of each name
	open     []model.Interval
}

// newCalendar lays the hours out. Hours and windows shrink to whole ticks,
// closed times grow.
func newCalendar(c *clock, s *shop.Shop) *calendar {
	cal := &calendar{clock: c, shop: s, windows: map[string][]model.Interval{}}
	cal.closed = c.touched(s.Calendar.Closed)
	cal.regular = cal.days(cal.regularHours)
	taken := model.Union(cal.breaks(), cal.regular)
	var all []model.Interval
	for i := range s.Calendar.Overtime {
		o := &s.Calendar.Overtime[i]
		set := model.Subtract(cal.days(cal.overtimeOn(o)), taken)
		cal.windows[o.Name] = set
		all = append(all, set...)
	}
	cal.overtime = model.Union(all)
	cal.open = model.Union(cal.regular, cal.overtime)
	return cal
}

// breaks is the ticks that the lunch breaks touch; nobody works in them, in
// overtime neither.
func (cal *calendar) breaks() []model.Interval {
	var out []model.Interval
	for _, d := range cal.clock.days {
		for _, h := range cal.shop.Calendar.Lunch[d.Weekday()] {
			if i, ok := cal.clock.outward(d, h); ok {
				out = append(out, i)
			}
		}
	}
	return out
}

// overtimeOn is the hours of an overtime on a date.
func (cal *calendar) overtimeOn(o *shop.Overtime) func(shop.Date) []shop.Hours {
	return func(d shop.Date) []shop.Hours { return dated(o.Hours, o.Dates, d) }
}

// dated is the hours of a date: those of its weekday and those given for it.
func dated(w shop.Week, dates []shop.DayHours, d shop.Date) []shop.Hours {
	out := append([]shop.Hours{}, w[d.Weekday()]...)
	for _, x := range dates {
		if x.Date == d {
			out = append(out, x.Hours...)
		}
	}
	return out
}

// regularHours is the regular hours of any date, closed times not yet taken out.
func (cal *calendar) regularHours(d shop.Date) []shop.Hours {
	for _, x := range cal.shop.Calendar.Extra {
		if x.Date == d {
			return x.Hours
		}
	}
	return cal.shop.Calendar.Hours[d.Weekday()]
}

// days is the ticks of the hours that each day of the horizon has, without the
// closed times.
func (cal *calendar) days(hours func(shop.Date) []shop.Hours) []model.Interval {
	var out []model.Interval
	for _, h := range cal.joined(hours) {
		if i, ok := cal.clock.inward(cal.clock.days[0], h); ok {
			out = append(out, i)
		}
	}
	return model.Subtract(model.Union(out), cal.closed)
}

// joined is the hours of all days as the clock counts from the first day's
// midnight on (31:00 is 7:00 of the second day), ascending, those that touch or
// overlap made one: between two shifts that touch within a tick the shop does not
// close.
func (cal *calendar) joined(hours func(shop.Date) []shop.Hours) []shop.Hours {
	var all, out []shop.Hours
	for n, d := range cal.clock.days {
		for _, h := range hours(d) {
			midnight := shop.Clock(n * 24 * 60)
			all = append(all, shop.Hours{From: midnight + h.From, To: midnight + h.To})
		}
	}
	slices.SortFunc(all, func(a, b shop.Hours) int { return cmp.Compare(a.From, b.From) })
	for _, h := range all {
		if k := len(out); k > 0 && h.From <= out[k-1].To {
			out[k-1].To = max(out[k-1].To, h.To)
			continue
		}
		out = append(out, h)
	}
	return out
}

// person is the ticks in which a person is there: the own or the shop's regular
// hours and the overtime that the person takes, without the days away.
func (cal *calendar) person(p *shop.Person) []model.Interval {
	on := cal.regular
	if p.Hours != nil {
		own := cal.days(func(d shop.Date) []shop.Hours { return p.Hours[d.Weekday()] })
		on = model.Intersect(own, cal.regular)
	}
	on = append([]model.Interval{}, on...)
	for _, name := range p.Overtime {
		on = append(on, cal.windows[name]...)
	}
	return model.Subtract(model.Union(on), cal.clock.touched(p.Away))
}

// starts is the ticks at whose first instant a step with such hours may start:
// from <= start < to by the clock. What the tick holds after it does not matter.
// nil hours mean no rule and give nil; none is left if no tick begins in them.
func (cal *calendar) starts(w *shop.Week) []model.Interval {
	if w == nil {
		return nil
	}
	var out []model.Interval
	c := cal.clock
	for _, d := range c.days {
		for _, h := range w[d.Weekday()] {
			i := model.Interval{c.up(c.instant(d, ofDay(h.From), late)), c.up(c.instant(d, ofDay(h.To), early))}
			if i, ok := cut(i, c.horizon); ok {
				out = append(out, i)
			}
		}
	}
	return model.Union(out)
}

// callins are the paid windows. A day's windows are one call-in if nothing else
// is open between them; else each is its own, so that regular work is never
// charged.
func (cal *calendar) callins() []model.Callin {
	var out []model.Callin
	for i := range cal.shop.Calendar.Overtime {
		o := &cal.shop.Calendar.Overtime[i]
		if o.CallIn <= 0 {
			continue
		}
		for _, d := range cal.clock.days {
			day, ok := cal.clock.outward(d, shop.Hours{From: 0, To: 24 * 60})
			if !ok {
				continue
			}
			var last *model.Callin
			for _, w := range model.Intersect(cal.windows[o.Name], []model.Interval{day}) {
				if last != nil && model.TicksIn(cal.open, last.To, w[0]) == 0 {
					last.To = w[1]
					continue
				}
				out = append(out, model.Callin{From: w[0], To: w[1], Cost: o.CallIn})
				last = &out[len(out)-1]
			}
		}
	}
	return out
}

// trucks are the ticks at which trucks leave, rounded down, ascending.
func (cal *calendar) trucks() []model.Tick {
	seen := map[model.Tick]bool{}
	var out []model.Tick
	for _, d := range cal.clock.days {
		for _, t := range cal.shop.Calendar.Trucks {
			if t.Date == nil && t.Weekday != d.Weekday() || t.Date != nil && *t.Date != d {
				continue
			}
			at := cal.clock.down(cal.clock.instant(d, ofDay(t.Clock), early))
			if at < 0 || at >= cal.clock.horizon || seen[at] || model.TicksIn(cal.closed, at, at+1) > 0 {
				continue
			}
			seen[at] = true
			out = append(out, at)
		}
	}
	slices.Sort(out)
	return out
}

// endOfWork is the last closing time of regular hours on the date, or on the
// last working day before it (within 60 days); worked is false if the date
// itself has no regular hours. The tick may lie outside the horizon.
func (cal *calendar) endOfWork(d shop.Date) (tick model.Tick, worked bool) {
	closed := cal.clock.periods(cal.shop.Calendar.Closed)
	for back := range 60 {
		date := d.Add(-back)
		var open []model.Interval
		for _, h := range cal.regularHours(date) {
			open = append(open, model.Interval{
				cal.clock.up(cal.clock.instant(date, ofDay(h.From), late)),
				cal.clock.down(cal.clock.instant(date, ofDay(h.To), early)),
			})
		}
		if open = model.Subtract(model.Union(open), closed); len(open) > 0 {
			return open[len(open)-1].To(), back == 0
		}
	}
	return cal.clock.down(cal.clock.instant(d, ofDay(24*60), early)), true
}

package report

import (
	"encoding/json"
	"time"

	"pourweek/model"
)

// Moment is a point in the shop's civil time. In JSON it is RFC 3339 with the
// zone's offset.
type Moment struct {
	Tick model.Tick
	t    time.Time
	far  bool // outside the seven days from the planned Monday on
	full bool // needs its month: weekday and day of the month are there twice
}

func (c *clock) moment(t model.Tick) Moment {
	at := c.at(t)
	far := at.Before(c.start) || !at.Before(c.start.AddDate(0, 0, 7))
	return Moment{t, at, far, far && (c.long() || !c.near(at))}
}

// near says that a moment is in the four weeks from a week before the planned
// Monday on. Within them weekday and day of the month tell a date; four weeks
// on, March has the weekdays of February.
func (c *clock) near(at time.Time) bool {
	return !at.Before(c.start.AddDate(0, 0, -7)) && at.Before(c.start.AddDate(0, 0, 21))
}

// long says that the plan's span goes beyond what is near.
func (c *clock) long() bool { return c.horizon > 0 && !c.near(c.at(c.horizon-1)) }

func (c *clock) momentAt(t *model.Tick) *Moment {
	if t == nil {
		return nil
	}
	m := c.moment(*t)
	return &m
}

// MarshalJSON writes the moment as a string.
func (m Moment) MarshalJSON() ([]byte, error) { return json.Marshal(m.t.Format(time.RFC3339)) }

// hour is the time of day: 07:00.
func (m Moment) hour() string { return m.t.Format("15:04") }

// dayHour is weekday and time of day, with the day of the month where it is
// not in the planned week, and the month where that leaves doubt: Mon 07:00,
// Mon 8 07:00, Mon Mar 8 07:00.
func (m Moment) dayHour() string {
	switch {
	case m.full:
		return m.dateHour()
	case m.far:
		return m.t.Format("Mon 2 15:04")
	}
	return m.t.Format("Mon 15:04")
}

// dateHour adds the date: Mon Mar 1 07:00.
func (m Moment) dateHour() string { return m.t.Format("Mon Jan 2 15:04") }

// iso is date and time for a spreadsheet: 2027-03-01 07:00.
func (m Moment) iso() string { return m.t.Format("2006-01-02 15:04") }

// hourOf is the time of day as seen from a date: the midnight that ends the
// date is 24:00.
func (m Moment) hourOf(date string) string {
	if m.hour() == "00:00" && m.t.Format(time.DateOnly) != date {
		return "24:00"
	}
	return m.hour()
}

// dayTitle is the heading of a date: Monday, March 1, 2027.
func dayTitle(date string) string {
	d, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return d.Format("Monday, January 2, 2006")
}

// shortDay is a date of the board in short: Mon 1, or Mon Feb 1 where the plan
// is so long that this leaves doubt.
func (b *Board) shortDay(date string) string {
	if !b.long {
		return shortDay(date)
	}
	return dayMonth(date)
}

// shortDay is the head of a column for a date: Mon 1.
func shortDay(date string) string {
	d, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return d.Format("Mon 2")
}

// dayMonth is a date in short, with its month: Mon Mar 1.
func dayMonth(date string) string {
	d, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return d.Format("Mon Jan 2")
}

// date is the civil date.
func (m Moment) date() string { return m.t.Format(time.DateOnly) }

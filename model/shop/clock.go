package shop

import (
	"fmt"
	"time"
)

// String is the time as a clock shows it: 7:30, 24:00.
func (c Clock) String() string { return fmt.Sprintf("%d:%02d", int(c)/60, int(c)%60) }

// String is the range as the file writes it: 7:00-12:00.
func (h Hours) String() string { return h.From.String() + "-" + h.To.String() }

// String is the date as the file writes it: 2027-03-04.
func (d Date) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, int(d.Month), d.Day) }

// At is the instant of a time of day of the date in a zone. A time that a clock
// change leaves out is taken as the change's end (time.Date's reading of it).
func (d Date) At(c Clock, zone *time.Location) time.Time {
	return time.Date(d.Year, d.Month, d.Day, int(c)/60, int(c)%60, 0, 0, zone)
}

// Add is the date n days later, or earlier if n is negative.
func (d Date) Add(n int) Date { return DateOf(d.At(0, time.UTC).AddDate(0, 0, n)) }

// Weekday is the day of the week.
func (d Date) Weekday() time.Weekday { return d.At(0, time.UTC).Weekday() }

// Before says that d is earlier than e.
func (d Date) Before(e Date) bool { return d.At(0, time.UTC).Before(e.At(0, time.UTC)) }

// DateOf is the civil date of an instant in its own zone.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date{y, m, d}
}

// String is the moment as the file writes it: 2027-03-04 7:30.
func (m Moment) String() string { return m.Date.String() + " " + m.Clock.String() }

// In is the instant of the moment in a zone.
func (m Moment) In(zone *time.Location) time.Time { return m.Date.At(m.Clock, zone) }

// Before says that m is earlier than n.
func (m Moment) Before(n Moment) bool {
	return m.Date.Before(n.Date) || m.Date == n.Date && m.Clock < n.Clock
}

// String is the period's first and last moment.
func (p Period) String() string { return p.From.String() + " to " + p.To.String() }

package shop

import (
	"regexp"
	"sort"
	"strconv"
	"strings"
	"time"

	"pourweek/model/diag"
)

const (
	clockHint  = "write the time as 7:30, 15:30 or 3:30 pm, from 0:00 to 24:00"
	hoursHint  = "write hours as 7:00-12:00, 12:30-15:30"
	dateHint   = "write the date as 2027-03-04"
	momentHint = "write 2027-03-04 15:30"
	periodHint = "write 2027-03-04, 2027-03-04 to 2027-03-08, 2027-03-04 7:00-12:00, or 2027-03-04 7:00 to 2027-03-05 12:00"
	daysHint   = "write days as mon, mon-thu, or mon, wed, fri"
	firstYear  = 2000
	lastYear   = 2099
)

var clockPattern = regexp.MustCompile(`(?i)^(\d{1,2})(?::(\d{2}))?\s*([ap])?\.?(m)?\.?$`)

// readClock reads 7:30, 15:30, 24:00, 3:30 pm or 7 am.
func readClock(s string) (Clock, bool) {
	m := clockPattern.FindStringSubmatch(strings.TrimSpace(s))
	if m == nil || m[2] == "" && m[3] == "" || (m[3] == "") != (m[4] == "") {
		return 0, false
	}
	h, _ := strconv.Atoi(m[1])
	minute, _ := strconv.Atoi(m[2])
	if m[3] != "" {
		if h < 1 || h > 12 {
			return 0, false
		}
		h %= 12
		if strings.EqualFold(m[3], "p") {
			h += 12
		}
	}
	c := Clock(h*60 + minute)
	return c, minute < 60 && c <= 24*60
}

var hoursPattern = regexp.MustCompile(`^(.*?\S)\s*(?:-|–|\bto\b)\s*(\S.*)$`)

// readHours reads 7:00-12:00.
func readHours(s string) (Hours, string) {
	m := hoursPattern.FindStringSubmatch(strings.TrimSpace(s))
	if m == nil {
		return Hours{}, "which are no hours"
	}
	from, ok1 := readClock(m[1])
	to, ok2 := readClock(m[2])
	switch {
	case !ok1 || !ok2:
		return Hours{}, "which holds no time of day that there is"
	case to <= from:
		return Hours{}, "which ends before it begins; hours past midnight belong to the day after"
	}
	return Hours{from, to}, ""
}

// dayHours reads the hours of one day: a text of ranges with commas, a list of
// ranges, or none.
func (r *reader) dayHours(n *node) []Hours {
	var parts []*node
	switch n.kind {
	case list:
		parts = n.items
	case scalar:
		if n.text == "none" || n.text == "closed" {
			return nil
		}
		for _, s := range strings.Split(n.text, ",") {
			parts = append(parts, &node{text: s, pos: n.pos})
		}
	default:
		r.bad(n, hoursHint, "and hours are needed")
		return nil
	}
	var out []Hours
	for _, p := range parts {
		if p.kind != scalar {
			r.bad(p, hoursHint, "and hours are needed")
			continue
		}
		h, wrong := readHours(p.text)
		if wrong != "" {
			hint := hoursHint
			if strings.Contains(wrong, "time of day") {
				hint = clockHint
			}
			r.bad(&node{text: strings.TrimSpace(p.text), pos: p.pos}, hint, "%s", wrong)
			continue
		}
		out = append(out, h)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].From < out[j].From })
	for i := 1; i < len(out); i++ {
		if out[i].From < out[i-1].To {
			r.bad(n, hoursHint, "and %s overlaps %s", out[i], out[i-1])
			return out[:i]
		}
	}
	return out
}

// week reads hours by weekday: a mapping from days to hours, or the hours of
// every day.
func (r *reader) week(n *node) Week {
	var w Week
	if n.kind != mapping {
		h := r.dayHours(n)
		for d := range w {
			w[d] = h
		}
		return w
	}
	var set [7]bool
	for _, p := range n.pairs {
		days := r.days(p.key)
		if p.value.kind == null {
			r.fail(p.value.pos, hoursHint+", or closed", "%q is empty", p.key.text)
			continue
		}
		h := r.dayHours(p.value)
		for _, d := range days {
			if set[d] {
				r.fail(p.key.pos, "name each day once", "%s stands twice in %q", weekdayNames[d], r.key)
				continue
			}
			set[d] = true
			w[d] = h
		}
	}
	return w
}

// days reads mon, mon-thu, "mon, wed" or all.
func (r *reader) days(key *node) []time.Weekday {
	if key.text == "all" {
		return []time.Weekday{0, 1, 2, 3, 4, 5, 6}
	}
	var out []time.Weekday
	for _, part := range strings.Split(key.text, ",") {
		a, b, ranged := strings.Cut(strings.TrimSpace(part), "-")
		from, ok1 := weekdayOf(strings.TrimSpace(a))
		to, ok2 := from, true
		if ranged {
			to, ok2 = weekdayOf(strings.TrimSpace(b))
		}
		if !ok1 || !ok2 {
			r.fail(key.pos, daysHint, "%s in %q is no day of the week", diag.Quote(part), r.key)
			return nil
		}
		for d := from; ; d = (d + 1) % 7 {
			out = append(out, d)
			if d == to {
				break
			}
		}
	}
	return out
}

var datePattern = regexp.MustCompile(`^(\d{4})-(\d{2})-(\d{2})$`)

// readDate reads 2027-03-04.
func readDate(s string) (Date, bool) {
	m := datePattern.FindStringSubmatch(strings.TrimSpace(s))
	if m == nil {
		return Date{}, false
	}
	y, _ := strconv.Atoi(m[1])
	mo, _ := strconv.Atoi(m[2])
	day, _ := strconv.Atoi(m[3])
	d := Date{y, time.Month(mo), day}
	return d, y >= firstYear && y <= lastYear && mo >= 1 && mo <= 12 && day >= 1 && d.Add(0) == d
}

// date reads a date that is a value or a key.
func (r *reader) date(n *node) (Date, bool) {
	d, ok := readDate(n.text)
	if !ok || n.kind != scalar {
		r.bad(n, dateHint, "which is no date of the years %d to %d", firstYear, lastYear)
		return d, false
	}
	return d, true
}

// readMoment reads 2027-03-04 15:30. Without a time it is 0:00, and timed is
// false.
func readMoment(s string) (m Moment, timed, ok bool) {
	day, clock, timed := strings.Cut(strings.TrimSpace(s), " ")
	m.Date, ok = readDate(day)
	if ok && timed {
		m.Clock, ok = readClock(clock)
	}
	return m.normal(), timed, ok
}

// normal writes 24:00 as 0:00 of the day after.
func (m Moment) normal() Moment {
	if m.Clock == 24*60 {
		return Moment{m.Date.Add(1), 0}
	}
	return m
}

func (r *reader) moment(n *node) (Moment, bool) {
	m, _, ok := readMoment(n.text)
	if !ok || n.kind != scalar {
		r.bad(n, momentHint, "which is no date with a time")
		return m, false
	}
	return m, true
}

var (
	sameDay = regexp.MustCompile(`^(\d{4}-\d{2}-\d{2}) +(\S+(?: ?[apAP]\.?[mM]\.?)?) *(?:-|–) *(\S.*)$`)
	twoEnds = regexp.MustCompile(`^(.*\S) +to +(\S.*)$`)
)

// readPeriod reads what periodHint says.
func readPeriod(s string) (p Period, ok bool) {
	s = strings.TrimSpace(s)
	var ends [2]string
	if m := twoEnds.FindStringSubmatch(s); m != nil {
		ends = [2]string{m[1], m[2]}
	} else if m := sameDay.FindStringSubmatch(s); m != nil {
		ends = [2]string{m[1] + " " + m[2], m[1] + " " + m[3]}
	} else {
		ends = [2]string{s, s}
		if _, timed, ok := readMoment(s); !ok || timed {
			return p, false
		}
	}
	var timed, ok1, ok2 bool
	p.From, _, ok1 = readMoment(ends[0])
	p.To, timed, ok2 = readMoment(ends[1])
	if !timed && ok2 {
		p.To.Date = p.To.Date.Add(1)
	}
	return p, ok1 && ok2
}

// periods reads a period or a list of them.
func (r *reader) periods(n *node) []Period {
	items := n.items
	if n.kind != list {
		items = []*node{n}
	}
	var out []Period
	for _, i := range items {
		p, ok := readPeriod(i.text)
		switch {
		case i.kind != scalar || !ok:
			r.bad(i, periodHint, "which is no date and no time from and to")
		case !p.From.Before(p.To):
			r.bad(i, periodHint, "which ends before it begins")
		default:
			p.Pos = i.pos
			out = append(out, p)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].From.Before(out[j].From) })
	return out
}

// dated reads a mapping from dates to hours, ascending.
func (r *reader) dated(n *node) []DayHours {
	if n.kind != mapping {
		r.bad(n, "write "+r.key+": {2027-03-06: 7:00-12:00}", "and hours by date are needed")
		return nil
	}
	var out []DayHours
	for _, p := range n.pairs {
		if d, ok := r.date(p.key); ok {
			out = append(out, DayHours{d, r.dayHours(p.value), p.key.pos})
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Date.Before(out[j].Date) })
	return out
}

// airSteps reads the temperatures of a day: one, or a mapping from times of day
// to temperatures of which the first is 0:00.
func (r *reader) airSteps(n *node) []AirStep {
	if n.kind != mapping {
		return []AirStep{{0, r.temp(n)}}
	}
	var out []AirStep
	for _, p := range n.pairs {
		c, ok := readClock(p.key.text)
		if !ok || c == 24*60 {
			r.bad(p.key, "write the time as 7:30 or 15:30, from 0:00 to 23:59", "which is no time of day")
			continue
		}
		out = append(out, AirStep{c, r.temp(p.value)})
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].From < out[j].From })
	for i := 1; i < len(out); i++ {
		if out[i].From == out[i-1].From {
			r.fail(n.pos, "name each time once", "%s stands twice in %q", out[i].From, r.key)
		}
	}
	if len(out) > 0 && out[0].From != 0 {
		r.fail(n.pos, "give the temperature from 0:00 on", "%q begins at %s, and it has to begin at 0:00", r.key, out[0].From)
		out[0].From = 0
	}
	return out
}

// minus takes the hours of b out of those of a.
func minus(a, b []Hours) []Hours {
	var out []Hours
	for _, h := range a {
		rest := []Hours{h}
		for _, x := range b {
			var next []Hours
			for _, y := range rest {
				if x.To <= y.From || x.From >= y.To {
					next = append(next, y)
					continue
				}
				if y.From < x.From {
					next = append(next, Hours{y.From, x.From})
				}
				if x.To < y.To {
					next = append(next, Hours{x.To, y.To})
				}
			}
			rest = next
		}
		out = append(out, rest...)
	}
	return out
}

// meet is the hours that are in both a and b.
func meet(a, b []Hours) []Hours {
	var out []Hours
	for _, x := range a {
		for _, y := range b {
			if h := (Hours{max(x.From, y.From), min(x.To, y.To)}); h.From < h.To {
				out = append(out, h)
			}
		}
	}
	return out
}

// zone loads a time zone by its IANA name.
func (r *reader) zone(n *node) *time.Location {
	s, ok := r.text(n, "America/Denver")
	if !ok {
		return time.UTC
	}
	z, err := time.LoadLocation(s)
	if err != nil || s == "Local" || s == "" {
		r.bad(n, "write a name of the IANA time zone database, such as America/Denver, America/New_York, Europe/Berlin or UTC",
			"which is no time zone")
		return time.UTC
	}
	return z
}

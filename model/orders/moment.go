package orders

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// Moment is a civil date, with or without a time of day, in the shop's zone.
// The zero Moment is no moment.
type Moment struct {
	Year         int
	Month        time.Month
	Day          int
	Timed        bool // a time of day was given
	Hour, Minute int
	Second       int
}

// IsZero says that nothing was given.
func (m Moment) IsZero() bool { return m == Moment{} }

// String is the moment made plain: 2027-03-05 or 2027-03-05 15:30.
func (m Moment) String() string {
	s := fmt.Sprintf("%04d-%02d-%02d", m.Year, int(m.Month), m.Day)
	switch {
	case m.Second != 0:
		return s + fmt.Sprintf(" %02d:%02d:%02d", m.Hour, m.Minute, m.Second)
	case m.Timed:
		return s + fmt.Sprintf(" %02d:%02d", m.Hour, m.Minute)
	}
	return s
}

// MomentError says why a text is no moment; Text goes on from the quoted text.
type MomentError struct {
	Text string
	Hint string
}

const (
	firstYear = 2000
	lastYear  = 2099
	dateHint  = "write the date as 2027-03-04 or 4 Mar 2027, a time after it as 15:30"
)

var (
	clockPart = regexp.MustCompile(`(?i)(?:^|[ t,])(\d{1,2})(?::(\d{2})(?::(\d{2})(?:\.0+)?)?)?\s*([ap]\.?m\.?)?$`)
	yearFirst = regexp.MustCompile(`^(\d{4})([-/.])(\d{1,2})([-/.])(\d{1,2})$`)
	numeric   = regexp.MustCompile(`^(\d{1,2})([-/.])(\d{1,2})([-/.])(\d{2}|\d{4})$`)
	dayFirst  = regexp.MustCompile(`^(\d{1,2})(?:st|nd|rd|th)?[- ./]*([a-z]{3,9})\.?[- ,./]*(\d{2}|\d{4})$`)
	monthWord = regexp.MustCompile(`^([a-z]{3,9})\.?[- ]*(\d{1,2})(?:st|nd|rd|th)?(?:, *|[- ]+)(\d{4})$`)
	dayNumber = regexp.MustCompile(`^[3-7]\d{4}(\.\d+)?$`) // 1982 to 2119
	weekday   = regexp.MustCompile(`^([a-z]{3,9})\.?,? +`)
)

// ParseMoment reads a date, or a date and a time, as people and spreadsheets
// write it, if it can be read in one way alone: 2027-03-04, 2027/3/4,
// 4 Mar 2027, 4-Mar-27, March 4, 2027, Thu 4 Mar 2027, 13/4/27, and a time
// after it: 15:30, 3:30 pm, 3 pm. A date like 3/4/27 or 27/3/28 is an error that
// names both readings. Midnight to the second, 2027-03-04 00:00:00, is how tables
// write out a date alone, and is read as that. Years are 2000 to 2099.
func ParseMoment(text string) (Moment, *MomentError) {
	s := strings.ToLower(strings.Join(strings.Fields(text), " "))
	m, err := parseDate(s)
	if err == nil {
		return m, nil
	}
	if dayNumber.MatchString(s) {
		return Moment{}, &MomentError{"is the day number of a spreadsheet", "format the column as yyyy-mm-dd and save the file again"}
	}
	if _, without := parseDate(s + " 2000"); without == nil {
		return Moment{}, &MomentError{"has no year", dateHint}
	}
	loc := clockPart.FindStringSubmatchIndex(s)
	if loc == nil {
		return Moment{}, err
	}
	part := clockPart.FindStringSubmatch(s)
	if part[2] == "" && part[4] == "" {
		return Moment{}, err // a bare number is no time
	}
	m, err = parseDate(strings.TrimRight(s[:loc[0]], " ,"))
	if err != nil {
		return Moment{}, err
	}
	if err := m.setClock(part); err != nil {
		return Moment{}, err
	}
	return m, nil
}

// setClock sets the time of day from the parts hour, minute, second, am/pm.
func (m *Moment) setClock(part []string) *MomentError {
	h, _ := strconv.Atoi(part[1])
	minute, _ := strconv.Atoi(part[2])
	second, _ := strconv.Atoi(part[3])
	half := strings.ReplaceAll(part[4], ".", "")
	if half != "" && (h < 1 || h > 12) || h > 23 || minute > 59 || second > 59 {
		return &MomentError{"holds no time of day that there is", "write the time as 15:30 or 3:30 pm, from 00:00 to 23:59"}
	}
	if half != "" {
		h %= 12
		if half == "pm" {
			h += 12
		}
	}
	if part[3] != "" && h+minute+second == 0 {
		return nil // a date that a spreadsheet or a script wrote out; a date cell reads the same
	}
	m.Timed, m.Hour, m.Minute, m.Second = true, h, minute, second
	return nil
}

// parseDate reads a date without a time from lower-case text.
func parseDate(s string) (Moment, *MomentError) {
	if p := weekday.FindStringSubmatch(s); p != nil {
		if day, ok := weekdayNamed(p[1]); ok {
			m, err := parseDate(s[len(p[0]):])
			if err != nil {
				return m, err
			}
			if got := m.weekday(); got != day {
				return Moment{}, &MomentError{fmt.Sprintf("is said to be a %s, and %s is a %s", day, m, got), "mend the weekday or the date"}
			}
			return m, nil
		}
	}
	if p := yearFirst.FindStringSubmatch(s); p != nil && p[2] == p[4] {
		return date(p[1], num(p[3]), p[5])
	}
	if p := numeric.FindStringSubmatch(s); p != nil && p[2] == p[4] {
		return numericDate(num(p[1]), num(p[3]), p[5])
	}
	if p := dayFirst.FindStringSubmatch(s); p != nil {
		if month, ok := monthNamed(p[2]); ok {
			return date(p[3], int(month), p[1])
		}
	}
	if p := monthWord.FindStringSubmatch(s); p != nil {
		if month, ok := monthNamed(p[1]); ok {
			return date(p[3], int(month), p[2])
		}
	}
	return Moment{}, &MomentError{"is no date that can be read", dateHint}
}

// earliestShort is the first year that two digits at the front of a date are
// taken for; below it they are a day.
const earliestShort = 20

// numericDate reads a date of three numbers, the year last. The order of the
// first two is known only if one of them is above 12 or both are equal. A year of
// two digits may stand in front as well: 27/03/04, 28/4/27.
func numericDate(a, b int, year string) (Moment, *MomentError) {
	dmy, derr := date(year, b, strconv.Itoa(a))
	mdy, merr := date(year, a, strconv.Itoa(b))
	if len(year) == 2 && a >= earliestShort && derr == nil {
		if first, err := date(strconv.Itoa(a), b, year); err == nil && first != dmy {
			return Moment{}, twoReadings(dmy, first)
		}
	}
	switch {
	case derr == nil && merr == nil && a != b:
		return Moment{}, twoReadings(dmy, mdy)
	case derr == nil:
		return dmy, nil
	case merr == nil:
		return mdy, nil
	case a > 12:
		return Moment{}, derr
	}
	return Moment{}, merr
}

func twoReadings(a, b Moment) *MomentError {
	return &MomentError{
		fmt.Sprintf("can be read as %d %s %d and as %d %s %d", a.Day, short(a.Month), a.Year, b.Day, short(b.Month), b.Year),
		fmt.Sprintf("write %s or %s; in a spreadsheet, format the column as yyyy-mm-dd", a, b),
	}
}

// date checks that there is such a day. A year of two digits is in the 2000s.
func date(year string, month int, day string) (Moment, *MomentError) {
	y, d := num(year), num(day)
	if len(year) == 2 {
		y += 2000
	}
	switch {
	case y < firstYear || y > lastYear:
		return Moment{}, &MomentError{fmt.Sprintf("is in the year %d, years are %d to %d", y, firstYear, lastYear), dateHint}
	case month < 1 || month > 12:
		return Moment{}, &MomentError{fmt.Sprintf("has the month %d, months are 1 to 12", month), dateHint}
	}
	m := Moment{Year: y, Month: time.Month(month), Day: d}
	last := time.Date(y, m.Month+1, 0, 0, 0, 0, 0, time.UTC).Day()
	if d < 1 || d > last {
		return Moment{}, &MomentError{fmt.Sprintf("is no day: %s %d has the days 1 to %d", m.Month, y, last), dateHint}
	}
	return m, nil
}

func (m Moment) weekday() time.Weekday {
	return time.Date(m.Year, m.Month, m.Day, 0, 0, 0, 0, time.UTC).Weekday()
}

func short(m time.Month) string { return m.String()[:3] }

// num is the value of at most four digits.
func num(s string) int {
	n, _ := strconv.Atoi(s)
	return n
}

// monthNamed knows the full English names and all cuts of three letters or more.
func monthNamed(s string) (time.Month, bool) {
	for m := time.January; m <= time.December; m++ {
		if len(s) >= 3 && strings.HasPrefix(strings.ToLower(m.String()), s) {
			return m, true
		}
	}
	return 0, false
}

func weekdayNamed(s string) (time.Weekday, bool) {
	for d := time.Sunday; d <= time.Saturday; d++ {
		if len(s) >= 3 && strings.HasPrefix(strings.ToLower(d.String()), s) {
			return d, true
		}
	}
	return 0, false
}

// serial reads a spreadsheet's day number, days since 1899-12-30 (or 1904-01-01
// in workbooks that say so) with the time of day as a fraction, rounded to the
// second. Numbers outside the years 2000 to 2099 are no dates.
func serial(text string, kind serials) (Moment, bool) {
	if kind == noSerials {
		return Moment{}, false
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(v > 0 && v < 100_000) {
		return Moment{}, false
	}
	epoch := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	if kind == serials1904 {
		epoch = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	t := epoch.Add(time.Duration(math.Round(v*86400)) * time.Second)
	if t.Year() < firstYear || t.Year() > lastYear {
		return Moment{}, false
	}
	timed := t.Hour()+t.Minute()+t.Second() > 0
	return Moment{t.Year(), t.Month(), t.Day(), timed, t.Hour(), t.Minute(), t.Second()}, true
}

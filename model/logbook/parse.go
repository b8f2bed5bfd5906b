package logbook

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"pourweek/model/unit"
)

// fieldError is an error in one of the four fields of an entry.
type fieldError struct {
	error
	field int // from 0
}

// Parse reads one entry from its four fields. Ids may be cut to any beginning
// that only one has. The error says what was read and what would be right.
func Parse(fields [4]string, k *Known) (Entry, error) {
	for i := range fields {
		fields[i] = strings.TrimSpace(fields[i])
	}
	var e Entry
	var err error
	if e.When, err = k.time(fields[0]); err != nil {
		return e, fieldError{fmt.Errorf("when %w", err), 0}
	}
	var kinds []string
	for _, r := range rules {
		kinds = append(kinds, string(r.kind))
	}
	what, err := complete("what", strings.ToLower(fields[1]), kinds)
	if err != nil {
		return e, fieldError{fmt.Errorf("what %q is no event; events are %s", fields[1], strings.Join(kinds, ", ")), 1}
	}
	e.What = Kind(what)
	r := ruleOf(e.What)
	if r.which == aTemp {
		e.Which, e.Temp, err = temperature(fields[2])
	} else {
		e.Which, err = k.which(r, fields[2])
	}
	if err != nil {
		return e, fieldError{err, 2}
	}
	words := strings.Fields(fields[3])
	if err := k.detail(&e, r, words); err != nil {
		return e, fieldError{err, 3}
	}
	e.Detail = e.plain()
	return e, nil
}

// Air that a shop can have, in degrees Celsius.
const coldest, warmest = -60, 120

// temperature reads 28 C or 82 F; plain is how it is written out.
func temperature(s string) (plain string, t unit.Temp, err error) {
	q, bad := unit.Reader{}.Parse(s, unit.Temperature)
	if bad != nil {
		return "", 0, fmt.Errorf("temperature %q: %w", s, bad)
	}
	v, ok := q.Up()
	t = unit.Temp(v)
	if !ok || t.Celsius() < coldest || t.Celsius() > warmest {
		return "", 0, fmt.Errorf("temperature %q is none that a shop has; write it with C or F, such as 28 C", s)
	}
	return strings.Join(strings.Fields(s), " "), t, nil
}

func (k *Known) which(r *rule, word string) (string, error) {
	if r.which != anyName {
		return complete(string(r.which), word, k.names(r.which))
	}
	if word == "" {
		return "", fmt.Errorf("%s needs the name of the order", r.kind)
	}
	if !k.dated && slices.Contains(k.Orders, word) {
		return "", fmt.Errorf("order %q is there already; use due or cancel to change it", word)
	}
	return word, nil
}

// Time reads 2027-03-02 11:00, or Tue 11:00 for that day of the planned week.
func (k *Known) Time(s string) (time.Time, error) { return k.time(strings.TrimSpace(s)) }

func (k *Known) time(s string) (time.Time, error) {
	for _, layout := range []string{plainTime, "2006-01-02T15:04"} {
		if t, err := time.ParseInLocation(layout, s, k.Zone); err == nil {
			return t, nil
		}
	}
	if k.dated {
		return time.Time{}, fmt.Errorf("%q is no date and time; in a file it is written in full, such as 2027-03-02 11:00", s)
	}
	day, clock, _ := strings.Cut(s, " ")
	for d := range 7 {
		name := k.Monday.AddDate(0, 0, d).Weekday().String()
		if len(day) < 2 || !strings.HasPrefix(strings.ToLower(name), strings.ToLower(day)) {
			continue
		}
		at, err := time.Parse("15:04", strings.TrimSpace(clock))
		if err != nil {
			break
		}
		m := k.Monday
		return time.Date(m.Year(), m.Month(), m.Day()+d, at.Hour(), at.Minute(), 0, 0, k.Zone), nil
	}
	return time.Time{}, fmt.Errorf("%q is no date and time; write 2027-03-02 11:00, or Tue 11:00 for a day of the planned week", s)
}

// until reads the words "until TIME" (or just TIME), not before the entry.
func (k *Known) until(e *Entry, words []string) error {
	if len(words) > 0 && words[0] == "until" {
		words = words[1:]
	}
	t, err := k.time(strings.Join(words, " "))
	if err != nil {
		return fmt.Errorf("detail of %s: until %w", e.What, err)
	}
	if !t.After(e.When) {
		return fmt.Errorf("detail of %s: it ends at %s, not after its beginning %s", e.What, t.Format(plainTime), e.When.Format(plainTime))
	}
	e.Until = t
	return nil
}

// due reads a due time; a weekday that is past by then is one of the next week.
func (k *Known) due(e *Entry, words []string) (time.Time, error) {
	text := strings.Join(words, " ")
	t, err := k.time(text)
	if err == nil && !t.After(e.When) && !strings.Contains(text, "-") {
		t = t.AddDate(0, 0, 7)
	}
	return t, err
}

func (k *Known) detail(e *Entry, r *rule, words []string) (err error) {
	switch e.What {
	case Poured:
		e.Mold, err = k.after("in", words, aMold)
	case Demolded:
		e.Rack, err = k.after("on", words, aRack)
	case Waiting:
		if len(words) > 0 {
			e.Step, err = complete("step", strings.Join(words, " "), k.Steps[e.Which])
		}
	case Finished:
		e.Step, err = complete("finish step", strings.Join(words, " "), k.Finish[e.Which])
	case Longer:
		err = k.longer(e, words)
	case MoldDown, MixerDown, Away, Extra, Air:
		err = k.until(e, words)
	case Order:
		err = k.order(e, words)
	case Due:
		if e.Until, err = k.due(e, words); err != nil {
			err = fmt.Errorf("detail of due: %w", err)
		}
	case Places:
		if len(words) < 2 {
			return fmt.Errorf("detail of places takes COUNT until TIME, such as 2 until Fri 12:00")
		}
		if e.Count, err = strconv.Atoi(words[0]); err != nil || e.Count < 1 || e.Count > 10_000 {
			return fmt.Errorf("detail of places: %q is no number of places from 1 on", words[0])
		}
		err = k.until(e, words[1:])
	default:
		if len(words) > 0 {
			err = fmt.Errorf("%s takes no detail, and %q was read", e.What, strings.Join(words, " "))
		}
	}
	return err
}

// after reads "in M2" or nothing.
func (k *Known) after(word string, words []string, s subject) (string, error) {
	if len(words) == 0 {
		return "", nil
	}
	if words[0] == word {
		words = words[1:]
	}
	return complete(string(s), strings.Join(words, " "), k.names(s))
}

func (k *Known) longer(e *Entry, words []string) (err error) {
	read := strings.Join(words, " ")
	if n := len(words); n > 2 && words[n-1] == "min" {
		words = append(slices.Clone(words[:n-2]), words[n-2]+"min")
	}
	last := len(words) - 1
	if last < 1 || !strings.HasSuffix(words[last], "min") {
		return fmt.Errorf("detail of longer is %q; it takes STEP MINUTES min, such as polish 30 min", read)
	}
	if e.Step, err = complete("step", strings.Join(words[:last], " "), k.Steps[e.Which]); err != nil {
		return err
	}
	n := strings.TrimSuffix(strings.TrimPrefix(words[last], "+"), "min")
	if e.Minutes, err = strconv.Atoi(n); err != nil || e.Minutes < 1 || e.Minutes > 10_000 {
		return fmt.Errorf("detail of longer: %q is no number of minutes from 1 on", n)
	}
	return nil
}

func (k *Known) order(e *Entry, words []string) (err error) {
	at := slices.Index(words, "due")
	if at < 2 {
		return fmt.Errorf("detail of order is %q; it takes PIECE QUANTITY due TIME, such as planter-60 2 due Fri 15:00", strings.Join(words, " "))
	}
	if e.Piece, err = complete("piece", strings.Join(words[:at-1], " "), k.Pieces); err != nil {
		return err
	}
	if e.Count, err = strconv.Atoi(words[at-1]); err != nil || e.Count < 1 || e.Count > 1000 {
		return fmt.Errorf("detail of order: %q is no quantity from 1 to 1000", words[at-1])
	}
	if e.Until, err = k.due(e, words[at+1:]); err != nil {
		return fmt.Errorf("detail of order: due %w", err)
	}
	return nil
}

// plain is the detail with everything written out.
func (e *Entry) plain() string {
	until := e.Until.Format(plainTime)
	switch e.What {
	case Poured:
		return prefixed("in ", e.Mold)
	case Demolded:
		return prefixed("on ", e.Rack)
	case Waiting, Finished:
		return e.Step
	case Longer:
		return fmt.Sprintf("%s %d min", e.Step, e.Minutes)
	case MoldDown, MixerDown, Away, Extra, Air:
		return "until " + until
	case Order:
		return fmt.Sprintf("%s %d due %s", e.Piece, e.Count, until)
	case Due:
		return until
	case Places:
		return fmt.Sprintf("%d until %s", e.Count, until)
	}
	return ""
}

func prefixed(p, s string) string {
	if s == "" {
		return ""
	}
	return p + s
}

package logbook

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"pourweek/model/diag"
	"pourweek/model/orders"
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
	if fault, hint := orders.NameFault("order", word); fault != "" {
		return "", fmt.Errorf("%s; %s", fault, strings.ReplaceAll(hint, "; ", ", "))
	}
	// A file keeps the entry by which the order came.
	if slices.Contains(k.Orders, word) && !(k.dated && k.Logged[word]) {
		return "", thereAlready(word, "")
	}
	return word, nil
}

func thereAlready(order, by string) error {
	return fmt.Errorf("order %q is there already%s; use quantity, due or cancel to change it", order, by)
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

// longestPast is how many days before an entry a due time may lie, as in an
// orders file before the planned week.
const longestPast = 28

// Years of due times, as an orders file takes them.
const firstYear, lastYear = 2000, 2099

// due reads a due time; a weekday that is past by then is one of the next week.
func (k *Known) due(e *Entry, words []string) (time.Time, error) {
	text := strings.Join(words, " ")
	t, err := k.time(text)
	if err == nil && !t.After(e.When) && !strings.Contains(text, "-") {
		t = t.AddDate(0, 0, 7)
	}
	switch {
	case err != nil:
	case t.Year() < firstYear || t.Year() > lastYear:
		err = fmt.Errorf("%s is in the year %d; mend the date, years are %d to %d", t.Format(plainTime), t.Year(), firstYear, lastYear)
	case t.Before(e.When.AddDate(0, 0, -longestPast)):
		err = fmt.Errorf("%s lies %d days before the entry; mend the date (is the year right?), an order that is late may be due up to %d days before",
			t.Format(plainTime), int(e.When.Sub(t).Hours()/24), longestPast)
	}
	return t, err
}

func (k *Known) detail(e *Entry, r *rule, words []string) (err error) {
	switch e.What {
	case Poured:
		if e.Mold, err = k.after("in", words, aMold); err == nil {
			err = k.casts(e)
		}
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
	case Quantity:
		err = k.quantity(e, words)
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

// casts refuses a mold that does not cast the piece.
func (k *Known) casts(e *Entry) error {
	molds := k.Casts[e.Which]
	if e.Mold == "" || len(molds) == 0 || slices.Contains(molds, e.Mold) {
		return nil
	}
	return fmt.Errorf("mold %q does not cast %s; what casts it in the published week is %s", e.Mold, e.Which, diag.Words(molds))
}

// mostPieces is the most that an entry asks for of one piece type.
const mostPieces = 1000

// quantity reads 6, or planter-60 6 where the order has several piece types.
func (k *Known) quantity(e *Entry, words []string) (err error) {
	n, pieces := len(words), k.Asks[e.Which]
	if n == 0 {
		return fmt.Errorf("detail of quantity is %q; it takes [PIECE] QUANTITY, such as 6", "")
	}
	switch {
	case n > 1:
		if e.Piece, err = complete("piece", strings.Join(words[:n-1], " "), pieces); err != nil {
			return fmt.Errorf("detail of quantity: %s", strings.Replace(err.Error(), "in the published week", "in the order", 1))
		}
	case len(pieces) > 1:
		return fmt.Errorf("detail of quantity is %q, and order %q has several piece types; write of which, such as %s %s", words[0], e.Which, pieces[0], words[0])
	}
	if e.Count, err = strconv.Atoi(words[n-1]); err != nil || e.Count < 1 || e.Count > mostPieces {
		return fmt.Errorf("detail of quantity: %q is no quantity from 1 to %d; cancel drops a whole order", words[n-1], mostPieces)
	}
	return nil
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
	if e.Count, err = strconv.Atoi(words[at-1]); err != nil || e.Count < 1 || e.Count > mostPieces {
		return fmt.Errorf("detail of order: %q is no quantity from 1 to %d", words[at-1], mostPieces)
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
	case Quantity:
		return strings.TrimSpace(fmt.Sprintf("%s %d", e.Piece, e.Count))
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

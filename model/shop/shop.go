package shop

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Named finds the entry of a list by its name, nil if there is none.
func named[T any](list []T, name func(*T) string, want string) *T {
	for i := range list {
		if name(&list[i]) == want {
			return &list[i]
		}
	}
	return nil
}

// Piece is the piece type of the name, nil if there is none.
func (s *Shop) Piece(name string) *Piece {
	return named(s.Pieces, func(p *Piece) string { return p.Name }, name)
}

// Mold is the mold of the name, nil if there is none.
func (s *Shop) Mold(name string) *Mold {
	return named(s.Molds, func(m *Mold) string { return m.Name }, name)
}

// Rack is the rack of the name, nil if there is none.
func (s *Shop) Rack(name string) *Rack {
	return named(s.Racks, func(r *Rack) string { return r.Name }, name)
}

// Mix is the mix of the name, nil if there is none.
func (s *Shop) Mix(name string) *Mix {
	return named(s.Mixes, func(m *Mix) string { return m.Name }, name)
}

// Mixer is the mixer of the name, nil if there is none.
func (s *Shop) Mixer(name string) *Mixer {
	return named(s.Mixers, func(m *Mixer) string { return m.Name }, name)
}

// Cure is the cure of the name, nil if there is none.
func (s *Shop) Cure(name string) *Cure {
	return named(s.Cures, func(c *Cure) string { return c.Name }, name)
}

// Urgency is the urgency of the name, "" meaning normal; nil if there is none.
func (s *Shop) Urgency(name string) *Urgency {
	if name == "" {
		name = "normal"
	}
	return named(s.Urgencies, func(u *Urgency) string { return u.Name }, name)
}

// Temps are the temperatures of a date, a step function over its hours; empty
// when the file gives no air.
func (a *Air) Temps(d Date) []AirStep {
	for i := range a.Days {
		if a.Days[i].Date == d {
			return a.Days[i].Steps
		}
	}
	return a.Usual
}

// weekdayNames are the words of the file for the days, Sunday first.
var weekdayNames = [7]string{"sun", "mon", "tue", "wed", "thu", "fri", "sat"}

// rangeName cuts "M2..M12" into its names. ok is false if the text is no range.
func rangeName(s string) (names []string, ok bool, err error) {
	a, b, found := strings.Cut(s, "..")
	if !found {
		return nil, false, nil
	}
	pa, na := cutNumber(strings.TrimSpace(a))
	pb, nb := cutNumber(strings.TrimSpace(b))
	if pb == "" && nb != "" {
		pb = pa // M2..12
	}
	from, err1 := strconv.Atoi(na)
	to, err2 := strconv.Atoi(nb)
	switch {
	case err1 != nil || err2 != nil || pa != pb:
		return nil, true, fmt.Errorf("is no range of names")
	case to < from:
		return nil, true, fmt.Errorf("runs backward")
	case to-from >= maxRange:
		return nil, true, fmt.Errorf("holds %d names, at most %d are allowed", to-from+1, maxRange)
	}
	for n := from; n <= to; n++ {
		name := strconv.Itoa(n)
		for len(name) < len(na) {
			name = "0" + name
		}
		names = append(names, pa+name)
	}
	return names, true, nil
}

// maxRange bounds the names of one range.
const maxRange = 200

// cutNumber splits a name before the digits at its end.
func cutNumber(s string) (head, digits string) {
	i := len(s)
	for i > 0 && s[i-1] >= '0' && s[i-1] <= '9' {
		i--
	}
	if len(s)-i > 6 {
		return s, ""
	}
	return s[:i], s[i:]
}

// weekdayOf is the weekday that a word begins to name by at least two letters.
func weekdayOf(word string) (time.Weekday, bool) {
	w := strings.ToLower(word)
	for d := range 7 {
		full := strings.ToLower(time.Weekday(d).String())
		if len(w) >= 2 && strings.HasPrefix(full, w) {
			return time.Weekday(d), true
		}
	}
	return 0, false
}

package week

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"pourweek/model"
)

// note adds a sentence for the lead, once.
func (w *compiler) note(format string, args ...any) {
	w.addNotes([]string{fmt.Sprintf(format, args...)})
}

func (w *compiler) addNotes(notes []string) {
	for _, n := range notes {
		if !w.noted[n] {
			w.noted[n] = true
			w.labels.Notes = append(w.labels.Notes, n)
		}
	}
}

// kg is a mass in both units: 41.0 kg (90.4 lb). A pound is 453.59237 g.
func kg(g model.Grams) string {
	return fmt.Sprintf("%.1f kg (%.1f lb)", float64(g)/1000, float64(g)/453.59237)
}

// span is a length of time in words: 1 d 2 h, 35 min.
func (w *compiler) span(t model.Tick) string { return spanOf(int(t) * w.shop.TickMinutes) }

func spanOf(minutes int) string {
	var out []string
	for _, u := range []struct {
		size int
		name string
	}{{24 * 60, "d"}, {60, "h"}, {1, "min"}} {
		if n := minutes / u.size; n > 0 {
			out = append(out, fmt.Sprintf("%d %s", n, u.name))
			minutes %= u.size
		}
	}
	if len(out) == 0 {
		return "0 min"
	}
	return strings.Join(out, " ")
}

// money is an amount in the currency's units, without its name.
func (w *compiler) money(m model.Mils) string { return fmt.Sprintf("%.2f", float64(m)/1000) }

// listed joins words as a sentence does: a, b and c.
func listed(words []string) string {
	switch n := len(words); n {
	case 0:
		return "none"
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}

// sorted is a sorted copy without repeats, never nil.
func sorted(words []string) []string {
	out := append([]string{}, words...)
	slices.Sort(out)
	return slices.Compact(out)
}

// crewOf is a copy of a crew, never nil.
func crewOf(c model.Crew) model.Crew {
	if c == nil {
		return model.Crew{}
	}
	return maps.Clone(c)
}

package report

import (
	"strings"
	"testing"
)

// Moments and names of ordinary length fit the narrowest screen: what cannot be
// cut is broken between its words.
func TestTablesOfOrdinaryNamesFitTheNarrowestScreen(t *testing.T) {
	columns := []column{
		{name: "mold", flex: true}, {name: "piece", flex: true}, {name: "prep", right: true}, {name: "first coat", right: true},
		{name: "not before", right: true}, {name: "strip", right: true}, {name: "empty h", right: true},
	}
	for _, c := range []struct {
		name string
		row  []string
		fits bool
	}{
		{"in the week", []string{"P1", "A-1/2", "Mon 07:50", "Mon 09:00", "Tue 02:25", "Tue 07:00", "1.2"}, true},
		{"from before", []string{"P1", "A-099/f1", "Mon 07:50", "Mon 09:00", "Sat 27 04:30", "Mon 07:00", "0.0"}, true},
		{"far", []string{"planter-24-a", "A-099/f1", "Mon Mar 15 07:50", "Mon Mar 15 09:00", "Sat Mar 27 04:30", "Mon Mar 29 07:00", "10.0"}, true},
		{"a word that is wider, where words are not cut", []string{"P1", "A-1/2", strings.Repeat("x", 60), "", "", "", ""}, false},
	} {
		tab := &table{columns: columns}
		var row []cell
		for _, s := range c.row {
			row = append(row, text(s))
		}
		tab.rows = [][]cell{row}
		d := &drawing{s: Screen{Width: leastWidth}}
		out, err := d.draw(tab)
		if err != nil {
			t.Fatal(err)
		}
		fits := true
		for _, line := range strings.Split(out, "\n") {
			fits = fits && wide(strings.TrimRight(line, " ")) <= leastWidth
		}
		if fits != c.fits {
			t.Errorf("%s: does it fit? %v\n%s", c.name, fits, out)
		}
		for _, s := range c.row {
			for _, word := range strings.Fields(s) {
				if c.fits && strings.ContainsAny(word, ":.") && !strings.Contains(out, word) {
					t.Errorf("%s: %q is cut\n%s", c.name, word, out)
				}
			}
		}
	}
}

package report

import (
	"bytes"
	"io"
	"strconv"
	"strings"

	"pourweek/model"
)

// WriteRows writes the board as rows of cells separated by tabs, for programs
// and spreadsheets. Every row begins with its kind: summary, day, work, mold, batch,
// rack, order, late, carried, closing, hours, note or caution. Before the first
// row of a kind, and wherever its columns change, stands a row of the columns'
// names, its first cell the kind after a #. Times are 2027-03-01 07:00, hours
// and money are decimal. A text that a spreadsheet would take for a formula gets
// an apostrophe in front.
func WriteRows(w io.Writer, b *Board, v View) error {
	var out bytes.Buffer
	head := ""
	put := func(first string, cells []string) {
		out.WriteString(first)
		for _, c := range cells {
			out.WriteByte('\t')
			out.WriteString(c)
		}
		out.WriteByte('\n')
	}
	put("#summary", []string{"name", "value"})
	for _, p := range b.summaryPairs() {
		put("summary", []string{p[0], safe(p[1])})
	}
	put("#day", []string{"date", "hours"})
	for i := range b.Days {
		put("day", []string{b.Days[i].Date, safe(b.Days[i].sentence())})
	}
	for _, t := range b.tables(v, false) {
		if t.screen || len(t.rows) == 0 {
			continue
		}
		var keys []string
		for _, c := range t.columns {
			keys = append(keys, safe(c.key))
		}
		if h := t.kind + "\t" + strings.Join(keys, "\t"); h != head {
			head = h
			put("#"+t.kind, keys)
		}
		for _, r := range t.rows {
			var cells []string
			for _, c := range r {
				cells = append(cells, c.row())
			}
			put(t.kind, cells)
		}
	}
	for _, n := range b.Notes {
		put("note", []string{safe(n)})
	}
	for _, c := range b.Cautions {
		put("caution", []string{safe(c.Topic), safe(c.Text)})
	}
	_, err := w.Write(out.Bytes())
	return err
}

func (c cell) row() string {
	s := c.text
	if c.raw != "" {
		s = c.raw
	}
	if c.number {
		return s
	}
	return safe(s)
}

// safe makes a text safe as a cell: no tabs, line ends or other control
// characters, no spaces at its ends, and an apostrophe before what a spreadsheet
// would take for a formula.
func safe(s string) string {
	s = strings.TrimSpace(clean(s, false))
	if s != "" && strings.ContainsRune("=+-@", rune(s[0])) {
		if _, err := strconv.ParseFloat(s, 64); err != nil {
			return "'" + s
		}
	}
	return s
}

// summaryPairs are the summary's figures by name.
func (b *Board) summaryPairs() [][2]string {
	s := &b.Summary
	i := strconv.Itoa
	f := func(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }
	m := func(x model.Mils) string { return strconv.FormatFloat(float64(x)/1000, 'f', 3, 64) }
	l := [][2]string{
		{"shop", b.Shop}, {"monday", b.Monday}, {"zone", b.Zone}, {"currency", b.Currency},
		{"pieces", i(s.Pieces)}, {"planned", i(s.Planned)}, {"carried", i(s.Carried)}, {"underway", i(s.Underway)}, {"moved", i(s.Moved)},
		{"late_pieces", i(s.Late)}, {"late_hours", lateHours(s.LateHours)},
		{"overtime_hours", f(s.OvertimeHours)}, {"callins", i(s.CallIns)},
		{"idle_hours", f(s.IdleHours)}, {"held_hours", f(s.HeldHours)}, {"rack_wait_hours", f(s.RackWaitHours)},
		{"batches", i(s.Batches)}, {"mixed_kg", f(float64(s.Mixed) / 1000)}, {"waste_kg", f(float64(s.Waste) / 1000)},
		{"cost", m(s.Cost)},
	}
	for _, name := range model.TermNames {
		l = append(l, [2]string{"cost_" + name, m(*s.Terms.Term(name))})
	}
	return append(l, [2]string{"bound", m(s.Bound)}, [2]string{"bound_source", s.BoundSource}, [2]string{"status", s.Status},
		[2]string{"seed", strconv.FormatUint(s.Seed, 10)}, [2]string{"search_work", strconv.FormatInt(s.SearchWork, 10)})
}

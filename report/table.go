package report

import (
	"fmt"
	"strings"

	"pourweek/model"
)

// cell is one value of a table. raw, if not empty, is what the rows for a
// program hold in its place; short, if not empty, what stands there where the
// table is too wide for the screen.
type cell struct {
	text, raw, short string
	number           bool
}

// column describes the cells below it.
type column struct {
	name  string // heading on a terminal, with the unit
	key   string // heading of the rows for a program
	right bool   // numbers
	flex  bool   // may be wrapped where the terminal is narrow
	extra bool   // may be left out where the terminal is narrow
	rows  bool   // stands in the rows for a program alone
	say   string // format of the cell in a sentence; %s is its text
}

// table is a list of rows under a title. kind is the same for tables with the
// same columns.
type table struct {
	kind, title string
	under       string // a sentence under the title
	columns     []column
	rows        [][]cell
	empty       string // said in place of a table without rows
	screen      bool   // stands on a terminal alone
}

func text(s string) cell               { return cell{text: s} }
func number(format string, x any) cell { return cell{text: fmt.Sprintf(format, x), number: true} }
func both(shown, raw string) cell      { return cell{text: shown, raw: raw} }
func hours(x float64) cell             { return number("%.1f", x) }
func lateCell(x float64) cell          { return number("%s", lateHours(x)) }

// lateHours writes hours of lateness, to a tenth. Less than that never reads as
// none: a tick of one minute is 0.02.
func lateHours(x float64) string {
	if x > 0 && x < 0.05 {
		return fmt.Sprintf("%.2f", x)
	}
	return fmt.Sprintf("%.1f", x)
}
func (b *Board) grams(g int64) cell {
	n, _ := massIn(g, b.Currency)
	return cell{text: n, number: true}
}

// mixed is the mass of a batch in a table, rounded up.
func (b *Board) mixed(g int64) cell {
	n, _ := batchMassIn(g, b.Currency)
	return cell{text: n, number: true}
}

func (b *Board) massUnit() string        { _, u := massIn(0, b.Currency); return u }
func (b *Board) money(m model.Mils) cell { return number("%.2f", float64(m)/1000) }

// when is a moment as Mon 07:00, or empty.
func when(m *Moment) cell {
	if m == nil {
		return cell{}
	}
	return both(m.dayHour(), m.iso())
}

// View says how the work of a week is grouped.
type View string

// The views of a week.
const (
	ByDay    View = "day"
	ByMold   View = "mold"
	ByPerson View = "person"
	ByBatch  View = "batch"
	ByRack   View = "rack"
	ByOrder  View = "order"
)

// Views lists all views, the default first.
var Views = []View{ByDay, ByMold, ByPerson, ByBatch, ByRack, ByOrder}

// tables are the tables of a view, in the order in which they are read. On a
// screen carried pieces with the same reason stand together.
func (b *Board) tables(v View, screen bool) []table {
	var l []table
	switch v {
	case ByMold:
		l = append(l, b.weekBoard(), b.moldTable())
	case ByPerson:
		l = append(l, b.personTables()...)
	case ByBatch:
		l = append(l, b.batchTable())
	case ByRack:
		l = append(l, b.rackTables()...)
	case ByOrder:
		l = append(l, b.orderTable())
	default:
		l = append(l, b.dayTables()...)
	}
	carried := b.Carried
	if screen {
		carried = together(carried)
	}
	l = append(l, b.lateTable(), b.carriedTable(carried))
	switch v {
	case ByDay, "":
		l = append(l, b.closingTable())
		l = append(l, b.hoursTables()...)
	case ByRack:
		l = append(l, b.closingTable())
	case ByPerson:
		l = append(l, b.hoursTables()...)
	}
	return l
}

// workColumns are the columns of a table of work.
var workColumns = []column{
	{name: "date", key: "date", rows: true},
	{name: "kind", key: "kind", rows: true},
	{name: "from", key: "from", right: true},
	{name: "to", key: "to", right: true},
	{name: "work", key: "work", flex: true},
	{name: "piece", key: "piece", flex: true},
	{name: "mold", key: "mold", flex: true},
	{name: "batch", key: "batch", flex: true},
	{name: "who", key: "who", flex: true},
}

func (b *Board) workRow(w *Work) []cell {
	piece := strings.Join(w.Pours, ", ")
	if w.Piece != "" {
		piece += " " + w.Piece
	}
	what := text(piece)
	if w.Kind == Remix || w.Kind == Wash {
		what = both("", piece) // its batch says it, a line or two above
	}
	return []cell{
		text(w.Date), text(string(w.Kind)), both(w.From.hour(), w.From.iso()), both(w.To.hourOf(w.Date), w.To.iso()),
		text(b.doing(w)), what, text(w.Mold), text(strings.Join(w.Batch, ", ")),
		{text: whoText(w.Who), short: strings.Join(names(w.Who), ", ")},
	}
}

// doing says in words what a stretch of work is.
func (b *Board) doing(w *Work) string {
	s := w.Name
	switch w.Kind {
	case Mixing:
		s = fmt.Sprintf("mix %s, %s", w.Mix, batchMass(w.Grams, b.Currency))
	case Remix:
		s = "remix " + w.Mix
	case Wash:
		s = "wash " + w.Mixer
	case Strip:
		s = "strip"
		if w.Heads > 1 || w.Grams > 0 {
			s += ", " + heads(w.Heads)
		}
		if w.Grams > 0 {
			s += ", " + mass(w.Grams, b.Currency)
		}
	}
	if w.Over {
		s += ", overtime"
	}
	switch w.Part {
	case Begins:
		s += " (goes on next day)"
	case GoesOn:
		s += " (goes on)"
	case Ends:
		s += " (to its end)"
	}
	return s
}

// whoText names the people of a task; with their skills where it asks for more
// than one.
func whoText(who model.Who) string {
	all := skills(who)
	if len(all) < 2 {
		return strings.Join(names(who), ", ")
	}
	var l []string
	for _, s := range all {
		for _, n := range who[s] {
			l = append(l, n+" ("+s+")")
		}
	}
	return strings.Join(l, ", ")
}

// dayTables is one table a day.
func (b *Board) dayTables() []table {
	var l []table
	for i := range b.Work {
		w := &b.Work[i]
		if len(l) == 0 || l[len(l)-1].rows[0][0].text != w.Date {
			l = append(l, table{kind: "work", title: dayTitle(w.Date), under: b.dayOf(w.Date), columns: workColumns})
		}
		l[len(l)-1].rows = append(l[len(l)-1].rows, b.workRow(w))
	}
	return l
}

// dayOf is the sentence about a date.
func (b *Board) dayOf(date string) string {
	for i := range b.Days {
		if b.Days[i].Date == date {
			return b.Days[i].sentence()
		}
	}
	return ""
}

// personTables is one table a person, of work in the order of the clock.
func (b *Board) personTables() []table {
	columns := append([]column{
		{name: "person", key: "person", rows: true}, {name: "day", key: "date"},
	}, workColumns[1:]...)
	var l []table
	for _, p := range b.People {
		t := table{kind: "work", title: fmt.Sprintf("%s, %.1f h", p.ID, p.Hours), columns: columns}
		for i := range b.Work {
			w := &b.Work[i]
			if !has(w.Who, p.ID) {
				continue
			}
			row := b.workRow(w)
			row[0] = both(b.shortDay(w.Date), w.Date)
			t.rows = append(t.rows, append([]cell{text(p.ID)}, row...))
		}
		t.empty = "no work in these weeks"
		l = append(l, t)
	}
	return l
}

func has(who model.Who, person string) bool {
	for _, n := range names(who) {
		if n == person {
			return true
		}
	}
	return false
}

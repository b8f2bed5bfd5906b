package report

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
)

// Screen is what a board is drawn on.
type Screen struct {
	View    View
	Width   int  // columns, 60 at least
	Unicode bool // else plain ASCII
	Color   bool // bold titles, red and yellow marks; never the only sign of anything
}

// leastWidth is the narrowest screen that is drawn on.
const leastWidth = 60

// WriteText draws the board as tables: the summary, the tables of the view, then
// notes and cautions. No line ends in a space, none is wider than the screen
// unless a name is.
func WriteText(w io.Writer, b *Board, s Screen) error {
	s.Width = max(s.Width, leastWidth)
	d := &drawing{b: b, s: s}
	d.summary()
	tables := b.tables(s.View, true)
	for i := range tables {
		if err := d.table(&tables[i]); err != nil {
			return err
		}
	}
	d.notes()
	d.cautions()
	_, err := w.Write(d.out.Bytes())
	return err
}

// drawing collects the bytes of a board.
type drawing struct {
	b   *Board
	s   Screen
	out bytes.Buffer
}

// Colors (ECMA-48, SGR).
const (
	bold   = "1"
	red    = "31"
	yellow = "33"
)

func (d *drawing) paint(sgr, s string) string {
	if !d.s.Color {
		return s
	}
	return "\x1b[" + sgr + "m" + s + "\x1b[0m"
}

func (d *drawing) clean(s string) string { return clean(s, !d.s.Unicode) }

func (d *drawing) line(s string) {
	d.out.WriteString(strings.TrimRight(s, " "))
	d.out.WriteByte('\n')
}

// paragraph writes sentences, wrapped.
func (d *drawing) paragraph(s string) {
	for _, l := range wrap(d.clean(s), d.s.Width) {
		d.line(l)
	}
}

// strong writes sentences, wrapped and bold.
func (d *drawing) strong(s string) {
	for _, l := range wrap(d.clean(s), d.s.Width) {
		d.line(d.paint(bold, l))
	}
}

// title starts a section.
func (d *drawing) title(s string) {
	d.line("")
	d.strong(s)
}

// fact writes a name and a sentence beside it, wrapped under itself. color, if
// not empty, paints the sentence.
func (d *drawing) fact(name string, indent int, sentence, color string) {
	for i, l := range wrap(d.clean(sentence), d.s.Width-indent) {
		head := ""
		if i == 0 {
			head = d.clean(name)
		}
		if head != "" && utf8.RuneCountInString(head) >= indent { // no room beside it
			d.line(head)
			head = ""
		}
		if color != "" {
			l = d.paint(color, l)
		}
		d.line(fmt.Sprintf("%-*s%s", indent, head, l))
	}
}

func (d *drawing) summary() {
	d.strong(d.b.title())
	for _, f := range d.b.facts() {
		color := ""
		if f.bad {
			color = red
		}
		d.fact("  "+f.name, 13, f.sentence, color)
	}
}

func (d *drawing) table(t *table) error {
	if len(t.rows) == 0 {
		switch {
		case t.kind == "late" || t.kind == "carried":
			d.out.WriteByte('\n')
			d.line(upperFirst(t.empty) + ".")
		case t.empty != "" && t.kind != "closing":
			d.title(t.title)
			d.line("  " + t.empty)
		}
		return nil
	}
	d.title(t.title)
	if t.under != "" {
		d.fact("", 0, t.under, "")
	}
	if d.listed(t) {
		return nil
	}
	text, err := d.draw(t)
	if err != nil {
		return err
	}
	for l := range strings.Lines(text) {
		d.line(strings.TrimRight(l, "\n"))
	}
	return nil
}

// leastWhy is the least width of a column of reasons; below it, each reason
// stands under its row.
const leastWhy = 48

// listed writes a table of reasons as a list, if the screen is too narrow for
// it. The reason is the last column.
func (d *drawing) listed(t *table) bool {
	why := len(t.columns) - 1
	if t.columns[why].key != "why" {
		return false
	}
	rest := 0
	for i, n := range naturals(t) {
		if i != why {
			rest += n + between
		}
	}
	if rest+leastWhy <= d.s.Width {
		return false
	}
	for _, r := range t.rows {
		head := r[0].text + ":"
		for i := 1; i < why; i++ {
			if i > 1 {
				head += ","
			}
			head += " " + strings.ReplaceAll(t.columns[i].say, "%s", r[i].text)
		}
		d.fact("", 2, head, "")
		d.fact("", 6, r[why].text, "")
	}
	return true
}

// draw has the table drawn: two spaces between columns, a rule under the heads.
func (d *drawing) draw(t *table) (string, error) {
	shown := *t
	shown.rows = make([][]cell, len(t.rows))
	for i, r := range t.rows {
		for _, c := range r {
			c.text, c.short = d.clean(c.text), d.clean(c.short)
			shown.rows[i] = append(shown.rows[i], c)
		}
	}
	shown.columns = append([]column{}, t.columns...)
	for i := range shown.columns {
		shown.columns[i].name = d.clean(shown.columns[i].name)
	}
	columns, widths := layout(&shown, d.s.Width)
	var heads []string
	var aligns []tw.Align
	for k, i := range columns {
		heads = append(heads, strings.Join(wrap(shown.columns[i].name, widths[k]), "\n"))
		a := tw.AlignLeft
		if shown.columns[i].right {
			a = tw.AlignRight
		}
		aligns = append(aligns, a)
	}
	var out bytes.Buffer
	tab := newTable(&out, aligns, d.s.Unicode)
	tab.Header(heads)
	for _, r := range shown.rows {
		var cells []string
		for k, i := range columns {
			cells = append(cells, strings.Join(wrap(r[i].text, widths[k]), "\n"))
		}
		if err := tab.Append(cells); err != nil {
			return "", err
		}
	}
	if err := tab.Render(); err != nil {
		return "", err
	}
	return out.String(), nil
}

// newTable sets the table writer up to draw what it is given and nothing else:
// no wrapping, no change to heads, widths that do not depend on the locale.
func newTable(w io.Writer, aligns []tw.Align, unicode bool) *tablewriter.Table {
	pad := tw.CellPadding{Global: tw.Padding{Left: tw.Empty, Right: strings.Repeat(" ", between), Overwrite: true}}
	for range len(aligns) - 1 {
		pad.PerColumn = append(pad.PerColumn, pad.Global)
	}
	pad.PerColumn = append(pad.PerColumn, tw.PaddingNone)
	cells := tw.CellConfig{
		Formatting: tw.CellFormatting{AutoWrap: tw.WrapNone, AutoFormat: tw.Off},
		Padding:    pad,
		Alignment:  tw.CellAlignment{Global: tw.AlignLeft, PerColumn: aligns},
	}
	style := tw.StyleASCII
	if unicode {
		style = tw.StyleLight
	}
	return tablewriter.NewTable(w,
		tablewriter.WithConfig(tablewriter.Config{Header: cells, Row: cells, Behavior: tw.Behavior{TrimSpace: tw.Off}}),
		tablewriter.WithEastAsian(tw.Off),
		tablewriter.WithRenderer(renderer.NewBlueprint(tw.Rendition{
			Borders: tw.BorderNone,
			Symbols: tw.NewSymbols(style),
			Settings: tw.Settings{
				Lines:      tw.Lines{ShowTop: tw.Off, ShowBottom: tw.Off, ShowHeaderLine: tw.On, ShowFooterLine: tw.Off},
				Separators: tw.Separators{ShowHeader: tw.On, ShowFooter: tw.Off, BetweenRows: tw.Off, BetweenColumns: tw.Off},
			},
		})),
	)
}

func (d *drawing) notes() {
	if len(d.b.Notes) == 0 {
		return
	}
	d.title("Notes on the files")
	for _, n := range d.b.Notes {
		d.fact("  -", 4, n, "")
	}
}

func (d *drawing) cautions() {
	if len(d.b.Cautions) == 0 {
		return
	}
	d.title("Cautions")
	for _, c := range d.b.Cautions {
		color := ""
		if c.Topic == "long hours" {
			color = yellow
		}
		d.fact("  "+c.Topic, 20, c.Text, color)
	}
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

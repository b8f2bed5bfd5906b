// Package orders reads what a shop writes down each Monday in a spreadsheet:
// orders.csv or orders.xlsx (what is to be made) and floor.csv (what stands
// where). It checks each cell by itself; whether a piece type, a mold or an
// urgency exists is for package week to say, which knows the shop.
package orders

import (
	"fmt"
	"strconv"
	"strings"

	"pourweek/model/diag"
)

// Limits on the size of the files. A small shop's week has a hundred rows.
const (
	MaxBytes    = 4 << 20 // of one file as it is stored
	maxRows     = 5_000   // rows below the header
	maxColumns  = 200
	maxCell     = 2_000 // characters in a cell
	maxID       = 60    // characters of an order's or a piece's name
	maxQuantity = 1_000 // pieces in one row
)

// Cell is a value that was read and the place where it stood. An empty cell has
// the zero value and the place at which it would be written.
type Cell[T any] struct {
	Value T
	At    diag.Pos
}

// Ship says whether the pieces of an order leave together.
type Ship string

// The ways to ship.
const (
	Whole  Ship = "whole"  // all pieces leave together
	Single Ship = "single" // each piece leaves when it is ready
)

// Row is one row of an orders file. Rows with the same order are one order with
// several piece types.
type Row struct {
	At        diag.Pos
	Order     Cell[string]
	Piece     Cell[string]
	Quantity  Cell[int]    // 1 or more
	Due       Cell[Moment] // without a time: the end of that working day
	Urgency   Cell[string] // lower case; "" when not said
	NotBefore Cell[Moment] // zero when not said
	Ship      Cell[Ship]   // "" when not said
	Truck     Cell[*bool]  // nil when not said
	Note      Cell[string]
}

// Book is what an orders file says.
type Book struct {
	Source *diag.Source
	Rows   []Row
	Notes  []string // columns that were left alone, sheets not read
}

// orderColumns are the columns of an orders file; the first four must be there.
var orderColumns = columns{
	names:    []string{"order", "piece", "quantity", "due", "urgency", "not before", "ship", "truck", "note"},
	required: 4,
}

// ReadOrders reads an orders file, CSV or XLSX by the name's ending. The name is
// shown in messages. All mistakes of the file are in the list; the rows without
// a mistake are in the book, which is never nil.
func ReadOrders(name string, data []byte) (*Book, *diag.List) {
	errs := &diag.List{}
	t := readTable(name, data, errs)
	b := &Book{Source: t.src, Notes: t.notes}
	cols, ok := orderColumns.find(t, errs)
	b.Notes = append(b.Notes, cols.notes...)
	if !ok {
		return b, errs
	}
	for _, r := range t.rows {
		p := rowReader{row: r, cols: cols, errs: errs}
		row := p.order()
		if !p.bad {
			b.Rows = append(b.Rows, row)
		}
	}
	if len(t.rows) == 0 && errs.Len() == 0 {
		errs.At(t.src.At(0, 0), "write one row for each piece type of an order below the header",
			"there is a header and no order below it")
	}
	return b, errs
}

// order reads the cells of one row of an orders file.
func (p *rowReader) order() Row {
	r := Row{At: p.row.at}
	r.Order = p.id("order", "give each order a number or a name, such as A-104")
	r.Piece = p.id("piece", "name one of the shop's piece types")
	r.Quantity = p.quantity("quantity")
	r.Due = p.moment("due", true)
	r.Urgency = p.word("urgency")
	r.NotBefore = p.moment("not before", false)
	r.Ship = p.ship("ship")
	r.Truck = p.yesNo("truck")
	r.Note = p.text("note")
	return r
}

// rowReader reads the cells of one row by column name and notes mistakes.
type rowReader struct {
	row  tableRow
	cols found
	errs *diag.List
	bad  bool
	told diag.Pos // of the cell whose mistake was told when the table was cut
}

// fail notes a mistake of the cell at a place, unless one was told of it already.
func (p *rowReader) fail(at diag.Pos, hint, format string, args ...any) {
	p.bad = true
	if at != p.told {
		p.errs.At(at, hint, format, args...)
	}
}

// text is the cell of the named column, "" if the file has no such column.
func (p *rowReader) text(column string) Cell[string] {
	i, ok := p.cols.at[column]
	if !ok {
		return Cell[string]{At: p.row.at}
	}
	if i < len(p.row.cells) {
		c := p.row.cells[i]
		if c.refused {
			p.bad, p.told = true, c.at
		}
		return Cell[string]{Value: c.text, At: c.at}
	}
	return Cell[string]{At: p.row.empty(i)}
}

func (p *rowReader) word(column string) Cell[string] {
	c := p.text(column)
	c.Value = strings.ToLower(c.Value)
	return c
}

// id is a name that becomes part of ids in a plan: not empty, one line, no
// slash (which numbers the pieces of an order).
func (p *rowReader) id(column, hint string) Cell[string] {
	c := p.text(column)
	if c.Value == "" {
		p.fail(c.At, hint, "%s is empty", column)
	} else if fault, hint := NameFault(column, c.Value); fault != "" {
		p.fail(c.At, hint, "%s", fault)
	}
	return c
}

// NameFault says what is wrong with the name of an order or a piece, as the
// column holds it, and what would be right; "" where nothing is.
func NameFault(column, name string) (fault, hint string) {
	switch {
	case len([]rune(name)) > maxID:
		return fmt.Sprintf("%s %s has %d characters, at most %d are allowed", column, diag.Quote(name), len([]rune(name)), maxID), "shorten it"
	case column == "order" && strings.Contains(name, "/"):
		return fmt.Sprintf("order %s holds a slash", diag.Quote(name)),
			"write " + strings.ReplaceAll(name, "/", "-") + "; pieces are numbered with a slash, such as A-104/1"
	case diag.Clean(name) != name:
		return fmt.Sprintf("%s %s holds a line break or a control character", column, diag.Quote(name)), "write it in one line, in plain letters"
	}
	return "", ""
}

// quantity is a whole number from 1 to maxQuantity; a spreadsheet may write 3.0.
func (p *rowReader) quantity(column string) Cell[int] {
	c := p.text(column)
	out := Cell[int]{At: c.At}
	allowed := fmt.Sprintf("write a whole number from 1 to %d", maxQuantity)
	whole, frac, dotted := strings.Cut(c.Value, ".")
	if dotted && strings.Trim(frac, "0") != "" {
		whole = c.Value
	}
	n, err := strconv.Atoi(whole)
	switch {
	case c.Value == "":
		p.fail(c.At, allowed, "%s is empty", column)
	case err != nil:
		p.fail(c.At, allowed, "%s %s is not a whole number", column, diag.Quote(c.Value))
	case n < 1:
		p.fail(c.At, allowed+", or take the row out", "%s is %d, at least 1 is needed", column, n)
	case n > maxQuantity:
		p.fail(c.At, allowed+", or split the row", "%s is %d, at most %d are allowed in a row", column, n, maxQuantity)
	}
	out.Value = n
	return out
}

// moment is a date or a date and a time; empty is the zero Moment, a mistake if
// the cell is needed.
func (p *rowReader) moment(column string, needed bool) Cell[Moment] {
	c := p.text(column)
	out := Cell[Moment]{At: c.At}
	if c.Value == "" {
		if needed {
			p.fail(c.At, "write a date, such as 2027-03-04, or 2027-03-04 15:30", "%s is empty", column)
		}
		return out
	}
	if m, ok := serial(c.Value, p.cols.serials); ok {
		out.Value = m
		return out
	}
	m, err := ParseMoment(c.Value)
	if err != nil {
		p.fail(c.At, err.Hint, "%s %s %s", column, diag.Quote(c.Value), err.Text)
	}
	out.Value = m
	return out
}

func (p *rowReader) ship(column string) Cell[Ship] {
	c := p.word(column)
	out := Cell[Ship]{At: c.At}
	switch c.Value {
	case "":
	case "whole":
		out.Value = Whole
	case "single", "piece by piece":
		out.Value = Single
	default:
		p.fail(c.At, "write whole (all pieces leave together) or single (each leaves when it is ready)",
			"%s is %s, allowed are whole and single", column, diag.Quote(c.Value))
	}
	return out
}

func (p *rowReader) yesNo(column string) Cell[*bool] {
	c := p.word(column)
	out := Cell[*bool]{At: c.At}
	yes, no := true, false
	switch c.Value {
	case "":
	case "yes", "y", "true", "x", "1":
		out.Value = &yes
	case "no", "n", "false", "0":
		out.Value = &no
	default:
		p.fail(c.At, "write yes or no", "%s is %s, allowed are yes and no", column, diag.Quote(c.Value))
	}
	return out
}

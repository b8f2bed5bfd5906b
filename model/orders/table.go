package orders

import (
	"fmt"
	"slices"
	"strings"

	"pourweek/model/diag"
)

// table is a file cut into cells, whatever its format.
type table struct {
	src     *diag.Source
	header  []tableCell
	rows    []tableRow // empty rows left out
	serials serials    // whether bare numbers may be dates
	notes   []string
}

type tableCell struct {
	text    string // without space around it
	at      diag.Pos
	refused bool // a mistake was told of it already; its text is not kept
}

type tableRow struct {
	cells []tableCell
	at    diag.Pos
	// empty is the place of the i-th cell if the row ends before it.
	empty func(i int) diag.Pos
}

// serials says how bare numbers in a date column are read.
type serials int

const (
	noSerials   serials = iota // CSV: a bare number is no date
	serials1900                // a workbook's days since 1899-12-30
	serials1904                // since 1904-01-01
)

// readTable cuts a file into cells, by the ending of its name: .xlsx is a
// workbook, all else is delimited text.
func readTable(name string, data []byte, errs *diag.List) *table {
	if len(data) > MaxBytes {
		src := diag.NewSource(name, nil)
		errs.At(src.At(0, 0), "keep this week's rows and move the rest to another file",
			"the file has %d bytes, at most %d are read", len(data), MaxBytes)
		return &table{src: src}
	}
	if strings.HasSuffix(strings.ToLower(name), ".xlsx") {
		return readXLSX(name, data, errs)
	}
	return readCSV(name, data, errs)
}

// add appends a row unless it is empty, and reports cells without a header and
// cells that are too long. It says false when there are too many rows.
func (t *table) add(r tableRow, errs *diag.List) bool {
	blank := true
	for i, c := range r.cells {
		if c.text == "" {
			continue
		}
		blank = false
		if i >= len(t.header) {
			errs.At(c.at, "put a value that holds the delimiter between double quotes, or name the column",
				"there is %s in column %d, and the header has %d columns", diag.Quote(c.text), i+1, len(t.header))
			break
		}
		if n := len([]rune(c.text)); n > maxCell {
			errs.At(c.at, "shorten it", "the cell has %d characters, at most %d are allowed", n, maxCell)
			r.cells[i].text, r.cells[i].refused = "", true
		}
	}
	if blank {
		return true
	}
	if len(t.rows) == maxRows {
		errs.At(r.at, "keep this week's rows and move the rest to another file",
			"there are more than %d rows", maxRows)
		return false
	}
	t.rows = append(t.rows, r)
	return true
}

// columns are the columns that a file may have; the first ones are required.
type columns struct {
	names    []string
	required int
}

// found says at which index of a table's rows each column stands.
type found struct {
	at      map[string]int
	serials serials
	notes   []string
}

// columnName makes header words comparable: case, underscores, hyphens and
// doubled spaces do not matter.
func columnName(s string) string {
	s = strings.Map(func(r rune) rune {
		if r == '_' || r == '-' {
			return ' '
		}
		return r
	}, strings.ToLower(s))
	return strings.Join(strings.Fields(s), " ")
}

// find looks the columns up in the header. Unknown columns become notes;
// required ones that are missing and doubled ones are mistakes (ok is false).
func (cs columns) find(t *table, errs *diag.List) (found, bool) {
	f := found{at: map[string]int{}, serials: t.serials}
	if len(t.header) == 0 {
		return f, false // the reader of the format has said why
	}
	ok := true
	var unknown []string
	for i, h := range t.header {
		name := columnName(h.text)
		switch {
		case name == "":
		case !slices.Contains(cs.names, name):
			unknown = append(unknown, h.text)
			f.notes = append(f.notes, cs.unknownNote(h))
		default:
			if first, twice := f.at[name]; twice {
				errs.At(h.at, "take one of the two out", "column %q stands twice, first as column %d", name, first+1)
				ok = false
				continue
			}
			f.at[name] = i
		}
	}
	for _, name := range cs.names[:cs.required] {
		if _, there := f.at[name]; there {
			continue
		}
		hint := fmt.Sprintf("the header needs %s and may have %s",
			diag.Words(cs.names[:cs.required]), diag.Words(cs.names[cs.required:]))
		at := t.header[0].at
		if near, ok := diag.Nearest(name, unknown); ok {
			hint = fmt.Sprintf("rename %s to %s", diag.Quote(near), name)
			at = t.header[slices.IndexFunc(t.header, func(h tableCell) bool { return h.text == near })].at
		}
		errs.At(at, hint, "column %q is missing", name)
		ok = false
	}
	return f, ok
}

// unknownNote is the note about a column that is left alone.
func (cs columns) unknownNote(h tableCell) string {
	note := fmt.Sprintf("%s: column %s is not known and is left alone", h.at, diag.Quote(h.text))
	if near, ok := diag.Nearest(columnName(h.text), cs.names); ok {
		note += fmt.Sprintf(" (did you mean %s?)", near)
	}
	return note
}

package orders

import (
	"encoding/csv"
	"errors"
	"io"
	"strings"

	"pourweek/model/delim"
	"pourweek/model/diag"
)

// readCSV cuts delimited text into cells, whatever its form.
func readCSV(name string, data []byte, errs *diag.List) *table {
	src := diag.NewSource(name, data)
	t := &table{src: src}
	text, form, ok := delim.Text(src, data, 0, errs)
	if !ok {
		return t
	}
	r := form.Reader(text)
	for {
		rec, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			delim.Mistake(src, err, errs)
			continue
		}
		if len(rec) > maxColumns {
			line, _ := r.FieldPos(0)
			errs.At(src.At(line, 0), "take the unused columns out", "the row has %d columns, at most %d are read", len(rec), maxColumns)
			break
		}
		row := csvRow(src, r, rec)
		if t.header == nil {
			if !isBlank(row) {
				t.header = row.cells
			}
			continue
		}
		if !t.add(row, errs) {
			break
		}
	}
	if t.header == nil && errs.Len() == 0 {
		errs.At(src.At(0, 0), "the first line names the columns", "the file is empty")
	}
	return t
}

func csvRow(src *diag.Source, r *csv.Reader, rec []string) tableRow {
	row := tableRow{cells: make([]tableCell, len(rec))}
	for i, text := range rec {
		row.cells[i] = tableCell{text: strings.TrimSpace(text), at: delim.Pos(src, r, i)}
	}
	last := row.cells[len(rec)-1].at
	row.at = src.At(row.cells[0].at.Line, 0)
	row.empty = func(int) diag.Pos { return src.At(last.Line, len([]rune(src.Line(last.Line)))+1) }
	return row
}

func isBlank(r tableRow) bool {
	for _, c := range r.cells {
		if c.text != "" {
			return false
		}
	}
	return true
}

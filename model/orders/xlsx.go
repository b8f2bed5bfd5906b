package orders

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"pourweek/model/diag"
)

// unzipLimit bounds what a workbook may unpack to, in bytes, so that a small
// hostile file cannot fill the memory: unpacked, XML made of empty elements takes
// ninety times its size (measured).
const unzipLimit = 6 << 20

// readXLSX cuts the sheet "orders" of a workbook, or its first sheet, into
// cells. Values are taken as stored, so that a date cell is its serial day
// number however it is shown.
func readXLSX(name string, data []byte, errs *diag.List) (t *table) {
	src := diag.NewSource(name, nil)
	t = &table{src: src}
	defer func() {
		// The workbook library is not ours to mend: a file on which it panics
		// is a file that cannot be read.
		if r := recover(); r != nil {
			errs.At(src.At(0, 0), "open it in a spreadsheet and save it again, or save it as CSV", "the workbook is damaged")
		}
	}()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		RawCellValue: true, UnzipSizeLimit: unzipLimit, UnzipXMLSizeLimit: unzipLimit,
	})
	if err != nil {
		errs.At(src.At(0, 0), "open it in a spreadsheet and save it again, or save it as CSV",
			"the file is no workbook that can be read: %s", firstLine(err))
		return t
	}
	defer f.Close()
	t.serials = serials1900
	if props, err := f.GetWorkbookProps(); err == nil && props.Date1904 != nil && *props.Date1904 {
		t.serials = serials1904
	}
	sheet := pickSheet(f.GetSheetList(), t)
	rows, err := f.Rows(sheet)
	if err != nil {
		errs.At(src.At(0, 0), "", "sheet %s cannot be read: %s", diag.Quote(sheet), firstLine(err))
		return t
	}
	defer rows.Close()
	t.readSheet(rows, sheet, errs)
	return t
}

// pickSheet is the sheet called orders, or else the first; a note says which
// one was read if there was a choice.
func pickSheet(sheets []string, t *table) string {
	if len(sheets) == 0 {
		return ""
	}
	sheet := sheets[0]
	for _, s := range sheets {
		if columnName(s) == "orders" {
			sheet = s
			break
		}
	}
	if len(sheets) > 1 {
		t.notes = append(t.notes, fmt.Sprintf("%s: sheet %s was read; the other sheets are left alone", t.src.Name, diag.Quote(sheet)))
	}
	return sheet
}

// readSheet reads the rows one at a time, so that the memory is that of the
// cells that are kept.
func (t *table) readSheet(rows *excelize.Rows, sheet string, errs *diag.List) {
	for n := 1; rows.Next(); n++ {
		if n > 10*maxRows {
			errs.At(t.src.AtCell(cellName(sheet, 0, n)), "delete the empty rows at the end of the sheet",
				"the sheet has more than %d rows", 10*maxRows)
			break
		}
		cells, err := rows.Columns()
		if err != nil {
			errs.At(t.src.AtCell(cellName(sheet, 0, n)), "", "the row cannot be read: %s", firstLine(err))
			break
		}
		if len(cells) > maxColumns {
			errs.At(t.src.AtCell(cellName(sheet, maxColumns, n)), "delete the columns that are not needed",
				"the row has %d columns, at most %d are read", len(cells), maxColumns)
			break
		}
		row := t.sheetRow(cells, sheet, n)
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
	if err := rows.Error(); err != nil {
		errs.At(t.src.At(0, 0), "", "sheet %s cannot be read: %s", diag.Quote(sheet), firstLine(err))
	}
	if t.header == nil && errs.Len() == 0 {
		errs.At(t.src.At(0, 0), "the first row names the columns", "sheet %s is empty", diag.Quote(sheet))
	}
}

func (t *table) sheetRow(cells []string, sheet string, n int) tableRow {
	row := tableRow{cells: make([]tableCell, len(cells)), at: t.src.AtCell(cellName(sheet, 0, n))}
	for i, text := range cells {
		row.cells[i] = tableCell{text: strings.TrimSpace(text), at: t.src.AtCell(cellName(sheet, i, n))}
	}
	row.empty = func(i int) diag.Pos { return t.src.AtCell(cellName(sheet, i, n)) }
	return row
}

// cellName is the place of a cell as a spreadsheet writes it; col counts from
// 0, row from 1.
func cellName(sheet string, col, row int) string {
	cell, err := excelize.CoordinatesToCellName(col+1, row)
	if err != nil {
		return fmt.Sprintf("%s!row %d", sheet, row)
	}
	return sheet + "!" + cell
}

func firstLine(err error) string {
	line, _, _ := strings.Cut(err.Error(), "\n")
	return line
}

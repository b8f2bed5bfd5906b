package orders

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"unicode/utf8"

	"pourweek/model/diag"
)

// delimiters are tried in this order; the header line tells which one is used.
var delimiters = []rune{',', ';', '\t'}

// readCSV cuts delimited text into cells. The delimiter is the one that splits
// the header into most columns, or the one named by a first line "sep=;" as
// spreadsheets write it. LF, CRLF and CR end lines; a byte order mark is dropped.
func readCSV(name string, data []byte, errs *diag.List) *table {
	src := diag.NewSource(name, data)
	t := &table{src: src}
	text, ok := plainText(src, data, errs)
	if !ok {
		return t
	}
	text, delimiter := delimited(text)
	r := csv.NewReader(strings.NewReader(text))
	r.Comma = delimiter
	r.FieldsPerRecord = -1
	for {
		rec, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			csvMistake(src, err, errs)
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

// plainText is the data as text with LF line ends, or a mistake if it is no
// UTF-8.
func plainText(src *diag.Source, data []byte, errs *diag.List) (string, bool) {
	const hint = `save it again as "CSV UTF-8"`
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if bytes.HasPrefix(data, []byte("PK\x03\x04")) {
		errs.At(src.At(0, 0), "give it a name that ends in .xlsx, or save it as CSV", "the file is a workbook and not text")
		return "", false
	}
	if bytes.IndexByte(data, 0) >= 0 {
		errs.At(src.At(0, 0), hint, "the file holds zero bytes and is not UTF-8 text")
		return "", false
	}
	text := strings.ReplaceAll(string(data), "\r\n", "\n")
	text = strings.ReplaceAll(text, "\r", "\n")
	if utf8.ValidString(text) {
		return text, true
	}
	for i, line := range strings.Split(text, "\n") {
		if !utf8.ValidString(line) {
			errs.At(src.At(i+1, 0), hint, "the line holds bytes that are not UTF-8")
			return "", false
		}
	}
	return "", false
}

// delimited finds the delimiter. A first line "sep=;" is blanked out so that
// line numbers stay right.
func delimited(text string) (string, rune) {
	first, rest, _ := strings.Cut(text, "\n")
	if sep, ok := strings.CutPrefix(strings.ToLower(strings.Trim(first, `" `)), "sep="); ok {
		for _, d := range delimiters {
			if strings.HasPrefix(sep, string(d)) {
				return "\n" + rest, d
			}
		}
	}
	for strings.Trim(first, " ;,\t") == "" && rest != "" {
		first, rest, _ = strings.Cut(rest, "\n")
	}
	best, most := delimiters[0], 0
	for _, d := range delimiters {
		if n := strings.Count(outsideQuotes(first), string(d)); n > most {
			best, most = d, n
		}
	}
	return text, best
}

// outsideQuotes is the line without its quoted parts.
func outsideQuotes(line string) string {
	var b strings.Builder
	quoted := false
	for _, r := range line {
		if r == '"' {
			quoted = !quoted
		} else if !quoted {
			b.WriteRune(r)
		}
	}
	return b.String()
}

func csvRow(src *diag.Source, r *csv.Reader, rec []string) tableRow {
	row := tableRow{cells: make([]tableCell, len(rec))}
	for i, text := range rec {
		row.cells[i] = tableCell{text: strings.TrimSpace(text), at: fieldPos(src, r, i)}
	}
	last := row.cells[len(rec)-1].at
	row.at = src.At(row.cells[0].at.Line, 0)
	row.empty = func(int) diag.Pos { return src.At(last.Line, len([]rune(src.Line(last.Line)))+1) }
	return row
}

// fieldPos is the place of a field, its column counted in characters.
func fieldPos(src *diag.Source, r *csv.Reader, i int) diag.Pos {
	line, col := r.FieldPos(i)
	text := src.Line(line)
	if col-1 <= len(text) {
		col = utf8.RuneCountInString(text[:col-1]) + 1
	}
	return src.At(line, col)
}

// csvMistake turns a mistake in the quoting into a problem at its place.
func csvMistake(src *diag.Source, err error, errs *diag.List) {
	var pe *csv.ParseError
	if !errors.As(err, &pe) {
		errs.At(src.At(0, 0), "", "the text cannot be read: %v", err)
		return
	}
	if pe.StartLine != pe.Line {
		errs.At(src.At(pe.StartLine, 0), "close it, or write two double quotes for one inside a text",
			"a double quote is opened in this line and not closed rightly up to line %d", pe.Line)
		return
	}
	col := pe.Column
	if text := src.Line(pe.Line); col-1 <= len(text) && col > 0 {
		col = utf8.RuneCountInString(text[:col-1]) + 1
	}
	errs.At(src.At(pe.Line, col), `put the whole cell between double quotes and write "" for a quote inside it`,
		"a double quote stands where none may be")
}

func isBlank(r tableRow) bool {
	for _, c := range r.cells {
		if c.text != "" {
			return false
		}
	}
	return true
}

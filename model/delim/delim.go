// Package delim reads delimited text as spreadsheets save it and people write
// it: with commas, semicolons or tabs, with or without a byte order mark, with
// the line ends of any system.
package delim

import (
	"bytes"
	"encoding/csv"
	"errors"
	"strings"
	"unicode/utf8"

	"pourweek/model/diag"
)

// Form is how a file is written.
type Form struct {
	Comma rune   // what stands between two cells: , ; or a tab
	End   string // what ends a line: LF, CRLF or CR
}

// Plain is the form of a file that pourweek makes.
var Plain = Form{',', "\n"}

// delimiters are tried in this order; the header line tells which one is used.
var delimiters = []rune{',', ';', '\t'}

// Text is the data as text with LF line ends, and the form it had; line numbers
// stay those of the file. The delimiter is the one that splits the header into
// most columns, or the one named by a first line "sep=;" as spreadsheets write
// it. Lines that begin with comment, if it is not 0, are no header. ok is false,
// and errs has the mistake, if the data is no UTF-8 text.
func Text(src *diag.Source, data []byte, comment rune, errs *diag.List) (text string, f Form, ok bool) {
	f = Form{Plain.Comma, lineEnd(data)}
	if text, ok = plainText(src, data, errs); ok {
		text, f.Comma = delimited(text, comment)
	}
	return text, f, ok
}

// Reader cuts the text of a file of the form into rows of any length.
func (f Form) Reader(text string) *csv.Reader {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma = f.Comma
	r.FieldsPerRecord = -1
	return r
}

// Line is a row as a line of a file of the form, its end included.
func (f Form) Line(cells []string) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	w.Comma = f.Comma
	_ = w.Write(cells) // a strings.Builder cannot fail
	w.Flush()
	return strings.ReplaceAll(b.String(), "\n", f.End)
}

// lineEnd is what ends the first line, LF if there is no end.
func lineEnd(data []byte) string {
	i := bytes.IndexAny(data, "\r\n")
	switch {
	case i < 0 || data[i] == '\n':
		return "\n"
	case i+1 < len(data) && data[i+1] == '\n':
		return "\r\n"
	}
	return "\r"
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
func delimited(text string, comment rune) (string, rune) {
	first, rest, _ := strings.Cut(text, "\n")
	if sep, ok := strings.CutPrefix(strings.ToLower(strings.Trim(first, `" `)), "sep="); ok {
		for _, d := range delimiters {
			if strings.HasPrefix(sep, string(d)) {
				return "\n" + rest, d
			}
		}
	}
	for rest != "" && (strings.Trim(first, " ;,\t") == "" || comment != 0 && strings.HasPrefix(first, string(comment))) {
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

// Pos is the place of the i-th cell of the row that r read last, its column
// counted in characters.
func Pos(src *diag.Source, r *csv.Reader, i int) diag.Pos {
	line, col := r.FieldPos(i)
	text := src.Line(line)
	if col-1 <= len(text) {
		col = utf8.RuneCountInString(text[:col-1]) + 1
	}
	return src.At(line, col)
}

// Mistake turns a mistake in the quoting into a problem at its place.
func Mistake(src *diag.Source, err error, errs *diag.List) {
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
	col, text := pe.Column, src.Line(pe.Line)
	if errors.Is(pe.Err, csv.ErrQuote) && col > len(text) { // the file ends in it
		errs.At(src.At(pe.Line, 0), "close it, or write two double quotes for one inside a text",
			"a double quote is opened in this line and never closed")
		return
	}
	if col-1 <= len(text) && col > 0 {
		col = utf8.RuneCountInString(text[:col-1]) + 1
	}
	errs.At(src.At(pe.Line, col), `put the whole cell between double quotes and write "" for a quote inside it`,
		"a double quote stands where none may be")
}

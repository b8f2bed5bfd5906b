package logbook

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"pourweek/model/diag"
)

// maxEntries bounds the length of a log that is read.
const maxEntries = 100_000

// Read reads a whole log.csv, sorted by time; entries of one minute stay in
// the order of the file. Lines that are wrong are listed, each with its place,
// and left out. Times are written in full there, since a weekday would mean
// another day once the next week is published. Entries of earlier weeks need a k
// that knows those too.
func Read(name string, data []byte, k *Known) ([]Entry, *diag.List) {
	k = k.own()
	k.dated = true
	src := diag.NewSource(name, data)
	list := &diag.List{}
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff"))))
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = true
	r.Comment = '#'
	var out []Entry
	brought := map[string]diag.Pos{} // by order: the entry that brings it
	for n := 0; ; n++ {
		rec, err := r.Read()
		if err == io.EOF {
			break
		}
		var pe *csv.ParseError
		if errors.As(err, &pe) {
			list.Add(src.At(pe.Line, pe.Column).Problem(fmt.Sprintf("this line is no row of a table: %v", pe.Err), "put a field that holds quotes or commas in double quotes"))
			break
		}
		if err != nil {
			list.Add(src.At(0, 0).Problem(err.Error(), ""))
			break
		}
		line, col := r.FieldPos(0)
		if n == 0 {
			if !isHeader(rec) {
				list.Add(src.At(line, col).Problem(fmt.Sprintf("the first line is %q", strings.Join(rec, ",")), "begin log.csv with the line "+strings.Join(Header, ",")))
				break
			}
			continue
		}
		if n > maxEntries {
			list.Add(src.At(line, col).Problem(fmt.Sprintf("more than %d entries", maxEntries), "begin a new log each week"))
			break
		}
		var f [4]string
		if copy(f[:], rec); len(rec) > 4 {
			list.Add(src.At(line, col).Problem(fmt.Sprintf("%d fields where at most 4 are due: %s", len(rec), strings.Join(Header, ", ")), "put a detail that holds a comma in double quotes"))
			continue
		}
		e, err := Parse(f, k)
		if err != nil {
			list.Add(wrong(src, r, len(rec), err))
			continue
		}
		e.Position = src.At(line, col)
		if at, ok := brought[e.Which]; ok && e.What == Order {
			list.Add(wrong(src, r, len(rec), fieldError{thereAlready(e.Which, " by "+at.Place()), 2}))
			continue
		}
		if e.What == Order {
			brought[e.Which] = e.Position
			k.brings(e)
		}
		out = append(out, e)
	}
	slices.SortStableFunc(out, func(a, b Entry) int { return a.When.Compare(b.When) })
	return out, list
}

// wrong is the problem of an entry at the field that has it, what would be right
// as its hint.
func wrong(src *diag.Source, r *csv.Reader, fields int, err error) diag.Problem {
	n := 0
	var f fieldError
	if errors.As(err, &f) && f.field < fields {
		n = f.field
	}
	message, hint := err.Error(), "write the entry as log.csv takes it, or take the line out; \"pourweek log\" lists what it takes"
	if i := strings.LastIndex(message, "; "); i > 0 {
		message, hint = message[:i], message[i+2:]
	}
	line, col := r.FieldPos(n)
	return src.At(line, col).Problem(message, hint)
}

func isHeader(rec []string) bool {
	if len(rec) < 3 {
		return false
	}
	for i := range min(len(rec), len(Header)) {
		if !strings.EqualFold(strings.TrimSpace(rec[i]), Header[i]) {
			return false
		}
	}
	return true
}

// Line is the entry as a line of log.csv, line end included.
func (e Entry) Line() string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	_ = w.Write(e.Row()) // a strings.Builder cannot fail
	w.Flush()
	return b.String()
}

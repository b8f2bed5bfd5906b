package logbook

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"pourweek/model/delim"
	"pourweek/model/diag"
)

// maxEntries bounds the length of a log that is read.
const maxEntries = 100_000

// Read reads a whole log.csv, sorted by time; entries of one minute stay in
// the order of the file. It takes what orders.csv takes (delim), and lines that
// begin with # besides. Lines that are wrong are listed, each with its place,
// and left out. Times are written in full there, since a weekday would mean
// another day once the next week is published. Entries of earlier weeks need a k
// that knows those too.
func Read(name string, data []byte, k *Known) ([]Entry, *diag.List) {
	k = k.own()
	k.dated = true
	list := &diag.List{}
	var out []Entry
	brought := map[string]diag.Pos{} // by order: the entry that brings it
	read(name, data, list, func(src *diag.Source, r *csv.Reader, rec []string) {
		var f [4]string
		if copy(f[:], rec); len(rec) > 4 {
			list.Add(delim.Pos(src, r, 0).Problem(fmt.Sprintf("%d fields where at most 4 are due: %s", len(rec), strings.Join(Header, ", ")),
				fmt.Sprintf("put a detail that holds a %s in double quotes", map[rune]string{',': "comma", ';': "semicolon", '\t': "tab"}[r.Comma])))
			return
		}
		e, err := Parse(f, k)
		if err != nil {
			list.Add(wrong(src, r, len(rec), err))
			return
		}
		e.Position = delim.Pos(src, r, 0)
		if at, ok := brought[e.Which]; ok && e.What == Order {
			list.Add(wrong(src, r, len(rec), fieldError{thereAlready(e.Which, " by "+at.Place()), 2}))
			return
		}
		if e.What == Order {
			brought[e.Which] = e.Position
			k.brings(e)
		}
		out = append(out, e)
	})
	slices.SortStableFunc(out, func(a, b Entry) int { return a.When.Compare(b.When) })
	return out, list
}

// End says how a line has to be written that is added to the end of a log.csv
// with the data. bare is true if the header has to go before it, since there is
// none. The list has what is wrong with the file as a table: then no line that
// is added could be read. Entries are not judged.
func End(name string, data []byte) (f delim.Form, bare bool, list *diag.List) {
	list = &diag.List{}
	f, bare = read(name, data, list, func(*diag.Source, *csv.Reader, []string) {})
	return f, bare, list
}

// read cuts a log.csv into rows and hands on those below the header that are
// not empty, without empty cells at their ends past the columns of the header.
// bare is true if there is no header, nor anything in place of it.
func read(name string, data []byte, list *diag.List, each func(*diag.Source, *csv.Reader, []string)) (form delim.Form, bare bool) {
	const comment = '#'
	src := diag.NewSource(name, data)
	text, form, ok := delim.Text(src, data, comment, list)
	if !ok {
		return form, false
	}
	r := form.Reader(text)
	r.TrimLeadingSpace = form.Comma != '\t' // which is space as well
	r.Comment = comment
	for n := 0; ; {
		rec, err := r.Read()
		if errors.Is(err, io.EOF) {
			return form, n == 0
		}
		if err != nil {
			delim.Mistake(src, err, list)
			n++
			continue
		}
		for len(rec) > len(Header) && strings.TrimSpace(rec[len(rec)-1]) == "" {
			rec = rec[:len(rec)-1]
		}
		if strings.TrimSpace(strings.Join(rec, "")) == "" {
			continue
		}
		at := delim.Pos(src, r, 0)
		switch n++; {
		case n == 1 && !isHeader(rec):
			list.Add(at.Problem("the first line is "+diag.Quote(src.Line(at.Line)), "begin log.csv with the line "+strings.Join(Header, ",")))
			return form, false
		case n > maxEntries+1:
			list.Add(at.Problem(fmt.Sprintf("more than %d entries", maxEntries), "begin a new log each week"))
			return form, false
		case n > 1:
			each(src, r, rec)
		}
	}
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
	return delim.Pos(src, r, n).Problem(message, hint)
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

// Line is the entry as a line of a log.csv that pourweek made, line end included.
func (e Entry) Line() string { return delim.Plain.Line(e.Row()) }

package delim

import (
	"slices"
	"testing"

	"pourweek/model/diag"
)

// A line that is written in a form is read again as the same cells, whatever
// delimiter, quote or line end stands in them.
func TestALineIsReadAgain(t *testing.T) {
	header := []string{"when", "what", "which"}
	row := []string{"a, b", `12" ; tall`, "tab\there"}
	for _, comma := range delimiters {
		for _, end := range []string{"\n", "\r\n", "\r"} {
			want := Form{comma, end}
			data := "\ufeff" + want.Line(header) + want.Line(row)
			var errs diag.List
			text, got, ok := Text(diag.NewSource("x.csv", []byte(data)), []byte(data), 0, &errs)
			if !ok || got != want {
				t.Errorf("%q: the form is %q, want %q (%v)", data, got, want, errs.Err())
				continue
			}
			rows, err := got.Reader(text).ReadAll()
			if err != nil || len(rows) != 2 || !slices.Equal(rows[1], row) {
				t.Errorf("%q: read as %q, %v", data, rows, err)
			}
		}
	}
}

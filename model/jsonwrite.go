package model

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"unicode/utf8"
)

// jsonOut writes a document in the layout of the files beside the planning
// model: one field of the document a line, one entry of its lists a line, and
// a space behind each comma and colon. Lists are never null unless null means
// something.
type jsonOut struct {
	b      []byte
	indent int // spaces before the fields of the document
	err    error
}

// flush hands the document to w.
func (o *jsonOut) flush(w io.Writer) error {
	if o.err != nil {
		return o.err
	}
	_, err := w.Write(append(o.b, '\n'))
	return err
}

func (o *jsonOut) fail(format string, args ...any) {
	if o.err == nil {
		o.err = fmt.Errorf(format, args...)
	}
}

func (o *jsonOut) line(indent int) {
	o.b = append(o.b, '\n')
	for range indent {
		o.b = append(o.b, ' ')
	}
}

// document writes an object whose fields stand on lines of their own.
func (o *jsonOut) document(fields func()) {
	o.b = append(o.b, '{')
	o.indent++
	fields()
	o.indent--
	o.line(o.indent)
	o.b = append(o.b, '}')
}

// top begins a field of a document.
func (o *jsonOut) top(name string) {
	if last := o.b[len(o.b)-1]; last != '{' {
		o.b = append(o.b, ',')
	}
	o.line(o.indent)
	o.name(name)
}

func (o *jsonOut) name(name string) {
	o.quote(name)
	o.b = append(o.b, ": "...)
}

// key begins a field of an object on one line.
func (o *jsonOut) key(name string) {
	o.comma('{')
	o.name(name)
}

// comma separates from what stands before, unless that is the opening mark.
func (o *jsonOut) comma(open byte) {
	if o.b[len(o.b)-1] != open {
		o.b = append(o.b, ", "...)
	}
}

// object writes an object on one line.
func (o *jsonOut) object(fields func()) {
	o.b = append(o.b, '{')
	fields()
	o.b = append(o.b, '}')
}

// rows writes a list with one entry a line.
func rows[T any](o *jsonOut, list []T, each func(*T)) {
	o.b = append(o.b, '[')
	for i := range list {
		if i > 0 {
			o.b = append(o.b, ',')
		}
		o.line(o.indent + 1)
		each(&list[i])
	}
	if len(list) > 0 {
		o.line(o.indent)
	}
	o.b = append(o.b, ']')
}

// list writes a list on one line.
func list[T any](o *jsonOut, list []T, each func(*T)) {
	o.b = append(o.b, '[')
	for i := range list {
		if i > 0 {
			o.b = append(o.b, ", "...)
		}
		each(&list[i])
	}
	o.b = append(o.b, ']')
}

// sorted calls each for the entries of a map in the order of their keys.
func sorted[V any, M ~map[string]V](m M, each func(string, V)) {
	for _, k := range slices.Sorted(maps.Keys(m)) {
		each(k, m[k])
	}
}

func (o *jsonOut) null() { o.b = append(o.b, "null"...) }

func number[T ~int | ~int64](o *jsonOut, n T) { o.b = strconv.AppendInt(o.b, int64(n), 10) }

func (o *jsonOut) bool(b bool) { o.b = strconv.AppendBool(o.b, b) }

func (o *jsonOut) quote(s string) {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' || s[i] == '"' || s[i] == '\\' {
			o.escape(s)
			return
		}
	}
	o.b = append(o.b, '"')
	o.b = append(o.b, s...)
	o.b = append(o.b, '"')
}

func (o *jsonOut) escape(s string) {
	if !utf8.ValidString(s) {
		o.fail("the text %q is not UTF-8, so that no JSON file can hold it", s)
	}
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(s); err != nil {
		o.fail("%w", err)
	}
	o.b = append(o.b, bytes.TrimSuffix(buf.Bytes(), []byte{'\n'})...)
}

func (o *jsonOut) texts(s []string) { list(o, s, func(v *string) { o.quote(*v) }) }

// id writes an id that may be missing.
func (o *jsonOut) id(id OptID) {
	if id == "" {
		o.null()
		return
	}
	o.quote(string(id))
}

func (o *jsonOut) interval(iv *Interval) {
	o.b = append(o.b, '[')
	number(o, iv[0])
	o.b = append(o.b, ", "...)
	number(o, iv[1])
	o.b = append(o.b, ']')
}

func (o *jsonOut) intervals(ivs []Interval) { list(o, ivs, o.interval) }

func (o *jsonOut) steps(s Steps) {
	list(o, s, func(v *Step) { o.interval(&Interval{Tick(v[0]), Tick(v[1])}) })
}

func (o *jsonOut) crew(c Crew) {
	o.object(func() {
		sorted(c, func(skill string, heads int) {
			o.key(skill)
			number(o, heads)
		})
	})
}

// Fields of one-line objects.

func (o *jsonOut) textField(name, s string) {
	o.key(name)
	o.quote(s)
}

func numberField[T ~int | ~int64](o *jsonOut, name string, n T) {
	o.key(name)
	number(o, n)
}

func optField[T ~int | ~int64](o *jsonOut, name string, n *T) {
	if n != nil {
		numberField(o, name, *n)
	}
}

func (o *jsonOut) intervalsField(name string, ivs []Interval) {
	o.key(name)
	o.intervals(ivs)
}

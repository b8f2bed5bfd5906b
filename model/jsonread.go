package model

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// ReadError is everything that is wrong with a file, in the order of the file.
// Its text shows at most 20 faults and counts the others.
type ReadError struct {
	Faults []Fault
}

// Fault is one thing that is wrong in a file. Line and Col count from 1, Col
// in characters.
type Fault struct {
	File string
	Line int
	Col  int
	Text string
}

func (f Fault) String() string {
	return fmt.Sprintf("%s:%d:%d: %s", f.File, f.Line, f.Col, f.Text)
}

func (e *ReadError) Error() string {
	const most = 20
	var b strings.Builder
	for i, f := range e.Faults {
		if i > 0 {
			b.WriteByte('\n')
		}
		if i == most {
			fmt.Fprintf(&b, "and %d more", len(e.Faults)-most)
			break
		}
		b.WriteString(f.String())
	}
	return b.String()
}

// err sorts the diagnostics and gives them lines and columns; nil if there are
// none.
func (s *jsonSource) err() error {
	if len(s.diags) == 0 {
		return nil
	}
	slices.SortStableFunc(s.diags, func(a, b jsonDiag) int { return a.pos - b.pos })
	e := &ReadError{Faults: make([]Fault, len(s.diags))}
	line, lineStart, pos := 1, 0, 0
	for i, d := range s.diags {
		at := min(d.pos, len(s.src))
		for {
			n := bytes.IndexByte(s.src[pos:at], '\n')
			if n < 0 {
				break
			}
			line++
			pos += n + 1
			lineStart = pos
		}
		pos = at
		e.Faults[i] = Fault{s.name, line, utf8.RuneCount(s.src[lineStart:at]) + 1, d.text}
	}
	return e
}

// jsonField says how one field of an object is read. Where null is true, the
// field may be absent or null; read is then not called.
type jsonField struct {
	name string
	null bool
	read func()
}

// object takes an object of known fields. what names it in messages. It
// reports unknown, doubled and missing fields.
func (s *jsonSource) object(what string, fields []jsonField) {
	if s.peek() != '{' {
		s.wrong("an object ("+what+")", nil)
		return
	}
	at := s.pos
	var got uint64 // fields are fewer than 64
	s.members(func(key string, keyPos int) {
		i := slices.IndexFunc(fields, func(f jsonField) bool { return f.name == key })
		if i < 0 {
			s.add(keyPos, "unknown field %q in %s%s; its fields are %s", key, what, meant(key, fields), fieldNames(fields))
			s.skip(0)
			return
		}
		if got&(1<<i) != 0 {
			s.add(keyPos, "field %q stands twice in %s", key, what)
			s.skip(0)
			return
		}
		got |= 1 << i
		if fields[i].null && s.null() {
			return
		}
		fields[i].read()
	})
	for i, f := range fields {
		if !f.null && got&(1<<i) == 0 {
			s.add(at, "field %q is missing in %s", f.name, what)
		}
	}
}

func fieldNames(fields []jsonField) string {
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.name
	}
	return strings.Join(names, ", ")
}

// meant guesses which field a misspelt key was to be.
func meant(key string, fields []jsonField) string {
	for _, f := range fields {
		if strings.EqualFold(f.name, key) || oneEditApart(f.name, key) {
			return fmt.Sprintf(" (did you mean %q?)", f.name)
		}
	}
	return ""
}

// oneEditApart reports whether one inserted, dropped, changed or swapped byte
// makes b of a.
func oneEditApart(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	if len(a)+1 == len(b) {
		return a[i:] == b[i+1:]
	}
	if len(a) != len(b) || i == len(a) {
		return false
	}
	return a[i+1:] == b[i+1:] ||
		i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}

// wrong reports a value of the wrong kind and skips it.
func (s *jsonSource) wrong(want string, also []string) {
	if len(also) > 0 {
		want += ": " + strings.Join(also, ", ")
	}
	s.add(s.pos, "%s where %s is due", s.kind(), want)
	s.skip(0)
}

func (s *jsonSource) stringTo(p *string) func() {
	return func() {
		if s.peek() != '"' {
			s.wrong("a text", nil)
			return
		}
		*p = s.text()
	}
}

func (s *jsonSource) optID(p *OptID) func() {
	return func() {
		at := s.pos
		var id string
		s.stringTo(&id)()
		if *p = OptID(id); id == "" {
			s.add(at, "an empty id; leave the field out or write null where there is none")
		}
	}
}

func (s *jsonSource) boolTo(p *bool) func() {
	return func() {
		switch s.peek() {
		case 't':
			s.literal("true")
			*p = true
		case 'f':
			s.literal("false")
			*p = false
		default:
			s.wrong("true or false", nil)
		}
	}
}

// integer takes a whole number within maxNumber either side of 0.
func (s *jsonSource) integer() int64 {
	b := s.peek()
	if b != '-' && (b < '0' || b > '9') {
		s.wrong("a whole number", nil)
		return 0
	}
	end := s.numberEnd()
	raw := string(s.src[s.pos:end])
	n, err := strconv.ParseInt(raw, 10, 64)
	plain := err == nil && raw[0] != '+' && raw != "-0" && (raw == "0" || strings.TrimLeft(raw, "-")[0] != '0')
	if !plain || n > maxNumber || n < -maxNumber {
		s.add(s.pos, "%q where a whole number is due, without point or exponent, from %d to %d", raw, -maxNumber, maxNumber)
		n = 0
	}
	s.pos = end
	return n
}

// numberTo reads a whole number into a field of any integer type that holds
// 64 bits.
func numberTo[T ~int | ~int64](s *jsonSource, p *T) func() {
	return func() { *p = T(s.integer()) }
}

// optNumber reads a whole number into a field that may be left out.
func optNumber[T ~int | ~int64](s *jsonSource, p **T) func() {
	return func() {
		n := T(s.integer())
		*p = &n
	}
}

// listTo reads a list of any kind; the result is never nil.
func listTo[T any](s *jsonSource, p *[]T, most int, each func(*T)) func() {
	return func() {
		if s.peek() != '[' {
			s.wrong("a list", nil)
			return
		}
		out := make([]T, 0, 4)
		s.entries(func(i int) {
			if i == most {
				s.stop(s.pos, "more than %d entries in a list", most)
			}
			var v T
			out = append(out, v)
			each(&out[i])
		})
		*p = slices.Clip(out)
	}
}

func (s *jsonSource) texts(p *[]string) func() {
	return listTo(s, p, maxListLen, func(v *string) { s.stringTo(v)() })
}

// pair takes [a, b].
func (s *jsonSource) pair(what string) (a, b int64) {
	if s.peek() != '[' {
		s.wrong(what, nil)
		return 0, 0
	}
	at := s.pos
	n := 0
	s.entries(func(i int) {
		n++
		switch i {
		case 0:
			a = s.integer()
		case 1:
			b = s.integer()
		default:
			s.skip(0)
		}
	})
	if n != 2 {
		s.add(at, "a list of %d where %s is due", n, what)
	}
	return a, b
}

func (s *jsonSource) interval(p *Interval) func() {
	return func() {
		a, b := s.pair("[from, to], two ticks,")
		*p = Interval{Tick(a), Tick(b)}
	}
}

func (s *jsonSource) intervals(p *[]Interval) func() {
	return listTo(s, p, maxListLen, func(v *Interval) { s.interval(v)() })
}

func (s *jsonSource) steps(p *Steps) func() {
	return func() {
		var out []Step
		listTo(s, &out, maxListLen, func(v *Step) {
			a, b := s.pair("[from, value]")
			*v = Step{a, b}
		})()
		*p = out
	}
}

// mapTo reads an object whose keys are free; the result is never nil.
func mapTo[V any, M ~map[string]V](s *jsonSource, p *M, what string, each func(key string) V) func() {
	return func() {
		if s.peek() != '{' {
			s.wrong("an object ("+what+")", nil)
			return
		}
		out := M{}
		s.members(func(key string, keyPos int) {
			if _, twice := out[key]; twice {
				s.add(keyPos, "%q stands twice in %s", key, what)
			}
			if len(out) == maxListLen {
				s.stop(s.pos, "more than %d entries in %s", maxListLen, what)
			}
			out[key] = each(key)
		})
		*p = out
	}
}

func (s *jsonSource) crew(p *Crew) func() {
	return mapTo(s, p, "a crew, heads by skill", func(string) int { return int(s.integer()) })
}

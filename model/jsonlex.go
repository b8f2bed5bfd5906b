package model

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Bounds on what a reader takes in, so that no file makes it hang or take more
// than about a gigabyte.
const (
	maxProblemBytes = 64 << 20
	maxPlanBytes    = 16 << 20
	maxListLen      = 250_000 // entries of any one list
	maxNumber       = 1_000_000_000_000_000
	maxDiagnostics  = 1000 // a reader gives up after so many
	maxJSONDepth    = 64
)

// jsonStop unwinds a reader that cannot go on; what was wrong is on its list.
type jsonStop struct{}

// jsonSource reads one JSON document front to back with the place of every
// value at hand. It keeps no tree: each value goes straight to its field.
type jsonSource struct {
	name  string
	src   []byte
	pos   int
	diags []jsonDiag
	seen  map[string]string // strings met before, so that equal ids share memory
}

type jsonDiag struct {
	pos  int
	text string
}

func newJSONSource(name string, r io.Reader, limit int) (*jsonSource, error) {
	src, err := io.ReadAll(io.LimitReader(r, int64(limit)+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	s := &jsonSource{name: name, src: src, seen: map[string]string{}}
	if len(src) > limit {
		s.add(0, "the file is larger than %d MB, the most that is read", limit>>20)
		return nil, s.err()
	}
	return s, nil
}

// run calls f and turns an early stop into its diagnostics.
func (s *jsonSource) run(f func()) error {
	func() {
		defer func() {
			if r := recover(); r != nil {
				if _, ok := r.(jsonStop); !ok {
					panic(r)
				}
			}
		}()
		f()
		if s.space(); s.pos < len(s.src) {
			s.add(s.pos, "%s follows the end of the document; a file holds one", s.word())
		}
	}()
	return s.err()
}

// add notes a fault at an offset and goes on.
func (s *jsonSource) add(pos int, format string, args ...any) {
	s.diags = append(s.diags, jsonDiag{pos, fmt.Sprintf(format, args...)})
	if len(s.diags) >= maxDiagnostics {
		panic(jsonStop{})
	}
}

// stop notes a fault after which nothing can be made of the rest.
func (s *jsonSource) stop(pos int, format string, args ...any) {
	s.add(pos, format, args...)
	panic(jsonStop{})
}

func (s *jsonSource) space() {
	for s.pos < len(s.src) {
		switch s.src[s.pos] {
		case ' ', '\t', '\n', '\r':
			s.pos++
		default:
			return
		}
	}
}

// peek is the first byte of the next value or mark, 0 at the end of the file.
func (s *jsonSource) peek() byte {
	s.space()
	if s.pos >= len(s.src) {
		return 0
	}
	return s.src[s.pos]
}

// word quotes what stands at pos, for a message.
func (s *jsonSource) word() string {
	if s.pos >= len(s.src) {
		return "the end of the file"
	}
	end := s.pos
	for end < len(s.src) && end-s.pos < 24 && s.src[end] > ' ' &&
		(end == s.pos || !isJSONMark(s.src[end])) {
		end++
	}
	for end > s.pos && end < len(s.src) && !utf8.RuneStart(s.src[end]) {
		end--
	}
	if end == s.pos {
		end++
	}
	word := string(s.src[s.pos:end])
	if len(word) > 1 {
		word = strings.TrimSuffix(strings.TrimPrefix(word, `"`), `"`)
	}
	return strconv.Quote(word)
}

func isJSONMark(b byte) bool {
	return b == ',' || b == ':' || b == '{' || b == '}' || b == '[' || b == ']'
}

// kind names the value at pos in words.
func (s *jsonSource) kind() string {
	switch b := s.peek(); {
	case b == '{':
		return "an object"
	case b == '[':
		return "a list"
	case b == '"':
		return "the text " + s.word()
	case bytes.HasPrefix(s.src[s.pos:], []byte("null")):
		return "null"
	case b == 't' || b == 'f':
		return s.word()
	}
	return s.word()
}

// expect takes one mark or stops; due says in words what may stand there.
func (s *jsonSource) expect(mark byte, due string) {
	if s.peek() != mark {
		s.stop(s.pos, "%s where %s is due", s.word(), due)
	}
	s.pos++
}

// null takes a null if one is next.
func (s *jsonSource) null() bool {
	if s.peek() == 'n' {
		s.literal("null")
		return true
	}
	return false
}

func (s *jsonSource) literal(word string) {
	if len(s.src)-s.pos < len(word) || string(s.src[s.pos:s.pos+len(word)]) != word {
		s.stop(s.pos, "%s is no JSON value", s.word())
	}
	s.pos += len(word)
}

// text takes a string; a raw line end or a bad escape stops the reader.
func (s *jsonSource) text() string {
	start := s.pos
	s.pos++
	plain := true
	for {
		if s.pos >= len(s.src) {
			s.stop(start, "the text that begins here has no closing quote")
		}
		b := s.src[s.pos]
		if b == '"' {
			break
		}
		if b == '\\' {
			plain = false
			s.pos++
		} else if b < ' ' {
			s.stop(s.pos, "a text holds a raw control character (%#02x); write it as \\u%04x", b, b)
		}
		s.pos++
	}
	s.pos++
	raw := s.src[start:s.pos]
	if !utf8.Valid(raw) {
		s.stop(start, "the text %s is not UTF-8", strconv.Quote(string(raw[1:len(raw)-1])))
	}
	raw = raw[1 : len(raw)-1]
	if known, ok := s.seen[string(raw)]; ok && plain {
		return known
	}
	if !plain {
		var out string
		if err := json.Unmarshal(s.src[start:s.pos], &out); err != nil {
			s.stop(start, "the text %q has a bad escape", raw)
		}
		return out
	}
	out := string(raw)
	s.seen[out] = out
	return out
}

// numberEnd is the offset behind the number at pos.
func (s *jsonSource) numberEnd() int {
	end := s.pos
	for end < len(s.src) {
		switch b := s.src[end]; {
		case b >= '0' && b <= '9', b == '-', b == '+', b == '.', b == 'e', b == 'E':
			end++
		default:
			return end
		}
	}
	return end
}

// skip takes any value and makes nothing of it.
func (s *jsonSource) skip(depth int) {
	if depth > maxJSONDepth {
		s.stop(s.pos, "more than %d values inside each other", maxJSONDepth)
	}
	switch b := s.peek(); {
	case b == '{':
		s.members(func(string, int) { s.skip(depth + 1) })
	case b == '[':
		s.entries(func(int) { s.skip(depth + 1) })
	case b == '"':
		s.text()
	case b == 't':
		s.literal("true")
	case b == 'f':
		s.literal("false")
	case b == 'n':
		s.literal("null")
	default:
		end := s.numberEnd()
		if !json.Valid(s.src[s.pos:end]) {
			s.stop(s.pos, "%s is no JSON value", s.word())
		}
		s.pos = end
	}
}

// members takes an object and calls f at the value of each member.
func (s *jsonSource) members(f func(key string, keyPos int)) {
	s.expect('{', "an object")
	if s.peek() == '}' {
		s.pos++
		return
	}
	for {
		if s.peek() != '"' {
			s.stop(s.pos, "%s where a field name in quotes is due", s.word())
		}
		at := s.pos
		key := s.text()
		s.expect(':', fmt.Sprintf("a colon after the field name %q", key))
		f(key, at)
		if s.peek() == ',' {
			s.pos++
			continue
		}
		s.expect('}', `a comma or "}" in an object`)
		return
	}
}

// entries takes a list and calls f at each entry.
func (s *jsonSource) entries(f func(i int)) {
	s.expect('[', "a list")
	if s.peek() == ']' {
		s.pos++
		return
	}
	for i := 0; ; i++ {
		f(i)
		if s.peek() == ',' {
			s.pos++
			continue
		}
		s.expect(']', `a comma or "]" in a list`)
		return
	}
}

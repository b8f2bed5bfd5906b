// Package diag holds what is wrong with a shop's files, each mistake at its
// place, and renders all of them at once. It knows nothing of shops.
package diag

import (
	"fmt"
	"io"
	"sort"
	"strings"
)

// MaxPrinted is the number of problems that a List prints; the rest it counts.
const MaxPrinted = 20

// maxKept bounds the memory of a List when a hostile file is all mistakes.
const maxKept = 10_000

// Source is the text of one file, kept so that a problem can show its line.
type Source struct {
	Name  string // as shown to the person: shop.yaml, orders.csv
	lines []string
}

// NewSource splits data into lines. Line ends may be LF, CRLF or CR; a byte
// order mark is dropped. Memory O(len(data)).
func NewSource(name string, data []byte) *Source {
	text := strings.TrimPrefix(string(data), "\ufeff")
	text = strings.ReplaceAll(text, "\r\n", "\n")
	text = strings.ReplaceAll(text, "\r", "\n")
	return &Source{Name: name, lines: strings.Split(text, "\n")}
}

// Line returns the n-th line, counted from 1, or "" if there is none.
func (s *Source) Line(n int) string {
	if s == nil || n < 1 || n > len(s.lines) {
		return ""
	}
	return s.lines[n-1]
}

// At is the position at line and column, both counted from 1, columns in
// characters. Column 0 means the line as a whole, line 0 the file as a whole.
func (s *Source) At(line, col int) Pos { return Pos{Source: s, Line: line, Col: col} }

// AtCell is the position of a spreadsheet's cell, such as "Orders!C7".
func (s *Source) AtCell(cell string) Pos { return Pos{Source: s, Cell: cell} }

// Pos is a place in a file. The zero value is no place at all.
type Pos struct {
	Source    *Source
	Line, Col int    // from 1; 0 when not known
	Cell      string // a spreadsheet's cell instead of line and column
}

// String is the place as printed: file:line:col, as much of it as is known.
func (p Pos) String() string {
	name := ""
	if p.Source != nil {
		name = p.Source.Name
	}
	return place(Problem{File: name, Line: p.Line, Col: p.Col, Cell: p.Cell})
}

// Place is the position without the file's name, for a sentence that cites a
// second place: "line 14", "cell Orders!C7", or the file's name if that is all
// that is known.
func (p Pos) Place() string {
	switch {
	case p.Cell != "":
		return "cell " + p.Cell
	case p.Line > 0:
		return fmt.Sprintf("line %d", p.Line)
	case p.Source != nil:
		return p.Source.Name
	}
	return "the defaults"
}

// Problem makes a problem at the position. The message is lower case and says
// what was read; the hint, which may be empty, says what to do.
func (p Pos) Problem(message, hint string) Problem {
	pr := Problem{Line: p.Line, Col: p.Col, Cell: p.Cell, Message: message, Hint: hint}
	if p.Source != nil {
		pr.File = p.Source.Name
		pr.Source = p.Source.Line(p.Line)
	}
	return pr
}

// Problem is one mistake in one file.
type Problem struct {
	File      string
	Line, Col int    // from 1, columns in characters; 0 when not known
	Cell      string // a spreadsheet's cell, instead of Line and Col
	Source    string // text of the line, "" when there is none to show
	Message   string // what was read and what is wrong with it
	Hint      string // what to do, "" when the message says it
}

// Error renders the problem in full, so that a Problem is an error.
func (p Problem) Error() string {
	var b strings.Builder
	p.render(&b)
	return strings.TrimSuffix(b.String(), "\n")
}

// List collects problems. The zero value is empty and ready.
type List struct {
	problems []Problem
	dropped  int
}

// Add appends a problem.
func (l *List) Add(p Problem) {
	if len(l.problems) >= maxKept {
		l.dropped++
		return
	}
	l.problems = append(l.problems, p)
}

// At adds a problem at a position, its message made by format and args.
func (l *List) At(p Pos, hint, format string, args ...any) {
	l.Add(p.Problem(fmt.Sprintf(format, args...), hint))
}

// Append adds all problems of another list.
func (l *List) Append(other *List) {
	if other == nil {
		return
	}
	for _, p := range other.problems {
		l.Add(p)
	}
	l.dropped += other.dropped
}

// Len is the number of problems, those dropped for their number included.
func (l *List) Len() int { return len(l.problems) + l.dropped }

// Sorted returns a copy of the problems in the order of file, line and column;
// problems at one place stay in the order of their adding, exact repeats are
// given once.
func (l *List) Sorted() []Problem {
	out := append([]Problem(nil), l.problems...)
	sort.SliceStable(out, func(i, j int) bool {
		a, b := out[i], out[j]
		if a.File != b.File {
			return a.File < b.File
		}
		if a.Line != b.Line {
			return a.Line < b.Line
		}
		return a.Col < b.Col
	})
	kept := out[:0]
	for i, p := range out {
		if i == 0 || p != kept[len(kept)-1] {
			kept = append(kept, p)
		}
	}
	return kept
}

// Err returns the list as an error, or nil if it is empty.
func (l *List) Err() error {
	if l.Len() == 0 {
		return nil
	}
	return l
}

// Error renders the list as Render does.
func (l *List) Error() string {
	var b strings.Builder
	_ = l.Render(&b) // a strings.Builder cannot fail
	return strings.TrimSuffix(b.String(), "\n")
}

// Render writes the problems sorted, at most MaxPrinted of them, each with its
// source line, a caret and its hint, then how many more there are.
func (l *List) Render(w io.Writer) error {
	var b strings.Builder
	sorted := l.Sorted()
	for i, p := range sorted {
		if i == MaxPrinted {
			break
		}
		p.render(&b)
	}
	if more := len(sorted) + l.dropped - MaxPrinted; more > 0 {
		fmt.Fprintf(&b, "and %d more\n", more)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// place is the head of a rendered problem, without its last colon.
func place(p Problem) string {
	switch {
	case p.Cell != "":
		return p.File + ":" + p.Cell
	case p.Line <= 0:
		return p.File
	case p.Col <= 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Col)
}

func (p Problem) render(b *strings.Builder) {
	if head := place(p); head != "" {
		b.WriteString(Clean(head) + ": ")
	}
	b.WriteString(Clean(p.Message) + "\n")
	if p.Line > 0 && strings.TrimSpace(p.Source) != "" {
		text, col := window(p.Source, p.Col)
		fmt.Fprintf(b, "%6d | %s\n", p.Line, text)
		if p.Col > 0 {
			fmt.Fprintf(b, "%6s | %s^\n", "", strings.Repeat(" ", col-1))
		}
	}
	if p.Hint != "" {
		b.WriteString("  hint: " + Clean(p.Hint) + "\n")
	}
}

package diag

import (
	"fmt"
	"strings"
	"testing"
)

const shopText = "a: 1\r\nmolds:\r\n  casts: [bench-1, bench-2]\r\n"

func TestRenderShowsPlaceLineCaretAndHint(t *testing.T) {
	src := NewSource("shop.yaml", []byte("\ufeff"+shopText))
	var l List
	l.At(src.At(3, 20), "piece types are bench-1, bench-3", "mold %q can cast %q, which no piece type is called", "M7", "bench-2")
	want := `shop.yaml:3:20: mold "M7" can cast "bench-2", which no piece type is called
     3 |   casts: [bench-1, bench-2]
       |                    ^
  hint: piece types are bench-1, bench-3
`
	var b strings.Builder
	if err := l.Render(&b); err != nil || b.String() != want {
		t.Fatalf("got\n%s(%v)\nwant\n%s", b.String(), err, want)
	}
}

func TestRenderSortsAndCountsWhatItDoesNotPrint(t *testing.T) {
	src := NewSource("f", []byte(strings.Repeat("x\n", 40)))
	var l List
	for i := 30; i >= 1; i-- {
		l.At(src.At(i, 1), "", "m%d", i)
	}
	l.At(src.At(1, 1), "", "m1") // an exact repeat is given once
	got := l.Error()
	if !strings.HasPrefix(got, "f:1:1: m1\n") || !strings.HasSuffix(got, "and 10 more") {
		t.Fatalf("got %s", got)
	}
	if n := strings.Count(got, "f:"); n != MaxPrinted {
		t.Fatalf("printed %d", n)
	}
	if l.Err() == nil || (&List{}).Err() != nil {
		t.Fatal("Err must be nil for an empty list alone")
	}
}

func TestRenderOfPlacesWithoutLine(t *testing.T) {
	src := NewSource("orders.xlsx", nil)
	for _, c := range []struct {
		pos  Pos
		want string
	}{
		{src.AtCell("Orders!C7"), "orders.xlsx:Orders!C7: m"},
		{src.At(0, 0), "orders.xlsx: m"},
		{src.At(4, 0), "orders.xlsx:4: m"},
		{Pos{}, "m"},
	} {
		if got := c.pos.Problem("m", "").Error(); got != c.want {
			t.Errorf("got %q want %q", got, c.want)
		}
	}
}

func TestRenderCutsLongLinesAndControlCharacters(t *testing.T) {
	line := strings.Repeat("a", 300) + "X" + strings.Repeat("b", 300) + "\x1b[31m"
	src := NewSource("f", []byte(line))
	lines := strings.Split(src.At(1, 301).Problem("bad \x1b", "").Error(), "\n")
	if len(lines) != 3 || len(lines[1]) > 130 || strings.ContainsRune(strings.Join(lines, ""), '\x1b') {
		t.Fatalf("got %q", lines)
	}
	if c := strings.IndexByte(lines[2], '^'); lines[1][c] != 'X' {
		t.Fatalf("caret is under %q", lines[1][c])
	}
}

func TestNearest(t *testing.T) {
	known := []string{"panels", "panel-900", "bench-1", "bench-3", "demold", "pot life"}
	for _, c := range []struct{ word, want string }{
		{"bench_1", "bench-1"}, {"Bench-3", "bench-3"}, {"demodl", "demold"},
		{"pot_life", "pot life"}, {"bench-2", "bench-1"}, {"xyz", ""}, {"", ""}, {"b", ""},
		{strings.Repeat("z", 100), ""},
	} {
		if got, _ := Nearest(c.word, known); got != c.want {
			t.Errorf("Nearest(%q) = %q, want %q", c.word, got, c.want)
		}
	}
}

func TestWordsAndQuote(t *testing.T) {
	var many []string
	for i := range 15 {
		many = append(many, fmt.Sprint(i))
	}
	if got := Words(many); !strings.HasSuffix(got, "11 and 3 more") {
		t.Errorf("got %s", got)
	}
	if got := Quote(strings.Repeat("x", 100)); len(got) != maxQuoted+2 {
		t.Errorf("got %s", got)
	}
	if got := DidYouMean("demodl", "keys", []string{"cover", "demold"}); got != "did you mean demold? keys are cover, demold" {
		t.Errorf("got %s", got)
	}
}

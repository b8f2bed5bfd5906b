package report

import (
	"slices"
	"strings"
	"unicode"

	"github.com/olekukonko/tablewriter/pkg/twwidth"
	"golang.org/x/text/unicode/norm"

	"pourweek/model/diag"
)

// between is the space between two columns.
const between = 2

// leastFlex is the least width that a column is wrapped to.
const leastFlex = 6

// wide is the width of a text on a terminal, in columns. Letters of East Asian
// scripts count 2, those whose width is ambiguous count 1.
func wide(s string) int {
	return twwidth.WidthWithOptions(s, twwidth.Options{EastAsianWidth: false})
}

// clean makes a text of the shop's files safe for a terminal and, where that is
// asked for, plain ASCII: accents go, other letters become a question mark.
func clean(s string, ascii bool) string {
	s = diag.Clean(s)
	if !ascii {
		return s
	}
	var b strings.Builder
	for _, r := range norm.NFD.String(s) {
		switch {
		case r < unicode.MaxASCII:
			b.WriteRune(r)
		case !unicode.Is(unicode.Mn, r):
			b.WriteByte('?')
		}
	}
	return b.String()
}

// wrap cuts a text into lines of at most width, at spaces where it can.
func wrap(s string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		for wide(word) > width {
			head, tail := split(word, width)
			if line != "" {
				lines, line = append(lines, line), ""
			}
			lines, word = append(lines, head), tail
		}
		switch {
		case line == "":
			line = word
		case word == "":
		case wide(line)+1+wide(word) <= width:
			line += " " + word
		default:
			lines, line = append(lines, line), word
		}
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// split cuts a word after as many letters as fit a width, one at least; after a
// hyphen or slash in its later half if there is one.
func split(word string, width int) (head, tail string) {
	n, used := 0, 0
	for i, r := range word {
		w := wide(string(r))
		if n > 0 && used+w > width {
			break
		}
		used, n = used+w, i+len(string(r))
	}
	if cut := strings.LastIndexAny(word[:n], "-/_,"); cut >= n/2 {
		n = cut + 1
	}
	return word[:n], word[n:]
}

// layout chooses which columns of a table are shown at a width, and how wide
// each is. Extra columns go first, the last of them before the others; then
// columns give way.
// Before all that the cells take their short form. Extra columns without any
// value are never shown.
func layout(t *table, width int) (shown, widths []int) {
	for i, c := range t.columns {
		if !c.rows && !(c.extra && t.blank(i)) {
			shown = append(shown, i)
		}
	}
	natural := naturals(t)
	if sum(shown, natural) > width {
		for _, r := range t.rows {
			for i := range r {
				if r[i].short != "" {
					r[i].text = r[i].short
				}
			}
		}
		natural = naturals(t)
	}
	total := func() int { return sum(shown, natural) }
	least := func() int {
		n := between * (len(shown) - 1)
		for _, i := range shown {
			if t.columns[i].flex {
				n += min(natural[i], comfort(t.columns[i]))
			} else {
				n += natural[i]
			}
		}
		return n
	}
	for k := len(t.columns) - 1; k >= 0 && total() > width && least() > width; k-- {
		if t.columns[k].extra {
			shown = slices.DeleteFunc(shown, func(i int) bool { return i == k })
		}
	}
	narrow(t, shown, natural, width)
	for _, i := range shown {
		widths = append(widths, natural[i])
	}
	return shown, widths
}

// narrow takes from the widths of columns until a table fits, or nothing can
// give way: first the widest of the flexible ones, whose words are cut if need
// be, then the widest that can be broken between words, such as a moment into
// its day and its hour.
func narrow(t *table, shown, widths []int, width int) {
	words := t.words()
	widest := func(can func(i int) bool) int {
		w := -1
		for _, i := range shown {
			if can(i) && (w < 0 || widths[i] >= widths[w]) {
				w = i
			}
		}
		return w
	}
	for sum(shown, widths) > width {
		if i := widest(func(i int) bool { return t.columns[i].flex && widths[i] > leastFlex }); i >= 0 {
			widths[i]--
			continue
		}
		i := widest(func(i int) bool { return !t.columns[i].flex && widths[i] > words[i] })
		if i < 0 {
			return
		}
		widths[i]--
	}
}

// words are the widths of the longest words of the columns of a table.
func (t *table) words() []int {
	l := make([]int, len(t.columns))
	longest := func(i int, s string) {
		for _, word := range strings.Fields(s) {
			l[i] = max(l[i], wide(word))
		}
	}
	for i, c := range t.columns {
		longest(i, c.name)
		for _, r := range t.rows {
			longest(i, r[i].text)
		}
	}
	return l
}

// blank reports whether a column has no value.
func (t *table) blank(i int) bool {
	return !slices.ContainsFunc(t.rows, func(r []cell) bool { return r[i].text != "" })
}

// naturals are the widths that the columns of a table ask for.
func naturals(t *table) []int {
	l := make([]int, len(t.columns))
	for i, c := range t.columns {
		l[i] = wide(c.name)
		for _, r := range t.rows {
			l[i] = max(l[i], wide(r[i].text))
		}
	}
	return l
}

// sum is the width of a table that shows some of its columns.
func sum(shown, widths []int) int {
	n := between * (len(shown) - 1)
	for _, i := range shown {
		n += widths[i]
	}
	return n
}

// comfort is the width below which a flexible column reads badly.
func comfort(c column) int {
	if c.key == "why" {
		return 28
	}
	return 10
}

package diag

import (
	"fmt"
	"sort"
	"strings"
	"unicode"
)

// Limits on what is repeated from a file, so that one long line cannot flood
// the terminal.
const (
	maxQuoted = 60  // characters of a quoted value
	maxShown  = 100 // characters of a source line
	maxListed = 12  // words of a list of allowed values
)

// Quote puts a value that was read in double quotes, shortened if it is long,
// with control characters escaped.
func Quote(s string) string {
	r := []rune(s)
	if len(r) > maxQuoted {
		s = string(r[:maxQuoted-3]) + "..."
	}
	return fmt.Sprintf("%q", s)
}

// Words joins allowed values for a hint: "a, b, c", at most twelve and "and 5
// more". The order is kept.
func Words(words []string) string {
	if len(words) == 0 {
		return "none"
	}
	if len(words) <= maxListed {
		return strings.Join(words, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(words[:maxListed], ", "), len(words)-maxListed)
}

// Clean replaces control characters by a space, so that text from a file
// cannot steer a terminal.
func Clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' || unicode.Is(unicode.Cf, r) {
			return ' '
		}
		return r
	}, s)
}

// window cuts a long source line to maxShown characters around column col and
// returns the column's place in what is left. Trailing spaces go.
func window(line string, col int) (string, int) {
	r := []rune(Clean(line))
	if col > len(r)+1 {
		col = len(r) + 1
	}
	from, lead := 0, ""
	if len(r) > maxShown && col > maxShown-20 {
		from, lead = col-maxShown/2, "..."
	}
	to, tail := len(r), ""
	if to-from > maxShown {
		to, tail = from+maxShown, "..."
	}
	text := strings.TrimRightFunc(lead+string(r[from:to])+tail, unicode.IsSpace)
	return text, col - from + len(lead)
}

// Nearest returns the known word that is most likely meant by word: equal but
// for case and separators, or within a third of its letters by insertions,
// deletions, substitutions and swaps of neighbors (edit distance with adjacent
// transpositions). Ties go to the first in alphabetic order. Words of more than
// 64 characters are not compared. Cost O(known x len x len).
func Nearest(word string, known []string) (string, bool) {
	w := []rune(fold(word))
	if len(w) == 0 || len(w) > 64 {
		return "", false
	}
	sorted := append([]string(nil), known...)
	sort.Strings(sorted)
	best, dist := "", 1+max(1, len(w)/3)
	for _, k := range sorted {
		r := []rune(fold(k))
		if len(r) == 0 || len(r) > 64 || k == word {
			continue
		}
		if d := distance(w, r); d < dist && d < max(len(w), len(r)) {
			best, dist = k, d
		}
	}
	return best, best != ""
}

// DidYouMean is the hint for an unknown word: the nearest known word if there
// is one, and all known words.
func DidYouMean(word, what string, known []string) string {
	if len(known) == 0 {
		return fmt.Sprintf("no %s are given yet", what)
	}
	list := fmt.Sprintf("%s are %s", what, Words(known))
	if len(known) == 1 {
		list = fmt.Sprintf("there is only %s", known[0])
	}
	if near, ok := Nearest(word, known); ok {
		return fmt.Sprintf("did you mean %s? %s", near, list)
	}
	return list
}

// fold makes words equal that differ only in case and separators.
func fold(s string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case '_', ' ', '.':
			return '-'
		}
		return unicode.ToLower(r)
	}, s)
}

// distance is the optimal string alignment distance of a and b.
func distance(a, b []rune) int {
	prev2 := make([]int, len(b)+1)
	prev := make([]int, len(b)+1)
	cur := make([]int, len(b)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(a); i++ {
		cur[0] = i
		for j := 1; j <= len(b); j++ {
			sub := prev[j-1]
			if a[i-1] != b[j-1] {
				sub++
			}
			cur[j] = min(prev[j]+1, cur[j-1]+1, sub)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				cur[j] = min(cur[j], prev2[j-2]+1)
			}
		}
		prev2, prev, cur = prev, cur, prev2
	}
	return prev[len(b)]
}

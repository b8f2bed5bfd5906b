package report

import (
	"fmt"
	"slices"
	"strings"

	"pourweek/model"
)

// headLimit is the mass in grams for one pair of hands above which a lift is
// named: the load constant of the revised lifting equation of NIOSH
// (publication 94-110), 23 kg, which holds for the best of postures only.
const headLimit = 23_000

// handLimit is the mass in grams above which a lift by so many heads is named.
// People who lift together lift less than their sum: two of them 2/3 of it,
// three 1/2 (HSE, guidance on team handling). More get in each other's way, so
// that above what three lift it takes gear. Nobody lifts no more than one.
func handLimit(heads int) int64 {
	switch {
	case heads <= 1:
		return headLimit
	case heads == 2:
		return 2 * headLimit * 2 / 3
	}
	return 3 * headLimit / 2
}

// mostLifts bounds how many lifts a caution names.
const mostLifts = 6

// cautions gives the warnings of the trade that apply to what the week has
// people do.
func (b *builder) cautions(board *Board) []Caution {
	l := []Caution{}
	add := func(topic, format string, args ...any) {
		l = append(l, Caution{topic, fmt.Sprintf(format, args...)})
	}
	var dusty, strips []string
	mixes := false
	for i := range board.Work {
		w := &board.Work[i]
		switch {
		case w.Kind == Mixing:
			mixes = true
		case w.Kind == Strip && b.stripsNew(w):
			strips = append(strips, w.Pours[0])
		case (w.Kind == Finish || w.Kind == Coat) && b.dusty(w.Step) && !slices.Contains(dusty, w.Name):
			dusty = append(dusty, w.Name)
		}
	}
	if mixes || len(dusty) > 0 {
		what := dusty
		if mixes {
			what = append([]string{"weighing and mixing dry"}, dusty...)
		}
		add("silica dust", "%s can free respirable silica. Work wet, or shrouded and extracted; respirator by local rules (in the US: OSHA 29 CFR 1910.1053 in shops, 1926.1153 on sites).", upperFirst(list(what)))
	}
	if mixes {
		add("caustic slurry", "Wet mix burns skin and eyes, often before it hurts: waterproof gloves, eye protection, water at hand to rinse.")
	}
	if s := b.lifts(board); s != "" {
		add("lifting", "%s", s)
	}
	if len(strips) > 0 {
		add("early stripping", "The time a piece is \"not before\" is the curing time that the file gives, not a strength test. Test before the first piece is lifted, and after a cold night.")
	}
	if s := longHours(board); s != "" {
		add("long hours", "%s. Tired people are hurt; law and contract may ask for more rest.", s)
	}
	if len(l) > 0 {
		rule := Caution{"first of all", "Local codes, the plant's engineer and licensed practice come before anything printed here."}
		l = append([]Caution{rule}, l...)
	}
	return l
}

func (b *builder) stripsNew(w *Work) bool {
	return b.pours[w.Pours[0]].Stage != model.Racked
}

// dustWords make a step dusty whose label says nothing.
var dustWords = []string{"grind", "sand", "polish", "hone", "cut", "saw", "drill"}

func (b *builder) dusty(step string) bool {
	if l, ok := b.w.Labels.Steps[step]; ok {
		return l.Dust
	}
	return slices.ContainsFunc(dustWords, func(w string) bool { return strings.Contains(strings.ToLower(step), w) })
}

// lifts names the strips that are above the limit of the heads that are planned
// for them, those without a crew too, once for each piece type.
func (b *builder) lifts(board *Board) string {
	var l []string
	seen := map[string]bool{}
	n := 0
	for i := range board.Work {
		w := &board.Work[i]
		if w.Kind != Strip || w.Grams <= handLimit(w.Heads) || seen[w.Piece] {
			continue
		}
		seen[w.Piece] = true
		if n++; n <= mostLifts {
			by := "on " + heads(w.Heads)
			if w.Heads == 0 {
				by = "with " + heads(0)
			}
			l = append(l, fmt.Sprintf("%s %s %s", w.Piece, b.mass(w.Grams), by))
		}
	}
	if n == 0 {
		return ""
	}
	if n > mostLifts {
		l = append(l, fmt.Sprintf("%d more", n-mostLifts))
	}
	return fmt.Sprintf("Too much for hands: %s. At most %s for 1 head (NIOSH 94-110), %s for 2 and %s for 3 or more (HSE, team handling), less with a bad reach or grip. Use hoist or cart; more hands do only up to there.",
		list(l), b.limit(handLimit(1)), b.limit(handLimit(2)), b.limit(handLimit(3)))
}

func heads(n int) string {
	switch n {
	case 0:
		return "no crew"
	case 1:
		return "1 head"
	}
	return fmt.Sprintf("%d heads", n)
}

// longHours names the days that are flagged.
func longHours(board *Board) string {
	var l []string
	n := 0
	for i := range board.People {
		p := &board.People[i]
		for _, d := range p.Days {
			if d.Long == "" {
				continue
			}
			if n++; n <= mostLifts {
				l = append(l, fmt.Sprintf("%s %s (%s)", p.ID, board.shortDay(d.Date), d.Long))
			}
		}
	}
	if n > mostLifts {
		l = append(l, fmt.Sprintf("%d more", n-mostLifts))
	}
	return strings.Join(l, ", ")
}

// list joins words: a, b and c.
func list(words []string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

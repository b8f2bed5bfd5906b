package report

import (
	"strings"
	"testing"

	"pourweek/model"
)

// The limits are those of the trade: 23 kg for one head, 30 to 33 for two, 34
// to 37 for three, above that gear (shared notes on the trade, section 4).
func TestLiftsAreNamedByTheirHeads(t *testing.T) {
	for _, c := range []struct {
		heads int
		grams int64
		named bool
	}{
		{0, 0, false}, // no weight is known
		{0, 23_000, false},
		{0, 23_001, true},
		{0, 181_437, true}, // 400 lb, and nobody is to lift it
		{1, 23_000, false},
		{1, 23_001, true},
		{2, 30_000, false},
		{2, 33_001, true},
		{2, 45_359, true}, // 100 lb: 23 kg a head do not hold for two
		{3, 34_000, false},
		{3, 37_001, true},
		{4, 34_000, false},
		{4, 37_001, true},
		{6, 60_000, true},
	} {
		for _, currency := range []string{"USD", "EUR"} {
			b := &builder{w: &model.Week{Currency: currency}}
			s := b.lifts(&Board{Work: []Work{{Kind: Strip, Piece: "planter", Grams: c.grams, Heads: c.heads}}})
			if got := s != ""; got != c.named {
				t.Errorf("%d g on %d heads: the caution is %q", c.grams, c.heads, s)
			}
			by := "on " + heads(c.heads)
			if c.heads == 0 {
				by = "with no crew"
			}
			if c.named && !strings.Contains(s, "planter "+b.mass(c.grams)+" "+by) {
				t.Errorf("%d g on %d heads are named as %q", c.grams, c.heads, s)
			}
		}
	}
}

// A limit that is rounded up would be passed.
func TestLimitsAreRoundedDown(t *testing.T) {
	for currency, want := range map[string]string{
		"USD": "At most 50 lb for 1 head (NIOSH 94-110), 67 lb for 2 and 76 lb for 3 or more",
		"EUR": "At most 23.0 kg for 1 head (NIOSH 94-110), 30.6 kg for 2 and 34.5 kg for 3 or more",
	} {
		b := &builder{w: &model.Week{Currency: currency}}
		s := b.lifts(&Board{Work: []Work{{Kind: Strip, Piece: "slab", Grams: 90_000, Heads: 2}}})
		if !strings.Contains(s, want) {
			t.Errorf("%s: %q does not say %q", currency, s, want)
		}
	}
}

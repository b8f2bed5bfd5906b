package report

import (
	"strings"
	"testing"

	"pourweek/model"
)

// What is said to be proven stays true as it is rounded: no bound is printed
// above the proven one, no gap below the real one.
func TestProvenIsRoundedToTheSafeSide(t *testing.T) {
	for _, c := range []struct {
		cost, bound model.Mils
		want        string
	}{
		{1_008_516, 235_089, "less than 235.08 USD; this one is at most 76.7 % of"}, // 76.69
		{1_000_000, 999_999, "less than 999.99 USD; this one is at most 0.1 % of"},
		{1_000_000, 999_600, "less than 999.60 USD; this one is at most 0.1 % of"}, // 0.04
		{1_000_000, 900_000, "less than 900.00 USD; this one is at most 10.0 % of"},
		{1_000_000, 1_000_000, "no allowed plan costs less"},
		{1_000_000, 0, "nothing yet"},
	} {
		b := &Board{Currency: "USD", Summary: Summary{Cost: c.cost, Bound: c.bound}}
		if got := b.proof(); !strings.Contains(got, c.want) {
			t.Errorf("cost %d, bound %d: %q lacks %q", c.cost, c.bound, got, c.want)
		}
	}
}

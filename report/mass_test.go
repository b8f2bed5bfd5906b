package report

import (
	"strconv"
	"testing"
)

func TestBatchesAreRoundedUp(t *testing.T) {
	for _, c := range []struct {
		grams    int64
		currency string
		want     string
	}{
		{338, "USD", "0.8 lb"},     // 0.745 lb
		{1_328, "USD", "3.0 lb"},   // 2.928 lb
		{18_325, "USD", "40.4 lb"}, // 40.3997 lb
		{18_330, "USD", "40.5 lb"}, // 40.411 lb
		{18_144, "USD", "40.0 lb"}, // 40 lb to the gram
		{45_360, "USD", "100 lb"},
		{45_340, "USD", "100 lb"}, // 99.96 lb
		{45_400, "USD", "101 lb"}, // 100.09 lb
		{338, "EUR", "0.4 kg"},
		{40_000, "EUR", "40.0 kg"},
		{40_001, "EUR", "40.1 kg"},
	} {
		if got := batchMass(c.grams, c.currency); got != c.want {
			t.Errorf("%d g are printed as %s, want %s", c.grams, got, c.want)
		}
	}
}

// Who mixes what is printed has what the batch needs, and not much more.
func TestPrintedBatchesAreEnough(t *testing.T) {
	for g := int64(0); g < 60_000; g += 7 {
		for currency, unit := range map[string]float64{"USD": gramsPerPound, "EUR": 1000} {
			n, _ := batchMassIn(g, currency)
			x, err := strconv.ParseFloat(n, 64)
			if err != nil {
				t.Fatal(err)
			}
			if over := x*unit - float64(g); over < -1.001 || over > unit {
				t.Fatalf("%d g are printed as %s (%s), %.1f g from it", g, n, currency, over)
			}
		}
	}
}

package search

import (
	"math"
	"testing"
)

func TestLogarithmAndPower(t *testing.T) {
	r := rng{7}
	for range 20000 {
		x := math.Ldexp(r.f()+1e-9, int(r.n(80))-40)
		if d := math.Abs(ln(x) - math.Log(x)); d > 1e-13*max(1, math.Abs(math.Log(x))) {
			t.Fatalf("ln(%g) = %g, off by %g", x, ln(x), d)
		}
		y := 60 * (r.f() - 0.5)
		if d := math.Abs(exp(y)/math.Exp(y) - 1); d > 1e-13 {
			t.Fatalf("exp(%g) = %g, off by %g of it", y, exp(y), d)
		}
	}
}

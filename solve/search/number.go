package search

import "math"

// The same plan on any machine asks for the same numbers on any machine. The
// logarithm and power of the standard library differ in the last digit between
// processors, and products may be fused into sums; each product below is
// therefore rounded by itself.

// ln is the natural logarithm of x > 0, to about 1e-15.
func ln(x float64) float64 {
	f, e := math.Frexp(x)
	if f < math.Sqrt2/2 {
		f, e = 2*f, e-1
	}
	s := (f - 1) / (f + 1)
	z := float64(s * s)
	sum := 0.0
	for k := 25; k >= 1; k -= 2 { // s + s^3/3 + s^5/5 ...
		sum = float64(sum*z) + 1/float64(k)
	}
	return float64(float64(e)*math.Ln2) + float64(2*s*sum)
}

// exp is e to the power x, |x| < 700, to about 1e-15 of it.
func exp(x float64) float64 {
	k := math.Floor(x/math.Ln2 + 0.5)
	r := x - float64(k*math.Ln2)
	sum := 1.0
	for n := 18.0; n >= 1; n-- {
		sum = 1 + float64(sum*r)/n
	}
	return math.Ldexp(sum, int(k))
}

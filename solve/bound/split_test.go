package bound

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// Whatever a plan does with pours that are alike, one side of a cut of them
// allows it, with the pours numbered as it pleases. starts holds the starts of
// the pours that are planned; all of n pours may be left out.
func TestCutsLoseNoPlan(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	both := 0
	for range 20000 {
		n := int64(1 + r.IntN(4))
		// A case as splitting makes them: windows of different lengths.
		parts := []part{{in: 0, n: 2, hi: 9}, {in: 1, n: n, lo: int32(r.IntN(4)), hi: int32(6 + r.IntN(4))}}
		if r.IntN(2) == 0 {
			parts = append(parts, part{in: 1, n: int64(1 + r.IntN(2)), lo: 2, hi: 5})
		}
		var plan []int32
		for _, p := range parts[1:] {
			for range p.n {
				if r.IntN(5) > 0 {
					plan = append(plan, p.lo+r.Int32N(p.hi-p.lo))
				}
			}
		}
		x := parts[1]
		if x.hi-x.lo < 2 {
			continue
		}
		c := cut{part: 1, at: x.lo + 1 + r.Int32N(x.hi-x.lo-1), m: 1 + r.Int64N(n)}
		sides := c.split(parts)
		a, b := allows(sides[0], plan), allows(sides[1], plan)
		if !a && !b {
			t.Fatalf("parts %v, cut %+v: no side allows a plan with the starts %v", parts, c, plan)
		}
		if a && b {
			both++
		}
		for s, side := range sides {
			of := map[int]int64{}
			for _, y := range side {
				of[y.of] += y.n
			}
			for i, y := range parts {
				if of[i] != y.n {
					t.Fatalf("parts %v, cut %+v: side %d has %d pours of part %d", parts, c, s, of[i], i)
				}
			}
		}
	}
	if both == 20000 {
		t.Error("no cut cuts anything off")
	}
}

// allows reports whether the starts can be told off to pours of group 1, each
// within its window.
func allows(parts []part, starts []int32) bool {
	var free []part
	for _, p := range parts {
		if p.in == 1 {
			free = append(free, slices.Repeat([]part{{lo: p.lo, hi: p.hi}}, int(p.n))...)
		}
	}
	var put func(k int) bool
	put = func(k int) bool {
		if k == len(starts) {
			return true
		}
		for i, p := range free {
			if p.lo <= starts[k] && starts[k] < p.hi {
				free[i].hi = free[i].lo
				if put(k + 1) {
					return true
				}
				free[i] = p
			}
		}
		return false
	}
	return put(0)
}

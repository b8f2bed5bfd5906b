package model

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// Sets of ticks against sets of single ticks.
func TestIntervalSets(t *testing.T) {
	gen := rapid.Custom(func(rt *rapid.T) []Interval {
		return rapid.SliceOfN(rapid.Custom(func(rt *rapid.T) Interval {
			from := rapid.IntRange(0, 30).Draw(rt, "from")
			return Interval{Tick(from), Tick(from + rapid.IntRange(-1, 8).Draw(rt, "len"))}
		}), 0, 6).Draw(rt, "set")
	})
	ticks := func(in []Interval) map[Tick]bool {
		m := map[Tick]bool{}
		for _, i := range in {
			for k := i[0]; k < i[1]; k++ {
				m[k] = true
			}
		}
		return m
	}
	rapid.Check(t, func(rt *rapid.T) {
		ra, rb := gen.Draw(rt, "a"), gen.Draw(rt, "b")
		a, b := Union(ra), Union(rb)
		ma, mb := ticks(ra), ticks(rb)
		both, minus := map[Tick]bool{}, map[Tick]bool{}
		for k := range ma {
			if mb[k] {
				both[k] = true
			} else {
				minus[k] = true
			}
		}
		for _, c := range []struct {
			name string
			got  []Interval
			want map[Tick]bool
		}{{"union", a, ma}, {"intersect", Intersect(a, b), both}, {"subtract", Subtract(a, b), minus}} {
			if d := cmp.Diff(c.want, ticks(c.got)); d != "" {
				rt.Fatalf("%s of %v and %v is %v: %s", c.name, a, b, c.got, d)
			}
			for i, x := range c.got {
				if x.Len() <= 0 || i > 0 && c.name == "union" && x[0] <= c.got[i-1][1] {
					rt.Fatalf("%s is %v", c.name, c.got)
				}
			}
		}
		if n := TicksIn(a, 5, 17); int(n) != countIn(ma, 5, 17) {
			rt.Fatalf("within [5, 17) of %v is %d", a, n)
		}
	})
}

func countIn(m map[Tick]bool, from, to Tick) int {
	n := 0
	for k := range m {
		if k >= from && k < to {
			n++
		}
	}
	return n
}

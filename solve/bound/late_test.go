package bound

import (
	"context"
	"testing"
	"time"

	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/solve/inst"
)

// A run whose time is over before it begins, or in the middle of a round, ends
// by itself, and its bound is none the less proven.
func TestARunThatBeginsAtItsEndStaysSound(t *testing.T) {
	told := 0
	for seed := uint64(1); seed <= 25; seed++ {
		p := modeltest.Toy(seed)
		plan, cost, ok := oracle.Best(p)
		if !ok || plan == nil {
			continue
		}
		in, err := inst.Compile(p)
		if err != nil {
			t.Fatal(err)
		}
		for _, shares := range [][]float64{{0}, {1, 0}, {1, 0.5, 0, 0, 0}} {
			calls := 0
			left := func() float64 {
				calls++
				return shares[min(calls, len(shares))-1]
			}
			ctx, cancel := context.WithTimeout(context.Background(), 50*time.Millisecond)
			r := Run(ctx, in, Options{Left: left, Passes: 300})
			cancel()
			if told++; r.Bound > cost {
				t.Errorf("seed %d, shares %v: bound %d above the optimum %d", seed, shares, r.Bound, cost)
			}
		}
	}
	if told == 0 {
		t.Fatal("nothing was told")
	}
}

package bound_test

import (
	"context"
	"slices"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/solve/bound"
)

// The same instance and passes give the same bounds in the same order, rising.
func TestSamePassesSameBounds(t *testing.T) {
	for seed := range uint64(5) {
		p := modeltest.Toy(seed)
		run := func() (list []model.Mils, r bound.Result) {
			r = bound.Run(context.Background(), compile(t, p), bound.Options{Passes: 80, Report: func(b model.Mils, s string) {
				if s == "" {
					t.Errorf("toy %d: bound %d without a source", seed, b)
				}
				list = append(list, b)
			}})
			return list, r
		}
		a, ra := run()
		b, rb := run()
		if !slices.Equal(a, b) || ra.Bound != rb.Bound || ra.Passes != rb.Passes {
			t.Errorf("toy %d: bounds %v and then %v", seed, a, b)
		}
		if !slices.IsSorted(a) || len(a) > 0 && a[len(a)-1] != ra.Bound {
			t.Errorf("toy %d: reports %v do not rise to the result %d", seed, a, ra.Bound)
		}
	}
}

// A run stops at once when its context has ended, and when its bound reaches
// the best known cost.
func TestStops(t *testing.T) {
	p := modeltest.Toy(1)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if r := bound.Run(ctx, compile(t, p), bound.Options{}); r.Passes != 0 {
		t.Errorf("%d passes after the context ended", r.Passes)
	}
	full := bound.Run(context.Background(), compile(t, p), bound.Options{Passes: 200})
	if full.Bound <= 1 {
		t.Fatalf("toy 1 has the bound %d; the test needs one above 1", full.Bound)
	}
	r := bound.Run(context.Background(), compile(t, p), bound.Options{Passes: 200, Upper: func() model.Mils { return 1 }})
	if r.Passes >= full.Passes {
		t.Errorf("%d passes although the bound had reached the cost", r.Passes)
	}
}

// More of a resource never lets a plan cost more, so a bound for the richer
// shop holds for the poorer one as well. (A bound of the poorer one may be below.)
func TestBoundOfRicherShopHolds(t *testing.T) {
	dir := shared(t)
	for _, k := range knownWeeks(t, dir) {
		if !k.optimal {
			continue
		}
		in := loadWeek(t, dir, k.week)
		for i := range in.P.Stations {
			in.P.Stations[i].Places++
		}
		r := bound.Run(context.Background(), compile(t, in.P), bound.Options{Passes: 40})
		if r.Bound > k.cost {
			t.Errorf("%s with more places: bound %d above the optimum %d of the week itself", k.week, r.Bound, k.cost)
		}
	}
}

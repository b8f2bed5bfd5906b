package bound_test

import (
	"context"
	"os"
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/solve/bound"
)

// Pins that cannot be kept are proven so, and named where one alone cannot.
func TestPinsThatCannotBeKeptAreProvenImpossible(t *testing.T) {
	pinned := func(start ...model.Tick) *model.Problem {
		p := plainShop(24, plainMix("A", 1, 4))
		for _, s := range start {
			addPour(p, 100000, coat{1, 0, "A", 1000}).Pin = &model.Spot{Mold: "m1", Start: s}
		}
		return p
	}
	down := pinned(10)
	down.Molds[0].Down = []model.Interval{{0, 72}}
	tests := []struct {
		name, want string
		p          *model.Problem
	}{
		{"mold down", `pour "q0" cannot be cast where it is pinned`, down},
		{"two at once", "cannot all be done", pinned(10, 10)},
		{"both can be kept", "", pinned(10, 15)},
	}
	for _, x := range tests {
		if is := x.p.Validate(); len(is) > 0 {
			t.Fatalf("%s: %v", x.name, is)
		}
		plan, _, ok := oracle.Best(x.p)
		if !ok || (plan == nil) != (x.want != "") {
			t.Fatalf("%s: the oracle has a plan: %v", x.name, plan != nil)
		}
		r := bound.Run(context.Background(), compile(t, x.p), bound.Options{Passes: 3000})
		if !strings.Contains(r.Impossible, x.want) || x.want == "" && r.Impossible != "" {
			t.Errorf("%s: told %q, bound %d; want %q", x.name, r.Impossible, r.Bound, x.want)
		}
	}
}

// No toy that has a plan is called impossible, pinned or not.
func TestNoPlanIsCalledImpossible(t *testing.T) {
	n := uint64(60)
	if os.Getenv("POURWEEK_LONG") != "" {
		n = 2000
	}
	told, plans := 0, 0
	for seed := range n {
		p := modeltest.Odd(seed)
		for i := range p.Pours {
			if q := &p.Pours[i]; q.Stage == model.New {
				q.Pin = &model.Spot{Mold: q.Molds[0].Mold, Start: p.Open[int(seed)%len(p.Open)].From()}
				q.Base = nil
				p.Now = min(p.Now, q.Pin.Start)
				break
			}
		}
		if len(p.Validate()) > 0 {
			continue
		}
		plan, _, ok := oracle.Best(p)
		if !ok {
			continue
		}
		r := bound.Run(context.Background(), compile(t, p), bound.Options{Passes: 300})
		if plan != nil {
			plans++
		}
		if r.Impossible != "" {
			told++
			if plan != nil {
				t.Errorf("odd toy %d: called impossible: %s", seed, r.Impossible)
			}
		}
	}
	if told == 0 || plans == 0 {
		t.Errorf("%d called impossible, %d with a plan; the test needs both", told, plans)
	}
	t.Logf("%d called impossible, %d with a plan", told, plans)
}

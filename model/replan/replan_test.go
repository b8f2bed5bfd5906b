package replan

import (
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
)

// A published plan can always be gone on with: at every hour of it, the week
// laid out from there has an allowed plan. The toys are answered exhaustively.
func TestEveryMomentOfAPlanCanBeGoneOnWith(t *testing.T) {
	seeds, moments := uint64(60), 0
	if testing.Short() {
		seeds = 10
	}
	for seed := uint64(1); seed <= seeds; seed++ {
		p := modeltest.Toy(seed)
		plan, _, ok := oracle.Best(p)
		if !ok || plan == nil {
			continue
		}
		last := model.Tick(0)
		for _, x := range plan.Pours {
			last = max(last, x.Ready)
		}
		for now := p.Now + 1; now < last && now < p.PourUntil; now += 3 {
			q, notes, err := Advance(Fresh(p, now), p, plan, Facts{})
			if err != nil {
				t.Fatal(err)
			}
			if len(q.Pours) == 0 {
				continue
			}
			if is := q.Validate(); len(is) > 0 {
				t.Fatalf("seed %d at %d: %v", seed, now, is)
			}
			next, _, ok := oracle.Best(q)
			if !ok {
				continue // too big to answer exhaustively
			}
			moments++
			if next == nil {
				t.Errorf("seed %d: the week from tick %d on has no plan (%v)", seed, now, notes)
			}
		}
	}
	if moments == 0 {
		t.Fatal("no moment was tried")
	}
	t.Logf("%d moments", moments)
}

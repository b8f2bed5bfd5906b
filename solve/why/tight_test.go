package why

import (
	"testing"

	"pourweek/model/modeltest"
	"pourweek/model/oracle"
)

func TestTightCountsWithinWhatThereIs(t *testing.T) {
	waited := 0
	for seed := uint64(1); seed <= 30; seed++ {
		p := modeltest.Toy(seed)
		plan, _, ok := oracle.Best(p)
		if !ok || plan == nil || len(plan.Pours) == 0 {
			continue
		}
		used := 0
		for _, l := range Tight(p, plan) {
			if l.Used < 0 || l.Used > l.Of || l.Waited < 0 {
				t.Errorf("seed %d: %+v", seed, l)
			}
			if l.Used > 0 {
				used++
			}
			if l.Waited > 0 {
				waited++
			}
		}
		if used == 0 {
			t.Errorf("seed %d: a plan with pours uses nothing", seed)
		}
	}
	if waited == 0 {
		t.Error("nothing was ever waited for")
	}
}

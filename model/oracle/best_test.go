package oracle

import (
	"os"
	"testing"

	"pourweek/model/modeltest"
)

// TestBestPlansAreAllowed holds the oracle's plans against the judge.
func TestBestPlansAreAllowed(t *testing.T) {
	n := uint64(80)
	if os.Getenv("POURWEEK_LONG") != "" {
		n = 3000
	}
	none, big := 0, 0
	for seed := range n {
		p := modeltest.Toy(seed)
		plan, cost, ok := Best(p)
		switch {
		case !ok:
			big++
		case plan == nil:
			none++
		default:
			got, broken := Judge(p, plan)
			if broken != "" || got != cost || plan.Cost != cost || !Allowed(p, plan) {
				t.Errorf("toy %d: cost %d judged %d %q", seed, cost, got, broken)
			}
		}
	}
	t.Logf("%d toys, %d without a plan, %d too big", n, none, big)
	if big*10 > int(n) || none*3 > int(n) {
		t.Errorf("too few toys answered")
	}
}

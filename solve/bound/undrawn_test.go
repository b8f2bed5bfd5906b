package bound

import (
	"context"
	"testing"

	"pourweek/model/modeltest"
	"pourweek/solve/inst"
	"pourweek/solve/search"
)

// In this week layer 2 of a pour has no draw, and the draws of layers 1 and 3
// need batches of their own.
func TestALayerWithoutADrawMayLieBetweenBatches(t *testing.T) {
	in, err := inst.Compile(modeltest.Random(25_418, modeltest.Options{}))
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for i := range in.Pours {
		p := &in.Pours[i]
		g := &group{pour: p}
		for j := 1; j+1 < len(p.Layers); j++ {
			found = found || !g.drawn(j) && g.drawn(j-1) && g.drawn(j+1)
		}
	}
	if !found {
		t.Fatal("the week has no such layer any more")
	}
	r, err := search.Run(context.Background(), in, search.Options{Seed: 1, Work: 2000, Workers: 1})
	if err != nil || r.Plan == nil {
		t.Fatalf("no plan: %v %s", err, r.Reason)
	}
	if b := Run(context.Background(), in, Options{Passes: 400}); b.Bound > r.Cost || b.Bound <= 0 {
		t.Errorf("a bound of %d, and a plan of %d", b.Bound, r.Cost)
	}
}

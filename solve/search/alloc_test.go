package search

import (
	"context"
	"testing"
	"time"

	"pourweek/model/modeltest"
	"pourweek/solve/inst"
)

// A step of ruin and recreate takes no memory of its own: what it needs was laid
// out by newWorker or has grown to its size in earlier steps. A few may grow a
// list still.
func TestAStepAllocatesNearlyNothing(t *testing.T) {
	const steps = 1000
	for seed := uint64(1); seed <= 3; seed++ {
		p := modeltest.Random(seed, modeltest.Options{MinPours: 25, MaxPours: 35})
		in, err := inst.Compile(p)
		if err != nil {
			t.Fatal(err)
		}
		q, err := newProb(in)
		if err != nil {
			t.Fatal(err)
		}
		w := newWorker(q, 1)
		w.start(&clock{ctx: context.Background(), begin: time.Now(), o: Options{Work: 1000}, share: 1000})
		run := func() {
			for range steps {
				w.step(w.heat)
			}
		}
		w.heat = float64(w.best.cost) / 100
		for range 3 { // warm up, hot
			run()
		}
		kept := w.work
		n := testing.AllocsPerRun(2, run) // it runs once more before it counts
		t.Logf("seed %d: %d pours, %.0f allocations in %d steps, %d insertions", seed, len(p.Pours), n, steps, (w.work-kept)/3)
		if n > steps/50 {
			t.Errorf("seed %d: %.0f allocations in %d steps", seed, n, steps)
		}
		if w.work-kept < steps {
			t.Errorf("seed %d: the steps did nothing", seed)
		}
	}
}

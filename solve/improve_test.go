package solve

import (
	"testing"
	"time"

	"pourweek/model/modeltest"
	"pourweek/solve/inst"
)

// Improving takes nothing of runs that are too short for it or of weeks that are too
// big, the more of others the longer they are, and at most a quarter.
func TestImproveShare(t *testing.T) {
	small, err := inst.Compile(modeltest.Random(4, modeltest.Options{MinPours: 10, MaxPours: 10}))
	if err != nil {
		t.Fatal(err)
	}
	big, err := inst.Compile(modeltest.Plant(1, 100))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		in   *inst.Inst
		o    Options
		want float64
	}{
		{small, Options{Work: 1000}, 0},
		{small, Options{Work: 200_000}, 0.125},
		{small, Options{Work: 4_000_000}, 0.25},
		{small, Options{Time: 10 * time.Millisecond}, 0},
		{small, Options{Time: time.Second}, 0.125},
		{small, Options{Time: time.Minute}, 0.25},
		{big, Options{Work: 4_000_000}, 0},
		{big, Options{Time: time.Minute}, 0},
	} {
		if got := improveShare(c.in, c.o); got != c.want {
			t.Errorf("%d pours, work %d, time %v: %.4f, want %.4f", len(c.in.Pours), c.o.Work, c.o.Time, got, c.want)
		}
	}
}

// Work that is done while plans are improved counts, and shows.
func TestImprovingIsShown(t *testing.T) {
	p := modeltest.Random(4, modeltest.Options{MinPours: 8, MaxPours: 8})
	calls := 0
	r := mustSolve(t, p, Options{Seed: 1, Work: 100_000, Progress: func(Progress) { calls++ }})
	tried := int64(0)
	for _, s := range r.Stats {
		if s.Name == "corridor" {
			tried = s.Tried
		}
	}
	if tried == 0 || int64(calls) < tried {
		t.Errorf("%d sweeps through corridors, and progress was shown %d times", tried, calls)
	}
	if r.Work < 100_000 {
		t.Errorf("%d units of work, of 100000", r.Work)
	}
}

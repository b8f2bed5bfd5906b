package search

import (
	"math"
	"testing"

	"pourweek/solve/inst"
)

// A run is laid out by its work for each pour: none, three or more cycles, of
// which the starts are hot at their beginning and cold at their end.
func TestLongRunsAreLaidOutInCycles(t *testing.T) {
	q := &prob{pours: make([]pour, 10), Inst: &inst.Inst{}, heat: 1}
	for _, x := range []struct {
		work   int64 // by pour
		starts int
		cycles int
	}{{1000, 0, 0}, {2000, 0, 0}, {2001, 1, 3}, {39_000, 1, 3}, {40_000, 2, 4}, {80_000, 4, 6}, {1_000_000, 6, 8}} {
		c := &clock{share: 10 * x.work}
		c.plan(q)
		if c.starts != x.starts || len(c.cycles) != x.cycles {
			t.Errorf("%d a pour: %d starts in %d cycles, want %d in %d", x.work, c.starts, len(c.cycles), x.starts, x.cycles)
			continue
		}
		if c.starts == 0 {
			continue
		}
		w := &worker{q: q}
		for k, at := range c.cycles {
			end := rounds
			if k+1 < len(c.cycles) {
				end = c.cycles[k+1]
			}
			if at >= end {
				t.Errorf("%d a pour: cycle %d is empty: %v", x.work, k, c.cycles)
			}
			begin, last := float64(at)/rounds, float64(end)/rounds-1e-9
			if n, d := c.cycle(begin); n != k || d != 0 {
				t.Errorf("%d a pour: cycle %d begins as %d with %g done", x.work, k, n, d)
			}
			if h := c.heatAt(w, begin); k < c.starts && math.Abs(h-10000) > 1 {
				t.Errorf("%d a pour: start %d begins at %g mils", x.work, k, h)
			}
			if h := c.heatAt(w, last); math.Abs(h-150) > 1 {
				t.Errorf("%d a pour: cycle %d ends at %g mils", x.work, k, h)
			}
		}
	}
}

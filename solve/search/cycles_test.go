package search

import (
	"math"
	"testing"
	"time"

	"pourweek/solve/inst"
)

// A run is laid out by its work for each pour: with a race, or in cycles, of
// which the starts are hot at their beginning and cold at their end.
func TestLongRunsAreLaidOutInCycles(t *testing.T) {
	q := &prob{pours: make([]pour, 10), Inst: &inst.Inst{}, heat: 1}
	for _, x := range []struct {
		work   int64 // by pour
		starts int
		cycles int
		racing bool
	}{{1000, 0, 0, false}, {1001, 0, 0, true}, {8000, 0, 0, true}, {8001, 2, 4, false}, {12_001, 3, 5, false},
		{16_000, 4, 6, false}, {1_000_000, 6, 8, false}} {
		c := &clock{share: 10 * x.work}
		c.plan(q, c.guess())
		if c.starts != x.starts || len(c.cycles) != x.cycles || c.racing != x.racing {
			t.Errorf("%d a pour: %d starts in %d cycles, racing %v, want %d in %d, %v",
				x.work, c.starts, len(c.cycles), c.racing, x.starts, x.cycles, x.racing)
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

// A timed run is laid out by what its workers turn out to do, however fast the
// machine was thought to be.
func TestTimedRunsAreLaidOutByWhatIsDone(t *testing.T) {
	q := &prob{pours: make([]pour, 10), Inst: &inst.Inst{}, heat: 1}
	for _, x := range []struct {
		work   int64 // by pour, if all of the run is like its first 24th
		racing bool
		starts int
	}{{4000, true, 0}, {100, false, 0}, {100_000, false, 6}} {
		// Minutes, so that it does not matter when the test runs.
		c := &clock{ctx: t.Context(), o: Options{Time: 24 * time.Minute}, begin: time.Now().Add(-time.Minute)}
		c.plan(q, c.guess())
		c.pace([]*worker{{q: q, work: 10 * x.work / 24}, {q: q, work: 10 * x.work / 24}})
		if c.racing != x.racing || c.starts != x.starts || c.apart != (x.starts > 0) {
			t.Errorf("%d a pour: racing %v, %d starts, apart %v", x.work, c.racing, c.starts, c.apart)
		}
	}
	c := &clock{ctx: t.Context(), o: Options{Work: 40_000}, share: 40_000}
	c.plan(q, c.guess())
	c.pace([]*worker{{q: q, work: 10}})
	if !c.racing {
		t.Error("a run of counted work is laid out anew")
	}
}

// A worker goes on from the cheapest end of a start that carries other pours
// than the best plan, unless all such ends are far dearer.
func TestUnlikeCarriesOtherPours(t *testing.T) {
	end := func(cost int64, missing int32, stage ...int32) *state {
		return &state{cost: cost, missing: missing, stage: stage}
	}
	best := end(1000, 0, placed, away)
	same, short := end(1001, 0, placed, away), end(1002, 1, placed, placed)
	dear, near := end(1200, 0, placed, placed), end(1100, 0, away, away)
	for _, x := range []struct {
		ends []*state
		want *state
	}{{nil, nil}, {[]*state{same}, nil}, {[]*state{same, short}, nil}, {[]*state{same, dear}, dear},
		{[]*state{dear, near, same}, near}, {[]*state{end(1400, 0, placed, placed)}, nil}} {
		if got := (&clock{ends: x.ends}).unlike(best); got != x.want {
			t.Errorf("of %d ends: %+v, want %+v", len(x.ends), got, x.want)
		}
	}
}

// Seeds and workers draw from streams that have no stretch in common, so that
// runs of different seeds are different runs.
func TestStreamsAreApart(t *testing.T) {
	type source struct {
		seed uint64
		i    int
	}
	seen := map[uint64]source{}
	for seed := range uint64(20) {
		for i := range 3 {
			r := rng{streamOf(seed, i)}
			for range 2000 {
				x := r.next()
				if o, ok := seen[x]; ok {
					t.Fatalf("seed %d worker %d and seed %d worker %d both draw %#x", seed, i, o.seed, o.i, x)
				}
				seen[x] = source{seed, i}
			}
		}
	}
}

// A short run begins with a race: the workers go on from the cheapest plans with
// which its starts ended, whichever of them came upon those, and no longer apart.
func TestShortRunsGoOnFromTheBestOfARace(t *testing.T) {
	one := builtWorker(t, 1)
	if one == nil {
		t.Fatal("the fixed work of the first random week finds no people")
	}
	ws := []*worker{one, newWorker(one.q, 2)}
	ws[1].cur.copyFrom(one.cur)
	ends := [raceRounds][2]int64{{900, 700}, {300, 800}, {500, 400}}
	c := &clock{racing: true}
	for round := range raceRounds + 1 {
		c.race(ws, round)
		if apart := round < raceRounds; c.apart != apart {
			t.Errorf("round %d: the workers are apart: %v", round, c.apart)
		}
		if round == raceRounds {
			break
		}
		for i, w := range ws {
			if round > 0 && w.cur.cost == ends[round-1][i] {
				t.Errorf("round %d: worker %d does not set out anew", round, i)
			}
			w.cur.cost = ends[round][i]
		}
	}
	if ws[0].cur.cost != 300 || ws[1].cur.cost != 400 {
		t.Errorf("the workers go on from plans that cost %d and %d, want 300 and 400", ws[0].cur.cost, ws[1].cur.cost)
	}
	c.race(ws, raceRounds+1)
	if ws[0].cur.cost != 300 || len(c.ends) > 0 {
		t.Error("the race goes on behind its end")
	}
}

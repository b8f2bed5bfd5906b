package search

import (
	"iter"
	"math"
	"testing"

	"pourweek/model/modeltest"
	"pourweek/solve/inst"
)

// An insertion that may use the whole week is hardly ever dearer than the best
// of those that may use one day alone. The searches for a body are cut short by
// counts, so that a few may be.
func TestInsertionFindsTheBestDay(t *testing.T) {
	asked, worse := 0, 0
	for w := range builtWorkers(t, 150) {
		q := w.q
		for _, id := range w.ruin.news {
			if w.cur.stage[id] != placed {
				continue
			}
			all := w.again(id, 0, 0)
			best := int64(math.MaxInt64)
			for i := int32(0); i < q.n; {
				z := i + 1
				for z < q.n && q.clock[z]-q.clock[z-1] <= int32(120/q.P.TickMinutes) {
					z++
				}
				best = min(best, w.again(id, i, z))
				i = z
			}
			asked++
			if all > best {
				worse++
			}
		}
	}
	t.Logf("%d insertions, %d dearer than on the best day alone", asked, worse)
	if asked < 300 {
		t.Errorf("only %d insertions were asked for", asked)
	}
	if worse*100 > asked {
		t.Errorf("%d of %d insertions are dearer than on the best day alone", worse, asked)
	}
}

// builtWorker is a worker with a first plan of a random week, nil where chance
// leaves the fixed work without people.
func builtWorker(t *testing.T, seed uint64) *worker {
	t.Helper()
	in, err := inst.Compile(modeltest.Random(seed, modeltest.Options{MinPours: 6}))
	if err != nil {
		t.Fatal(err)
	}
	q, err := newProb(in)
	if err != nil {
		t.Fatal(err)
	}
	w := newWorker(q, seed)
	if !w.build(0) {
		return nil
	}
	w.cur.copyFrom(w.s)
	return w
}

// builtWorkers are those of the random weeks of so many seeds, without the weeks
// whose fixed work is left without people.
func builtWorkers(t *testing.T, seeds uint64) iter.Seq[*worker] {
	return func(yield func(*worker) bool) {
		for seed := range seeds {
			if w := builtWorker(t, seed); w != nil && !yield(w) {
				return
			}
		}
	}
}

// takeOut takes a pour out of the accepted plan, and leaves as little as it can
// to chance from then on.
func (w *worker) takeOut(id int32) {
	w.s.copyFrom(w.cur)
	w.clearRuin()
	w.stir, w.blinks, w.blur, w.generous, w.loose = false, 0, 0, false, 1<<30
	w.log.reset()
	w.remove(&w.q.pours[id])
}

// again takes a pour out and puts it back with layer 1 in the open indices
// [lo, hi), anywhere if hi is 0; it returns what the plan then costs.
func (w *worker) again(id, lo, hi int32) int64 {
	p := &w.q.pours[id]
	w.takeOut(id)
	least := int64(math.MaxInt64)
	gone := newState(w.q)
	gone.copyFrom(w.s)
	for k := range uint64(3) {
		w.s.copyFrom(gone)
		w.r = rng{k}
		clear(w.body)
		w.windowLo, w.windowHi = lo, hi
		if w.insert(p, missed) {
			least = min(least, w.s.cost)
		}
		w.windowLo, w.windowHi = 0, 0
	}
	return least
}

package search

import (
	"testing"

	"pourweek/model/modeltest"
	"pourweek/solve/inst"
)

// A pour of a plan stirred by a search is hardly ever dearer after it was taken
// out and put back, where its place is tried first; without that it often is.
// Who mixes its batches may differ, so that a few do not fit any more.
func TestAPourComesBackToWhereItWas(t *testing.T) {
	var asked, with, without int
	for seed := range uint64(120) {
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
			continue
		}
		w.cur.copyFrom(w.s)
		w.best.copyFrom(w.s)
		for range 40 {
			w.step(20_000) // hot: places that no insertion would choose
		}
		for _, id := range w.ruin.news {
			if w.cur.stage[id] != placed {
				continue
			}
			asked++
			if w.back(id, true) > w.cur.cost {
				with++
			}
			if w.back(id, false) > w.cur.cost {
				without++
			}
		}
	}
	t.Logf("%d pours put back, %d dearer, %d where their places are not tried", asked, with, without)
	if asked < 300 {
		t.Errorf("only %d pours were put back", asked)
	}
	if with*50 > asked || with*4 > without {
		t.Errorf("%d of %d pours are dearer when put back, %d where their places are not tried", with, asked, without)
	}
}

// back takes a pour out and puts it back; it returns what the plan then costs.
func (w *worker) back(id int32, keep bool) int64 {
	w.s.copyFrom(w.cur)
	w.clearRuin()
	w.stir, w.keep, w.blinks, w.blur, w.generous, w.loose = false, keep, 0, 0, false, 1<<30
	w.log.reset()
	w.remove(&w.q.pours[id])
	if !w.insert(&w.q.pours[id], missed) {
		return missed
	}
	return w.s.cost
}

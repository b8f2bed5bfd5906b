package search

import "testing"

// A pour of a plan stirred by a search is hardly ever dearer after it was taken
// out and put back, where its place is tried first; without that it often is.
// Who mixes its batches may differ, so that a few do not fit any more.
func TestAPourComesBackToWhereItWas(t *testing.T) {
	var asked, with, without int
	for w := range builtWorkers(t, 400) {
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
	w.takeOut(id)
	w.keep = keep
	if !w.insert(&w.q.pours[id], missed) {
		return missed
	}
	return w.s.cost
}

package search

import (
	"slices"
	"testing"
)

// Pours that were fed from different batches often share one after they were
// taken out to be laid together, and more often than when the same are put back
// each as soon as it can.
func TestPoursComeToShareABatch(t *testing.T) {
	var asked, together, apart int
	for w := range builtWorkers(t, 150) {
		for range 60 {
			r := w.shareStep(t)
			if len(r) < 2 {
				continue
			}
			asked++
			w.recreate()
			if w.shares(r) {
				together++
			}
			w.s.copyFrom(w.cur)
			w.clearRuin()
			for _, p := range r {
				w.take(p)
			}
			w.demolish()
			w.recreate()
			if w.shares(r) {
				apart++
			}
		}
	}
	t.Logf("of %d tries, %d share a batch, %d when put back one by one", asked, together, apart)
	if asked < 300 || together*20 < asked || together < 2*apart {
		t.Errorf("of %d tries, %d share a batch, %d when put back one by one", asked, together, apart)
	}
}

// shareStep takes pours out to be laid together, and returns the forced one and
// its mates, which go in first; none where no two may share a batch.
func (w *worker) shareStep(t *testing.T) []int32 {
	w.s.copyFrom(w.cur)
	w.clearRuin()
	w.habits()
	w.ceiling = 1 << 60
	w.pickShare()
	w.demolish()
	r := &w.ruin
	if len(r.mates) == 0 {
		return nil
	}
	todo, _ := w.lineUp()
	l := slices.Clone(todo[:1+len(r.mates)])
	for _, m := range r.mates {
		if l[0] != r.forced || !slices.Contains(l[1:], m) {
			t.Fatalf("mates %v of pour %d go in as %v", r.mates, r.forced, l)
		}
	}
	return l
}

// shares reports whether the first of the pours shares a batch with another.
func (w *worker) shares(l []int32) bool {
	s, q := w.s, w.q
	for _, p := range l {
		if s.stage[p] != placed {
			return false
		}
	}
	a := &q.pours[l[0]]
	for x := range a.Draws {
		for _, y := range l[1:] {
			b := &q.pours[y]
			if slices.Contains(s.feed[b.d0:b.d0+int32(len(b.Draws))], s.feed[a.d0+int32(x)]) {
				return true
			}
		}
	}
	return false
}

package search

import "testing"

// Once a start in a slot has no tail, no later one has: the walk stops there.
// Racks are tried a few times only, so that the search may miss a tail now and then.
func TestASlotWithoutTailHasNoneLater(t *testing.T) {
	var behind, later int
	for w := range builtWorkers(t, 100) {
		for _, id := range w.ruin.news {
			if w.cur.stage[id] != placed || w.q.pours[id].MoldMax >= 0 {
				continue
			}
			n, l := w.tailless(id)
			behind, later = behind+n, later+l
		}
	}
	t.Logf("%d starts behind one without tail, %d with a tail", behind, later)
	if behind < 1000 {
		t.Errorf("only %d starts lie behind one without tail", behind)
	}
	if later*1000 > behind {
		t.Errorf("%d of %d starts behind one without tail have one", later, behind)
	}
}

// tailless takes a pour out and counts the starts of its slots that lie behind
// one without tail, and those of them that have one.
func (w *worker) tailless(id int32) (after, with int) {
	q, p := w.q, &w.q.pours[id]
	w.takeOut(id)
	w.keep = false
	w.memoStamp++
	w.openSlots(p)
	for k := range w.slots {
		sl, ended := &w.slots[k], false
		for i := sl.lo; i < sl.hi; i++ {
			cover := q.clock[i] + p.minBody
			if cover > q.h {
				break
			}
			t := w.tailFor(p, cover, sl)
			if ended {
				after++
				if t != nil {
					with++
				}
			}
			ended = ended || t == nil
		}
	}
	return after, with
}

// Whether a batch can be started ahead of a coat is the same for all starts of
// the coat: what stands in its way lies before the coat (barren).
func TestWhatKeepsABatchFromStartingIsBeforeTheCoat(t *testing.T) {
	var asked, apart int
	for w := range builtWorkers(t, 100) {
		for _, id := range w.ruin.news {
			p := &w.q.pours[id]
			if w.cur.stage[id] != placed || p.layers < 2 || len(p.first[1]) == 0 {
				continue
			}
			n, a := w.batchesAhead(p)
			asked, apart = asked+n, apart+a
		}
	}
	t.Logf("%d starts of batches asked for twice, %d with two answers", asked, apart)
	if asked < 1000 {
		t.Errorf("only %d starts of batches were asked for twice", asked)
	}
	if apart > 0 {
		t.Errorf("%d of %d starts of batches depend on the start of the coat", apart, asked)
	}
}

// batchesAhead puts the first coat of a pour where the accepted plan has it,
// and the second at one start after the other; it counts the starts of batches
// ahead of all of them, and those that are allowed for some only.
func (w *worker) batchesAhead(p *pour) (asked, apart int) {
	q, b, d := w.q, &w.bs, &p.coat[1]
	w.takeOut(p.id)
	w.washAt = 0
	b.p, b.cost0, b.feed = p, w.s.cost, make([]int32, len(p.Draws))
	w.beginBody(&slot{choice: w.cur.pick[p.id], mold: w.cur.mold[p.id]}, w.cur.start[p.t0+1])
	if !w.sameTask(&p.coat[0], p.t0+1) {
		return 0, 0
	}
	for _, x := range p.first[0] {
		if !w.sameFeed(p, x) {
			return 0, 0
		}
	}
	m := p.Draws[p.first[1][0]].Mix
	end := w.s.end[p.t0+1]
	answers := make(map[int32]bool)
	first := int32(none)
	for i := q.oi[min(end+p.Layers[1].GapMin, q.h)]; i < q.oi[min(end+p.Layers[1].GapMax+1, q.h)]; i++ {
		if !w.freeAt(d, i) {
			continue
		}
		if first < 0 {
			first = q.clock[i]
		}
		mark := len(w.log.ops)
		g := straight(i, d.work)
		if !w.choose(d, &g) {
			continue
		}
		w.place(d, p.t0+2, i, q.clock[i]+d.work, &g)
		for x := max(q.oi[q.clock[i]]-60, 0); x < i && q.clock[x]+q.Mixes[m].Ready <= first; x++ {
			if q.mixes[m].start[x>>6]>>(x&63)&1 == 0 {
				continue
			}
			at := len(w.log.ops)
			ok := w.openBatch(m, q.mixes[m].mixers[0], x) >= 0
			w.undo(at)
			if was, seen := answers[x]; seen {
				asked++
				if was != ok {
					apart++
				}
			}
			answers[x] = ok
		}
		w.undo(mark)
	}
	return asked, apart
}

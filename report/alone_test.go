package report

import (
	"context"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/solve"
)

// No allowed plan does what alone says cannot be done: the first coat and the
// ready of every planned pour are at or after the earliest that alone finds.
func TestNoPlanBeatsAlone(t *testing.T) {
	planned, tight := 0, 0
	for seed := range uint64(80) {
		p := modeltest.Random(seed, modeltest.Options{MaxPours: int(1 + seed%12)})
		r, err := solve.Solve(context.Background(), p, solve.Options{Seed: seed, Work: 300})
		if err != nil {
			t.Fatal(err)
		}
		if r.Plan == nil {
			continue
		}
		c, err := newClock(p, "")
		if err != nil {
			t.Fatal(err)
		}
		b := &builder{clock: c, p: p, w: &model.Week{Problem: p, Plan: r.Plan}}
		b.index()
		a := newAlone(b)
		for i := range p.Pours {
			q := &p.Pours[i]
			x := b.planned[q.ID]
			if x == nil {
				continue
			}
			planned++
			e := a.pour(q)
			if x.Ready < e.ready {
				t.Errorf("seed %d: %s pour %s is ready at %d, alone says not before %d", seed, q.Stage, q.ID, x.Ready, e.ready)
			}
			if q.Stage == model.New && x.Layers[0].From() < e.coat {
				t.Errorf("seed %d: pour %s is poured at %d, alone says not before %d", seed, q.ID, x.Layers[0].From(), e.coat)
			}
			if x.Ready == e.ready {
				tight++
			}
		}
	}
	if planned < 100 || tight == 0 {
		t.Errorf("%d pours compared, %d of them ready as early as alone: too few to show anything", planned, tight)
	}
}

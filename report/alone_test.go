package report

import (
	"context"
	"slices"
	"strings"
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

// Where no batch can be mixed for a carried pour, that is the reason, and not
// hands or molds.
func TestCarriedForWantOfAMixerSaysSo(t *testing.T) {
	p := modeltest.Toy(1)
	for i := range p.Mixers {
		p.Mixers[i].Down = []model.Interval{{0, p.Horizon}}
	}
	seen := 0
	for i := range p.Pours {
		q := &p.Pours[i]
		if q.Stage != model.New || len(q.Draws) == 0 || !slices.Contains(q.Draws[0].Layers, 0) {
			continue
		}
		c, err := newClock(p, "")
		if err != nil {
			t.Fatal(err)
		}
		b := &builder{clock: c, p: p, w: &model.Week{Problem: p, Plan: &model.Plan{Carried: []string{q.ID}}}}
		b.index()
		if got, want := b.whyCarried(newAlone(b), q), "no batch of "+q.Draws[0].Mix+" can be mixed for it"; !strings.Contains(got, want) {
			t.Errorf("%s: %q lacks %q", q.ID, got, want)
		}
		seen++
	}
	if seen == 0 {
		t.Error("no pour of the toy takes a batch for its first coat")
	}
}

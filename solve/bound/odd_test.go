package bound_test

import (
	"context"
	"fmt"
	"os"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/solve/bound"
)

// No bound is above the optimum of toys with what shops hardly have.
func TestBelowOptimumOfOddToys(t *testing.T) {
	n := uint64(150)
	if os.Getenv("POURWEEK_LONG") != "" {
		n = 4000
	}
	done := 0
	for seed := range n {
		p := modeltest.Odd(seed)
		_, cost, ok := oracle.Best(p)
		if !ok || cost == 0 {
			continue
		}
		done++
		r := bound.Run(context.Background(), compile(t, p), bound.Options{Passes: 200})
		if r.Bound > cost {
			t.Errorf("odd toy %d: bound %d (%s) above the optimum %d", seed, r.Bound, r.Source, cost)
		}
	}
	if done == 0 {
		t.Error("no toy was answered")
	}
	t.Logf("%d toys", done)
}

// plainShop is a shop with two people, one mold and one mixer, and pieces that
// need not cure.
func plainShop(open model.Tick, mixes ...model.Mix) *model.Problem {
	on := []model.Interval{{4, open}}
	skills := []string{"hand", "mix"}
	return &model.Problem{Format: model.ProblemFormat, Name: "plain", Start: "2027-03-01T00:00:00Z",
		TickMinutes: 60, Horizon: 72, PourUntil: 72, Open: on, Overtime: []model.Interval{}, Fixed: []model.Fixed{},
		People: []model.Person{{ID: "p1", Skills: skills, On: on}, {ID: "p2", Skills: skills, On: on}},
		Racks:  []model.Rack{{ID: "r1", Places: model.Steps{{0, 5}}}},
		Cures:  []model.Cure{{ID: "c", Lag: model.Steps{{0, 0}}}},
		Mixers: []model.Mixer{{ID: "mx", Capacity: 90000, Down: []model.Interval{}}},
		Molds:  []model.Mold{{ID: "m1", Down: []model.Interval{}}},
		Mixes:  mixes, Costs: model.Costs{Batch: 9000}}
}

func plainMix(id string, mixing model.Tick, life int64) model.Mix {
	return model.Mix{ID: id, Mix: mixing, Crew: model.Crew{"mix": 1}, Step: 1, Mixers: []string{"mx"}, PotLife: model.Steps{{0, life}}}
}

// coat is a layer, and the mix and grams of its draw.
type coat struct {
	work, most model.Tick // most is the longest gap before it
	mix        string
	grams      model.Grams
}

func addPour(p *model.Problem, carry model.Mils, coats ...coat) *model.Pour {
	hand := model.Crew{"hand": 1}
	q := model.Pour{ID: fmt.Sprint("q", len(p.Pours)), Order: "A", Piece: "x", Stage: model.New, Due: 72, Carry: carry, Places: 1,
		Racks: []string{"r1"}, Molds: []model.MoldChoice{{Mold: "m1", Work: 1}}, Prep: model.Demand{Crew: hand}, Draws: []model.Draw{},
		Cover: model.Cover{Work: 1, Crew: hand}, Cure: "c", Demold: model.Demolding{Work: 1, Crew: hand}}
	for j, c := range coats {
		q.Layers = append(q.Layers, model.Layer{ID: fmt.Sprint("l", j), Work: c.work, Crew: hand, Gap: model.Interval{0, c.most}})
		if c.mix != "" {
			q.Draws = append(q.Draws, model.Draw{Mix: c.mix, Grams: c.grams, Layers: []int{j}})
		}
	}
	p.Pours = append(p.Pours, q)
	return &p.Pours[len(p.Pours)-1]
}

// Shops in which a bound was once above the optimum; exhaustive search knows it.
func TestBelowOptimumOfTrickyShops(t *testing.T) {
	const far = 1_000_000_000
	tests := []struct {
		name string
		p    *model.Problem
		add  func(p *model.Problem)
	}{
		{"stretches that need one before them, cut so that none owes one", plainShop(24, plainMix("A", 1, 5), plainMix("B", 1, 9)), func(p *model.Problem) {
			addPour(p, 100000, coat{3, 0, "A", 1000}, coat{1, 3, "B", 1000}, coat{4, 3, "B", 1000})
		}},
		{"a coat that takes longer than any batch lasts", plainShop(24, plainMix("A", 1, 4), plainMix("B", 1, 4)), func(p *model.Problem) {
			addPour(p, 1000, coat{1, 0, "A", 1000}, coat{6, 3, "B", 1000})
		}},
		{"a draw that fits no mixer", plainShop(24, plainMix("A", 1, 4), plainMix("B", 1, 4)), func(p *model.Problem) {
			addPour(p, 1000, coat{1, 0, "A", 1000}, coat{1, 3, "B", 100000})
		}},
		{"a mold cast in twice from one batch", plainShop(24, plainMix("A", 1, 14)), func(p *model.Problem) {
			addPour(p, 100000, coat{1, 0, "A", 1000})
			addPour(p, 100000, coat{1, 0, "A", 1000})
		}},
		{"two batches at one tick", plainShop(8, plainMix("A", 0, 1), plainMix("B", 0, 1)), func(p *model.Problem) {
			p.PourUntil = 6
			p.Molds = append(p.Molds, model.Mold{ID: "m2", Down: []model.Interval{}})
			addPour(p, 100000, coat{1, 0, "A", 1000})
			addPour(p, 100000, coat{1, 0, "B", 1000}).Molds[0].Mold = "m2"
		}},
		{"gaps without an end", plainShop(24, plainMix("A", 1, 4), plainMix("B", 1, 4)), func(p *model.Problem) {
			addPour(p, 100000, coat{1, 0, "A", 1000}, coat{1, far, "", 0}, coat{1, far, "", 0}, coat{1, far, "B", 1000}).Cover.Gap[1] = far
		}},
	}
	for _, x := range tests {
		x.add(x.p)
		if is := x.p.Validate(); len(is) > 0 {
			t.Fatalf("%s: %v", x.name, is)
		}
		plan, cost, ok := oracle.Best(x.p)
		if !ok || plan == nil {
			t.Fatalf("%s: no optimum", x.name)
		}
		r := bound.Run(context.Background(), compile(t, x.p), bound.Options{Passes: 400})
		if r.Bound > cost {
			t.Errorf("%s: bound %d (%s) above the optimum %d", x.name, r.Bound, r.Source, cost)
		}
	}
}

// Random weeks in which a pour can be cut into stretches so that one needs a
// batch before its own and none owes one.
func TestBelowPlansOfWeeksWithRuns(t *testing.T) {
	for seed, plan := range map[uint64]model.Mils{811: 60140, 2117: 6355185} {
		in := compile(t, modeltest.Random(seed, modeltest.Options{}))
		if r := bound.Run(context.Background(), in, bound.Options{Passes: 1500}); r.Bound > plan {
			t.Errorf("week %d: bound %d (%s) above a plan that costs %d", seed, r.Bound, r.Source, plan)
		}
	}
}

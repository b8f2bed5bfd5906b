package week

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"pourweek/model"
	"pourweek/model/shop"
	"pourweek/model/unit"
)

const oneBench = "order,piece,quantity,due\nA-1,bench-1,1,2027-03-05\n"

// The mixer of the test shop holds 60 kg, in steps of 5 kg, of which 2 kg stay
// in pail and hose: a draw of 58 kg is the most.
func TestCoatThatFitsALoadIsOneLayer(t *testing.T) {
	for _, c := range []struct {
		mass     model.Grams
		capacity model.Grams
		step     model.Grams
		lifts    int
	}{
		{58_000, 60_000, 5_000, 1},
		{58_001, 60_000, 5_000, 2},
		{58_000, 59_999, 5_000, 2}, // 55 kg are mixed at most
		{53_000, 59_999, 5_000, 1},
		{58_000, 60_000, 7_000, 2}, // 56 kg are mixed at most
		{116_000, 60_000, 5_000, 2},
		{116_001, 60_000, 5_000, 3},
	} {
		s := testShop(t)
		s.Mixers[0].Capacity, s.Mixes[0].Step = c.capacity, c.step
		s.Piece("bench-1").Coats[0].Draws[0].Mass = c.mass
		p := pour(t, compiled(t, s, book(t, oneBench), nil).Problem, "A-1/1")
		if len(p.Layers) != c.lifts || len(p.Draws) != c.lifts {
			t.Errorf("%d g from %d g in steps of %d g: %d layers and %d draws, want %d", c.mass, c.capacity, c.step, len(p.Layers), len(p.Draws), c.lifts)
		}
		var sum model.Grams
		for _, d := range p.Draws {
			sum += d.Grams
		}
		if sum < c.mass || sum >= c.mass+model.Grams(c.lifts) {
			t.Errorf("%d g in %d draws are %d g", c.mass, c.lifts, sum)
		}
	}
}

func TestCoatThatDoesNotFitBecomesEqualLifts(t *testing.T) {
	s := testShop(t)
	bench := s.Piece("bench-1")
	bench.Coats[0].Draws[0].Mass = 130_000
	bench.Coats[0].Work = 44
	bench.Spans = []shop.Span{{Station: "tent", From: "body.start", To: "body.end"}}
	l := compiled(t, s, book(t, oneBench), nil)
	p := pour(t, l.Problem, "A-1/1")
	want := []model.Layer{
		{ID: "body-1", Work: 3, Crew: model.Crew{"hand": 1}},
		{ID: "body-2", Work: 3, Crew: model.Crew{"hand": 1}, Gap: model.Interval{0, 6}},
		{ID: "body-3", Work: 3, Crew: model.Crew{"hand": 1}, Gap: model.Interval{0, 6}},
	}
	if d := cmp.Diff(want, p.Layers); d != "" {
		t.Error(d)
	}
	draws := []model.Draw{{Mix: "gray", Grams: 43_334, Layers: []int{0}}, {Mix: "gray", Grams: 43_334, Layers: []int{1}}, {Mix: "gray", Grams: 43_334, Layers: []int{2}}}
	if d := cmp.Diff(draws, p.Draws); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]model.Span{{Station: "tent", From: "body-1.start", To: "body-3.end"}}, p.Spans); d != "" {
		t.Error(d)
	}
	note := `coat "body" of "bench-1" takes 130.0 kg (286.6 lb) of mix "gray" and a load of "mixer-1" gives 58.0 kg (127.9 lb) at most: it is laid in 3 equal lifts, 30 min apart at most`
	if d := cmp.Diff([]string{note}, l.Labels.Notes); d != "" {
		t.Error(d)
	}
	if !l.Labels.Steps["body-2"].Wet || l.Labels.Steps["body-2"].Dust || !l.Labels.Steps["grind"].Dust {
		t.Errorf("labels are %+v", l.Labels.Steps)
	}
}

func TestLiftsKeepTheWindowOfTheirCoat(t *testing.T) {
	s := testShop(t)
	s.Piece("planter-60").Coats[1].Draws[0].Mass = 70_000
	p := pour(t, compiled(t, s, book(t, twoOrders), nil).Problem, "A-104/1")
	var gaps []model.Interval
	for _, l := range p.Layers {
		gaps = append(gaps, l.Gap)
	}
	// Onto the face 11 to 29 min, and so lift to lift up to 29 min, inward.
	if d := cmp.Diff([]model.Interval{{}, {3, 5}, {0, 5}}, gaps); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]model.Span{{Station: "tent", From: "backer-2.end", To: "demold.start"}}, p.Spans); d != "" {
		t.Error(d)
	}
}

func TestCoatsFromOneBatchShareADraw(t *testing.T) {
	s := testShop(t)
	planter := s.Piece("planter-60")
	planter.Coats[1].SameBatch, planter.Coats[1].GapMin, planter.Coats[1].GapMax = true, 0, 20
	planter.Coats[0].Work, planter.Coats[1].Work = 10, 20
	p := pour(t, compiled(t, s, book(t, twoOrders), nil).Problem, "A-104/1")
	if d := cmp.Diff([]model.Draw{{Mix: "gray", Grams: 42_000, Layers: []int{0, 1}}}, p.Draws); d != "" {
		t.Error(d)
	}
	planter.Coats[1].Draws[0].Mass = 46_001
	got := mistakes(t, s, book(t, twoOrders), nil)
	want := `coats "face" and "backer" of "planter-60" take 58.0 kg (127.9 lb) of mix "gray" from one batch, and a load of "mixer-1" gives 58.0 kg (127.9 lb) at most
  hint: let the coats come from batches of their own, or give mix "gray" a mixer that holds more`
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestCoatsThatNoMixerCanServe(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*shop.Shop)
		want   string
	}{
		"smallest batch": {func(s *shop.Shop) { s.Mixes[0].Smallest = 60_001 }, `mix "gray" cannot be made: no mixer of it (mixer-1 holds 60.0 kg (132.3 lb))`},
		"loss":           {func(s *shop.Shop) { s.Mixes[0].Loss = 60_000 }, `mix "gray" cannot be made`},
		"too many lifts": {func(s *shop.Shop) { s.Piece("bench-1").Coats[0].Draws[0].Mass = 58_000*7 + 1 }, `8 lifts are too many (at most 12, and 5 min each)`},
		"pot life": {func(s *shop.Shop) { s.Mixes[0].PotLife.Points[0].Life = 44 },
			`coat "body" of "bench-1" cannot be laid within the pot life of mix "gray": mixing takes 15 min, laying 30 min, and the pot life is 40 min at most`},
		"window": {func(s *shop.Shop) { s.Piece("bench-1").Cover.GapMin, s.Piece("bench-1").Cover.GapMax = 11, 14 },
			`the cover of "bench-1" may wait from 11 to 14 min, and no multiple of the tick of 5 min lies in that`},
		"mold_max": {func(s *shop.Shop) { s.Piece("bench-1").MoldMax = ptr(unit.Minutes(959)) },
			`"bench-1" must be out of its mold 15 h 55 min after the cover, and its cure "overnight" lasts 16 h at least`},
		"places":  {func(s *shop.Shop) { s.Piece("bench-1").Places = 7 }, `"bench-1" holds 7 places, and none of its racks (rack-1) ever has as many`},
		"no mold": {func(s *shop.Shop) { s.Molds = s.Molds[:1] }, `orders.csv:2:5: no mold casts "bench-1"`},
	} {
		s := testShop(t)
		c.change(s)
		if got := mistakes(t, s, book(t, oneBench), nil); !strings.Contains(got, c.want) {
			t.Errorf("%s: got %s", name, got)
		}
	}
	// At the bounds all of it is allowed.
	s := testShop(t)
	s.Mixes[0].PotLife.Points[0].Life = 45
	s.Piece("bench-1").Cover.GapMin, s.Piece("bench-1").Cover.GapMax = 11, 15
	s.Piece("bench-1").MoldMax = ptr(unit.Minutes(960))
	s.Piece("bench-1").Places = 6
	compiled(t, s, book(t, oneBench), nil)
}

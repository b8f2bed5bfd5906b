package week

import (
	"encoding/json"
	"testing"

	"github.com/google/go-cmp/cmp"

	"pourweek/model"
	"pourweek/model/unit"
)

func TestOrdersBecomePours(t *testing.T) {
	l := compiled(t, testShop(t), book(t, twoOrders), nil)
	var ids []string
	for _, p := range l.Problem.Pours {
		ids = append(ids, p.ID)
	}
	if d := cmp.Diff([]string{"A-104/1", "A-104/2", "A-104/3", "A-105/1"}, ids); d != "" {
		t.Error(d)
	}
	// Friday 2027-03-05 ends at 15:30, tick 4 x 288 + 186; Thursday noon is 3 x 288 + 144.
	if a, b := pour(t, l.Problem, "A-104/2").Due, pour(t, l.Problem, "A-105/1").Due; a != 4*288+186 || b != 3*288+144 {
		t.Errorf("due at %d and %d", a, b)
	}
	if p := l.Problem; p.Horizon != 21*288-12 || p.PourUntil != 7*288 || p.Now != 0 || p.Start != "2027-03-01T00:00:00-05:00" {
		t.Errorf("horizon %d, pour until %d, now %d, start %s", p.Horizon, p.PourUntil, p.Now, p.Start)
	}
	if len(l.Labels.Notes) > 0 {
		t.Errorf("notes: %q", l.Labels.Notes)
	}
	if _, err := json.Marshal(l.Week()); err != nil {
		t.Error(err)
	}
}

// Every length of the test shop lies between two ticks: each must have gone to
// its safe side.
func TestRoundingIsToTheSafeSide(t *testing.T) {
	s := testShop(t)
	s.Mixers[0].Keep = ptr(unit.Minutes(14))
	l := compiled(t, s, book(t, twoOrders), nil)
	p := pour(t, l.Problem, "A-104/1")
	m := l.Problem.Mixes[0]
	for _, c := range []struct {
		what      string
		got, want any
	}{
		{"prep of M1, 31 min up", p.Molds[0], model.MoldChoice{Mold: "M1", Work: 7}},
		{"face, 12 min up", p.Layers[0].Work, model.Tick(3)},
		{"backer, 21 min up", p.Layers[1].Work, model.Tick(5)},
		{"window of 11 to 29 min inward", p.Layers[1].Gap, model.Interval{3, 5}},
		{"cover, 6 min up", p.Cover.Work, model.Tick(2)},
		{"window of 0 to 44 min inward", p.Cover.Gap, model.Interval{0, 8}},
		{"demold, 31 min up", p.Demold.Work, model.Tick(7)},
		{"grind, 44 min up", p.Finish[0].Work, model.Tick(9)},
		{"rest", p.Finish[1].Rest, model.Tick(576)},
		{"remix, 2 min up", m.Remix, model.Tick(1)},
		{"pot life, 62 min down", m.PotLife, model.Steps{{0, 12}}},
		{"keep, 14 min down", *l.Problem.Mixers[0].Keep, model.Tick(2)},
		{"move tolerance, 14 min down", l.Problem.MoveTolerance, model.Tick(2)},
		{"late, 6 USD an hour", p.LatePerTick, model.Mils(500)},
		{"overtime, 20 USD an hour", l.Problem.Costs.Overtime, model.Mils(1667)},
		{"waste, 1 USD a kilogram", l.Problem.Costs.Waste, model.Mils(1)},
	} {
		if d := cmp.Diff(c.want, c.got); d != "" {
			t.Errorf("%s: %s", c.what, d)
		}
	}
}

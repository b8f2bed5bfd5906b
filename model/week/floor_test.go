package week

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"pourweek/model"
	"pourweek/model/unit"
)

const floorHead = "piece,order,where,due,since,next,ready,urgency\n"

func TestPieceInItsMold(t *testing.T) {
	// Poured Friday 14:10 (covered, that is): ripe after 16 h; out by Tuesday 14:10,
	// the fourth day.
	f := floorOf(t, floorHead+"planter-60,A-99,M1,2027-03-03,2027-02-26 14:11,,,rush\n")
	p := pour(t, compiled(t, testShop(t), book(t, oneBench), f).Problem, "A-99/f1")
	covered := at(-3, 14, 15)
	if p.Stage != model.Curing || p.Mold != "M1" || p.CureEnd != covered+192 || p.LatePerTick != 2_000 || p.Due != at(2, 15, 30) {
		t.Errorf("got %+v", p)
	}
	if p.MoldUntil == nil || *p.MoldUntil != at(1, 14, 10) {
		t.Errorf("out by %v", p.MoldUntil)
	}
	// The tent is held since the backer ended.
	if d := cmp.Diff([]model.Span{{Station: "tent", From: "backer.end", To: "demold.start"}}, p.Spans); d != "" {
		t.Error(d)
	}
	if len(p.Finish) != 2 || len(p.Layers) != 0 || p.Cure != "" || len(p.Racks) != 1 {
		t.Errorf("got %+v", p)
	}
}

func TestMeasuredStripBeatsTheForecast(t *testing.T) {
	f := floorOf(t, floorHead+"bench-1,A-99,M2,2027-03-03,2027-02-28 20:00,,2027-03-01 9:31,\n")
	if got := pour(t, compiled(t, testShop(t), book(t, oneBench), f).Problem, "A-99/f1").CureEnd; got != at(0, 9, 35) {
		t.Errorf("ripe at %d", got)
	}
	f = floorOf(t, floorHead+"planter-60,A-99,M2,2027-03-03,,,2027-03-01 9:31,\n")
	if p := pour(t, compiled(t, testShop(t), book(t, oneBench), f).Problem, "A-99/f1"); p.CureEnd != at(0, 9, 35) || p.MoldUntil != nil {
		t.Errorf("ripe at %d, out by %v", p.CureEnd, p.MoldUntil)
	}
}

func TestPieceTooLongInItsMoldComesOutFirst(t *testing.T) {
	f := floorOf(t, floorHead+"planter-60,A-99,M1,2027-03-03,2027-02-24 14:11,,,\n")
	l := compiled(t, testShop(t), book(t, oneBench), f)
	if pour(t, l.Problem, "A-99/f1").MoldUntil != nil {
		t.Error("no plan could keep this")
	}
	if !hasNote(l, `"planter-60" in mold "M1" should be out of it by Sun 2027-02-28 14:10, which cannot be: take it out first`) {
		t.Errorf("notes %q", l.Labels.Notes)
	}
}

func TestPieceOnARack(t *testing.T) {
	f := floorOf(t, floorHead+"planter-60,A-99,rack-1,2027-03-03,2027-02-27 10:01,seal,,\n"+
		"planter-60,A-99,rack-1,2027-03-03,,grind,,\n"+
		"planter-60,A-99,rack-1,2027-03-03,,,,\n"+
		"planter-60,A-99,rack-1,2027-03-03,2027-02-27 10:01,seal,2027-03-02 8:01,\n")
	p := compiled(t, testShop(t), book(t, oneBench), f).Problem
	type state struct {
		Next    int
		From    model.Tick
		FromMax model.Tick
		Spans   int
	}
	for id, want := range map[string]state{
		"A-99/f1": {1, at(0, 10, 5), at(7, 10, 0), 0}, // rests 2 d, waits 10 d at most
		"A-99/f2": {0, 0, -1, 0},
		"A-99/f3": {0, 0, -1, 0},
		"A-99/f4": {1, at(1, 8, 5), at(7, 10, 0), 0},
	} {
		q := pour(t, p, id)
		got := state{q.Next, q.From, -1, len(q.Spans)}
		if q.FromMax != nil {
			got.FromMax = *q.FromMax
		}
		want.FromMax = max(want.FromMax, -1)
		if id == "A-99/f1" || id == "A-99/f4" {
			want.FromMax = at(-2, 10, 0) + 10*288
		}
		if d := cmp.Diff(want, got); d != "" || q.Stage != model.Racked || q.Rack != "rack-1" {
			t.Errorf("%s: %s", id, d)
		}
	}
}

func TestStepThatShouldHaveBegunIsNoted(t *testing.T) {
	s := testShop(t)
	s.Piece("planter-60").Finish[1].RestMax = ptr(unit.Minutes(3 * 1440))
	l := compiled(t, s, book(t, oneBench), floorOf(t, floorHead+"planter-60,A-99,rack-1,2027-03-03,2027-02-25 10:01,seal,,\n"))
	if q := pour(t, l.Problem, "A-99/f1"); q.FromMax != nil {
		t.Errorf("begins by %d", *q.FromMax)
	}
	if !hasNote(l, `step "seal" of "planter-60" should have begun by Sun 2027-02-28 10:00, which cannot be: begin it first`) {
		t.Errorf("notes %q", l.Labels.Notes)
	}
}

func TestFinishedPieceHoldsItsPlacesUntilItLeaves(t *testing.T) {
	f := floorOf(t, floorHead+"bench-1,A-99,rack-1,2027-03-03,,done,,\nplanter-60,A-98,rack-1,2027-02-26,,Done,,\n")
	l := compiled(t, testShop(t), book(t, oneBench), f)
	if len(l.Problem.Pours) != 1 {
		t.Errorf("%d pours", len(l.Problem.Pours))
	}
	want := model.Steps{{0, 3}, {int64(at(2, 15, 30)), 5}, {int64(at(7, 0, 0)), 6}}
	if d := cmp.Diff(want, l.Problem.Racks[0].Places); d != "" {
		t.Error(d)
	}
	if !hasNote(l, `a finished "bench-1" of order "A-99" waits on rack "rack-1" and is counted there until Wed 2027-03-03 15:30`) {
		t.Errorf("notes %q", l.Labels.Notes)
	}
}

// A step that may begin only after the longest rest is over must not make the
// whole week impossible.
func TestStepReadyAfterItsLongestRestIsNoted(t *testing.T) {
	s := testShop(t)
	s.Piece("planter-60").Finish[1].RestMax = ptr(unit.Minutes(3 * 1440))
	l := compiled(t, s, book(t, oneBench), floorOf(t, floorHead+"planter-60,A-99,rack-1,2027-03-03,2027-02-27 10:01,seal,2027-03-02 11:00,\n"))
	if q := pour(t, l.Problem, "A-99/f1"); q.FromMax != nil || q.From != at(1, 11, 0) {
		t.Errorf("begins from %d by %v", q.From, q.FromMax)
	}
	if !hasNote(l, `step "seal" of "planter-60" should have begun by Tue 2027-03-02 10:00, which cannot be: begin it first`) {
		t.Errorf("notes %q", l.Labels.Notes)
	}
}

// Half of an order is done and on the rack of 6; where pieces keep their places
// until they leave, its due time frees none.
func TestFinishedPieceWaitsForItsTruckOrForItsOrder(t *testing.T) {
	due, friday, horizon := at(2, 15, 30), at(4, 14, 0), model.Tick(21*288-12) // a clock change in the second week
	for _, c := range []struct {
		what, due, ship, truck string
		hold                   bool
		until                  model.Tick
	}{
		{"a truck after the due time", "2027-03-03", "", "yes", true, friday},
		{"a truck at the due time", "2027-03-05 14:00", "", "yes", true, friday},
		{"no truck is left", "2027-03-19 14:05", "", "yes", true, horizon},
		{"leaves whole", "2027-03-03", "whole", "", true, horizon},
		{"leaves whole, by truck", "2027-03-03", "whole", "yes", true, horizon},
		{"no truck", "2027-03-03", "single", "no", true, due},
		{"a truck, places not kept", "2027-03-03", "", "yes", false, due},
		{"leaves whole, places not kept", "2027-03-03", "whole", "", false, due},
	} {
		s := testShop(t)
		s.Calendar.Hold = c.hold
		b := book(t, "order,piece,quantity,due,ship,truck\nA-1,bench-1,1,"+c.due+","+c.ship+","+c.truck+"\n")
		l := compiled(t, s, b, floorOf(t, floorHead+"bench-1,A-1,rack-1,,,done,,\n"))
		want := model.Steps{{0, 4}}
		if c.until < horizon {
			want = append(want, model.Step{int64(c.until), 6})
		}
		if d := cmp.Diff(want, l.Problem.Racks[0].Places); d != "" {
			t.Errorf("%s: %s", c.what, d)
		}
	}
}

func TestFloorPieceTakesWhatItsOrderSays(t *testing.T) {
	b := book(t, "order,piece,quantity,due,urgency,ship,truck\nA-1,bench-1,2,2027-03-05,rush,whole,yes\n")
	f := floorOf(t, floorHead+"bench-1,A-1,M2,,2027-02-26 14:10,,,\n")
	p := compiled(t, testShop(t), b, f).Problem
	q := pour(t, p, "A-1/f1")
	if q.Due != at(4, 15, 30) || q.LatePerTick != 0 {
		t.Errorf("got %+v", q)
	}
	if s := p.Shipments; len(s) != 1 || cmp.Diff([]string{"A-1/f1", "A-1/1", "A-1/2"}, s[0].Pours) != "" || s[0].LatePerTick != 6_000 || len(s[0].Trucks) != 3 {
		t.Errorf("shipments are %+v", p.Shipments)
	}
}

func TestFloorMistakes(t *testing.T) {
	for row, want := range map[string]string{
		"bench-1,A-99,M9,2027-03-03,2027-02-26 14:10,,,":                                                 `floor.csv:2:14: "M9" is no mold and no rack of shop.yaml`,
		"bench-1,A-99,M1,2027-03-03,2027-02-26 14:10,,,":                                                 `floor.csv:2:14: "bench-1" stands in mold "M1", which does not cast it`,
		"bench-1,A-99,M2,2027-03-03,,,,":                                                                 `floor.csv:2:28: it is not said since when, to the minute, "bench-1" is in mold "M2"`,
		"bench-1,A-99,M2,2027-03-03,2027-02-26,,,":                                                       `floor.csv:2:28: it is not said since when, to the minute, "bench-1" is in mold "M2"`,
		"bench-1,A-99,M2,2027-03-03,2027-03-02 14:10,,,":                                                 `floor.csv:2:28: since 2027-03-02 14:10 is after the start of the plan, Mon 2027-03-01 00:00`,
		"bench-1,A-99,M2,2027-03-03,2026-02-26 14:10,,,":                                                 `floor.csv:2:28: since 2026-02-26 14:10 lies 368 days before the planned week, which begins on 2027-03-01`,
		"bench-1,A-99,M2,2027-03-03,2027-02-26 14:10,grind,,":                                            `floor.csv:2:45: next is "grind", and the piece is still in mold "M2"`,
		"bench-1,A-99,M2,,2027-02-26 14:10,,,":                                                           `floor.csv:2:17: order "A-99" has no due: this row gives none, and it is not in the orders file`,
		"bench-1,A-99,M2,2025-03-03,2027-02-26 14:10,,,":                                                 `floor.csv:2:17: due 2025-03-03 lies 728 days before the planned week`,
		"bench-2,A-99,M2,2027-03-03,2027-02-26 14:10,,,":                                                 `floor.csv:2:1: piece "bench-2" is no piece type of shop.yaml`,
		"bench-1,A-99,M2,2027-03-03,2027-02-26 14:10,,,now":                                              `floor.csv:2:47: urgency "now" is not known`,
		"planter-60,A-99,rack-1,2027-03-03,,seal,,":                                                      `floor.csv:2:35: "planter-60" must rest before "seal", and it is not said since when it does`,
		"planter-60,A-99,rack-1,2027-03-03,,saw,,":                                                       `floor.csv:2:36: "saw" is no finish step of "planter-60"`,
		"bench-1,A-99,M2,2027-03-03,2027-02-26 14:10,,,\nbench-1,A-98,M2,2027-03-03,2027-02-26 14:10,,,": `floor.csv:3:14: mold "M2" holds a piece already (line 2)`,
		strings.Repeat("bench-1,A-99,rack-1,2027-03-03,,,,\n", 4):                                        `floor.csv: the pieces on rack "rack-1" hold 8 places, and it has 6`,
	} {
		got := mistakes(t, testShop(t), book(t, oneBench), floorOf(t, floorHead+row+"\n"))
		if !strings.HasPrefix(got, want) {
			t.Errorf("%s:\ngot  %s\nwant %s", row, got, want)
		}
	}
	s := testShop(t)
	s.Stations[2].Places = 1
	got := mistakes(t, s, book(t, oneBench), floorOf(t, floorHead+"planter-60,A-99,M1,2027-03-03,2027-02-26 14:10,,,\nplanter-60,A-99,M2,2027-03-03,2027-02-26 14:10,,,\n"))
	if !strings.Contains(got, `floor.csv: 2 pieces on the floor hold a place of station "tent" now, and it has 1`) {
		t.Error(got)
	}
}

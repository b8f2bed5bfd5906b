package week

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"pourweek/model"
	"pourweek/model/shop"
)

func TestDueIsTheEndOfThatWorkingDay(t *testing.T) {
	s := testShop(t)
	s.Calendar.Closed = []shop.Period{{From: moment(3, 0), To: moment(4, 0)}, {From: moment(4, 14*60), To: moment(5, 0)}}
	for due, want := range map[string]model.Tick{
		"2027-03-02":          at(1, 15, 30), // the evening is overtime
		"2027-03-02 10:04":    at(1, 10, 0),
		"2027-03-02 10:04:59": at(1, 10, 0),
		"2027-03-02 22:00":    at(1, 22, 0),
		"2027-03-04":          at(2, 15, 30), // closed: the day before
		"2027-03-05":          at(4, 14, 0),  // closed in the afternoon
		"2027-03-07":          at(4, 14, 0),  // a Sunday
		"2027-03-15":          at(14, 14, 30),
		"2027-04-02":          at(32, 14, 30), // behind the horizon
		"2027-02-26":          at(-3, 15, 30),
	} {
		l := compiled(t, s, book(t, "order,piece,quantity,due\nA-1,bench-1,1,"+due+"\n"), nil)
		if got := l.Problem.Pours[0].Due; got != want {
			t.Errorf("%s: due at %d (%s), want %d", due, got, (&compiler{clock: newClock(s.Zone, monday, 21, 5)}).clock.local(got), want)
		}
		off := due == "2027-03-04" || due == "2027-03-07"
		if hasNote(l, "does not work") != off || hasNote(l, "late already") != (due == "2027-02-26") {
			t.Errorf("%s: notes %q", due, l.Labels.Notes)
		}
	}
}

func TestDueLongPastIsASlip(t *testing.T) {
	text := func(due string) string { return "order,piece,quantity,due\nA-1,bench-1,1," + due + "\n" }
	want := `orders.csv:2:15: due 2026-03-05 lies 361 days before the planned week, which begins on 2027-03-01
     2 | A-1,bench-1,1,2026-03-05
       |               ^
  hint: mend the date (is the year right?), or take the row out; an order that is late may be due up to 28 days before`
	if d := cmp.Diff(want, mistakes(t, testShop(t), book(t, text("2026-03-05")), nil)); d != "" {
		t.Error(d)
	}
	mistakes(t, testShop(t), book(t, text("2027-01-31")), nil) // 29 days before
	l := compiled(t, testShop(t), book(t, text("2027-02-01")), nil)
	note := `orders.csv:2:15: order "A-1" was due Mon 2027-02-01 15:30 and is late already; if that is a slip, mend the date`
	if d := cmp.Diff([]string{note}, l.Labels.Notes); d != "" {
		t.Error(d)
	}
}

func TestUrgencyAndCarryPrices(t *testing.T) {
	text := "order,piece,quantity,due,urgency\nA-1,bench-1,1,2027-03-05,\nA-2,bench-1,1,2027-03-05,Rush\nA-3,bench-1,1,2027-04-30,low\nA-4,planter-60,1,2027-04-30,\n"
	s := testShop(t)
	s.Piece("planter-60").Carry = ptr(model.Mils(7_000))
	p := compiled(t, s, book(t, text), nil).Problem
	// 6 USD an hour are 500 mils a tick; the bench takes 8 + 6 + 1 + 192 + 6 + 6
	// ticks and is begun with tick 7 x 288 at the earliest if it is carried.
	behind := model.Mils(7*288 + 219 - (4*288 + 186))
	for id, want := range map[string][2]model.Mils{
		"A-1/1": {500, 80_000 + 500*behind}, "A-2/1": {2_000, 320_000 + 2_000*behind}, "A-3/1": {250, 40_000}, "A-4/1": {500, 7_000},
	} {
		if q := pour(t, p, id); q.LatePerTick != want[0] || q.Carry != want[1] {
			t.Errorf("%s costs %d a tick and %d to carry, want %v", id, q.LatePerTick, q.Carry, want)
		}
	}
}

func TestNotBefore(t *testing.T) {
	text := "order,piece,quantity,due,not before\nA-1,bench-1,1,2027-03-05,2027-03-02 9:01\nA-2,bench-1,1,2027-03-05,2027-03-03\n" +
		"A-3,bench-1,1,2027-03-05,2027-02-03\nA-4,bench-1,2,2027-03-15,2027-03-08\nA-5,bench-1,1,2027-03-15,2027-03-07 23:55\n"
	l := compiled(t, testShop(t), book(t, text), nil)
	for id, want := range map[string]model.Tick{"A-1/1": at(1, 9, 5), "A-2/1": at(2, 0, 0), "A-3/1": 0, "A-5/1": at(6, 23, 55)} {
		if got := pour(t, l.Problem, id).Release; got != want {
			t.Errorf("%s may begin at %d, want %d", id, got, want)
		}
	}
	if len(l.Problem.Pours) != 4 || !hasNote(l, `order "A-4" is not to be begun before 2027-03-08, which is after the planned week: it is left out`) {
		t.Errorf("%d pours, notes %q", len(l.Problem.Pours), l.Labels.Notes)
	}
}

func TestRowsOfAnOrderMustAgree(t *testing.T) {
	text := "order,piece,quantity,due,ship,truck\nA-1,bench-1,1,2027-03-05,whole,yes\nA-1,planter-60,1,2027-03-04,single,no\nA-2,bench-1,1,2027-03-05,,\nA-2,planter-60,1,2027-03-04,whole,\n"
	got := mistakes(t, testShop(t), book(t, text), nil)
	for _, want := range []string{
		`orders.csv:3:29: order "A-1" ships single here and whole in line 2`,
		`orders.csv:3:36: order "A-1" goes by truck in one row and not in another (line 2)`,
		`orders.csv:3:18: order "A-1" ships whole, and is due 2027-03-04 here and 2027-03-05 in line 2`,
		`orders.csv:5:18: order "A-2" ships whole, and is due 2027-03-04 here and 2027-03-05 in line 4`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
}

func TestUnknownNamesInOrders(t *testing.T) {
	text := "order,piece,quantity,due,urgency\nA-1,bench_1,1,2027-03-05,urgent\n"
	want := `orders.csv:2:5: piece "bench_1" is no piece type of shop.yaml
     2 | A-1,bench_1,1,2027-03-05,urgent
       |     ^
  hint: did you mean bench-1? piece types are planter-60, bench-1
orders.csv:2:26: urgency "urgent" is not known
     2 | A-1,bench_1,1,2027-03-05,urgent
       |                          ^
  hint: urgencies are low, normal, rush`
	if d := cmp.Diff(want, mistakes(t, testShop(t), book(t, text), nil)); d != "" {
		t.Error(d)
	}
}

func TestTruckWithoutTrucks(t *testing.T) {
	s := testShop(t)
	s.Calendar.Trucks = nil
	got := mistakes(t, s, book(t, "order,piece,quantity,due,truck\nA-1,bench-1,1,2027-03-05,yes\n"), nil)
	if !strings.Contains(got, `orders.csv:2:26: order "A-1" goes by truck, and no truck leaves in these weeks`) {
		t.Error(got)
	}
}

func TestWeekBeginsOnMonday(t *testing.T) {
	_, errs := Compile(testShop(t), book(t, oneBench), nil, Options{Monday: monday.Add(1)})
	if got := errs.Error(); got != "2027-03-02 is a Tuesday, and a week is planned from its Monday on\n  hint: name the Monday, 2027-03-01 or 2027-03-08" {
		t.Error(got)
	}
}

func TestTooManyPieces(t *testing.T) {
	var b strings.Builder
	b.WriteString("order,piece,quantity,due\n")
	for range 6 {
		b.WriteString("A-1,bench-1,1000,2027-03-05\n")
	}
	got := mistakes(t, testShop(t), book(t, b.String()), nil)
	if !strings.Contains(got, "orders.csv:7:13: the week has more than 5000 pieces") {
		t.Error(got)
	}
}

// Pours of one piece type are equal, and changing one must not change another.
func TestPoursShareNoList(t *testing.T) {
	p := compiled(t, testShop(t), book(t, twoOrders), nil).Problem
	a, b := pour(t, p, "A-104/1"), pour(t, p, "A-104/2")
	layers := slices.Clone(b.Layers)
	a.Layers[0].Work, a.Draws[0].Layers[0], a.Molds[0].Work, a.Finish[0].Work, a.Racks[0] = 99, 99, 99, 99, "x"
	if d := cmp.Diff(layers, b.Layers); d != "" || b.Draws[0].Layers[0] == 99 || b.Molds[0].Work == 99 || b.Finish[0].Work == 99 || b.Racks[0] == "x" {
		t.Errorf("a change shows in another pour: %s", d)
	}
}

func TestPricesBeyondCountingAreCut(t *testing.T) {
	for _, late := range []shop.MilsPerHour{12_000_000, 12_000_001, 9_000_000_000_000_000} {
		s := testShop(t)
		s.Costs.Late = late
		s.Costs.Carry = model.Mils(late)
		s.Urgencies[2].Factor = 1_000_000
		l := compiled(t, s, book(t, "order,piece,quantity,due,urgency\nA-1,bench-1,1,2027-03-05,rush\n"), nil)
		cut := late > 12_000_000
		if p := l.Problem.Pours[0]; p.LatePerTick != mostLate || p.Carry > mostCarry || hasNote(l, "a tick of lateness") != cut {
			t.Errorf("%d: %d a tick, %d to carry, notes %q", late, p.LatePerTick, p.Carry, l.Labels.Notes)
		}
	}
}

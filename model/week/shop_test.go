package week

import (
	"strings"
	"testing"
	"time"

	"pourweek/model"
	"pourweek/model/orders"
	"pourweek/model/shop"
	"pourweek/model/unit"
)

// monday is the first day of the weeks that the tests plan: no clock change in
// it, one at the end of the second week in America/New_York.
var monday = shop.Date{Year: 2027, Month: time.March, Day: 1}

func ptr[T any](v T) *T { return &v }

func day2(h ...shop.Hours) []shop.Hours { return h }

// clockHours is 7:00-12:00 written as minutes.
func clockHours(from, to int) shop.Hours {
	return shop.Hours{From: shop.Clock(from), To: shop.Clock(to)}
}

// testShop is a small invented shop: two pieces, two molds, one mixer.
func testShop(t testing.TB) *shop.Shop {
	t.Helper()
	var hours, evening, saturday shop.Week
	for d := time.Monday; d <= time.Friday; d++ {
		hours[d] = day2(clockHours(7*60, 12*60), clockHours(12*60+30, 15*60+30))
		evening[d] = day2(clockHours(15*60+30, 17*60))
	}
	saturday[time.Saturday] = day2(clockHours(7*60, 12*60))
	return &shop.Shop{
		Name: "Test Casting", Zone: zone(t, "America/New_York"), Currency: "USD", TickMinutes: 5, Weeks: 3,
		Calendar: shop.Calendar{
			Hours: hours,
			Overtime: []shop.Overtime{
				{Name: "evening", Hours: evening}, {Name: "saturday", Hours: saturday, CallIn: 60_000},
			},
			Trucks: []shop.Truck{{Weekday: time.Friday, Clock: 14 * 60}},
			Hold:   true,
		},
		People: []shop.Person{
			{Name: "ada", Skills: []string{"spray", "mix", "hand"}, Overtime: []string{"evening", "saturday"}},
			{Name: "ben", Skills: []string{"hand", "finish"}, Overtime: []string{"saturday"}},
			{Name: "cleo", Skills: []string{"mix", "hand", "finish"}},
		},
		Mixers: []shop.Mixer{{Name: "mixer-1", Capacity: 60_000}},
		Mixes: []shop.Mix{{
			Name: "gray", Color: "gray", Family: "gray", Mix: 5, Rest: 5, Remix: 2, Wash: 20,
			WashBefore: map[string]unit.Minutes{"gray": 5}, WashMax: 30, Crew: model.Crew{"mix": 1},
			Loss: 2_000, Smallest: 15_000, Step: 5_000, Mixers: []string{"mixer-1"},
			PotLife: shop.PotLife{Fixed: true, Points: []shop.PotPoint{{Life: 62}}},
		}},
		Pieces: testPieces(),
		Molds: []shop.Mold{
			{Name: "M1", Casts: []shop.Cast{{Piece: "planter-60", Prep: 31}}},
			{Name: "M2", Casts: []shop.Cast{{Piece: "bench-1", Prep: 40}, {Piece: "planter-60", Prep: 60}}},
		},
		Racks:     []shop.Rack{{Name: "rack-1", Places: 6}},
		Stations:  []shop.Station{{Name: "rig", Places: 1}, {Name: "hoist", Places: 1}, {Name: "tent", Places: 2}},
		Cures:     []shop.Cure{{Name: "overnight", Hours: 16 * 60}},
		Work:      []shop.FixedWork{{Name: "load", Hours: shop.Week{time.Friday: day2(clockHours(13*60, 14*60))}, Crew: model.Crew{"hand": 2}}},
		Urgencies: []shop.Urgency{{Name: "low", Factor: 500}, {Name: "normal", Factor: 1000}, {Name: "rush", Factor: 4000}},
		Costs: shop.Costs{
			Late: 6_000, Carry: 80_000, Idle: 1_200, Held: 900, RackWait: 600, Overtime: 20_000, Batch: 9_000,
			Waste: 1_000, Move: 20_000, MoveTolerance: 14,
		},
	}
}

func needs(skill string, n int, station string) shop.Task {
	return shop.Task{Crew: model.Crew{skill: n}, Station: station}
}

func testPieces() []shop.Piece {
	return []shop.Piece{
		{
			Name: "planter-60", Weight: 40_000, Prep: needs("hand", 1, ""), PrepMax: ptr(unit.Minutes(480)),
			Coats: []shop.Coat{
				{Name: "face", Task: needs("spray", 1, "rig"), Work: 12, Draws: []shop.Draw{{Mix: "gray", Mass: 12_000}}},
				{Name: "backer", Task: needs("hand", 1, ""), Work: 21, GapMin: 11, GapMax: 29, Draws: []shop.Draw{{Mix: "gray", Mass: 30_000}}},
			},
			Cover: shop.Cover{Task: needs("hand", 1, ""), Work: 6, GapMax: 44},
			Cure:  "overnight", MoldMax: ptr(unit.Minutes(4 * 1440)),
			Demold: shop.Step{Task: needs("hand", 2, "hoist"), Work: 31},
			Racks:  []string{"rack-1"}, Places: 1,
			Finish: []shop.Finish{
				{Name: "grind", Task: needs("finish", 1, ""), Work: 44, PutDown: true, Dust: shop.WetDust},
				{Name: "seal", Task: needs("finish", 1, ""), Work: 20, Rest: 48 * 60, RestMax: ptr(unit.Minutes(10 * 1440))},
			},
			Spans: []shop.Span{{Station: "tent", From: "backer.end", To: "demold.start"}},
		},
		{
			Name: "bench-1", Prep: needs("hand", 1, ""),
			Coats: []shop.Coat{{Name: "body", Task: needs("hand", 1, ""), Work: 30, Draws: []shop.Draw{{Mix: "gray", Mass: 50_000}}}},
			Cover: shop.Cover{Task: needs("hand", 1, ""), Work: 5, GapMax: 60},
			Cure:  "overnight", Demold: shop.Step{Task: needs("hand", 2, ""), Work: 30},
			Racks: []string{"rack-1"}, Places: 2,
			Finish: []shop.Finish{{Name: "grind", Task: needs("finish", 1, ""), Work: 30, PutDown: true, Dust: shop.DryDust}},
		},
	}
}

// book reads orders that must hold no mistake.
func book(t testing.TB, text string) *orders.Book {
	t.Helper()
	b, errs := orders.ReadOrders("orders.csv", []byte(text))
	if errs.Len() > 0 {
		t.Fatal(errs)
	}
	return b
}

func floorOf(t testing.TB, text string) *orders.Floor {
	t.Helper()
	f, errs := orders.ReadFloor("floor.csv", []byte(text))
	if errs.Len() > 0 {
		t.Fatal(errs)
	}
	return f
}

const twoOrders = "order,piece,quantity,due\nA-104,planter-60,3,2027-03-05\nA-105,bench-1,1,2027-03-04 12:00\n"

// compiled compiles what must hold no mistake.
func compiled(t testing.TB, s *shop.Shop, b *orders.Book, f *orders.Floor) *Loaded {
	t.Helper()
	l, errs := Compile(s, b, f, Options{Monday: monday})
	if errs.Len() > 0 {
		t.Fatal(errs)
	}
	if issues := l.Problem.Validate(); len(issues) > 0 {
		t.Fatal(issues)
	}
	return l
}

// mistakes compiles what must hold mistakes.
func mistakes(t testing.TB, s *shop.Shop, b *orders.Book, f *orders.Floor) string {
	t.Helper()
	l, errs := Compile(s, b, f, Options{Monday: monday})
	if errs.Len() == 0 || l != nil {
		t.Fatalf("no mistake is found")
	}
	return errs.Error()
}

func pour(t testing.TB, p *model.Problem, id string) *model.Pour {
	t.Helper()
	for i := range p.Pours {
		if p.Pours[i].ID == id {
			return &p.Pours[i]
		}
	}
	t.Fatalf("there is no pour %s", id)
	return nil
}

func hasNote(l *Loaded, part string) bool {
	for _, n := range l.Labels.Notes {
		if strings.Contains(n, part) {
			return true
		}
	}
	return false
}

func person(s *shop.Shop, name string) *shop.Person {
	for i := range s.People {
		if s.People[i].Name == name {
			return &s.People[i]
		}
	}
	return nil
}

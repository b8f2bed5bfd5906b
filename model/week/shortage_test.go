package week

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"pourweek/model"
	"pourweek/model/shop"
)

func shortagesOf(t *testing.T, s *shop.Shop, orders string) []string {
	t.Helper()
	return Shortages(compiled(t, s, book(t, orders), nil).Problem)
}

func TestNothingIsShortInAnEasyWeek(t *testing.T) {
	if got := shortagesOf(t, testShop(t), twoOrders); len(got) > 0 {
		t.Errorf("got %q", got)
	}
}

func TestMoldsAreShort(t *testing.T) {
	// Only M2 casts benches, each of which holds it for 40 + 30 + 5 + 960 + 30 min
	// = 213 ticks; of the last only the prep and a tick count: 9.
	s := testShop(t)
	for quantity, want := range map[string][]string{
		"9":  nil, // 8 x 213 + 9 = 1713 of 2016 ticks
		"10": nil, // 1926
		"11": {"mold M2: 11 pours hold it for 178.2 h up to the start of the last and there are 168.0 h in the planned week, nights included: 10.2 h too few"},
	} {
		got := shortagesOf(t, s, "order,piece,quantity,due\nA-1,bench-1,"+quantity+",2027-03-12\n")
		if d := cmp.Diff(want, got); d != "" {
			t.Errorf("%s benches: %s", quantity, d)
		}
	}
}

func TestSkillsAreShort(t *testing.T) {
	s := testShop(t)
	s.Piece("bench-1").Finish[0].Work = 60 * 60 // 60 h of finishing
	s.Piece("bench-1").Finish[0].PutDown = true
	s.Work = nil
	got := shortagesOf(t, s, "order,piece,quantity,due\nA-1,bench-1,5,2027-03-12\n")
	// ben has 15 days of 8 h and 3 Saturdays of 5 h, cleo 15 days: 255 h for 300 h.
	want := "skill finish: 300.0 h of work are asked for up to the end of the last week and 255.0 h are there, overtime and call-ins included: 45.0 h too few"
	if d := cmp.Diff([]string{want}, got); d != "" {
		t.Error(d)
	}
}

func TestSetsOfSkillsAreShort(t *testing.T) {
	// Each of two skills has enough by itself, and one person has both.
	s := testShop(t)
	s.Work = nil
	s.People = []shop.Person{{Name: "ada", Skills: []string{"spray", "mix", "hand"}}, {Name: "ben", Skills: []string{"hand", "grind", "seal"}}}
	p := s.Piece("bench-1")
	p.Finish = []shop.Finish{
		{Name: "grind", Task: shop.Task{Crew: model.Crew{"grind": 1}}, Work: 40 * 60, PutDown: true},
		{Name: "seal", Task: shop.Task{Crew: model.Crew{"seal": 1}}, Work: 40 * 60, PutDown: true},
	}
	got := shortagesOf(t, s, "order,piece,quantity,due\nA-1,bench-1,2,2027-03-12\n")
	want := "skill grind, seal: 160.0 h of work are asked for up to the end of the last week and 120.0 h are there, overtime and call-ins included: 40.0 h too few"
	if d := cmp.Diff([]string{want}, got); d != "" {
		t.Error(d)
	}
}

func TestRacksAndStationsAreShort(t *testing.T) {
	s := testShop(t)
	s.Piece("bench-1").Places = 6
	s.Piece("bench-1").Finish[0].Rest = 7 * 1440
	got := strings.Join(shortagesOf(t, s, "order,piece,quantity,due\nA-1,bench-1,3,2027-03-12\n"), "\n")
	// Three benches, each 7 d and 1 h long on all 6 places; 21 d less an hour are there.
	want := "rack rack-1: pieces hold its places for 3042.0 h at least and it has 3018.0 h: 24.0 h too few"
	if got != want {
		t.Errorf("got %s", got)
	}
	s = testShop(t)
	s.Piece("bench-1").Spans = []shop.Span{{Station: "tent", From: "cover.start", To: "grind.end"}}
	s.Piece("bench-1").Finish[0].Rest = 14 * 1440
	got = strings.Join(shortagesOf(t, s, "order,piece,quantity,due\nA-1,bench-1,3,2027-03-12\n"), "\n")
	// Each holds one of the two places for 5 + 960 + 30 + 20160 + 30 min.
	want = "station tent: pieces hold its places for 1059.2 h and it has 1006.0 h, nights included: 53.2 h too few"
	if got != want {
		t.Errorf("got %s", got)
	}
	s = testShop(t)
	s.Piece("bench-1").Finish[0].Work, s.Piece("bench-1").Finish[0].Station = 100*60, "hoist"
	s.Piece("bench-1").Finish[0].Crew = model.Crew{}
	got = strings.Join(shortagesOf(t, s, "order,piece,quantity,due\nA-1,bench-1,2,2027-03-12\n"), "\n")
	// 15 days of 8 h, 15 evenings of 1.5 h, 3 Saturdays of 5 h.
	want = "station hoist: tasks hold it for 200.0 h and it has 157.5 h of open hours: 42.5 h too few"
	if got != want {
		t.Errorf("got %s", got)
	}
}

func TestCrewsAndStretchesThatThereNeverAre(t *testing.T) {
	s := testShop(t)
	s.Piece("bench-1").Demold.Crew = model.Crew{"hand": 4}
	s.Piece("bench-1").Cover.Work = 6 * 60
	s.Work = nil
	got := shortagesOf(t, s, oneBench)
	want := []string{
		"demold of bench-1 asks for 4 with the skill hand at once, and 3 have it",
		"cover of bench-1 takes 6 h in one go, and the shop is open for 5 h at a stretch at most",
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

// Fewer people, or more pieces, never make a shortage smaller than nothing: a
// shop with nobody is short of all that is asked.
func TestShopWithNobodyIsShortOfAll(t *testing.T) {
	s := testShop(t)
	s.People, s.Work = nil, nil
	got := strings.Join(shortagesOf(t, s, oneBench), "\n")
	for _, skill := range []string{"hand", "mix"} {
		if !strings.Contains(got, "skill "+skill+":") {
			t.Errorf("%s is not short in\n%s", skill, got)
		}
	}
}

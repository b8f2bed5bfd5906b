package week

import (
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"pourweek/model"
	"pourweek/model/shop"
	"pourweek/model/unit"
)

// fahrenheit is a temperature in the unit of package unit: 1 F is 5000 of it.
func fahrenheit(f float64) unit.Temp { return unit.Temp(math.Round((f - 32) * 5000)) }
func celsius(c float64) unit.Temp    { return unit.Temp(math.Round(c * 9000)) }

func TestPotLifeFollowsTheHourAndLooksAhead(t *testing.T) {
	s := testShop(t)
	s.Mixes[0].PotLife = shop.PotLife{Points: []shop.PotPoint{{Temp: fahrenheit(68), Life: 60}}}
	s.Air = shop.Air{
		Usual: []shop.AirStep{{From: 0, Temp: fahrenheit(68)}, {From: 13 * 60, Temp: fahrenheit(78)}, {From: 18 * 60, Temp: fahrenheit(68)}},
		Days:  []shop.AirDay{{Date: monday.Add(1), Steps: []shop.AirStep{{From: 0, Temp: fahrenheit(68)}}}},
	}
	life := compiled(t, s, book(t, oneBench), nil).Problem.Mixes[0].PotLife
	// 60 min at 68 F; 60 / sqrt(2) = 42.4 min at 78 F, 40 min in whole ticks. (The
	// field rule "half for each 20 F" is read in checks/check-values.md section 4,
	// from nfba.org, 2020-10, p. 17.) A batch
	// begun after 12:00 would still be worked at 13:00.
	for _, c := range []struct{ tick, want int }{
		{0, 12}, {144, 12}, {145, 8}, {155, 8}, {156, 8}, {215, 8}, {216, 12},
		{288 + 150, 12}, {288 + 200, 12}, // Tuesday is cool all day
		{2*288 + 145, 8},
	} {
		if got := life.At(model.Tick(c.tick)); got != int64(c.want) {
			t.Errorf("at tick %d it is %d ticks, want %d", c.tick, got, c.want)
		}
	}
}

// A cure by temperature: the warm history of checks/check-values.md section 1.3
// (22, 28, 35, 32, 27, 23 C, 4 h each) has an equivalent age of 37.765 h at
// 20 C after 24 h, with an activation energy of 40 kJ/mol. Points of exactly
// these rates must ripen a cure of 37.765 h at 20 C within those 24 h, to the
// rounding of the table, and must not ripen one that is 2 % longer.
func TestCureAddsUpWarmth(t *testing.T) {
	const ageAt24h = 37.765
	temps := []float64{22, 28, 35, 32, 27, 23}
	factor := func(c float64) float64 { return math.Exp(-40_000 / 8.314 * (1/(c+273.15) - 1/293.15)) }
	for _, c := range []struct {
		hours float64
		least float64
		most  float64
	}{{ageAt24h, 23.9, 24.1}, {ageAt24h * 1.02, 24.3, 24.9}, {ageAt24h / 2, 10, 14}} {
		s := testShop(t)
		s.Zone = time.UTC
		var steps []shop.AirStep
		cure := shop.Cure{Name: "overnight", Early: "a test"}
		for i, deg := range temps {
			steps = append(steps, shop.AirStep{From: shop.Clock(i * 4 * 60), Temp: celsius(deg)})
		}
		for _, deg := range []float64{22, 23, 27, 28, 32, 35} {
			cure.AtTemp = append(cure.AtTemp, shop.CurePoint{Temp: celsius(deg), Time: unit.Minutes(math.Round(c.hours * 60 / factor(deg)))})
		}
		s.Air, s.Cures[0] = shop.Air{Usual: steps}, cure
		w := &compiler{shop: s, clock: newClock(s.Zone, monday, 21, 5)}
		w.air = newAirline(w.clock, &s.Air)
		got := float64(newRipener(w.air, &cure).minutes(w.clock.at(0))) / 60
		if got < c.least || got > c.most {
			t.Errorf("%g h at 20 C take %g h, want %g to %g", c.hours, got, c.least, c.most)
		}
	}
}

// check-values section 1.3: at an even temperature the time is the one at 20 C
// over the age factor; between two points the time runs on a straight line, the
// safe side of the curve.
func TestCureAtEvenTemperature(t *testing.T) {
	points := []shop.CurePoint{{Temp: celsius(10), Time: 40 * 60}, {Temp: celsius(20), Time: 20 * 60}}
	for c, want := range map[float64]unit.Minutes{10: 2400, 20: 1200, 30: 1200, 15: 1800} {
		s := testShop(t)
		s.Air = shop.Air{Usual: []shop.AirStep{{Temp: celsius(c)}}}
		w := &compiler{shop: s, clock: newClock(s.Zone, monday, 21, 5)}
		w.air = newAirline(w.clock, &s.Air)
		if got := newRipener(w.air, &shop.Cure{AtTemp: points}).minutes(w.clock.at(77)); got != want {
			t.Errorf("at %g C it takes %d min, want %d", c, got, want)
		}
	}
}

func TestCureIsSixteenHoursUnlessTheFileSaysWhy(t *testing.T) {
	for _, c := range []struct {
		cure shop.Cure
		want model.Tick
	}{
		{shop.Cure{Name: "overnight", Hours: 10 * 60}, 192},
		{shop.Cure{Name: "overnight", Hours: 10 * 60, Early: "steam cured, cubes tested"}, 120},
		{shop.Cure{Name: "overnight", Hours: 16*60 + 1}, 193},
	} {
		s := testShop(t)
		s.Cures[0] = c.cure
		if got := least(compiled(t, s, book(t, oneBench), nil).Problem.Cures[0].Lag); got != c.want {
			t.Errorf("%+v: %d ticks, want %d", c.cure, got, c.want)
		}
	}
}

func TestPieceWithItsOwnLeastTimeHasItsOwnCure(t *testing.T) {
	s := testShop(t)
	s.Piece("bench-1").MoldMin = 20*60 + 3
	p := compiled(t, s, book(t, twoOrders), nil).Problem
	want := []model.Cure{{ID: "overnight", Lag: model.Steps{{0, 192}}}, {ID: "overnight, 20 h 5 min at least", Lag: model.Steps{{0, 241}}}}
	if d := cmp.Diff(want, p.Cures); d != "" {
		t.Error(d)
	}
	if pour(t, p, "A-105/1").Cure != want[1].ID || pour(t, p, "A-104/1").Cure != "overnight" {
		t.Error("the pours name other cures")
	}
}

// Friday's long cure must not be overtaken by a short one of Saturday's call-in.
func TestCureByDayNeverOvertakes(t *testing.T) {
	s := testShop(t)
	s.Cures[0] = shop.Cure{Name: "overnight", ByDay: &[7]unit.Minutes{1440, 960, 960, 960, 960, 3840, 1000}}
	p := compiled(t, s, book(t, oneBench), nil).Problem
	lag := p.Cures[0].Lag
	friday, saturday := model.Tick(4*288+17*12), model.Tick(5*288+7*12+1)
	if lag.At(friday-20) != 768 {
		t.Errorf("Friday afternoon: %d ticks", lag.At(friday-20))
	}
	if got, least := saturday+model.Tick(lag.At(saturday)), friday+768; got < least {
		t.Errorf("ripe at %d, Friday's at %d", got, least)
	}
	if got := lag.At(7*288 + 186); got != 192 {
		t.Errorf("Monday: %d ticks", got)
	}
}

// The pot life by spans of temperature against its definition, tick by tick: the
// shortest of the lives at the temperatures that the batch would live through,
// as long as it lives at the first.
func TestPotLifeByTick(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := testShop(t)
		s.TickMinutes = rapid.SampledFrom([]int{5, 10, 15, 30, 60}).Draw(rt, "tick")
		s.Air = shop.Air{}
		for clock := 0; clock < 1440; clock += rapid.IntRange(7, 500).Draw(rt, "hours") {
			s.Air.Usual = append(s.Air.Usual, shop.AirStep{From: shop.Clock(clock), Temp: celsius(rapid.Float64Range(5, 35).Draw(rt, "temp"))})
		}
		m := &shop.Mix{PotLife: shop.PotLife{Points: []shop.PotPoint{{Temp: celsius(20), Life: unit.Minutes(rapid.IntRange(20, 300).Draw(rt, "life"))}}}}
		w := &compiler{shop: s, clock: newClock(s.Zone, monday, 2, s.TickMinutes)}
		w.air = newAirline(w.clock, &s.Air)
		got := w.potLife(m)
		for tick := range w.clock.horizon {
			from := w.clock.at(tick)
			i := w.air.index(from)
			life := m.PotLife.At(w.air[i].temp)
			end := from.Add(time.Duration(life) * time.Minute)
			for i++; i < len(w.air) && w.air[i].from.Before(end); i++ {
				life = min(life, m.PotLife.At(w.air[i].temp))
			}
			if want := life.TicksDown(s.TickMinutes); got.At(tick) != want {
				rt.Fatalf("at tick %d it is %d, want %d, in %v", tick, got.At(tick), want, got)
			}
		}
	})
}

// The same instants in any order give the same answers, and a piece covered
// later is never ripe earlier.
func TestRipenerAnswersInAnyOrder(t *testing.T) {
	s := testShop(t)
	for h, c := range []float64{9, 12, 20, 26, 14, 10} {
		s.Air.Usual = append(s.Air.Usual, shop.AirStep{From: shop.Clock(h * 240), Temp: celsius(c)})
	}
	w := &compiler{shop: s, clock: newClock(s.Zone, monday, 21, 5)}
	w.air = newAirline(w.clock, &s.Air)
	cure := &shop.Cure{AtTemp: []shop.CurePoint{{Temp: celsius(5), Time: 39 * 60}, {Temp: celsius(20), Time: 16 * 60}}}
	ordered := newRipener(w.air, cure)
	var ripe model.Tick
	for tick := model.Tick(0); tick < w.clock.horizon; tick += 7 {
		m := ordered.minutes(w.clock.at(tick))
		if fresh := newRipener(w.air, cure).minutes(w.clock.at(tick)); fresh != m {
			t.Fatalf("tick %d: %d min, by itself %d", tick, m, fresh)
		}
		if m < 16*60 || m > 39*60 {
			t.Fatalf("tick %d: %d min", tick, m)
		}
		end := tick*5 + model.Tick(m)
		if end < ripe {
			t.Fatalf("tick %d is ripe at minute %d, one before at %d", tick, end, ripe)
		}
		ripe = end
	}
	for _, tick := range []model.Tick{300, 299, 290, 0, 5000, 40} {
		if back := ordered.minutes(w.clock.at(tick)); back != newRipener(w.air, cure).minutes(w.clock.at(tick)) {
			t.Errorf("tick %d: asked again it is %d", tick, back)
		}
	}
}

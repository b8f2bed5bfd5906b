package week

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"pourweek/model"
	"pourweek/model/shop"
)

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return loc
}

func day(year int, month time.Month, d int) shop.Date {
	return shop.Date{Year: year, Month: month, Day: d}
}

func hours(from, to time.Duration) shop.Hours {
	return shop.Hours{From: shop.Clock(from / time.Minute), To: shop.Clock(to / time.Minute)}
}

func hm(h, m int) time.Duration {
	return time.Duration(h)*time.Hour + time.Duration(m)*time.Minute
}

// The dates of the clock changes are those of the IANA time zone database: in
// New York 2027-03-14 (2:00 becomes 3:00) and 2027-11-07 (2:00 becomes 1:00), in
// Berlin 2027-03-28 (2:00 becomes 3:00) and 2027-10-31 (3:00 becomes 2:00).
func TestClockCrossesClockChanges(t *testing.T) {
	const perDay = 288
	for _, c := range []struct {
		zone    string
		monday  shop.Date
		horizon model.Tick
		date    shop.Date
		from    time.Duration
		want    model.Tick
	}{
		{"America/New_York", day(2027, 3, 1), 21*perDay - 12, day(2027, 3, 13), hm(7, 0), 12*perDay + 84},
		{"America/New_York", day(2027, 3, 1), 21*perDay - 12, day(2027, 3, 14), hm(1, 55), 13*perDay + 23},
		{"America/New_York", day(2027, 3, 1), 21*perDay - 12, day(2027, 3, 14), hm(3, 0), 13*perDay + 24},
		{"America/New_York", day(2027, 3, 1), 21*perDay - 12, day(2027, 3, 14), hm(7, 0), 13*perDay + 72},
		{"America/New_York", day(2027, 3, 1), 21*perDay - 12, day(2027, 3, 15), hm(7, 0), 14*perDay + 72},
		{"America/New_York", day(2027, 11, 1), 21*perDay + 12, day(2027, 11, 7), hm(0, 55), 6*perDay + 11},
		{"America/New_York", day(2027, 11, 1), 21*perDay + 12, day(2027, 11, 7), hm(2, 0), 6*perDay + 36},
		{"America/New_York", day(2027, 11, 1), 21*perDay + 12, day(2027, 11, 8), hm(7, 0), 7*perDay + 96},
		{"Europe/Berlin", day(2027, 3, 22), 21*perDay - 12, day(2027, 3, 29), hm(7, 0), 7*perDay + 72},
		{"Europe/Berlin", day(2027, 10, 25), 21*perDay + 12, day(2027, 11, 1), hm(7, 0), 7*perDay + 96},
		{"Asia/Kathmandu", day(2027, 3, 1), 21 * perDay, day(2027, 3, 2), hm(7, 0), perDay + 84},
	} {
		k := newClock(zone(t, c.zone), c.monday, 21, 5)
		if k.horizon != c.horizon {
			t.Errorf("%s %s: horizon %d, want %d", c.zone, c.monday, k.horizon, c.horizon)
		}
		if got := k.up(k.instant(c.date, c.from, late)); got != c.want {
			t.Errorf("%s %s %s: tick %d, want %d", c.zone, c.date, c.from, got, c.want)
		}
	}
}

func TestClockTimesThatAreTwiceOrNever(t *testing.T) {
	ny := zone(t, "America/New_York")
	spring := newClock(ny, day(2027, 3, 8), 21, 5)
	gap := day(2027, 3, 14)
	if a, b := spring.instant(gap, hm(2, 0), early), spring.instant(gap, hm(2, 30), late); !a.Equal(b) || a.UTC().Hour() != 7 {
		t.Errorf("times left out are %s and %s, want the change at 07:00 UTC", a.UTC(), b.UTC())
	}
	if i, ok := spring.inward(gap, hours(hm(2, 0), hm(3, 0))); ok {
		t.Errorf("the hour left out has ticks %v", i)
	}
	if i, ok := spring.inward(gap, hours(hm(0, 0), hm(24, 0))); !ok || i.Len() != 23*12 {
		t.Errorf("the day has %d ticks", i.Len())
	}
	fall := newClock(ny, day(2027, 11, 1), 21, 5)
	twice := day(2027, 11, 7)
	a, b := fall.instant(twice, hm(1, 30), early), fall.instant(twice, hm(1, 30), late)
	if b.Sub(a) != time.Hour || a.UTC().Hour() != 5 {
		t.Errorf("1:30 is %s and %s", a.UTC(), b.UTC())
	}
	in, ok := fall.inward(twice, hours(hm(1, 30), hm(4, 0)))
	out, _ := fall.outward(twice, hours(hm(1, 30), hm(4, 0)))
	if !ok || in.Len() != 30 || out.Len() != 42 {
		t.Errorf("from 1:30 to 4:00 there are %d ticks at least and %d at most, want 30 and 42", in.Len(), out.Len())
	}
	if i, _ := fall.inward(twice, hours(hm(0, 0), hm(24, 0))); i.Len() != 25*12 {
		t.Errorf("the day has %d ticks", i.Len())
	}
}

func TestClockRoundsInwardAndOutward(t *testing.T) {
	k := newClock(time.UTC, day(2027, 3, 1), 21, 5)
	for _, c := range []struct {
		from, to       time.Duration
		inside, around model.Interval
	}{
		{hm(7, 0), hm(8, 0), model.Interval{84, 96}, model.Interval{84, 96}},
		{hm(7, 1), hm(7, 59), model.Interval{85, 95}, model.Interval{84, 96}},
		{hm(7, 4), hm(7, 56), model.Interval{85, 95}, model.Interval{84, 96}},
		{hm(7, 1), hm(7, 4), model.Interval{}, model.Interval{84, 85}},
	} {
		in, ok := k.inward(day(2027, 3, 1), hours(c.from, c.to))
		if ok != (c.inside.Len() > 0) || ok && in != c.inside {
			t.Errorf("%s-%s inward is %v %v, want %v", c.from, c.to, in, ok, c.inside)
		}
		if out, _ := k.outward(day(2027, 3, 1), hours(c.from, c.to)); out != c.around {
			t.Errorf("%s-%s outward is %v, want %v", c.from, c.to, out, c.around)
		}
	}
	before := k.instant(day(2027, 2, 28), hm(23, 58), early)
	if k.down(before) != -1 || k.up(before) != 0 {
		t.Errorf("23:58 the night before is %d and %d", k.down(before), k.up(before))
	}
	if _, ok := k.inward(day(2027, 2, 28), hours(hm(7, 0), hm(8, 0))); ok {
		t.Error("the day before the start has ticks")
	}
}

// Every zone and every civil minute: the instant of a time that the clock
// shows is shown again, whichever side is asked for.
func TestClockRoundTrip(t *testing.T) {
	zones := []string{"America/New_York", "America/St_Johns", "Europe/Berlin", "Europe/Lisbon", "Australia/Lord_Howe",
		"Asia/Kathmandu", "America/Havana", "Africa/Casablanca", "UTC"}
	rapid.Check(t, func(rt *rapid.T) {
		loc := zone(t, rapid.SampledFrom(zones).Draw(rt, "zone"))
		date := day(2027, 1, 1).Add(rapid.IntRange(0, 730).Draw(rt, "date"))
		of := time.Duration(rapid.IntRange(0, 1439).Draw(rt, "minute")) * time.Minute
		k := newClock(loc, date, 1, 5)
		a, b := k.instant(date, of, early), k.instant(date, of, late)
		if b.Before(a) {
			rt.Fatalf("%s is after %s", a, b)
		}
		naive := time.Date(date.Year, date.Month, date.Day, 0, 0, 0, 0, time.UTC).Add(of)
		if sameClock(a.In(loc), naive) != sameClock(b.In(loc), naive) {
			rt.Fatalf("%s and %s", a.In(loc), b.In(loc))
		}
		if !sameClock(a.In(loc), naive) && !a.Equal(b) {
			rt.Fatalf("time left out is %s and %s", a, b)
		}
	})
}

package report

import (
	"testing"
	"time"
	_ "time/tzdata"

	"pourweek/model"
)

// clockOf is a clock of quarter hours from midnight of a date in a zone, open
// all day, over two weeks.
func clockOf(t *testing.T, start, zone string) *clock {
	t.Helper()
	p := &model.Problem{Start: start, TickMinutes: 15, Horizon: 14 * 96, Open: []model.Interval{{0, 14 * 96}}}
	c, err := newClock(p, zone)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// The clocks of Denver go forward on Sunday, March 14, 2027 and back on
// November 7 (15 U.S.C. 260a: second Sunday of March, first of November).
func TestDaysWithAClockChange(t *testing.T) {
	for _, c := range []struct {
		start  string
		sunday string
		ticks  model.Tick
	}{
		{"2027-03-08T00:00:00-07:00", "2027-03-14", 23 * 4},
		{"2027-11-01T00:00:00-06:00", "2027-11-07", 25 * 4},
	} {
		k := clockOf(t, c.start, "America/Denver")
		from := model.Tick(6 * 96)
		if k.date(from) != c.sunday || k.at(from).Hour() != 0 {
			t.Fatalf("tick %d is %s", from, k.at(from))
		}
		to := k.nextDay(from)
		if to-from != c.ticks {
			t.Errorf("%s has %d ticks, want %d", c.sunday, to-from, c.ticks)
		}
		if at := k.at(to); at.Hour() != 0 || at.Weekday() != time.Monday {
			t.Errorf("the day after begins at %s", at)
		}
		if got := k.moment(to - 4).hour(); got != "23:00" {
			t.Errorf("an hour before midnight it is %s", got)
		}
	}
}

// Where the clocks change at midnight a day begins at 01:00 (Santiago, September
// 5, 2027), ends after a second 23:00 (April 4), or begins with an hour that is
// there twice (Havana, November 7): by the tz database.
func TestDaysWithAClockChangeAtMidnight(t *testing.T) {
	for _, c := range []struct {
		start, zone, changed string
		ticks                model.Tick
	}{
		{"2027-08-30T00:00:00-04:00", "America/Santiago", "2027-09-05", 23 * 4},
		{"2027-03-29T00:00:00-03:00", "America/Santiago", "2027-04-03", 25 * 4},
		{"2027-11-01T00:00:00-04:00", "America/Havana", "2027-11-07", 25 * 4},
		{"2027-03-08T00:00:00-05:00", "America/Havana", "2027-03-14", 23 * 4},
	} {
		k := clockOf(t, c.start, c.zone)
		count := map[string]model.Tick{}
		for n := model.Tick(0); n < k.horizon; n++ {
			count[k.date(n)]++
		}
		seen := false
		for from := model.Tick(0); k.nextDay(from) < k.horizon; from = k.nextDay(from) {
			date, to := k.date(from), k.nextDay(from)
			if k.date(to) == date || to-from != count[date] {
				t.Errorf("%s: %s goes from tick %d to %d, it has %d ticks", c.zone, date, from, to, count[date])
			}
			for n := from; n < to; n++ {
				if got := k.nextDay(n); got != to {
					t.Fatalf("%s: the day after %s begins at tick %d, want %d", c.zone, k.at(n), got, to)
				}
			}
			if date == c.changed {
				seen = true
				if to-from != c.ticks {
					t.Errorf("%s: %s has %d ticks, want %d", c.zone, date, to-from, c.ticks)
				}
			}
		}
		if !seen {
			t.Errorf("%s: %s is not among the days", c.zone, c.changed)
		}
	}
}

func TestMidnightIsTheEndOfItsDay(t *testing.T) {
	k := clockOf(t, "2027-03-01T00:00:00Z", "")
	if got := k.moment(96).hourOf("2027-03-01"); got != "24:00" {
		t.Errorf("as the end of the day before it is %s", got)
	}
	if got := k.moment(96).hourOf("2027-03-02"); got != "00:00" {
		t.Errorf("as the start of its day it is %s", got)
	}
	b := &Board{Closings: []Closing{{Date: "2027-03-01", At: k.moment(96)}}}
	row := b.closingTable().rows[0]
	if day, at := row[0].text, row[1].text; day != "Mon Mar 1" || at != "24:00" {
		t.Errorf("a shop that closes at midnight on Monday closes on %s at %s", day, at)
	}
}

func TestPartsByDay(t *testing.T) {
	k := clockOf(t, "2027-03-01T00:00:00Z", "")
	day := func(t model.Tick) bool { h := int(t) % 96; return h >= 28 && h < 60 } // 7:00 to 15:00
	got := k.parts(model.Interval{50, 96 + 32}, day)
	want := []model.Interval{{50, 60}, {96 + 28, 96 + 32}}
	if len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("parts are %v, want %v", got, want)
	}
	if l := k.parts(model.Interval{60, 96 + 28}, day); len(l) != 0 {
		t.Errorf("a night has parts %v", l)
	}
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		s     string
		width int
		want  []string
	}{
		{"", 5, []string{""}},
		{"a b c", 5, []string{"a b c"}},
		{"a b c", 4, []string{"a b", "c"}},
		{"planter-24-white", 10, []string{"planter-", "24-white"}},
		{"abcdefghij", 4, []string{"abcd", "efgh", "ij"}},
		{"x abcdefghij", 4, []string{"x", "abcd", "efgh", "ij"}},
		{"日本語", 4, []string{"日本", "語"}},
		{"日", 1, []string{"日"}},
	} {
		got := wrap(c.s, c.width)
		if len(got) != len(c.want) {
			t.Errorf("wrap(%q, %d) = %q, want %q", c.s, c.width, got, c.want)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("wrap(%q, %d) = %q, want %q", c.s, c.width, got, c.want)
			}
		}
	}
}

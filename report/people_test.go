package report

import (
	"slices"
	"testing"

	"pourweek/model"
)

// A day, a week and a rest at their bounds. (2003/88/EC, articles 3 and 6; end
// 18:30 and start 05:00 give 10.5 h of rest, a breach: check values, section 7.)
func TestLongHoursAreFlagged(t *testing.T) {
	k := clockOf(t, "2027-03-01T00:00:00Z", "")
	b := &builder{clock: k}
	// on is work on day n from an hour to another, hours of it in all.
	on := func(n int, from, to, hours float64) stretch {
		at := func(h float64) model.Tick { return model.Tick(n*96) + model.Tick(h*4) }
		return stretch{iv: model.Interval{at(from), at(to)}, n: int64(hours * 4)}
	}
	week := func(hours ...float64) (l []stretch) {
		for n, h := range hours {
			l = append(l, on(n, 6, 6+h, h))
		}
		return l
	}
	for _, c := range []struct {
		name string
		work []stretch
		here model.Interval // hours of each day at which the person is there, to the next day
		long []string
	}{
		{"ten hours", []stretch{on(0, 6, 17, 10)}, model.Interval{6, 20}, []string{""}},
		{"more than ten", []stretch{on(0, 6, 17, 10.25)}, model.Interval{6, 20}, []string{"10.3 h on one day"}},
		{"eleven hours of rest", []stretch{on(0, 7, 18, 8), on(1, 5, 12, 7)}, model.Interval{5, 20}, []string{"", ""}},
		{"less rest", []stretch{on(0, 8, 18.5, 8), on(1, 5, 12, 7)}, model.Interval{5, 19}, []string{"", "10.5 h of rest before it"}},
		{"waiting is no rest", []stretch{on(0, 7, 8, 1), on(0, 14, 15, 1)}, model.Interval{7, 16}, []string{""}},
		{"48 hours", week(10, 10, 10, 10, 8), model.Interval{6, 20}, []string{"", "", "", "", ""}},
		{"more than 48", week(10, 10, 10, 10, 8.25), model.Interval{6, 20}, []string{"", "", "", "", "more than 48 h in the week"}},
		{"a long day does not hide a long week", week(10, 10, 10, 10, 11), model.Interval{6, 20},
			[]string{"", "", "", "", "11.0 h on one day and more than 48 h in the week"}},
		{"two weeks are two", []stretch{on(4, 7, 17, 10), on(5, 7, 17, 10), on(6, 7, 17, 10), on(7, 7, 17, 10), on(8, 7, 17, 10)},
			model.Interval{7, 18}, []string{"", "", "", "", ""}},
		{"a shift over midnight", []stretch{on(0, 18, 24, 5), on(1, 0, 2, 2), on(1, 18, 23, 5), on(2, 0.5, 2, 1)},
			model.Interval{18, 26}, []string{"", "", ""}},
		{"a long one", []stretch{on(0, 18, 24, 6), on(1, 0, 5, 5)}, model.Interval{18, 29}, []string{"11.0 h in one shift over midnight", ""}},
		{"little rest after it", []stretch{on(0, 18, 24, 5), on(1, 0, 2, 2), on(1, 9, 12, 3)}, model.Interval{18, 26}, []string{"", "7.0 h of rest before it"}},
		{"too little rest over midnight", []stretch{on(0, 14, 22, 8), on(1, 3, 6, 3)}, model.Interval{14, 22}, []string{"", "5.0 h of rest before it"}},
	} {
		var ivs []model.Interval
		for n := range model.Tick(10) {
			ivs = append(ivs, model.Interval{n*96 + c.here[0]*4, n*96 + c.here[1]*4})
		}
		days := b.personDays(c.work)
		b.flag(days, b.shifts(c.work, k.count(ivs)))
		var got []string
		for _, d := range days {
			got = append(got, d.Long)
		}
		if !slices.Equal(got, c.long) {
			t.Errorf("%s: the days are flagged %q, want %q", c.name, got, c.long)
		}
	}
}

// Seventeen stretches of 5 to 60 minutes make ten hours, and not a bit more.
func TestTenHoursOfManyStretchesAreTen(t *testing.T) {
	p := &model.Problem{Start: "2027-03-01T00:00:00Z", TickMinutes: 5, Horizon: 288, Open: []model.Interval{{0, 288}}}
	c, err := newClock(p, "")
	if err != nil {
		t.Fatal(err)
	}
	b := &builder{clock: c}
	var work []stretch
	at := model.Tick(72)
	for _, n := range []model.Tick{8, 5, 11, 9, 10, 12, 1, 7, 12, 9, 3, 9, 9, 4, 7, 1, 3} {
		work = append(work, stretch{iv: model.Interval{at, at + n}, n: int64(n)})
		at += n
	}
	for _, more := range []bool{false, true} {
		if more {
			work = append(work, stretch{iv: model.Interval{at, at + 1}, n: 1})
		}
		days := b.personDays(work)
		b.flag(days, b.shifts(work, c.count(p.Open)))
		if got := days[0].Long != ""; got != more {
			t.Errorf("%d ticks of 5 min: flagged %q", days[0].ticks, days[0].Long)
		}
	}
}

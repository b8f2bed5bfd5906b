package report

import (
	"testing"

	"pourweek/model"
)

// February of 2027 has 28 days, so that March has its weekdays: Mon 8 is in both.
func TestMomentsOfALongPlanNameTheirMonth(t *testing.T) {
	const hour, week = model.Tick(4), model.Tick(7 * 96)
	for _, c := range []struct {
		weeks model.Tick // of the plan
		at    model.Tick
		want  string
	}{
		{3, 7 * hour, "Mon 07:00"},
		{3, week + 7*hour, "Mon 8 07:00"},
		{3, 3*week - hour, "Sun 21 23:00"},
		{3, -week, "Mon 25 00:00"},
		{3, -week - hour, "Sun Jan 24 23:00"}, // as Sunday, the 24th of some later month
		{3, 3 * week, "Mon Feb 22 00:00"},
		{3, 5*week + 7*hour, "Mon Mar 8 07:00"}, // a due beyond the plan
		{6, 7 * hour, "Mon 07:00"},
		{6, week + 7*hour, "Mon Feb 8 07:00"},
		{6, 5*week + 7*hour, "Mon Mar 8 07:00"},
	} {
		p := &model.Problem{Start: "2027-02-01T00:00:00Z", TickMinutes: 15, Horizon: c.weeks * week}
		k, err := newClock(p, "")
		if err != nil {
			t.Fatal(err)
		}
		if got := k.moment(c.at).dayHour(); got != c.want {
			t.Errorf("in a plan of %d weeks tick %d is %q, want %q", c.weeks, c.at, got, c.want)
		}
		want := "Mon 8"
		if c.weeks > 3 {
			want = "Mon Feb 8"
		}
		if got := (&Board{long: k.long()}).shortDay("2027-02-08"); got != want {
			t.Errorf("in a plan of %d weeks the second Monday is %q, want %q", c.weeks, got, want)
		}
	}
}

package replan

import (
	"testing"
	"time"

	"pourweek/model"
	"pourweek/model/logbook"
)

// Hours that the log opens before the shop's own may not have a cover cured later
// than one of the morning: the week could not go on.
func TestExtraHoursKeepCuresInOrder(t *testing.T) {
	p, _ := example(t)
	q := Fresh(p, 10)
	c, err := clockOf(q)
	if err != nil {
		t.Fatal(err)
	}
	first := model.Tick(0) // the last morning
	for i := 1; i < len(q.Open); i++ {
		if q.Open[i][0] > q.Open[i-1][1]+20 {
			first = q.Open[i][0]
		}
	}
	q.Cures = []model.Cure{{ID: p.Cures[0].ID, Lag: model.Steps{{0, 70}, {int64(first) + 1, 60}}}}
	for i := range q.Pours {
		if q.Pours[i].Stage == model.New {
			q.Pours[i].Cure = p.Cures[0].ID
		}
	}
	at := func(n model.Tick) time.Time { return c.start.Add(time.Duration(n) * c.tick) }
	log := []logbook.Entry{{What: logbook.Extra, When: at(first - 5), Until: at(first), Which: q.People[0].ID}}
	if _, err := ApplyLog(q, log); err != nil {
		t.Fatal(err)
	}
	lag := q.Cures[0].Lag
	for n := first - 4; n <= first; n++ {
		if end := int64(n) + lag.At(n); end > int64(first)+1+60 || end < int64(first)+56 {
			t.Errorf("a cover that ends at %d is cured at %d, one that ends at %d at %d", n, end, first+1, int64(first)+61)
		}
	}
	if lag.At(first-5) != 70 || lag.At(first+1) != 60 || p.Cures[0].Lag.At(first) == lag.At(first) {
		t.Errorf("other curing times changed: %v, %v", lag, p.Cures[0].Lag)
	}
}

package report

import (
	"encoding/json"
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/replan"
)

// A batch that keeps its time is one line for people; programs find it as it is and
// as it was, as before, and that the two are one.
func TestABatchThatFeedsOtherPoursIsOneLine(t *testing.T) {
	w := &model.Week{Zone: "UTC", Currency: "USD",
		Problem: &model.Problem{Start: "2027-03-01T00:00:00Z", TickMinutes: 60, Horizon: 48, Open: []model.Interval{{7, 15}}}}
	c, err := BuildChanged(w, &replan.Changes{Batches: []replan.BatchChange{
		{Mix: "gray", Mixer: "drum", Start: 8, Pours: []string{"A-1/1", "A-3/1"}, Was: []string{"A-1/1", "A-2/1"}},
		{Mix: "gray", Mixer: "drum", Start: 9, Pours: []string{"A-2/1"}},
		{Mix: "white", Mixer: "pan", Start: 9, Pours: []string{"A-4/1"}, Dropped: true},
	}}, nil, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	want := "the batch of gray at Mon 08:00 is for A-1/1, A-3/1 now, not for A-1/1, A-2/1\n" +
		"a new batch of gray at Mon 09:00 for A-2/1\n" +
		"the batch of white at Mon 09:00 for A-4/1 is dropped"
	if got := strings.Join(c.lines(), "\n"); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	var said []string
	for _, b := range c.Batches {
		data, err := json.Marshal(struct {
			Pours, Was     []string
			Dropped, Stays bool
		}{b.Pours, b.Was, b.Dropped, b.Stays})
		if err != nil {
			t.Fatal(err)
		}
		said = append(said, string(data))
	}
	want = `{"Pours":["A-1/1","A-3/1"],"Was":["A-1/1","A-2/1"],"Dropped":false,"Stays":true}
{"Pours":["A-1/1","A-2/1"],"Was":[],"Dropped":true,"Stays":true}
{"Pours":["A-2/1"],"Was":[],"Dropped":false,"Stays":false}
{"Pours":["A-4/1"],"Was":[],"Dropped":true,"Stays":false}`
	if got := strings.Join(said, "\n"); got != want {
		t.Errorf("for programs: got\n%s\nwant\n%s", got, want)
	}
}

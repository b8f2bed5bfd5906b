package report

import (
	"slices"
	"testing"

	"pourweek/model"
)

// The shop's calendar ends with the other work of the plan; what is under way is
// other work, though nothing of its piece is left to plan.
func TestWorkUnderWayIsListedThoughItComesLast(t *testing.T) {
	hands := model.Crew{"hand": 1}
	fixed := func(id string, at model.Tick) model.Fixed {
		return model.Fixed{ID: id, Start: at, End: at + 1, Crew: hands}
	}
	seal := model.Interval{8, 9}
	w := &model.Week{Problem: &model.Problem{
		Start: "2027-03-01T00:00:00Z", TickMinutes: 60, Horizon: 96,
		Open:   []model.Interval{{7, 15}, {31, 39}, {55, 63}, {79, 87}},
		People: []model.Person{{ID: "Ann", Skills: []string{"hand"}, On: []model.Interval{{7, 15}, {31, 39}, {55, 63}, {79, 87}}}},
		Racks:  []model.Rack{{ID: "wall", Places: model.Steps{{0, 4}}}},
		Fixed: []model.Fixed{fixed("meeting 2027-03-01", 7), fixed("A-2/1.seal", 33), fixed("meeting 2027-03-02", 34),
			fixed("meeting 2027-03-03", 58), fixed("truck 2027-03-04 #2", 82)},
		Pours: []model.Pour{{ID: "A-1/1", Order: "A-1", Piece: "top", Stage: model.Racked, Rack: "wall", Places: 1, Due: 90,
			Finish: []model.Finish{{ID: "seal", Work: 1, Crew: hands}}}},
	}, Plan: &model.Plan{
		Pours: []model.PourPlan{{ID: "A-1/1", Rack: "wall", Finish: []*model.Interval{&seal}, Ready: 9,
			Who: model.PourWho{Finish: []model.Who{{"hand": {"Ann"}}}}}},
	}}
	b, err := Build(w)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, x := range b.Work {
		got = append(got, x.Step)
	}
	if want := []string{"meeting 2027-03-01", "seal", "A-2/1.seal", "meeting 2027-03-02"}; !slices.Equal(got, want) {
		t.Errorf("listed are %q, want %q", got, want)
	}
	if len(b.Days) != 2 || b.Days[1].Date != "2027-03-02" {
		t.Errorf("days %+v", b.Days)
	}
	w.Problem.Fixed = slices.Delete(w.Problem.Fixed, 1, 2) // without it, the plan ends on Monday
	if b, err = Build(w); err != nil || len(b.Work) != 2 {
		t.Errorf("got %+v, %v", b.Work, err)
	}
}

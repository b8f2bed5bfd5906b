package replan

import (
	"slices"
	"testing"

	"pourweek/model"
)

func TestDiffOfThePublishedPlanIsEmpty(t *testing.T) {
	p, plan := example(t)
	c, err := Diff(Published{p, plan}, p, plan, 96)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Moved)+len(c.New)+len(c.Carried)+len(c.Batches)+len(c.People)+len(c.Dates) != 0 || c.Count(0) != 0 {
		t.Errorf("got %+v", c)
	}
}

func TestDiffNamesWhatChanges(t *testing.T) {
	p, plan := example(t)
	next := *plan
	next.Pours = slices.Clone(plan.Pours)
	next.Batches = slices.Clone(plan.Batches)
	x := &next.Pours[0] // A101/1: another mold, an hour later, sealed a tick later
	x.Mold, x.Ready = "m2", x.Ready+1
	x.Layers = []model.Interval{{39, 40}, {41, 43}}
	x.Who.Prep = model.Who{"hand": {"cleo"}}
	next.Pours = slices.Delete(next.Pours, 1, 2) // A102/1 is carried, and its batch gone
	next.Batches = next.Batches[:1]
	c, err := Diff(Published{p, plan}, p, &next, 96)
	if err != nil {
		t.Fatal(err)
	}
	want := Moved{"A101/1", model.Spot{Mold: "m1", Start: 35}, model.Spot{Mold: "m2", Start: 39}}
	if len(c.Moved) != 1 || c.Moved[0] != want {
		t.Errorf("moved %+v", c.Moved)
	}
	if !slices.Equal(c.Carried, []string{"A102/1"}) || len(c.New) != 0 || c.Count(2) != 2 {
		t.Errorf("carried %v, count %d", c.Carried, c.Count(2))
	}
	if len(c.Batches) != 1 || !c.Batches[0].Dropped || c.Batches[0].Start != 50 || !slices.Equal(c.Batches[0].Pours, []string{"A102/1"}) {
		t.Errorf("batches %+v", c.Batches)
	}
	if len(c.Dates) != 1 || !c.Dates[0].Worse() || c.Dates[0].Due != p.Pours[0].Due {
		t.Errorf("dates %+v", c.Dates)
	}
	if !slices.Contains(c.People, "ada") || !slices.Contains(c.People, "cleo") {
		t.Errorf("people %v", c.People)
	}
	back, err := Diff(Published{p, &next}, p, plan, 96)
	if err != nil || !slices.Equal(back.New, []string{"A102/1"}) || len(back.Batches) != 1 || back.Batches[0].Dropped {
		t.Errorf("the other way round: %+v, %v", back, err)
	}
}

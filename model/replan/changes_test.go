package replan

import (
	"reflect"
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

// A pour that nobody asks for any more is dropped; one that is only shifted within
// the tolerance does not count as moved.
func TestDiffTellsDroppedPoursAndSlightShifts(t *testing.T) {
	p, plan := example(t)
	q, next := *p, *plan
	q.Pours, next.Pours = slices.Clone(p.Pours), slices.Clone(plan.Pours)
	q.Pours = slices.DeleteFunc(q.Pours, func(x model.Pour) bool { return x.ID == "A102/1" })
	next.Pours = slices.DeleteFunc(next.Pours, func(x model.PourPlan) bool { return x.ID == "A102/1" })
	next.Pours[0].Layers = []model.Interval{{37, 38}, {39, 41}}
	c, err := Diff(Published{p, plan}, &q, &next, 96)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(c.Dropped, []string{"A102/1"}) || len(c.Carried) != 0 {
		t.Errorf("dropped %v, carried %v", c.Dropped, c.Carried)
	}
	if len(c.Moved) != 1 || !c.Moved[0].Slight(2) || c.Moved[0].Slight(1) || c.Count(2) != 0 || c.Count(1) != 1 {
		t.Errorf("moved %+v, counted %d within 2 ticks and %d within 1", c.Moved, c.Count(2), c.Count(1))
	}
}

// A piece that was in its mold when the published week began, and that is cast
// again, is told; so is one that nobody asked for by then and that finds no room.
func TestDiffTellsWhatIsCastAgainAndWhatIsAskedForSince(t *testing.T) {
	p, plan := example(t)
	pub, q := *plan, *p
	pub.Pours = slices.Clone(plan.Pours)
	pub.Pours[0].Prep, pub.Pours[0].Layers, pub.Pours[0].Cover = nil, nil, nil // A101/1
	more := *named(p.Pours, func(x *model.Pour) bool { return x.ID == "A101/1" })
	more.ID = "A999/1"
	q.Pours = append(slices.Clone(p.Pours), more)
	c, err := Diff(Published{p, &pub}, &q, plan, 96)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(c.New, []string{"A101/1"}) || len(c.Moved) != 0 {
		t.Errorf("new %v, moved %v", c.New, c.Moved)
	}
	if !slices.Equal(c.NoRoom, []string{"A999/1"}) || len(c.Carried) != 0 || c.Count(0) != 0 {
		t.Errorf("no room for %v, carried %v", c.NoRoom, c.Carried)
	}
}

// Batches are told by what they feed: one that keeps its time and feeds other pours
// is one change, and one that only moves, with its pours, is none.
func TestBatchesThatKeepTheirTimeFeedOthers(t *testing.T) {
	load := func(start model.Tick, pours ...string) BatchChange {
		return BatchChange{Mix: "gray", Mixer: "drum", Start: start, Pours: pours}
	}
	was := func(b BatchChange, pours ...string) BatchChange { b.Was = pours; return b }
	dropped := func(b BatchChange) BatchChange { b.Dropped = true; return b }
	other := load(8, "A")
	other.Mixer = "pan"
	for _, c := range []struct {
		name           string
		old, now, want []BatchChange
	}{
		{"the same", []BatchChange{load(8, "A"), load(9, "A")}, []BatchChange{load(8, "A"), load(9, "A")}, nil},
		{"one more pour", []BatchChange{load(8, "A")}, []BatchChange{load(8, "A", "B")}, []BatchChange{was(load(8, "A", "B"), "A")}},
		{"moved", []BatchChange{load(8, "A")}, []BatchChange{load(9, "A")}, nil},
		{"they change places", []BatchChange{load(8, "A"), load(9, "B")}, []BatchChange{load(8, "B"), load(9, "A")}, nil},
		{"one of two keeps its time", []BatchChange{load(8, "A"), load(9, "A")}, []BatchChange{load(8, "A", "B"), load(10, "A")},
			[]BatchChange{was(load(8, "A", "B"), "A")}},
		{"the later one is gone", []BatchChange{load(8, "A"), load(9, "A")}, []BatchChange{load(9, "A")}, []BatchChange{dropped(load(8, "A"))}},
		{"another mixer", []BatchChange{load(8, "B")}, []BatchChange{other}, []BatchChange{other, dropped(load(8, "B"))}},
		{"another time", []BatchChange{load(8, "B")}, []BatchChange{load(9, "A")}, []BatchChange{dropped(load(8, "B")), load(9, "A")}},
	} {
		if got := batchChanges(c.old, c.now); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: got %+v, want %+v", c.name, got, c.want)
		}
	}
}

package replan

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"pourweek/model"
	"pourweek/model/logbook"
)

// example reads the problem and plan beside the planning model.
func example(t *testing.T) (*model.Problem, *model.Plan) {
	t.Helper()
	open := func(name string) *os.File {
		f, err := os.Open(filepath.Join("..", "..", "..", "shared", "spec", name))
		if err != nil {
			t.Skipf("the planning model's example is not here: %v", err)
		}
		t.Cleanup(func() { f.Close() })
		return f
	}
	p, err := model.ReadProblem("problem", open("example.problem.json"))
	if err != nil {
		t.Fatal(err)
	}
	plan, err := model.ReadPlan("plan", open("example.plan.json"))
	if err != nil {
		t.Fatal(err)
	}
	return p, plan
}

func pourOf(q *model.Problem, id string) *model.Pour {
	for i := range q.Pours {
		if q.Pours[i].ID == id {
			return &q.Pours[i]
		}
	}
	return nil
}

func fixedOf(q *model.Problem, id string) *model.Fixed {
	for i := range q.Fixed {
		if q.Fixed[i].ID == id {
			return &q.Fixed[i]
		}
	}
	return nil
}

func advanced(t *testing.T, now model.Tick, f Facts) (*model.Problem, []Note) {
	t.Helper()
	p, plan := example(t)
	q, notes, err := Advance(Fresh(p, now), p, plan, f)
	if err != nil {
		t.Fatal(err)
	}
	if is := q.Validate(); len(is) > 0 {
		t.Fatal(is)
	}
	return q, notes
}

func TestPreparedMoldNeedsOneTick(t *testing.T) {
	q, _ := advanced(t, 32, Facts{}) // A101/1 is prepared at 31, cast from 35; its batch is mixed from 32
	p := pourOf(q, "A101/1")
	if p.Stage != model.New || p.Molds[0].Mold != "m1" || p.Molds[0].Work != 1 || p.Molds[1].Work != 4 {
		t.Errorf("stage %s, molds %v", p.Stage, p.Molds)
	}
	if p.Base == nil || *p.Base != (model.Spot{Mold: "m1", Start: 35}) {
		t.Errorf("base %v", p.Base)
	}
	if q := pourOf(q, "A101/2"); q.Base != nil {
		t.Errorf("a carried pour has the base %v", q.Base)
	}
	if q, _ := advanced(t, 30, Facts{}); pourOf(q, "A101/1").Molds[0].Work != 1 {
		t.Error("one tick of a prep of three is left at 30")
	}
}

func TestCoatsUnderWayBecomeFixedWork(t *testing.T) {
	q, _ := advanced(t, 36, Facts{})
	p := pourOf(q, "A101/1")
	if p.Stage != model.Curing || p.Mold != "m1" || p.CureEnd != 104 || p.MoldUntil == nil || *p.MoldUntil != 40+288 {
		t.Errorf("got %+v", p)
	}
	for id, want := range map[string]model.Interval{"A101/1.backer": {37, 39}, "A101/1.cover": {39, 40}, "b1.wash": {37, 39}} {
		if x := fixedOf(q, id); x == nil || x.Start != want[0] || x.End != want[1] {
			t.Errorf("%s: %v, want %v", id, x, want)
		}
	}
	if x := fixedOf(q, "A101/1.face"); x != nil {
		t.Errorf("the face coat is over and stands as %v", x)
	}
	if q.Mixers[0].FreeFrom != 39 {
		t.Errorf("mixer free from %d", q.Mixers[0].FreeFrom)
	}
}

func TestABatchThatIsMixedBindsItsPour(t *testing.T) {
	q, _ := advanced(t, 34, Facts{}) // b1 is mixed from 32, A101/1 begins at 35
	if p := pourOf(q, "A101/1"); p.Stage != model.Curing || p.CureEnd != 104 {
		t.Errorf("got %+v", p)
	}
	if x := fixedOf(q, "A101/1.face"); x == nil || x.Start != 35 || x.Station != "spray-rig" {
		t.Errorf("face coat %v", x)
	}
	if x := fixedOf(q, "b1.remix"); x == nil || x.Start != 34 || x.End != 35 {
		t.Errorf("remix %v", x)
	}
}

func TestFinishStepUnderWay(t *testing.T) {
	q, _ := advanced(t, 134, Facts{}) // A101/1 is polished 132-136, then rests 48 before sealing
	p := pourOf(q, "A101/1")
	if p.Stage != model.Racked || p.Rack != "short" || p.Next != 2 || p.From != 136+48 || p.FromMax == nil || *p.FromMax != 136+288 {
		t.Errorf("got %+v", p)
	}
	if x := fixedOf(q, "A101/1.polish"); x == nil || x.Start != 134 || x.End != 136 || x.Crew["finish"] != 1 {
		t.Errorf("polish %v", x)
	}
	if pourOf(q, "A098/1") != nil {
		t.Error("a pour that is done is still there")
	}
}

func TestFactsChangeTheState(t *testing.T) {
	late := Facts{Poured: map[string]Poured{"A101/1": {38, ""}}}
	q, _ := advanced(t, 60, late)
	if p := pourOf(q, "A101/1"); p.Stage != model.Curing || p.CureEnd != 107 {
		t.Errorf("poured three ticks later it cures until 107, got %+v", p)
	}
	q, _ = advanced(t, 60, Facts{Waiting: map[string]string{"A101/1": ""}})
	if p := pourOf(q, "A101/1"); p.Stage != model.New {
		t.Errorf("a pour that has not begun is new, got %s", p.Stage)
	}
	q, _ = advanced(t, 60, Facts{Lost: map[string]model.Tick{"b1": 36}})
	if p := pourOf(q, "A101/1"); p.Stage != model.New || p.Molds[0].Work != 3 {
		t.Errorf("its batch was lost on it: it is poured again with a whole prep, got %+v", p)
	}
	q, _ = advanced(t, 130, Facts{Scrapped: map[string]model.Tick{"A101/1": 127}})
	if p := pourOf(q, "A101/1"); p.Stage != model.New || p.Release != 127 {
		t.Errorf("a scrapped piece is poured again, got %+v", p)
	}
	q, notes := advanced(t, 130, Facts{Scrapped: map[string]model.Tick{"A099/1": 127}})
	if pourOf(q, "A099/1") != nil || !slices.ContainsFunc(notes, func(n Note) bool { return n.Pour == "A099/1" }) {
		t.Errorf("a scrapped piece of an earlier week leaves with a note, got %v", notes)
	}
	q, _ = advanced(t, 134, Facts{Longer: map[string]map[string]model.Tick{"A101/1": {"polish": 3}}})
	if p := pourOf(q, "A101/1"); p.From != 139+48 || fixedOf(q, "A101/1.polish").End != 139 {
		t.Errorf("a longer polish ends at 139, got from %d", p.From)
	}
	q, _ = advanced(t, 120, Facts{Done: map[string]map[string]model.Tick{"A099/1": {"seal": 100}}})
	if pourOf(q, "A099/1") != nil {
		t.Error("a piece whose last step is logged as finished is still there")
	}
}

func TestFreezePinsWhatStartsSoon(t *testing.T) {
	q, _ := advanced(t, 41, Facts{}) // A102/1 is prepared 45-48 and cast at 53
	if ids := Freeze(q, 50); len(ids) != 0 {
		t.Errorf("pinned %v before 50", ids)
	}
	if ids := Freeze(q, 60); !slices.Equal(ids, []string{"A102/1"}) || pourOf(q, "A102/1").Pin.Start != 53 {
		t.Errorf("pinned %v", ids)
	}
}

func TestApplyLog(t *testing.T) {
	p, _ := example(t)
	start, err := time.Parse(time.RFC3339, p.Start)
	if err != nil {
		t.Fatal(err)
	}
	at := func(tick int) time.Time { return start.Add(time.Duration(tick) * 15 * time.Minute) }
	q := Fresh(p, 40)
	_, err = ApplyLog(q, []logbook.Entry{
		{When: at(40), What: logbook.MoldDown, Which: "m1", Until: at(60)},
		{When: at(40), What: logbook.MixerDown, Which: "mixer-1", Until: at(126)},
		{When: at(52), What: logbook.Away, Which: "ben", Until: at(130)},
		{When: at(62), What: logbook.Extra, Which: "cleo", Until: at(70)},
		{When: at(40), What: logbook.Places, Which: "long", Count: 1, Until: at(100)},
		{When: at(40), What: logbook.Order, Which: "N1", Piece: "planter-60", Count: 2, Until: at(440)},
		{When: at(40), What: logbook.Due, Which: "A102", Until: at(300)},
		{When: at(40), What: logbook.Cancel, Which: "A103"},
	})
	if err != nil {
		t.Fatal(err)
	}
	if is := q.Validate(); len(is) > 0 {
		t.Fatal(is)
	}
	if q.Molds[0].Down[0] != (model.Interval{40, 60}) || q.Mixers[0].Down[0] != (model.Interval{40, 128}) {
		t.Errorf("down %v, %v", q.Molds[0].Down, q.Mixers[0].Down)
	}
	if on := q.People[1].On; on[1] != (model.Interval{50, 52}) || on[2] != (model.Interval{130, 144}) {
		t.Errorf("ben is there %v", on)
	}
	if on := q.People[2].On; on[1] != (model.Interval{50, 70}) || q.Open[1] != (model.Interval{50, 70}) || q.Overtime[0] != (model.Interval{62, 70}) {
		t.Errorf("cleo is there %v, open %v", on, q.Open)
	}
	if r := q.Racks[1].Places; r.At(50) != 1 || r.At(100) != 2 {
		t.Errorf("places %v", r)
	}
	if x := pourOf(q, "N1/2"); x == nil || x.Due != 440 || x.LatePerTick == 0 {
		t.Errorf("new order %+v", x)
	}
	if pourOf(q, "A102/1").Due != 300 || pourOf(q, "A103/1") != nil {
		t.Error("due and cancel are not worked in")
	}
}

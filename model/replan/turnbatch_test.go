package replan

import (
	"slices"
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
)

// Batches that wait with a coat are ready for the first coat that they feed, also of
// another casting, no two are in a mixer at a time, and of each batch it is said at
// most once that it gets too old. The seeds are those of a few thousand of which one
// or the other was wrong once.
func TestBatchesWaitWithTheirCoats(t *testing.T) {
	waited, moved := 0, 0
	for _, seed := range []uint64{1060, 1231, 2731, 3817, 3860} {
		p := modeltest.Random(seed, modeltest.Options{MaxPours: 12})
		plan := searched(t, p).Plan
		for _, x := range plan.Pours {
			for j, iv := range x.Layers {
				y := pourOf(p, x.ID).Layers[j]
				if y.Station == "" || iv[0] < p.Now || iv[0]+1 >= p.PourUntil {
					continue
				}
				q, notes, err := Advance(Fresh(p, iv[0]+1), p, plan, Facts{Longer: map[string]map[string]model.Tick{x.ID: {y.ID: 4}}})
				if err != nil {
					t.Fatal(err)
				}
				said := map[string]bool{}
				for _, n := range notes {
					if strings.Contains(n.Text, "waits for a place of") {
						waited++
					}
					if strings.Contains(n.Text, "past its pot life") && said[n.Pour] {
						t.Errorf("seed %d at %d: said twice: %v", seed, q.Now, notes)
					}
					said[n.Pour] = said[n.Pour] || strings.Contains(n.Text, "past its pot life")
				}
				moved += batchesHold(t, p, q, plan)
			}
		}
	}
	t.Logf("%d coats waited, %d batches moved", waited, moved)
	if waited < 10 || moved == 0 {
		t.Errorf("%d coats waited, %d batches moved", waited, moved)
	}
}

// batchesHold tests the batches of fixed work that are still to be mixed, and returns
// how many of them are mixed later than planned.
func batchesHold(t *testing.T, p, q *model.Problem, plan *model.Plan) int {
	t.Helper()
	moved := 0
	var use []model.Interval
	var of []model.BatchPlan
	for _, b := range plan.Batches {
		mix, remix := fixedOf(q, b.ID+".mix"), fixedOf(q, b.ID+".remix")
		if mix == nil || b.Start < q.Now {
			continue
		}
		if mix.Start > b.Start {
			moved++
		}
		end := mix.End
		if remix != nil {
			end = max(end, remix.End)
		}
		for _, x := range plan.Pours {
			for i, id := range x.Draws {
				if id != b.ID {
					continue
				}
				src := pourOf(p, x.ID)
				for _, j := range src.Draws[i].Layers {
					if f := fixedOf(q, x.ID+"."+src.Layers[j].ID); f != nil && f.Start < end {
						t.Errorf("%s at %d: %s is ready at %d, and %s begins at %d", q.Name, q.Now, b.ID, end, f.ID, f.Start)
					}
				}
			}
		}
		if w := fixedOf(q, b.ID+".wash"); w != nil {
			end = max(end, w.End)
		}
		iv := model.Interval{mix.Start, end}
		for k := range use {
			if of[k].Mixer == b.Mixer && use[k][0] < iv[1] && iv[0] < use[k][1] {
				t.Errorf("%s at %d: %s and %s are both in %s", q.Name, q.Now, of[k].ID, b.ID, b.Mixer)
			}
		}
		use, of = append(use, iv), append(of, b)
	}
	return moved
}

// What the log says of a start, and work that stands fixed, hold a station however
// the others wait; a coat waits until it may start, and the cover after it for the
// shop to open where its gap allows.
func TestTurnsGoRoundWhatIsTold(t *testing.T) {
	pub := &model.Problem{TickMinutes: 5, Start: "2027-03-01T00:00:00Z", Horizon: 200,
		Open: []model.Interval{{0, 44}, {50, 70}, {80, 150}}, Stations: []model.Station{{ID: "rig", Places: 1}},
		Fixed: []model.Fixed{{ID: "service", Start: 30, End: 34, Station: "rig"}}}
	cast := func(id string, from, to model.Tick, when ...model.Interval) *life {
		p := &model.Pour{ID: id, Stage: model.New, Layers: []model.Layer{{ID: "face", Work: to - from, Station: "rig", When: when}},
			Cover: model.Cover{Work: 2, Gap: model.Interval{1, 12}}}
		return &life{pour: p, layers: []model.Interval{{from, to}}, cover: &model.Interval{to + 3, to + 5}, forced: true}
	}
	for _, c := range []struct {
		when        []model.Interval
		from, cover model.Tick
		notes       []string
	}{
		{nil, 34, 50, []string{"waits"}},                                     // 34 to 41, and the shop closes at 44 until 50
		{[]model.Interval{{0, 30}, {36, 40}}, 36, 50, []string{"waits"}},     // not before 36
		{[]model.Interval{{0, 30}, {62, 70}}, 62, 80, []string{"waits"}},     // to 69, and the cover within 12 of it
		{[]model.Interval{{0, 30}, {140, 145}}, 140, 148, []string{"waits"}}, // the cover as soon as it can be: 150 is too late
	} {
		long, b, told := cast("long", 10, 20), cast("b", 15, 22, c.when...), cast("told", 21, 30)
		a := &advance{q: pub, pub: pub, now: 22, cal: newCalendar(pub), lives: []*life{long, b, told},
			facts: Facts{Poured: map[string]Poured{"told": {At: 21}}}}
		b.layers[0] = model.Interval{16, 23}
		a.takeTurns()
		if long.layers[0] != (model.Interval{10, 20}) || told.layers[0] != (model.Interval{21, 30}) {
			t.Errorf("%v: what is done or told moved: %v, %v", c.when, long.layers, told.layers)
		}
		if b.layers[0][0] != c.from || b.cover[0] != c.cover {
			t.Errorf("%v: face from %d, cover from %d; want %d, %d", c.when, b.layers[0][0], b.cover[0], c.from, c.cover)
		}
		if len(a.notes) != len(c.notes) || !slices.ContainsFunc(a.notes, func(n Note) bool { return strings.Contains(n.Text, c.notes[0]) }) {
			t.Errorf("%v: notes %v", c.when, a.notes)
		}
	}
}

// A coat that the log has begun, as it has it take longer, does not wait for one that
// began after it; one that the plan alone has begun does, and its mold may have stood
// prepared too long then.
func TestBegunCoatsDoNotWait(t *testing.T) {
	for _, longer := range []model.Tick{0, 3} {
		pub := &model.Problem{TickMinutes: 5, Start: "2027-03-01T00:00:00Z", Horizon: 200,
			Open: []model.Interval{{0, 150}}, Stations: []model.Station{{ID: "rig", Places: 1}}}
		cast := func(id string, from, to model.Tick) *life {
			p := &model.Pour{ID: id, Stage: model.New, Layers: []model.Layer{{ID: "face", Work: to - from, Station: "rig"}}}
			return &life{pour: p, layers: []model.Interval{{from, to}}, cover: &model.Interval{to + 3, to + 5}}
		}
		b, told := cast("b", 20, 27), cast("told", 21, 30)
		b.prep, b.pour.PrepMax = &model.Interval{10, 19}, new(model.Tick)
		*b.pour.PrepMax = 5
		b.longer = map[string]model.Tick{"face": longer}
		a := &advance{q: pub, pub: pub, now: 22, cal: newCalendar(pub), lives: []*life{b, told},
			facts: Facts{Poured: map[string]Poured{"told": {At: 21}}}}
		a.takeTurns()
		want := model.Interval{30, 37}
		if longer > 0 {
			want = model.Interval{20, 27}
		}
		if b.layers[0] != want || len(a.notes) != map[bool]int{true: 2}[longer == 0] {
			t.Errorf("longer by %d: face at %v, want %v; notes %v", longer, b.layers[0], want, a.notes)
		}
	}
}

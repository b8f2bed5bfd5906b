package why

import (
	"cmp"
	"context"
	"slices"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/solve"
)

func TestTightCountsWithinWhatThereIs(t *testing.T) {
	waited := 0
	for seed := uint64(1); seed <= 30; seed++ {
		p := modeltest.Toy(seed)
		plan, _, ok := oracle.Best(p)
		if !ok || plan == nil || len(plan.Pours) == 0 {
			continue
		}
		used := 0
		for _, l := range Tight(p, plan) {
			if l.Used < 0 || l.Used > l.Of || l.Waited < 0 {
				t.Errorf("seed %d: %+v", seed, l)
			}
			if l.Used > 0 {
				used++
			}
			if l.Waited > 0 {
				waited++
			}
		}
		if used == 0 {
			t.Errorf("seed %d: a plan with pours uses nothing", seed)
		}
	}
	if waited == 0 {
		t.Error("nothing was ever waited for")
	}
}

// What is scarce in a shop of three days of eight ticks is waited for in the open
// ticks in which a step could have begun, by hand, and not at night.
func TestWaitingCountsOpenTicksOfWhatIsScarce(t *testing.T) {
	for _, k := range []struct {
		name   string
		do     func(p *model.Problem)
		of     string
		waited func(last *model.PourPlan) model.Tick // by the pour that is ready last
	}{
		{"both take turns in the only mold: the first day and the demold", func(p *model.Problem) {
			p.Molds = p.Molds[:1]
			p.Pours[0].Molds, p.Pours[1].Molds = p.Pours[0].Molds[:1], p.Pours[1].Molds[:1]
		}, "mold m1", func(*model.PourPlan) model.Tick { return 8 + 1 }},
		{"the only mold is down on the first day", func(p *model.Problem) {
			p.Molds, p.Pours = p.Molds[:1], p.Pours[:1]
			p.Pours[0].Molds = p.Pours[0].Molds[:1]
			p.Molds[0].Down = []model.Interval{{0, 20}}
		}, "mold m1", func(*model.PourPlan) model.Tick { return 8 }},
		{"both honers load a truck on the second day, whose last tick is too short for the step", func(p *model.Problem) {
			p.Fixed = append(p.Fixed, model.Fixed{ID: "truck", Start: 33, End: 40, Crew: model.Crew{"hone": 2}})
			p.Pours = p.Pours[:1]
		}, "crew hone", func(*model.PourPlan) model.Tick { return 6 }},
		{"the second day is overtime but for its first tick", func(p *model.Problem) {
			p.Fixed = append(p.Fixed, model.Fixed{ID: "truck", Start: 33, End: 40, Crew: model.Crew{"hone": 2}})
			p.Overtime = []model.Interval{{33, 40}}
			p.Pours = p.Pours[:1]
		}, "crew hone", func(*model.PourPlan) model.Tick { return 0 }},
		{"both take turns at the only bench", func(p *model.Problem) { p.Stations[0].Places = 1 }, "station bench",
			func(*model.PourPlan) model.Tick { return 2 }},
		{"the rack has no place on the second day", func(p *model.Problem) {
			p.Racks[0].Places = model.Steps{{0, 0}, {40, 2}}
			p.Costs.Idle = 1 // so that it is cast at once
			p.Pours = p.Pours[:1]
		}, "rack r1", func(*model.PourPlan) model.Tick { return 8 }},
		{"one mixer load feeds one piece, and washing takes long", func(p *model.Problem) {
			p.Mixers[0].Capacity = 35_000
			p.Mixes[0].Wash = 3
			p.People[5].Skills = []string{"mix"}
			p.Costs.Batch = 1
		}, "mixer mx1", func(x *model.PourPlan) model.Tick { return x.Layers[0][0] - x.Prep[1] }},
	} {
		p := smallShop()
		k.do(p)
		if is := p.Validate(); len(is) > 0 {
			t.Fatal(k.name, is)
		}
		r, err := solve.Solve(context.Background(), p, solve.Options{Seed: 1, Work: 2000})
		if err != nil || r.Plan == nil || len(r.Plan.Pours) != len(p.Pours) {
			t.Fatalf("%s: %v, %v", k.name, r, err)
		}
		last := slices.MaxFunc(r.Plan.Pours, func(x, y model.PourPlan) int {
			return cmp.Or(cmp.Compare(x.Ready, y.Ready), cmp.Compare(x.Layers[0][0], y.Layers[0][0]))
		})
		found := false
		for _, l := range Tight(p, r.Plan) {
			if l.Name == k.of {
				found = true
				if want := k.waited(&last); l.Waited != want || want > 0 && l.Pour != last.ID {
					t.Errorf("%s: %+v, want %d ticks for %s", k.name, l, want, last.ID)
				}
			}
		}
		if !found {
			t.Errorf("%s: no load is %q", k.name, k.of)
		}
	}
}

// A place that a pour holds over a span counts as used, in open ticks.
func TestSpansUseTheirStation(t *testing.T) {
	p := smallShop()
	p.Pours, p.Costs.Idle = p.Pours[:1], 1
	p.Stations = append(p.Stations, model.Station{ID: "tent", Places: 1})
	p.Pours[0].Spans = []model.Span{{Station: "tent", From: "cover.start", To: "demold.end"}}
	r, err := solve.Solve(context.Background(), p, solve.Options{Seed: 1, Work: 2000})
	if err != nil || r.Plan == nil || len(r.Plan.Pours) != 1 {
		t.Fatal(r, err)
	}
	x := &r.Plan.Pours[0]
	want := model.TicksIn(p.Open, x.Cover[0], x.Demold[1])
	i := slices.IndexFunc(Tight(p, r.Plan), func(l Load) bool { return l.Name == "station tent" && l.Used == want })
	if i < 0 || want < 4 {
		t.Errorf("the tent is held for %d open ticks: %+v", want, Tight(p, r.Plan))
	}
}

// Places that a shipment holds until its truck leaves count as used, as far as the
// hours are looked at: until the last piece is ready.
func TestHeldPlacesCountAsUsed(t *testing.T) {
	for _, hold := range []bool{false, true} {
		p := smallShop()
		first := p.Pours[0].ID
		p.Pours[1].Release = 32 // so that the other is ready a day before
		p.Shipments = []model.Shipment{{ID: "early", Pours: []string{first}, Due: p.Horizon, Trucks: []model.Tick{p.Horizon - 1}, Hold: hold}}
		r, err := solve.Solve(context.Background(), p, solve.Options{Seed: 1, Work: 2000})
		if err != nil || r.Plan == nil || len(r.Plan.Pours) != 2 {
			t.Fatal(r, err)
		}
		var want, end, held model.Tick
		for _, x := range r.Plan.Pours {
			end = max(end, x.Ready)
		}
		for i, x := range r.Plan.Pours {
			until := x.Ready
			if hold && x.ID == first {
				until, held = end, end-x.Ready
			}
			if x.Rack == "r1" {
				want += (until - x.Demold[0]) * model.Tick(p.Pours[i].Places)
			}
		}
		if hold && held == 0 {
			t.Error("the shipment holds nothing longer than its piece needs, so nothing was tested")
		}
		i := slices.IndexFunc(Tight(p, r.Plan), func(l Load) bool { return l.Name == "rack r1" && l.Used == want })
		if i < 0 || want == 0 {
			t.Errorf("hold %v: the rack's places are held for %d ticks: %+v", hold, want, Tight(p, r.Plan))
		}
	}
}

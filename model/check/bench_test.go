package check

import (
	"pourweek/model"
)

func ptr[T any](v T) *T { return &v }

func iv(a, b model.Tick) *model.Interval { return &model.Interval{a, b} }

// benchProblem is a small week with every optional rule: pours A and B new, C
// curing, D racked. All data invented.
func benchProblem() *model.Problem {
	open := []model.Interval{{10, 40}, {50, 80}, {110, 140}, {150, 180}}
	short := []model.Interval{{10, 30}, {50, 70}, {110, 140}, {150, 180}}
	mix := func(id string) model.Mix {
		return model.Mix{
			ID: id, Mix: 1, Rest: 1, Remix: 1, Wash: 2, WashGap: model.Interval{0, 4}, Crew: model.Crew{"mix": 1},
			Loss: 1000, Min: 10000, Step: 5000, PotLife: model.Steps{{0, 8}}, Mixers: []string{"mx"},
		}
	}
	p := &model.Problem{
		Format: model.ProblemFormat, Name: "bench", Start: "2027-03-01T00:00:00Z", TickMinutes: 15,
		Horizon: 200, PourUntil: 100, Now: 10, MoveTolerance: 2, Open: open,
		Overtime: []model.Interval{{30, 40}, {70, 80}},
		People: []model.Person{
			{ID: "ann", Skills: []string{"hand", "spray", "mix"}, On: open},
			{ID: "bo", Skills: []string{"hand", "finish"}, On: open},
			{ID: "cy", Skills: []string{"hand", "mix"}, On: short},
		},
		Mixers: []model.Mixer{
			{ID: "mx", Capacity: 50000, FreeFrom: 10, Down: []model.Interval{{110, 115}}, Keep: ptr(model.Tick(4))},
			{ID: "my", Capacity: 50000},
		},
		Mixes: []model.Mix{mix("gray"), mix("white")},
		Molds: []model.Mold{{ID: "m1", FreeFrom: 12, Down: []model.Interval{{150, 160}}}, {ID: "m2"}},
		Racks: []model.Rack{{ID: "r", Places: model.Steps{{0, 2}}}, {ID: "r2", Places: model.Steps{{0, 1}}}},
		Stations: []model.Station{
			{ID: "rig", Places: 1}, {ID: "hoist", Places: 1}, {ID: "tent", Places: 1},
		},
		Cures: []model.Cure{{ID: "night", Lag: model.Steps{{0, 20}}}},
		Fixed: []model.Fixed{{ID: "load", Start: 60, End: 62, Crew: model.Crew{"hand": 1}, Station: "hoist"}},
		Callins: []model.Callin{
			{From: 150, To: 180, Cost: 7},
		},
		Shipments: []model.Shipment{
			{ID: "AB", Pours: []string{"A", "B"}, Due: 50, LatePerTick: 3, Trucks: []model.Tick{30, 65}, Hold: true},
		},
		Costs: model.Costs{Idle: 11, Held: 13, RackWait: 17, Overtime: 19, Batch: 23, Waste: 1, Move: 29},
	}
	p.Mixes[0].WashBefore = map[string]model.Tick{"gray": 1, "white": 0}
	finish := []model.Finish{
		{ID: "grind", Work: 2, Crew: model.Crew{"finish": 1}, Pausable: true},
		{ID: "seal", Work: 2, Crew: model.Crew{"hand": 1}, Rest: 4, RestMax: ptr(model.Tick(60))},
	}
	demold := model.Demolding{Work: 2, Crew: model.Crew{"hand": 2}, Station: "hoist"}
	pour := func(id string) model.Pour {
		return model.Pour{
			ID: id, Order: "o", Piece: "slab", Stage: model.New, Release: 11, Due: 55, LatePerTick: 31, Carry: 1000,
			Molds: []model.MoldChoice{{Mold: "m1", Work: 2}, {Mold: "m2", Work: 3}},
			Prep:  model.Demand{Crew: model.Crew{"hand": 1}}, PrepMax: ptr(model.Tick(10)),
			Layers: []model.Layer{
				{ID: "face", Work: 1, Crew: model.Crew{"spray": 1}, Station: "rig", When: []model.Interval{{12, 38}, {50, 75}, {110, 130}}},
				{ID: "back", Work: 2, Crew: model.Crew{"hand": 1}, Gap: model.Interval{1, 3}},
			},
			Draws: []model.Draw{{Mix: "gray", Grams: 20000, Layers: []int{0, 1}}},
			Cover: model.Cover{Work: 1, Crew: model.Crew{"hand": 1}, Gap: model.Interval{0, 2}},
			Cure:  "night", MoldMax: ptr(model.Tick(60)), Demold: demold, Racks: []string{"r"}, Places: 1,
			Spans:  []model.Span{{Station: "tent", From: "cover.start", To: "demold.start"}},
			Finish: finish, Base: &model.Spot{Mold: "m1", Start: 16},
		}
	}
	c := model.Pour{
		ID: "C", Order: "o", Piece: "slab", Stage: model.Curing, Due: 20, LatePerTick: 37, Mold: "m2", CureEnd: 12,
		MoldUntil: ptr(model.Tick(20)), Demold: demold, Racks: []string{"r"}, Places: 1, Finish: finish,
		Spans: []model.Span{{Station: "tent", From: "cover.start", To: "demold.start"}},
	}
	d := model.Pour{
		ID: "D", Order: "o", Piece: "slab", Stage: model.Racked, Due: 60, Rack: "r", Places: 1, Next: 1, From: 11,
		FromMax: ptr(model.Tick(40)), Finish: finish,
	}
	p.Pours = []model.Pour{pour("A"), pour("B"), c, d}
	return p
}

// benchPlan is an allowed plan of benchProblem.
func benchPlan() *model.Plan {
	hand := func(ids ...string) model.Who { return model.Who{"hand": ids} }
	return &model.Plan{
		Format: model.PlanFormat, Problem: "bench",
		Batches: []model.BatchPlan{{
			ID: "b1", Mixer: "mx", Mix: "gray", Start: 14, Wash: model.Interval{18, 20},
			Who: model.BatchWho{Mix: model.Who{"mix": {"cy"}}, Remix: model.Who{"mix": {"cy"}}, Wash: model.Who{"mix": {"cy"}}},
		}},
		Pours: []model.PourPlan{
			{
				ID: "A", Mold: "m1", Rack: "r", Prep: iv(12, 14), Layers: []model.Interval{{17, 18}, {19, 21}}, Cover: iv(21, 22),
				CureEnd: ptr(model.Tick(42)), Demold: iv(50, 52), Finish: []*model.Interval{iv(52, 54), iv(58, 60)},
				Draws: []string{"b1"}, Ready: 60,
				Who: model.PourWho{
					Prep: hand("bo"), Layers: []model.Who{{"spray": {"ann"}}, hand("ann")}, Cover: hand("bo"),
					Demold: hand("ann", "bo"), Finish: []model.Who{{"finish": {"bo"}}, hand("ann")},
				},
			},
			{
				ID: "C", Mold: "m2", Rack: "r", CureEnd: ptr(model.Tick(12)), Demold: iv(14, 16),
				Finish: []*model.Interval{iv(16, 18), iv(22, 24)}, Ready: 24,
				Who: model.PourWho{Demold: hand("ann", "bo"), Finish: []model.Who{{"finish": {"bo"}}, hand("ann")}},
			},
			{
				ID: "D", Rack: "r", Finish: []*model.Interval{nil, iv(12, 14)}, Ready: 14,
				Who: model.PourWho{Finish: []model.Who{nil, hand("ann")}},
			},
		},
		Carried: []string{"B"},
		Fixed:   map[string]model.Who{"load": hand("ann")},
		Cost:    model.Unstated,
	}
}

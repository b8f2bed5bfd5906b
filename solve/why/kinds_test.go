package why

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"pourweek/model"
	"pourweek/solve"
)

// smallShop is a week of three days of eight ticks in which a piece that has the
// shop to itself is ready at tick 35: mixed and prepared at 8, coated at 9,
// covered at 10, cured from 11 to 23, demolded at 32 and honed from 33 to 35.
// There are hands, molds, places and stations for two such pieces at a time.
func smallShop() *model.Problem {
	open := []model.Interval{{8, 16}, {32, 40}, {56, 64}}
	none := []model.Interval{}
	p := &model.Problem{
		Format: model.ProblemFormat, Name: "small", Start: "2027-03-01T00:00:00Z", TickMinutes: 60, Horizon: 72, PourUntil: 48,
		Open: open, Overtime: none, Fixed: []model.Fixed{},
		Racks:    []model.Rack{{ID: "r1", Places: model.Steps{{0, 2}}}},
		Stations: []model.Station{{ID: "bench", Places: 2}},
		Cures:    []model.Cure{{ID: "night", Lag: model.Steps{{0, 12}}}},
		Mixers:   []model.Mixer{{ID: "mx1", Capacity: 90_000, Down: none}},
		Molds:    []model.Mold{{ID: "m1", Down: none}, {ID: "m2", Down: none}},
		Mixes: []model.Mix{{ID: "gray", Mix: 1, WashGap: model.Interval{0, 0}, Crew: model.Crew{"mix": 1}, Min: 20_000, Step: 5000,
			PotLife: model.Steps{{0, 4}}, Mixers: []string{"mx1"}}},
	}
	for i, skills := range [][]string{{"hand"}, {"hand"}, {"hone"}, {"hone"}, {"mix"}, {"guard"}} {
		p.People = append(p.People, model.Person{ID: fmt.Sprint("p", i+1), Skills: skills, On: open})
	}
	for _, id := range []string{"A", "B"} {
		hand := model.Crew{"hand": 1}
		p.Pours = append(p.Pours, model.Pour{
			ID: id, Order: "A", Piece: "piece", Stage: model.New, Due: 35, LatePerTick: 100, Carry: 50_000, Cure: "night", Places: 1,
			Molds:  []model.MoldChoice{{Mold: "m1", Work: 1}, {Mold: "m2", Work: 1}},
			Prep:   model.Demand{Crew: hand},
			Layers: []model.Layer{{ID: "face", Work: 1, Crew: hand}},
			Draws:  []model.Draw{{Mix: "gray", Grams: 20_000, Layers: []int{0}}},
			Cover:  model.Cover{Work: 1, Crew: hand, Gap: model.Interval{0, 0}},
			Demold: model.Demolding{Work: 1, Crew: hand}, Racks: []string{"r1"},
			Finish: []model.Finish{{ID: "hone", Work: 2, Crew: model.Crew{"hone": 1}, Station: "bench"}},
		})
	}
	return p
}

// kinds are shops with one thing scarce for A by tick 35, and the least cause,
// worked out by hand. B is planned to be ready at 35.
var kinds = []struct {
	name string
	do   func(p *model.Problem)
	want []Fact
}{
	{"both honers load a truck on the second day", func(p *model.Problem) {
		p.Fixed = append(p.Fixed, model.Fixed{ID: "truck", Start: 32, End: 40, Crew: model.Crew{"hone": 2}})
		p.Pours = p.Pours[:1]
	}, []Fact{{Crew, "hone"}}},
	{"the honers come late on the second day", func(p *model.Problem) {
		late := []model.Interval{{8, 16}, {36, 40}, {56, 64}}
		p.People[2].On, p.People[3].On = late, late
		p.Pours = p.Pours[:1]
	}, []Fact{{Hours, ""}, {Crew, "hone"}}},
	{"one honer goes home before he could be done, the other comes too late", func(p *model.Problem) {
		p.People[2].On = []model.Interval{{8, 16}, {32, 34}, {56, 64}}
		p.People[3].On = []model.Interval{{8, 16}, {34, 40}, {56, 64}}
		p.Pours = p.Pours[:1]
	}, []Fact{{Hours, ""}, {Crew, "hone"}}},
	{"the molds are in use until the second day", func(p *model.Problem) {
		p.Molds[0].FreeFrom, p.Molds[1].Down = 32, []model.Interval{{10, 34}}
		p.Pours = p.Pours[:1]
	}, []Fact{{Down, "m2"}, {Molds, ""}}},
	{"one mold is down, and B is in the other", func(p *model.Problem) {
		p.Molds[0].Down = []model.Interval{{9, 30}}
	}, []Fact{{Others, ""}, {Down, "m1"}, {Molds, ""}}},
	{"one mold is down, and nobody is in the other", func(p *model.Problem) {
		p.Molds[0].Down = []model.Interval{{9, 30}}
		p.People[2].Skills, p.People[3].Skills = []string{"guard"}, []string{"guard"}
		p.Pours = p.Pours[:1]
	}, []Fact{{Crew, "hone"}}},
	{"the rack is full until the evening of the second day", func(p *model.Problem) {
		p.Racks[0].Places = model.Steps{{0, 0}, {34, 2}}
		p.Pours = p.Pours[:1]
	}, []Fact{{Places, "r1"}}},
	{"the benches are held on the second day", func(p *model.Problem) {
		for _, id := range []string{"crate", "box"} {
			p.Fixed = append(p.Fixed, model.Fixed{ID: id, Start: 34, End: 36, Crew: model.Crew{}, Station: "bench"})
		}
		p.Pours = p.Pours[:1]
	}, []Fact{{Rigs, "bench"}}},
	{"the mixer is down on the first day", func(p *model.Problem) {
		p.Mixers[0].Down = []model.Interval{{9, 16}}
		p.Mixers[0].FreeFrom = 9
		p.Pours = p.Pours[:1]
	}, []Fact{{Mixers, ""}}},
	{"B holds the only mold", func(p *model.Problem) {
		p.Molds = p.Molds[:1]
		for i := range p.Pours {
			p.Pours[i].Molds = p.Pours[i].Molds[:1]
		}
	}, []Fact{{Others, ""}, {Molds, ""}}},
	{"B needs the only honer", func(p *model.Problem) { p.People[3].Skills = []string{"guard"} }, []Fact{{Others, ""}, {Crew, "hone"}}},
	{"B is on the only place of the rack", func(p *model.Problem) { p.Racks[0].Places = model.Steps{{0, 1}} }, []Fact{{Others, ""}, {Places, "r1"}}},
	{"B is at the only bench", func(p *model.Problem) { p.Stations[0].Places = 1 }, []Fact{{Others, ""}, {Rigs, "bench"}}},
	{"B is in the only mixer, which takes one batch on the first day", func(p *model.Problem) {
		p.People[5].Skills = []string{"mix"}
		p.Mixers[0].Capacity = 35_000 // too small for both
		p.Mixers[0].Down = []model.Interval{{9, 32}}
	}, []Fact{{Others, ""}, {Mixers, ""}}},
	{"the hands are too few for A and B at a time", func(p *model.Problem) { p.People[1].Skills = []string{"guard"} }, []Fact{{Others, ""}, {Crew, "hand"}}},
}

// For each kind of fact the kernel names the least cause that is known by hand,
// and plans show that each of its facts is needed.
func TestCauseOfEachKind(t *testing.T) {
	for _, k := range kinds {
		t.Run(k.name, func(t *testing.T) {
			p := smallShop()
			k.do(p)
			if is := p.Validate(); len(is) > 0 {
				t.Fatal(is)
			}
			plan := &model.Plan{Pours: []model.PourPlan{{ID: "A", Ready: 59}, {ID: "B", Ready: 35}}}
			a := &Asker{Problem: p, Plan: plan, Pour: "A", Due: 35, Solve: solve.Solve, Work: 2000}
			c, err := a.Cause(context.Background())
			if err != nil {
				t.Fatal(err)
			}
			if c.Impossible != No || c.Proof != Kernel || !c.Least || c.Alone || !slices.Equal(c.Facts, k.want) {
				t.Errorf("%+v; want %v, from the kernel", c, k.want)
			}
			again, err := a.Cause(context.Background())
			if err != nil || fmt.Sprintf("%#v", again) != fmt.Sprintf("%#v", c) {
				t.Errorf("asked again: %+v (%v); before: %+v", again, err, c)
			}
		})
	}
}

// A piece that has the shop to itself is late by its own steps alone when less
// than they take is allowed, and is not when just that is.
func TestAloneByTheKernel(t *testing.T) {
	p := smallShop()
	plan := &model.Plan{Pours: []model.PourPlan{{ID: "A", Ready: 35}, {ID: "B", Ready: 35}}}
	for due, late := range map[model.Tick]bool{34: true, 35: false} {
		a := &Asker{Problem: p, Plan: plan, Pour: "A", Due: due, Solve: solve.Solve, Work: 2000}
		c, err := a.Cause(context.Background())
		if err != nil || (c.Impossible == No) != late || c.Alone != late || late && c.Proof != Kernel {
			t.Errorf("by %d: %+v (%v)", due, c, err)
		}
	}
}

// crowd is a shop in which so many pieces after A need the only honer for two
// ticks each on the second day, one tick less than that with A.
func crowd(others int) (*model.Problem, *model.Plan) {
	p := smallShop()
	due := model.Tick(33 + 2*others + 1)
	p.Horizon, p.Open = due+10, []model.Interval{{8, 16}, {32, due + 8}}
	p.Racks[0].Places = model.Steps{{0, 100}}
	p.Stations[0].Places = 100
	p.Molds, p.People = nil, p.People[2:5:5]
	p.People[1].Skills = []string{"guard"}
	for i := range p.People {
		p.People[i].On = p.Open
	}
	one := p.Pours[0]
	p.Pours = nil
	plan := &model.Plan{}
	for i := range others + 1 {
		mold := fmt.Sprint("m", i)
		p.Molds = append(p.Molds, model.Mold{ID: mold, Down: []model.Interval{}})
		x := one
		x.ID, x.Due, x.Molds = fmt.Sprint("B", i), due, []model.MoldChoice{{Mold: mold, Work: 1}}
		x.Prep.Crew, x.Cover.Crew, x.Demold.Crew = model.Crew{}, model.Crew{}, model.Crew{}
		x.Layers = []model.Layer{{ID: "face", Work: 1, Crew: model.Crew{}}}
		x.Draws = []model.Draw{{Mix: "gray", Grams: 100, Layers: []int{0}}}
		if i == 0 {
			x.ID = "A"
		}
		p.Pours = append(p.Pours, x)
		plan.Pours = append(plan.Pours, model.PourPlan{ID: x.ID, Ready: due})
	}
	return p, plan
}

// Where a dozen pieces are one too many for one person, the kernel counts and
// does not try their orders.
func TestKernelCountsACrowd(t *testing.T) {
	for _, others := range []int{2, 5, 8, 12, 16, 20} {
		p, plan := crowd(others)
		if is := p.Validate(); len(is) > 0 {
			t.Fatal(is)
		}
		a := &Asker{Problem: p, Plan: plan, Pour: "A", Due: p.Pours[0].Due, Solve: solve.Solve, Work: 2000}
		facts, proven, err := a.core(context.Background())
		if err != nil || !proven || !slices.Equal(facts, []Fact{{Others, ""}, {Crew, "hone"}}) {
			t.Errorf("%d others: %v, proven %v (%v)", others, facts, proven, err)
		}
	}
}

// Where all just fits the kernel finds no clash: two pieces of one batch, one
// after the other in one mold, and a crowd with one tick more.
func TestNoCoreWhereItJustFits(t *testing.T) {
	shared := smallShop()
	shared.Mixers[0].Down = []model.Interval{{9, 32}}
	inTurn := smallShop()
	inTurn.Molds = inTurn.Molds[:1]
	for i := range inTurn.Pours {
		inTurn.Pours[i].Molds = inTurn.Pours[i].Molds[:1]
	}
	small := &model.Plan{Pours: []model.PourPlan{{ID: "A", Ready: 59}, {ID: "B", Ready: 35}}}
	crowded, many := crowd(6)
	more := crowded.Pours[0].Due + 1
	for i := range many.Pours {
		many.Pours[i].Ready = more
	}
	for _, c := range []struct {
		name string
		p    *model.Problem
		plan *model.Plan
		by   model.Tick
		last bool // a tick earlier it cannot be
	}{
		{"one batch for both", shared, small, 35, true},
		{"one mold in turn", inTurn, small, 59, true},
		{"a crowd", crowded, many, more, false}, // another can be the last
	} {
		if is := c.p.Validate(); len(is) > 0 {
			t.Fatal(c.name, is)
		}
		a := &Asker{Problem: c.p, Plan: c.plan, Pour: "A", Due: c.by, Solve: solve.Solve, Work: 2000}
		if facts, proven, err := a.core(context.Background()); err != nil || proven {
			t.Errorf("%s: %v are said to clash (%v)", c.name, facts, err)
		}
		if ans, err := a.Possible(context.Background(), a.facts()); err != nil || ans != Yes {
			t.Errorf("%s: %d, no plan (%v)", c.name, ans, err)
		}
		a.Due--
		if _, proven, err := a.core(context.Background()); err != nil || proven != c.last {
			t.Errorf("%s: a tick earlier it is refuted: %v (%v)", c.name, proven, err)
		}
	}
}

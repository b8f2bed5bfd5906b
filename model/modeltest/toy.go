package modeltest

import (
	"fmt"
	"math/rand/v2"

	"pourweek/model"
)

// toy draws one toy.
type toy struct {
	r *rand.Rand
	p *model.Problem
}

// Toy draws a problem that an exhaustive search can finish: two or three pours,
// ticks of an hour, three days, one or two people, each optional rule on and
// off. The same seed gives the same problem. It is valid, and may have no
// allowed plan.
func Toy(seed uint64) *model.Problem {
	g := &toy{r: rand.New(rand.NewPCG(seed, 0xd1342543de82ef95))}
	g.p = &model.Problem{
		Format: model.ProblemFormat, Name: fmt.Sprintf("toy-%d", seed), Start: "2027-03-01T00:00:00Z",
		TickMinutes: 60, Horizon: 72, PourUntil: model.Tick(24 * g.upTo(1, 2)), MoveTolerance: model.Tick(g.upTo(0, 2)),
		Open: []model.Interval{}, Overtime: []model.Interval{}, Fixed: []model.Fixed{},
	}
	if g.one(4) {
		g.p.Now = model.Tick(g.upTo(7, 11))
	}
	g.calendar()
	g.shop()
	n := g.upTo(2, 3)
	for i := range n {
		g.pour(i)
	}
	g.extras()
	c := func(vs ...int) model.Mils { return model.Mils(vs[g.r.IntN(len(vs))]) }
	g.p.Costs = model.Costs{Idle: c(0, 100, 480, 480), Held: c(0, 100, 540, 540), RackWait: c(0, 120, 120), Overtime: c(0, 700, 4200),
		Batch: c(0, 900, 9000), Waste: c(0, 1, 1), Move: c(0, 2000)}
	return g.p
}

func (g *toy) upTo(a, b int) int { return a + g.r.IntN(b-a+1) }

func (g *toy) one(n int) bool { return g.r.IntN(n) == 0 }

func (g *toy) calendar() {
	p := g.p
	long := model.Tick(g.upTo(5, 7))
	lunch, over := g.one(2), g.one(2)
	for d := range model.Tick(3) {
		at := d*24 + 8
		end := at + long
		if lunch {
			p.Open = append(p.Open, model.Interval{at, at + 3})
			at += 4
			end++
		}
		if over {
			p.Overtime = append(p.Overtime, model.Interval{end, end + 1})
			end++
		}
		p.Open = append(p.Open, model.Interval{at, end})
	}
	n := g.upTo(1, 2)
	for i := range n {
		x := model.Person{ID: fmt.Sprintf("p%d", i+1), Skills: []string{"hand", "mix"}, On: p.Open}
		if i > 0 {
			x.Skills = [][]string{{"hand", "mix"}, {"hand"}, {"mix"}}[g.r.IntN(3)]
			if g.one(2) {
				k := g.r.IntN(len(p.Open))
				x.On = append(append([]model.Interval{}, p.Open[:k]...), p.Open[k+1:]...)
			}
		}
		p.People = append(p.People, x)
	}
}

func (g *toy) shop() {
	p := g.p
	p.Stations = []model.Station{{ID: "rig", Places: 1}, {ID: "booth", Places: g.upTo(1, 2)}}
	p.Racks = []model.Rack{{ID: "r1", Places: model.Steps{{0, int64(g.upTo(1, 3))}}}}
	if g.one(2) {
		p.Racks = append(p.Racks, model.Rack{ID: "r2", Places: model.Steps{{0, 1}, {int64(g.upTo(20, 60)), int64(g.upTo(0, 2))}}})
	}
	p.Cures = []model.Cure{{ID: "night", Lag: model.Steps{{0, int64(g.upTo(12, 18))}}}}
	p.Mixers = []model.Mixer{{ID: "mx1", Capacity: 90000, Down: []model.Interval{}}}
	if g.one(4) {
		p.Mixers[0].Down = []model.Interval{{10, model.Tick(g.upTo(11, 13))}}
	}
	if g.one(4) {
		k := model.Tick(g.upTo(0, 2))
		p.Mixers[0].Keep = &k
	}
	if g.one(5) {
		p.Mixers = append(p.Mixers, model.Mixer{ID: "mx2", Capacity: 60000, FreeFrom: 9, Down: []model.Interval{}})
	}
	for i := range g.upTo(1, 2) {
		m := model.Mix{
			ID: fmt.Sprintf("mix-%d", i+1), Mix: 1, Wash: model.Tick(g.upTo(0, 1)), WashGap: model.Interval{0, model.Tick(g.upTo(1, 3))},
			Crew: model.Crew{"mix": 1}, Loss: 2000, Min: 20000, Step: 5000, Mixers: []string{"mx1"},
		}
		if g.one(4) {
			m.Rest = 1
		}
		if g.one(6) {
			m.Remix = 1
		}
		m.PotLife = model.Steps{{0, int64(m.Mix + m.Rest + m.Remix + model.Tick(g.upTo(2, 4)))}}
		if g.one(3) {
			m.PotLife = append(m.PotLife, model.Step{32, m.PotLife[0][1] - 1})
		}
		if len(p.Mixers) > 1 && g.one(2) {
			m.Mixers = []string{"mx1", "mx2"}
		}
		if g.one(3) {
			m.WashBefore = map[string]model.Tick{"mix-1": model.Tick(g.upTo(0, 1))}
		}
		p.Mixes = append(p.Mixes, m)
	}
	for i := range g.upTo(1, 2) {
		m := model.Mold{ID: fmt.Sprintf("m%d", i+1), Down: []model.Interval{}}
		if g.one(4) {
			m.FreeFrom = model.Tick(g.upTo(0, 12))
		}
		if g.one(6) {
			m.Down = []model.Interval{{24, model.Tick(g.upTo(25, 48))}}
		}
		p.Molds = append(p.Molds, m)
	}
}

func (g *toy) crew(two int) model.Crew {
	switch {
	case len(g.p.People) > 1 && g.one(two):
		return []model.Crew{{"hand": 2}, {"hand": 1, "mix": 1}}[g.r.IntN(2)]
	case g.one(8):
		return model.Crew{"mix": 1}
	}
	return model.Crew{"hand": 1}
}

func (g *toy) when(n int) []model.Interval {
	if !g.one(n) {
		return nil
	}
	a := model.Tick(g.upTo(8, 10))
	return []model.Interval{{a, a + 4}, {a + 24, a + 28}, {a + 48, a + 52}}
}

func (g *toy) opt(n, a, b int) *model.Tick {
	if !g.one(n) {
		return nil
	}
	t := model.Tick(g.upTo(a, b))
	return &t
}

func (g *toy) station(name string) model.OptID {
	if g.one(2) {
		return ""
	}
	return model.OptID(name)
}

func (g *toy) pour(i int) {
	p := g.p
	x := model.Pour{
		ID: fmt.Sprintf("A%d", i+1), Order: "A", Piece: "piece", Stage: model.New, Due: model.Tick(g.upTo(12, 60)),
		LatePerTick: model.Mils(g.upTo(0, 9) * 100), Places: 1, Racks: []string{"r1"},
		Demold: model.Demolding{Work: 1, Crew: g.crew(4), Station: g.station("rig"), When: g.when(8)},
	}
	if len(p.Racks) > 1 && g.one(2) {
		x.Racks = append(x.Racks, "r2")
	}
	if g.one(8) {
		x.Places = 2
	}
	for k := range g.upTo(1, 2) {
		x.Finish = append(x.Finish, model.Finish{
			ID: fmt.Sprintf("f%d", k+1), Work: model.Tick(g.upTo(1, 3)), Crew: g.crew(8), Station: g.station("booth"),
			Rest: model.Tick(g.upTo(0, 1) * g.upTo(0, 8)), Pausable: g.one(2), When: g.when(8),
		})
		if g.one(5) {
			m := x.Finish[k].Rest + model.Tick(g.upTo(0, 30))
			x.Finish[k].RestMax = &m
		}
	}
	switch stage := g.r.IntN(6); {
	case stage == 0 && i < len(p.Molds):
		x.Stage, x.Mold, x.CureEnd = model.Curing, p.Molds[i].ID, model.Tick(g.upTo(0, 30))
		x.MoldUntil = g.opt(4, int(x.CureEnd)+10, 60)
	case stage == 1:
		x.Stage, x.Rack, x.Racks, x.Demold = model.Racked, "r1", nil, model.Demolding{}
		x.Next, x.From = g.r.IntN(len(x.Finish)), model.Tick(g.upTo(0, 30))
		x.FromMax = g.opt(4, int(x.From)+5, 60)
		p.Racks[0].Places[0][1] = max(p.Racks[0].Places[0][1], int64(i+1)*2)
	default:
		g.newPour(&x)
	}
	if x.Stage != model.Racked && g.one(4) {
		x.Spans = []model.Span{{Station: "booth", From: "cover.start", To: []string{"demold.start", "demold.end", "f1.start"}[g.r.IntN(3)]}}
	}
	p.Pours = append(p.Pours, x)
}

func (g *toy) newPour(x *model.Pour) {
	x.Carry = model.Mils(g.upTo(5, 60) * 1000)
	if g.one(4) {
		x.Release = model.Tick(g.upTo(0, 34))
	}
	k := g.r.IntN(len(g.p.Molds))
	for n := range g.upTo(1, len(g.p.Molds)) {
		x.Molds = append(x.Molds, model.MoldChoice{Mold: g.p.Molds[(k+n)%len(g.p.Molds)].ID, Work: model.Tick(g.upTo(1, 2))})
	}
	x.Prep = model.Demand{Crew: g.crew(8), Station: g.station("booth"), When: g.when(10)}
	x.PrepMax = g.opt(4, 0, 20)
	x.Draws = []model.Draw{}
	for j := range g.upTo(1, 2) {
		x.Layers = append(x.Layers, model.Layer{
			ID: fmt.Sprintf("l%d", j+1), Work: 1, Crew: g.crew(8), Station: g.station("rig"), When: g.when(8),
		})
		switch {
		case j == 0:
			x.Draws = append(x.Draws, model.Draw{Mix: g.p.Mixes[0].ID, Grams: model.Grams(g.upTo(5, 40) * 1000), Layers: []int{0}})
		case g.one(2):
			x.Layers[j].Gap = model.Interval{0, model.Tick(g.upTo(0, 2))}
			x.Draws[0].Layers = []int{0, 1}
		default:
			x.Layers[j].Gap = model.Interval{model.Tick(g.upTo(0, 1)), model.Tick(g.upTo(2, 4))}
			if m := g.p.Mixes[len(g.p.Mixes)-1].ID; !g.one(4) {
				x.Draws = append(x.Draws, model.Draw{Mix: m, Grams: model.Grams(g.upTo(5, 40) * 1000), Layers: []int{1}})
			}
		}
	}
	x.Cover = model.Cover{Work: 1, Crew: g.crew(8), Gap: model.Interval{0, model.Tick(g.upTo(0, 3))}}
	x.Cure = "night"
	x.MoldMax = g.opt(5, 18, 48)
	spot := &model.Spot{Mold: x.Molds[0].Mold, Start: model.Tick(g.upTo(0, 1)*24 + g.upTo(9, 13))}
	switch {
	case g.one(8) && spot.Start < g.p.PourUntil && spot.Start >= g.p.Now:
		x.Pin = spot
	case g.one(4):
		x.Base = spot
	}
}

func (g *toy) extras() {
	p := g.p
	if g.one(4) {
		p.Callins = []model.Callin{{From: 48, To: 72, Cost: model.Mils(g.upTo(1, 9) * 1000)}}
	}
	if g.one(5) {
		p.Fixed = []model.Fixed{{ID: "truck", Start: 9, End: 10, Crew: model.Crew{"hand": 1}, Station: g.station("rig")}}
	}
	if g.one(4) {
		s := model.Shipment{ID: "s", Due: model.Tick(g.upTo(20, 60)), LatePerTick: model.Mils(g.upTo(1, 5) * 200), Hold: g.one(2)}
		for i := range p.Pours {
			if i < 2 {
				s.Pours = append(s.Pours, p.Pours[i].ID)
				p.Pours[i].LatePerTick = 0
			}
		}
		if g.one(2) {
			s.Trucks = []model.Tick{36, 60}
		}
		p.Shipments = []model.Shipment{s}
	}
}

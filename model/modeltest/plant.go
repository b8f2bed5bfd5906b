package modeltest

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"pourweek/model"
)

// plant draws a plain week of a shop that grows with its pours.
type plant struct {
	r *rand.Rand
	p *model.Problem
	n int // new pours

	types []model.Pour // what the pours of a piece share
}

// Ticks of five minutes.
const (
	plantHour  = 12
	plantDay   = 24 * plantHour
	plantDays  = 14
	plantStart = 7 * plantHour  // work begins
	plantNoon  = 12 * plantHour // half an hour off
	plantClose = 16 * plantHour
)

// Plant draws a week of n new pours, and some that cure and rest already, in an
// invented shop of a size that suits it: people, molds, mixers, racks and
// stations grow with n, so that weeks of different n are about as hard to fill.
// Ticks are five minutes, the first layers start in seven days and all ends in
// fourteen. No optional rules. The same seed and n give the same problem.
func Plant(seed uint64, n int) *model.Problem {
	g := &plant{r: rand.New(rand.NewPCG(seed, 0xa0761d6478bd642f)), n: max(1, n)}
	g.p = &model.Problem{
		Format: model.ProblemFormat, Name: fmt.Sprintf("plant-%d-%d", seed, n), Start: "2027-03-01T00:00:00Z", TickMinutes: 5,
		Horizon: plantDays * plantDay, PourUntil: 7 * plantDay, MoveTolerance: 6,
		Open: []model.Interval{}, Overtime: []model.Interval{}, Fixed: []model.Fixed{},
		Costs: model.Costs{Idle: 400, Held: 450, RackWait: 100, Overtime: 3500, Batch: 9000, Waste: 1, Move: 20000},
	}
	g.calendar()
	g.people()
	g.shop()
	g.pieces()
	g.pours()
	return g.p
}

// per is the number of things of which one serves so many new pours, at least
// one.
func (g *plant) per(pours int) int { return max(1, (g.n+pours-1)/pours) }

func (g *plant) upTo(a, b int) int { return a + g.r.IntN(b-a+1) }

func (g *plant) calendar() {
	for d := range model.Tick(plantDays) {
		if d%7 > 4 {
			continue
		}
		at := d * plantDay
		g.p.Open = append(g.p.Open, model.Interval{at + plantStart, at + plantNoon},
			model.Interval{at + plantNoon + plantHour/2, at + plantClose + plantHour})
		g.p.Overtime = append(g.p.Overtime, model.Interval{at + plantClose, at + plantClose + plantHour})
	}
}

func (g *plant) people() {
	skills := [][]string{
		{"mix", "spray", "hand"}, {"hand", "finish"}, {"spray", "mix", "hand"}, {"finish", "hand"}, {"hand"}, {"mix", "hand", "finish"},
	}
	for i := range max(3, g.per(6)) {
		away := model.Tick(-1)
		if i > 2 && g.r.IntN(3) == 0 {
			away = model.Tick(g.upTo(0, 4))
		}
		x := model.Person{ID: fmt.Sprintf("p%d", i+1), Skills: skills[i%len(skills)], On: []model.Interval{}}
		for _, iv := range g.p.Open {
			if iv[0]/plantDay != away {
				x.On = append(x.On, iv)
			}
		}
		g.p.People = append(g.p.People, x)
	}
}

func (g *plant) shop() {
	p := g.p
	var all []string
	for i := range g.per(45) {
		all = append(all, fmt.Sprintf("mx%d", i+1))
		p.Mixers = append(p.Mixers, model.Mixer{ID: all[i], Capacity: model.Grams(90_000 + 30_000*(i%2)), Down: []model.Interval{}})
	}
	for i := range max(2, min(8, g.per(30))) {
		p.Mixes = append(p.Mixes, model.Mix{
			ID: fmt.Sprintf("mix-%d", i+1), Mix: 2, Rest: 2, Remix: 1, Wash: 2, WashGap: model.Interval{0, 10}, Crew: model.Crew{"mix": 1},
			Loss: 2000, Min: 20_000, Step: 5000, PotLife: model.Steps{{0, int64(12 + 4*(i%2))}}, Mixers: slices.Clone(all),
		})
	}
	p.Racks = []model.Rack{
		{ID: "short", Places: model.Steps{{0, int64(4 + g.n)}}}, {ID: "long", Places: model.Steps{{0, int64(2 + g.n/2)}}},
	}
	p.Stations = []model.Station{
		{ID: "spray-rig", Places: g.per(30)}, {ID: "hoist", Places: g.per(60)}, {ID: "grind-booth", Places: g.per(35)},
	}
	p.Cures = []model.Cure{{ID: "overnight", Lag: model.Steps{{0, 16 * plantHour}}}, {ID: "heavy", Lag: model.Steps{{0, 20 * plantHour}}}}
}

// pieces draws the types of pieces, each with four to seven molds of its own for
// some eleven pours.
func (g *plant) pieces() {
	for i := range max(2, g.per(11)) {
		x := model.Pour{Piece: fmt.Sprintf("piece-%d", i+1), Stage: model.New, Carry: 250_000, Places: 1, Racks: []string{"short", "long"}[i%2:]}
		prep := model.Tick(g.upTo(6, 18))
		for range g.upTo(4, 7) {
			id := fmt.Sprintf("m%d", len(g.p.Molds)+1)
			g.p.Molds = append(g.p.Molds, model.Mold{ID: id, Down: []model.Interval{}})
			x.Molds = append(x.Molds, model.MoldChoice{Mold: id, Work: prep + model.Tick(g.upTo(0, 2))})
		}
		x.Prep = model.Demand{Crew: model.Crew{"hand": 1}}
		x.Cure = g.p.Cures[i%2].ID
		mix := g.p.Mixes[g.r.IntN(len(g.p.Mixes))].ID
		x.Layers = []model.Layer{{ID: "face", Work: model.Tick(g.upTo(1, 3)), Crew: model.Crew{"spray": 1}, Station: "spray-rig"}}
		x.Draws = []model.Draw{{Mix: mix, Grams: model.Grams(g.upTo(8, 20) * 1000), Layers: []int{0}}}
		for j := range g.upTo(1, 2) {
			x.Layers = append(x.Layers, model.Layer{ID: fmt.Sprintf("backer-%d", j+1), Work: model.Tick(g.upTo(2, 4)),
				Crew: model.Crew{"hand": 1}, Gap: model.Interval{2, 12}})
			x.Draws = append(x.Draws, model.Draw{Mix: mix, Grams: model.Grams(g.upTo(10, 30) * 1000), Layers: []int{j + 1}})
		}
		x.Cover = model.Cover{Work: 1, Crew: model.Crew{"hand": 1}, Gap: model.Interval{0, 6}}
		x.Demold = model.Demolding{Work: model.Tick(g.upTo(3, 6)), Crew: model.Crew{"hand": 2}}
		if i%3 == 0 {
			x.Demold.Station = "hoist"
		}
		x.Finish = []model.Finish{
			{ID: "edge-grind", Work: model.Tick(g.upTo(4, 8)), Crew: model.Crew{"finish": 1}, Station: "grind-booth", Pausable: true},
			{ID: "seal-pack", Work: model.Tick(g.upTo(4, 6)), Crew: model.Crew{"hand": 1}, Rest: plantDay, Pausable: true},
		}
		g.types = append(g.types, x)
	}
}

// pours draws orders of one to six pours of a type each.
func (g *plant) pours() {
	id := func(order, k int) string { return fmt.Sprintf("A%d/%d", 101+order, k+1) }
	order := 0
	for left := g.n; left > 0; order++ {
		t := g.types[g.r.IntN(len(g.types))]
		due := model.Tick(g.upTo(2, 11))*plantDay + 15*plantHour
		late := model.Mils([]int{350, 500, 700}[g.r.IntN(3)])
		k := min(left, g.upTo(1, 6))
		for i := range k {
			x := t
			x.ID, x.Order, x.Due, x.LatePerTick = id(order, i), fmt.Sprintf("A%d", 101+order), due, late
			g.p.Pours = append(g.p.Pours, x)
		}
		left -= k
	}
	for i := range g.n / 8 { // what cures from the week before: the first mold of a type
		if i >= len(g.types) {
			break
		}
		x := g.types[i]
		done(&x)
		x.ID, x.Order, x.Due, x.LatePerTick = id(order, 0), fmt.Sprintf("A%d", 101+order), 5*plantDay, 350
		x.Stage, x.Mold, x.CureEnd = model.Curing, g.types[i].Molds[0].Mold, model.Tick(g.upTo(0, 8*plantHour))
		g.p.Pours = append(g.p.Pours, x)
		order++
	}
}

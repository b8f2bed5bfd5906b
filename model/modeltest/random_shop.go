package modeltest

import (
	"fmt"

	"pourweek/model"
)

// piece is a type of piece: everything of a pour that its pours share.
type piece struct {
	model.Pour
	molds []string
}

func (g *gen) shop(pours int) {
	p := g.p
	for i := range g.between(1, 2) {
		m := model.Mixer{ID: fmt.Sprintf("mx%d", i+1), Capacity: model.Grams(g.between(60, 120) * 1000), Down: []model.Interval{}}
		if g.maybe(4) {
			m.FreeFrom = p.Now + g.ticks(0, 240)
		}
		if g.maybe(4) {
			at := model.Tick(g.between(0, g.days-1))*g.day + 14*g.hour
			m.Down = append(m.Down, model.Interval{at, at + g.ticks(30, 180)})
		}
		if g.rule(2) {
			k := g.ticks(0, 120)
			m.Keep = &k
		}
		p.Mixers = append(p.Mixers, m)
	}
	for i, s := range []string{"spray-rig", "hoist", "grind-booth", "table", "tent"} {
		n := g.between(1, 2)
		if i > 2 {
			n = g.between(10, 14)
		}
		p.Stations = append(p.Stations, model.Station{ID: s, Places: n})
	}
	p.Cures = []model.Cure{{ID: "overnight", Lag: model.Steps{{0, int64(16 * g.hour)}}}}
	cold := model.Steps{{0, int64(16 * g.hour)}}
	at := int64(g.day) * int64(g.between(1, 3))
	cold = append(cold, model.Step{at, int64(20 * g.hour)})
	for i := range int64(4) { // no faster than the clock, so that t + lag(t) never decreases
		cold = append(cold, model.Step{at + int64(g.day) + i, int64(20*g.hour) - 1 - i})
	}
	p.Cures = append(p.Cures, model.Cure{ID: "cold", Lag: cold})
	for i := range g.between(1, max(2, min(12, pours/2+1))) {
		m := model.Mold{ID: fmt.Sprintf("m%d", i+1), Down: []model.Interval{}}
		if g.maybe(5) {
			m.FreeFrom = g.ticks(0, 24*60)
		}
		if g.maybe(6) {
			d := model.Tick(g.between(0, g.days-1)) * g.day
			m.Down = append(m.Down, model.Interval{d, d + g.day})
		}
		p.Molds = append(p.Molds, m)
	}
	for i := range g.between(1, 3) {
		p.Racks = append(p.Racks, model.Rack{ID: fmt.Sprintf("r%d", i+1)})
	}
	g.mixes()
	for i := range g.between(1, 6) {
		g.types = append(g.types, g.piece(i))
	}
	g.potLives()
}

func (g *gen) mixes() {
	p := g.p
	n := g.between(1, 4)
	for i := range n {
		m := model.Mix{
			ID: fmt.Sprintf("mix-%d", i+1), Mix: g.ticks(5, 20), Wash: g.ticks(0, 20), Crew: g.crew("mix"),
			Loss: model.Grams(g.between(0, 3) * 1000), Min: model.Grams(g.between(0, 2) * 10000),
			Step: pick(g, []model.Grams{1, 1000, 5000, 10000}), Mixers: []string{pick(g, p.Mixers).ID},
		}
		if g.maybe(2) {
			m.Rest = g.ticks(5, 10)
		}
		if g.maybe(2) {
			m.Remix = g.ticks(1, 5)
		}
		m.WashGap = model.Interval{0, g.ticks(120, 200)}
		if g.maybe(4) {
			m.WashGap[0] = g.ticks(1, 10)
		}
		if len(p.Mixers) > 1 && g.maybe(2) {
			m.Mixers = []string{p.Mixers[0].ID, p.Mixers[1].ID}
		}
		if g.rule(2) {
			m.WashBefore = map[string]model.Tick{}
			for j := range n {
				if g.maybe(2) {
					m.WashBefore[fmt.Sprintf("mix-%d", j+1)] = g.ticks(0, 10)
				}
			}
		}
		p.Mixes = append(p.Mixes, m)
	}
}

// piece draws a type of piece with all that its pours share but their molds'
// choice, due and stage.
func (g *gen) piece(i int) piece {
	var x piece
	x.Piece = fmt.Sprintf("piece-%d", i+1)
	x.Carry = model.Mils(g.between(50, 900) * 1000)
	x.Prep = model.Demand{Crew: g.crew("hand")}
	if g.rule(6) {
		x.Prep.When = g.when()
	}
	work := g.ticks(15, 75)
	for _, m := range g.p.Molds {
		if len(x.Molds) == 0 || g.maybe(2) {
			x.Molds = append(x.Molds, model.MoldChoice{Mold: m.ID, Work: work})
			if g.maybe(4) {
				x.Molds[len(x.Molds)-1].Work = g.ticks(5, 75)
			}
			x.molds = append(x.molds, m.ID)
		}
	}
	k := g.r.IntN(len(x.Molds))
	x.Molds, x.molds = x.Molds[k:], x.molds[k:]
	g.body(&x)
	x.Cure = pick(g, g.p.Cures).ID
	if g.rule(3) {
		m := g.day*4 + g.ticks(0, 1440)
		x.MoldMax = &m
	}
	x.Demold = model.Demolding{Work: g.ticks(5, 60), Crew: g.crew("lift", "hand")}
	if g.maybe(2) {
		x.Demold.Station = "hoist"
	}
	if g.rule(8) {
		x.Demold.When = g.when()
	}
	x.Places = g.between(1, 2)
	for _, r := range g.p.Racks {
		if len(x.Racks) == 0 || g.maybe(2) {
			x.Racks = append(x.Racks, r.ID)
		}
	}
	rest := g.day * 2
	for j := range g.between(1, 3) {
		f := model.Finish{ID: fmt.Sprintf("finish-%d", j+1), Work: g.ticks(10, 120), Crew: g.crew("finish"), Pausable: g.maybe(2)}
		if g.maybe(3) {
			f.Station = "grind-booth"
		}
		f.Rest = min(rest, pick(g, []model.Tick{0, 0, 4 * g.hour, g.day, 2 * g.day}))
		rest -= f.Rest
		if g.rule(4) {
			m := f.Rest + 4*g.day + g.ticks(0, 600)
			f.RestMax = &m
		}
		if g.rule(5) {
			f.When = g.when()
		}
		x.Finish = append(x.Finish, f)
	}
	g.spans(&x)
	return x
}

func (g *gen) body(x *piece) {
	n := g.between(1, 3)
	face := g.rule(4)
	before := model.Tick(0) // washing and mixing between two coats of different mixes
	for _, m := range g.p.Mixes {
		before = max(before, m.Wash+m.Mix+m.Rest+m.Remix)
	}
	for j := range n {
		l := model.Layer{ID: fmt.Sprintf("coat-%d", j+1), Work: g.ticks(5, 25), Crew: g.crew("spray", "hand")}
		if g.maybe(3) {
			l.Station = "spray-rig"
		}
		if j > 0 {
			l.Gap[0] = g.ticks(0, 15)
			l.Gap[1] = l.Gap[0] + 2*before + g.ticks(0, 30)
		}
		if j == 0 && face {
			l.When = g.when()
		}
		x.Layers = append(x.Layers, l)
	}
	x.Draws = []model.Draw{}
	for j := 0; j < n; j++ {
		if j > 0 && g.maybe(8) {
			continue // an anchor, a scrim
		}
		m := pick(g, g.p.Mixes)
		most := 0
		for _, y := range g.p.Mixers {
			for _, id := range m.Mixers {
				if id == y.ID {
					most = max(most, int((y.Capacity-m.Loss)/m.Step*m.Step-m.Step)/1000)
				}
			}
		}
		d := model.Draw{Mix: m.ID, Grams: model.Grams(g.between(5, min(most, 50)) * 1000), Layers: []int{j}}
		if j+1 < n && g.maybe(2) {
			j++
			d.Layers = append(d.Layers, j)
		}
		x.Draws = append(x.Draws, d)
	}
	x.Cover = model.Cover{Work: g.ticks(5, 15), Crew: g.crew("hand"), Gap: model.Interval{0, g.ticks(60, 120)}}
	if g.rule(3) {
		m := g.day + g.day/2 + g.ticks(0, 2880)
		x.PrepMax = &m
	}
}

// spans draws what is held from one step to another; the stations have room
// for all pours at once that no plan may carry.
func (g *gen) spans(x *piece) {
	if g.rule(3) {
		x.Spans = append(x.Spans, model.Span{Station: "table", From: pick(g, []string{"prep.start", "prep.end", "coat-1.start"}),
			To: pick(g, []string{"cover.end", "demold.start", "demold.end"})})
	}
	if g.rule(4) {
		x.Spans = append(x.Spans, model.Span{Station: "tent", From: pick(g, []string{"cover.start", "demold.end"}),
			To: pick(g, []string{"finish-1.start", "finish-1.end"})})
	}
}

// potLives gives every mix a pot life in which each draw of it can be laid.
func (g *gen) potLives() {
	for i := range g.p.Mixes {
		m := &g.p.Mixes[i]
		ready := m.Mix + m.Rest + m.Remix
		need := model.Tick(1)
		for _, x := range g.types {
			for _, d := range x.Draws {
				if d.Mix != m.ID {
					continue
				}
				w := model.Tick(0)
				for n, j := range d.Layers {
					w += x.Layers[j].Work
					if n > 0 {
						w += x.Layers[j].Gap[0]
					}
				}
				need = max(need, w)
			}
		}
		need += ready
		m.PotLife = model.Steps{{0, int64(need + g.ticks(1, 40))}}
		if g.maybe(2) {
			at := int64(g.day) * int64(g.between(0, 3))
			for d := range int64(3) {
				m.PotLife = append(m.PotLife, model.Step{at + d*int64(g.day) + int64(12*g.hour), int64(need + g.ticks(0, 10))},
					model.Step{at + d*int64(g.day) + int64(18*g.hour), int64(need + g.ticks(1, 40))})
			}
		}
	}
}

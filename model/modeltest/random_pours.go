package modeltest

import (
	"fmt"

	"pourweek/model"
)

func (g *gen) pours(n int) {
	most := 2 * len(g.p.People)
	cast := map[string]bool{} // molds that something stands in
	late := map[string]model.Mils{}
	for i := range n {
		t := pick(g, g.types)
		x := t.Pour
		x.Order = fmt.Sprintf("A%d", 101+g.r.IntN(n))
		x.ID = fmt.Sprintf("%s/%d", x.Order, i+1)
		x.Due = model.Tick(g.between(g.today, g.days-1))*g.day + 17*g.hour
		x.LatePerTick = model.Mils(g.between(5, 50) * 10 * g.p.TickMinutes)
		if l, ok := late[x.Order]; ok && g.maybe(2) {
			x.LatePerTick = l
		}
		late[x.Order] = x.LatePerTick
		free := t.free(cast, g.pins)
		switch stage := g.r.IntN(8); {
		case stage == 0 && g.must < most && free != "":
			g.must++
			cast[free] = true
			g.curing(&x, free)
		case stage == 1 && g.must < most:
			g.must++
			g.racked(&x)
		default:
			g.newPour(&x, free)
		}
		g.p.Pours = append(g.p.Pours, x)
	}
}

// free is a mold of the type in which nothing stands and nothing is pinned, ""
// when there is none.
func (t *piece) free(cast, pinned map[string]bool) string {
	for _, m := range t.molds {
		if !cast[m] && !pinned[m] {
			return m
		}
	}
	return ""
}

func (g *gen) newPour(x *model.Pour, free string) {
	x.Stage = model.New
	if g.maybe(4) {
		x.Release = model.Tick(g.between(0, g.last-1))*g.day + g.ticks(0, 600)
	}
	if g.maybe(3) {
		m := x.Molds[g.r.IntN(len(x.Molds))]
		d := g.between(g.today, g.last-1)
		x.Base = &model.Spot{Mold: m.Mold, Start: model.Tick(d)*g.day + 7*g.hour + g.ticks(0, 480)}
	}
	d := g.today + 1 + len(g.pins)
	if free == "" || len(g.pins) > 1 || d >= g.last || !g.maybe(6) || g.opens[d][0] >= g.opens[d][1] {
		return
	}
	for _, m := range g.p.Molds {
		if m.ID == free && (m.FreeFrom > 0 || len(m.Down) > 0) {
			return
		}
	}
	g.pins[free] = true
	g.must++
	x.Release = 0
	x.MoldMax = nil
	x.Pin = &model.Spot{Mold: free, Start: g.opens[d][0] + 2*g.hour + g.ticks(0, 30)}
}

// done drops from a pour what no longer has a meaning.
func done(x *model.Pour) {
	x.Release, x.Carry, x.Molds, x.PrepMax, x.Layers, x.Draws = 0, 0, nil, nil, nil, nil
	x.Prep, x.Cover, x.Cure, x.MoldMax, x.Pin, x.Base = model.Demand{}, model.Cover{}, "", nil, nil, nil
}

func (g *gen) curing(x *model.Pour, mold string) {
	done(x)
	x.Stage, x.Mold = model.Curing, mold
	x.CureEnd = model.Tick(g.between(0, int(g.p.Now+g.day)))
	if g.rule(3) {
		m := g.p.Now + 4*g.day + g.ticks(0, 600)
		x.MoldUntil = &m
		g.full = true
	}
}

func (g *gen) racked(x *model.Pour) {
	done(x)
	x.Stage, x.Rack, x.Racks, x.Demold = model.Racked, pick(g, x.Racks), nil, model.Demolding{}
	x.Next = g.r.IntN(len(x.Finish))
	x.From = model.Tick(g.between(0, int(g.p.Now+g.day)))
	if g.rule(3) {
		m := g.p.Now + 4*g.day + g.ticks(0, 600)
		x.FromMax = &m
	}
	keep := x.Spans
	x.Spans = nil
	for _, s := range keep { // what ended with the demolding is over and need not be said
		if s.Station == "tent" {
			x.Spans = append(x.Spans, s)
		}
	}
}

// racks lays out places: never fewer than stand there at the start and one
// more pour needs.
func (g *gen) racks() {
	for i := range g.p.Racks {
		r := &g.p.Racks[i]
		need := 2
		for _, x := range g.p.Pours {
			if x.Stage == model.Racked && x.Rack == r.ID {
				need += x.Places
			}
			if x.Stage == model.Curing && (g.full || len(g.p.Shipments) > 0) {
				need += x.Places
			}
		}
		r.Places = model.Steps{{0, int64(need + g.between(0, 6))}}
		if g.maybe(2) {
			at := int64(g.between(1, int(g.p.Horizon)-1))
			r.Places = append(r.Places, model.Step{at, int64(need + g.between(0, 6))})
		}
	}
}

// shipments draws pours of all stages that leave together. What holds its
// places until the truck comes gets that many more.
func (g *gen) shipments() {
	if !g.rule(2) {
		return
	}
	left := g.r.Perm(len(g.p.Pours))
	for i := range g.between(1, 3) {
		n := min(len(left), g.between(1, 4))
		if n == 0 {
			return
		}
		s := model.Shipment{
			ID: fmt.Sprintf("ship-%d", i+1), Due: model.Tick(g.between(1, g.days-1)) * g.day,
			LatePerTick: model.Mils(g.between(5, 60) * 10 * g.p.TickMinutes), Hold: g.maybe(2),
		}
		places := 0
		for _, k := range left[:n] {
			s.Pours = append(s.Pours, g.p.Pours[k].ID)
			g.p.Pours[k].LatePerTick = 0
			if g.p.Pours[k].Stage != model.New || g.p.Pours[k].Pin != nil {
				places += g.p.Pours[k].Places
			}
		}
		left = left[n:]
		if g.maybe(2) {
			for d := g.between(1, 3); d < g.days; d += g.between(1, 3) {
				s.Trucks = append(s.Trucks, model.Tick(d)*g.day+14*g.hour)
			}
		}
		if s.Hold {
			for k := range g.p.Racks {
				for j := range g.p.Racks[k].Places {
					g.p.Racks[k].Places[j][1] += int64(places)
				}
			}
		}
		g.p.Shipments = append(g.p.Shipments, s)
	}
}

// fixed draws work in the first hour of some days, and perhaps work under way
// at the start.
func (g *gen) fixed() {
	if !g.maybe(2) {
		return
	}
	for d := g.today; d < g.days; d += g.between(1, 4) {
		iv := g.opens[d]
		if iv[0] >= iv[1] {
			continue
		}
		f := model.Fixed{ID: fmt.Sprintf("fixed-%d", d), Start: iv[0], End: iv[0] + max(1, g.hour*3/4), Crew: model.Crew{g.skills[0]: 1}}
		if g.maybe(3) {
			f.Station = "hoist"
		}
		g.p.Fixed = append(g.p.Fixed, f)
	}
}

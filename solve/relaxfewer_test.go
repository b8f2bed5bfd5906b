package solve

import (
	"math/rand/v2"
	"slices"

	"pourweek/model"
)

// fewer are relaxations that take a rule away.
var fewer = []relaxation{
	{"prep at any time", change(pours, func(x *model.Pour) bool { return x.Prep.When != nil }, func(x *model.Pour) { x.Prep.When = nil })},
	{"a layer at any time", change(layers, func(x **model.Layer) bool { return (*x).When != nil }, func(x **model.Layer) { (*x).When = nil })},
	{"demolding at any time", change(pours, func(x *model.Pour) bool { return x.Demold.When != nil }, func(x *model.Pour) { x.Demold.When = nil })},
	{"a finish step at any time", change(finishes, func(x **model.Finish) bool { return (*x).When != nil }, func(x **model.Finish) { (*x).When = nil })},
	{"a prep without a station", change(pours, func(x *model.Pour) bool { return x.Prep.Station != "" }, func(x *model.Pour) { x.Prep.Station = "" })},
	{"a layer without a station", change(layers, func(x **model.Layer) bool { return (*x).Station != "" },
		func(x **model.Layer) { (*x).Station = "" })},
	{"a finish step without a station", change(finishes, func(x **model.Finish) bool { return (*x).Station != "" },
		func(x **model.Finish) { (*x).Station = "" })},
	{"a demold by one head fewer", change(pours, func(x *model.Pour) bool { return len(x.Demold.Crew) > 0 },
		func(x *model.Pour) { x.Demold.Crew = oneLess(x.Demold.Crew) })},
	{"a cover by one head fewer", change(pours, func(x *model.Pour) bool { return len(x.Cover.Crew) > 0 },
		func(x *model.Pour) { x.Cover.Crew = oneLess(x.Cover.Crew) })},
	{"a finish step by one head fewer", change(finishes, func(x **model.Finish) bool { return len((*x).Crew) > 0 },
		func(x **model.Finish) { (*x).Crew = oneLess((*x).Crew) })},
	{"a pour on fewer places", change(pours, func(x *model.Pour) bool { return x.Places > 1 }, func(x *model.Pour) { x.Places-- })},
	{"no span", change(pours, func(x *model.Pour) bool { return len(x.Spans) > 0 }, func(x *model.Pour) { x.Spans = x.Spans[1:] })},
	{"no pin", change(pours, func(x *model.Pour) bool { return x.Pin != nil }, func(x *model.Pour) { x.Pin = nil })},
	{"no base", change(pours, func(x *model.Pour) bool { return x.Base != nil }, func(x *model.Pour) { x.Base = nil })},
	{"a shipment that does not wait on the rack", change(shipments, func(x *model.Shipment) bool { return x.Hold },
		func(x *model.Shipment) { x.Hold = false })},
	{"no fixed work", func(r *rand.Rand, p *model.Problem) bool {
		if len(p.Fixed) == 0 {
			return false
		}
		k := r.IntN(len(p.Fixed))
		p.Fixed = slices.Delete(p.Fixed, k, k+1)
		return true
	}},
	{"less lost in the mixer", change(mixes, func(x *model.Mix) bool { return x.Loss > 0 }, func(x *model.Mix) { x.Loss /= 2 })},
	{"a smaller least batch", change(mixes, func(x *model.Mix) bool { return x.Min > 0 }, func(x *model.Mix) { x.Min /= 2 })},
	{"batches by the gram", change(mixes, func(x *model.Mix) bool { return x.Step > 1 }, func(x *model.Mix) { x.Step = 1 })},
}

// oneLess is a crew without one head, of the skill that comes first.
func oneLess(c model.Crew) model.Crew {
	first := ""
	for s := range c {
		if first == "" || s < first {
			first = s
		}
	}
	d := model.Crew{}
	for s, n := range c {
		if s == first {
			n--
		}
		if n > 0 {
			d[s] = n
		}
	}
	return d
}

// cheaper are relaxations of the prices.
var cheaper = []relaxation{
	{"cheaper idle molds", price(func(c *model.Costs) *model.Mils { return &c.Idle })},
	{"cheaper holding", price(func(c *model.Costs) *model.Mils { return &c.Held })},
	{"cheaper waiting on the rack", price(func(c *model.Costs) *model.Mils { return &c.RackWait })},
	{"cheaper overtime", price(func(c *model.Costs) *model.Mils { return &c.Overtime })},
	{"cheaper batches", price(func(c *model.Costs) *model.Mils { return &c.Batch })},
	{"cheaper waste", price(func(c *model.Costs) *model.Mils { return &c.Waste })},
	{"cheaper moves", price(func(c *model.Costs) *model.Mils { return &c.Move })},
	{"cheaper carrying", change(pours, func(x *model.Pour) bool { return x.Carry > 0 }, func(x *model.Pour) { x.Carry /= 2 })},
	{"cheaper lateness", change(pours, func(x *model.Pour) bool { return x.LatePerTick > 0 }, func(x *model.Pour) { x.LatePerTick /= 2 })},
	{"cheaper late shipments", change(shipments, func(x *model.Shipment) bool { return x.LatePerTick > 0 },
		func(x *model.Shipment) { x.LatePerTick /= 2 })},
	{"a cheaper call-in", change(func(p *model.Problem) []model.Callin { return p.Callins },
		func(x *model.Callin) bool { return x.Cost > 0 }, func(x *model.Callin) { x.Cost /= 2 })},
}

func price(of func(*model.Costs) *model.Mils) func(*rand.Rand, *model.Problem) bool {
	return func(_ *rand.Rand, p *model.Problem) bool {
		c := of(&p.Costs)
		*c /= 2
		return true
	}
}

// fitted is a plan of a stricter problem as one of a relaxed problem: without
// the fixed work and the heads that are no longer asked for. Nothing moves.
func fitted(p *model.Problem, plan *model.Plan) *model.Plan {
	plan.Cost, plan.Bound = model.Unstated, 0
	keep := map[string]model.Who{}
	for _, f := range p.Fixed {
		keep[f.ID] = plan.Fixed[f.ID]
	}
	plan.Fixed = keep
	of := map[string]*model.Pour{}
	for i := range p.Pours {
		of[p.Pours[i].ID] = &p.Pours[i]
	}
	for i := range plan.Pours {
		x := &plan.Pours[i]
		q := of[x.ID]
		trim(x.Who.Cover, q.Cover.Crew)
		trim(x.Who.Demold, q.Demold.Crew)
		for k, w := range x.Who.Finish {
			trim(w, q.Finish[k].Crew)
		}
	}
	return plan
}

// trim sends home the people that a crew no longer asks for.
func trim(w model.Who, c model.Crew) {
	for s, l := range w {
		if w[s] = l[:min(len(l), c[s])]; len(w[s]) == 0 {
			delete(w, s)
		}
	}
}

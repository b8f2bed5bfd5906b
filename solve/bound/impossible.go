package bound

import (
	"fmt"

	"pourweek/model"
	"pourweek/solve/inst"
)

// Lacking names a pour that cannot be planned or finished even if nothing else were
// done, and says so; it is Clash or "" where there is none.
func Lacking(in *inst.Inst) string {
	r := newRun(in, Options{})
	r.start(r.blocks())
	return r.res.Impossible
}

// lackPlace sets Impossible where a pour that must be planned fits nowhere even
// in the empty shop. alone is by group what a pour costs there.
func (r *run) lackPlace(alone []int64) {
	for i, g := range r.lag.groups {
		if g.leave >= inf/2 && alone[i] >= inf/2 {
			p := g.pour
			r.res.Impossible = fmt.Sprintf("pour %q cannot be cast where it is pinned, in mold %q, even if nothing else were done",
				p.ID, r.in.Molds[p.PinMold].ID)
			return
		}
	}
}

// unfinished sets Impossible as a pour under way cannot be finished even in the
// empty shop.
func (r *run) unfinished(p *inst.Pour) {
	r.res.Impossible = fmt.Sprintf("pour %q, which is under way, cannot be finished in the week, even if nothing else were done", p.ID)
}

// impossibleBound sets Impossible where the bound is above what any plan costs.
func (r *run) impossibleBound(b model.Mils) {
	if r.res.Impossible == "" && float64(b) > Dearest(r.in) {
		r.res.Impossible = Clash
	}
}

// Clash says why no plan is allowed where a bound is above Dearest.
const Clash = "what is pinned, cures or rests on racks cannot all be done with the people, molds, mixers, stations and racks there are"

// Dearest is a cost, in mils, that no allowed plan has: everything late and waiting to the
// end of the week, everyone at work in all overtime, a full batch for each draw,
// every pour moved and, where that is allowed, carried. It is a float as a sum of
// what a problem may hold need not fit into 64 bits; what the last bits lose is
// far less than what it takes too much.
func Dearest(in *inst.Inst) float64 {
	c, h := in.Costs, float64(in.H)
	sum := 0.0
	add := func(n int, price model.Mils, ticks float64) { sum += float64(float64(n) * float64(price) * ticks) }
	add(len(in.Molds), c.Idle, h)
	add(len(in.People), c.Overtime, h)
	add(len(in.Pours), c.Held+c.Move, h)
	for i := range in.Pours {
		p := &in.Pours[i]
		add(1, model.Mils(p.LatePerTick), h-min(float64(p.Due), h))
		add(1, model.Mils(p.Carry), 1)
		add(1+len(p.Finish), c.RackWait, h)
		for _, d := range p.Draws {
			add(1, c.Batch, 1)
			for _, x := range in.Mixes[d.Mix].Mixers {
				add(1, c.Waste, float64(in.Mixers[x].Capacity))
			}
		}
	}
	for _, x := range in.Callins {
		add(1, model.Mils(x.Cost), 1)
	}
	for _, x := range in.Ships {
		add(1, model.Mils(x.LatePerTick), h-min(float64(x.Due), h))
	}
	return float64(sum*1.01) + 1
}

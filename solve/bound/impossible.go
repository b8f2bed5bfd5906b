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
	if r.res.Impossible == "" && float64(b) > r.worst {
		r.res.Impossible = Clash
	}
}

// Clash says why no plan is allowed where a bound is above model.Problem.Worst.
const Clash = "what is pinned, cures or rests on racks cannot all be done with the people, molds, mixers, stations and racks there are"

package replan

import (
	"slices"

	"pourweek/model"
)

// Kept is what is left of the published plan, as a plan of the problem that
// Advance laid out: nothing moves. It is nil where that is not possible; where
// it is not, the checker says whether it is allowed. Its cost is not stated.
// Pours named in without, which must be new, are not kept: they are carried.
func Kept(q *model.Problem, pub Published, without ...string) *model.Plan {
	shift, err := shiftOf(q, pub.Problem)
	if err != nil {
		return nil
	}
	k := &keeper{q: q, shift: shift, cal: newCalendar(q), h: handsOf(q, pub), used: map[string]bool{},
		plan: &model.Plan{Format: model.PlanFormat, Problem: q.Name, Batches: []model.BatchPlan{}, Pours: []model.PourPlan{},
			Carried: []string{}, Fixed: map[string]model.Who{}, Cost: model.Unstated}}
	for i := range q.Fixed {
		who := k.h.man(&q.Fixed[i])
		if who == nil {
			return nil
		}
		k.plan.Fixed[q.Fixed[i].ID] = who
	}
	at := byID(pub.Plan)
	for i := range q.Pours {
		x := at[q.Pours[i].ID]
		if slices.Contains(without, q.Pours[i].ID) {
			x = nil
		}
		if !k.pour(&q.Pours[i], x) {
			return nil
		}
	}
	k.batches(pub.Plan)
	if !k.inOrder(pub) || !k.standing() {
		return nil
	}
	return k.plan
}

type keeper struct {
	q     *model.Problem
	shift model.Tick
	cal   *calendar
	h     *hands
	plan  *model.Plan
	used  map[string]bool // batches that are drawn from
	ready []int           // pours of the plan whose mold stands prepared
}

func (k *keeper) moved(iv *model.Interval) *model.Interval {
	if iv == nil {
		return nil
	}
	return &model.Interval{iv[0] - k.shift, iv[1] - k.shift}
}

// pour keeps what is left of a pour. False: it cannot go on as planned.
func (k *keeper) pour(p *model.Pour, x *model.PourPlan) bool {
	if x == nil || p.Stage == model.New && x.Prep == nil {
		k.plan.Carried = append(k.plan.Carried, p.ID)
		return p.Stage == model.New
	}
	y := model.PourPlan{ID: p.ID, Rack: x.Rack, Layers: []model.Interval{}, Draws: []string{}, Ready: x.Ready - k.shift,
		Who: model.PourWho{Prep: model.Who{}, Layers: []model.Who{}, Cover: model.Who{}, Demold: model.Who{}, Finish: []model.Who{}}}
	if p.Stage == model.New {
		y.Mold, y.Prep, y.Cover, y.Draws = x.Mold, k.moved(x.Prep), k.moved(x.Cover), slices.Clone(x.Draws)
		for _, iv := range x.Layers {
			y.Layers = append(y.Layers, *k.moved(&iv))
		}
		y.Who.Prep, y.Who.Layers, y.Who.Cover = x.Who.Prep, x.Who.Layers, x.Who.Cover
		for _, id := range x.Draws {
			k.used[id] = true
		}
		if y.Prep[0] < k.q.Now {
			k.ready = append(k.ready, len(k.plan.Pours))
		}
	}
	if p.Stage != model.Racked {
		if x.Demold == nil || x.CureEnd == nil {
			return false
		}
		cured := *x.CureEnd - k.shift
		if p.Stage == model.Curing {
			y.Mold, cured = model.OptID(p.Mold), p.CureEnd
		}
		y.CureEnd, y.Demold, y.Who.Demold = &cured, k.moved(x.Demold), x.Who.Demold
	} else {
		y.Rack = p.Rack
	}
	for j := range p.Finish {
		var iv *model.Interval
		who := model.Who{}
		if j < len(x.Finish) && (p.Stage != model.Racked || j >= p.Next) {
			iv, who = k.moved(x.Finish[j]), x.Who.Finish[j]
		}
		y.Finish, y.Who.Finish = append(y.Finish, iv), append(y.Who.Finish, who)
	}
	k.plan.Pours = append(k.plan.Pours, y)
	return true
}

// batches keeps those that are still to be mixed and are drawn from.
func (k *keeper) batches(plan *model.Plan) {
	for _, b := range plan.Batches {
		if k.used[b.ID] && b.Start-k.shift >= k.q.Now {
			b.Start -= k.shift
			b.Wash = *k.moved(&b.Wash)
			k.plan.Batches = append(k.plan.Batches, b)
		}
	}
}

// inOrder reports whether each batch under way whose clean-up is a short one is
// followed on its mixer by the batch that was planned after it.
func (k *keeper) inOrder(pub Published) bool {
	for i, b := range pub.Plan.Batches {
		m := named(pub.Problem.Mixes, func(m *model.Mix) bool { return m.ID == b.Mix })
		wash := named(k.q.Fixed, func(x *model.Fixed) bool { return x.ID == b.ID+".wash" })
		if m == nil || wash == nil || wash.End-min(wash.Start, b.Wash[0]-k.shift) >= m.Wash {
			continue
		}
		next := -1
		for j, c := range pub.Plan.Batches {
			if j != i && c.Mixer == b.Mixer && c.Start > b.Start && (next < 0 || c.Start < pub.Plan.Batches[next].Start) {
				next = j
			}
		}
		if next < 0 {
			continue
		}
		id := pub.Plan.Batches[next].ID
		if !underWay(k.q, id) && !slices.ContainsFunc(k.plan.Batches, func(c model.BatchPlan) bool { return c.ID == id }) {
			return false
		}
	}
	return true
}

// standing gives molds that are being prepared, or are, the prep that is left:
// the rest of the planned one, or a tick as close to the first coat as the
// planned hands, or others, are free.
func (k *keeper) standing() bool {
	if len(k.ready) == 0 {
		return true
	}
	k.occupy()
	pours := map[string]*model.Pour{}
	for i := range k.q.Pours {
		pours[k.q.Pours[i].ID] = &k.q.Pours[i]
	}
	for _, i := range k.ready {
		y := &k.plan.Pours[i]
		p := pours[y.ID]
		if y.Prep[1] > k.q.Now {
			y.Prep[0] = k.cal.later(k.q.Now, 1) - 1 // the first open tick
			k.h.keep(y.Who.Prep, *y.Prep)
			continue
		}
		found := false
		for t := y.Layers[0][0] - 1; t >= k.q.Now && !found; t-- {
			x := model.Fixed{ID: y.ID + ".prep", Start: t, End: t + 1, Crew: p.Prep.Crew}
			if !k.cal.open[t] {
				continue
			}
			if who := k.h.man(&x); who != nil {
				y.Prep, y.Who.Prep, found = &model.Interval{t, t + 1}, who, true
			}
		}
		if !found {
			return false
		}
	}
	return true
}

// occupy has everybody busy with what they do in the kept plan.
func (k *keeper) occupy() {
	mixes := map[string]*model.Mix{}
	for i := range k.q.Mixes {
		mixes[k.q.Mixes[i].ID] = &k.q.Mixes[i]
	}
	for _, b := range k.plan.Batches {
		if m := mixes[b.Mix]; m != nil {
			ready := b.Start + m.Mix + m.Rest + m.Remix
			k.h.keep(b.Who.Mix, model.Interval{b.Start, b.Start + m.Mix})
			k.h.keep(b.Who.Remix, model.Interval{ready - m.Remix, ready})
			k.h.keep(b.Who.Wash, b.Wash)
		}
	}
	add := func(iv *model.Interval, who model.Who) {
		if iv != nil {
			k.h.keep(who, *iv)
		}
	}
	for i := range k.plan.Pours {
		y := &k.plan.Pours[i]
		if !slices.Contains(k.ready, i) {
			add(y.Prep, y.Who.Prep)
		}
		for j := range y.Layers {
			add(&y.Layers[j], y.Who.Layers[j])
		}
		add(y.Cover, y.Who.Cover)
		add(y.Demold, y.Who.Demold)
		for j, iv := range y.Finish {
			add(iv, y.Who.Finish[j])
		}
	}
}

package replan

import (
	"slices"

	"pourweek/model"
)

// begun reports whether casting is under way or done at now.
func (a *advance) begun(l *life) bool {
	return !l.again && len(l.layers) > 0 && (l.layers[0][0] < a.now || l.forced)
}

// closeOverBatches finds what is under way together: a batch that is mixed (or
// being mixed) binds the pours that it feeds, and a pour that has begun binds
// its later batches.
func (a *advance) closeOverBatches() {
	for changed := true; changed; {
		changed = false
		for _, b := range a.order {
			if b.lost {
				continue
			}
			on := b.forced || b.plan.Start < a.now
			for _, l := range b.pours {
				on = on || a.begun(l)
			}
			if on && !b.forced {
				b.forced, changed = true, true
			}
			for _, l := range b.pours {
				if on && !b.moved && !l.again && !l.forced && a.canGoOn(l) {
					l.forced, changed = true, true
				}
			}
		}
		for _, l := range a.lives {
			if a.begun(l) && l.prep != nil && l.prep[0] >= a.now && a.emptyFor(l) {
				changed = true
			}
		}
	}
	for _, b := range a.order {
		if b.lost || !b.forced || b.plan.Start >= a.now {
			continue
		}
		for _, l := range b.pours {
			if !l.again && !a.begun(l) {
				a.note(b.plan.ID, "it is mixed, and %s, which it was for, has not begun: its share is lost", l.pour.ID)
			}
		}
	}
}

// canGoOn reports whether a pour that has a batch waiting can still be cast as
// planned: its coats have a time that has not passed, and its mold is, or will
// be, empty by then.
func (a *advance) canGoOn(l *life) bool {
	if len(l.layers) == 0 || l.layers[0][0] >= never {
		return false
	}
	return l.prep == nil || l.prep[0] < a.now || !slices.ContainsFunc(a.lives, func(k *life) bool {
		return k != l && k.mold == l.mold && !k.again && k.demold != nil && k.demold[0] >= never &&
			(k.pour.Stage == model.Curing || a.begun(k))
	})
}

// emptyFor fixes what must be out of the mold of l before its prep, which is
// itself fixed: the demold of the piece before, and its casting if that is
// still to come. It reports whether it fixed anything.
func (a *advance) emptyFor(l *life) bool {
	changed := false
	for _, k := range a.lives {
		if k == l || k.out || k.again || k.mold != l.mold || k.demold == nil || k.demold[0] < a.now || k.demold[1] > l.prep[0] {
			continue
		}
		k.out, changed = true, true
		if k.pour.Stage == model.New && !a.begun(k) {
			k.forced = true
		}
	}
	return changed
}

// fix adds work under way, from now on, to the new problem.
func (a *advance) fix(id string, iv model.Interval, crew model.Crew, st model.OptID) {
	s, e := max(iv[0], a.now), iv[1]
	if e <= s || e >= never || len(crew) == 0 && st == "" {
		return
	}
	if e > a.pub.Horizon && a.toQ(e) > a.q.Horizon {
		return
	}
	for n := 2; slices.ContainsFunc(a.q.Fixed, func(x model.Fixed) bool { return x.ID == id }); n++ {
		id += "+"
	}
	if crew == nil {
		crew = model.Crew{}
	}
	a.q.Fixed = append(a.q.Fixed, model.Fixed{ID: id, Start: a.toQ(s), End: a.toQ(e), Crew: crew, Station: st})
}

// fixTaken adds what is left of a pausable task: its ticks one run after the
// other, and the station over the whole.
func (a *advance) fixTaken(id string, iv model.Interval, f *model.Finish) {
	runs := a.cal.taken(iv, f.Work, a.now)
	if len(runs) == 1 {
		a.fix(id, model.Interval{runs[0][0], iv[1]}, f.Crew, f.Station)
		return
	}
	for _, r := range runs {
		a.fix(id, r, f.Crew, "")
	}
	a.fix(id+".station", iv, nil, f.Station)
}

// place gives a pour its stage in the new problem.
func (a *advance) place(l *life) {
	switch {
	case l.again:
		a.placeAgain(l)
	case l.pour.Stage == model.New && !a.begun(l):
		a.placeNew(l)
	case l.demold == nil && l.pour.Stage != model.Racked, l.demold != nil && l.demold[0] >= a.now && !l.out:
		a.placeCuring(l)
	default:
		a.placeRacked(l)
	}
}

// find is the pour in the new problem, nil if it is not there.
func (a *advance) find(id string) *model.Pour {
	for i := range a.q.Pours {
		if a.q.Pours[i].ID == id {
			return &a.q.Pours[i]
		}
	}
	return nil
}

// placeAgain readies a failed or scrapped pour to be poured anew.
func (a *advance) placeAgain(l *life) {
	q := a.find(l.pour.ID)
	if q == nil || q.Stage != model.New {
		a.gone[l.pour.ID] = true
		a.note(l.pour.ID, "it is to be poured again, and no order of this week asks for it: add it to the orders")
		return
	}
	a.coatsUnderWay(l, l.freeAt)
	q.Release = max(q.Release, a.toQ(l.freeAt))
	a.freeMold(l.mold, l.freeAt)
}

// placeNew keeps a pour to be planned: its place in the published plan is its
// base, and a mold that is prepared, or half so, needs only the rest.
func (a *advance) placeNew(l *life) {
	q := a.find(l.pour.ID)
	if q == nil || q.Stage != model.New {
		return // cancelled
	}
	a.prepared(l, q)
	if !l.planned || len(l.layers) == 0 {
		return // carried
	}
	if t := l.layers[0][0] - a.shift; l.layers[0][0] < never && t >= a.q.Now && t < a.q.PourUntil {
		q.Base = &model.Spot{Mold: l.mold, Start: t}
	}
	if l.prep == nil || l.prep[0] >= a.now {
		return
	}
	for i := range q.Molds {
		if m := &q.Molds[i]; m.Mold == l.mold {
			left := model.Tick(0)
			for _, r := range a.cal.taken(*l.prep, m.Work, a.now) {
				left += a.cal.openIn(r[0], r[1])
			}
			if q.PrepMax != nil && l.prep[1]+*q.PrepMax < a.now {
				a.note(q.ID, "%s was prepared too long ago for it; the prep is done again", l.mold)
				return
			}
			m.Work = min(max(left, 1), m.Work)
		}
	}
}

// prepared carries over that a mold stood prepared for the pour when the week
// was published: the shop's files have the whole prep. It counts for the mold
// that the week before had planned, unless another pour has taken it since.
func (a *advance) prepared(l *life, q *model.Pour) {
	base := l.pour.Base
	if base == nil || l.again || slices.ContainsFunc(a.lives, func(k *life) bool {
		return k != l && k.mold == base.Mold && k.pour.Stage == model.New && k.prep != nil && k.prep[0] < a.now
	}) {
		return
	}
	is := func(m *model.MoldChoice) bool { return m.Mold == base.Mold }
	stood, m := named(l.pour.Molds, is), named(q.Molds, is)
	if stood != nil && m != nil {
		m.Work = min(m.Work, stood.Work)
	}
}

// merge takes what the new problem says of the pour, if it knows it, over what
// was published, so that a changed due date or finish counts.
func (a *advance) merge(l *life) model.Pour {
	p := *l.pour
	p.Due -= a.shift
	if q := a.find(l.pour.ID); q != nil {
		p.Due, p.LatePerTick = q.Due, q.LatePerTick
	}
	p.Finish = slices.Clone(p.Finish)
	for j := range p.Finish {
		f := &p.Finish[j]
		f.When = shiftAll(f.When, a.shift)
		if l.finish[j] == nil || l.finish[j][0] >= a.now {
			f.Work += l.longer[f.ID]
		}
	}
	p.Demold.When = shiftAll(p.Demold.When, a.shift)
	p.Spans = slices.Clone(p.Spans)
	return p
}

func shiftAll(ivs []model.Interval, d model.Tick) []model.Interval {
	if d == 0 || ivs == nil {
		return ivs
	}
	out := []model.Interval{}
	for _, iv := range ivs {
		if iv[1] > d {
			out = append(out, model.Interval{max(iv[0]-d, 0), iv[1] - d})
		}
	}
	return out
}

// put replaces the pour in the new problem, or adds it.
func (a *advance) put(p model.Pour) {
	if q := a.find(p.ID); q != nil {
		*q = p
		return
	}
	a.q.Pours = append(a.q.Pours, p)
}

// coatsUnderWay fixes what is left of prep, coats and cover, as far as they
// begin before until.
func (a *advance) coatsUnderWay(l *life, until model.Tick) {
	p := l.pour
	cut := func(iv model.Interval) model.Interval { return model.Interval{iv[0], min(iv[1], until)} }
	if l.prep != nil && l.prep[1] > a.now {
		f := model.Finish{Crew: p.Prep.Crew, Station: p.Prep.Station, Work: a.cal.openIn(l.prep[0], l.prep[1])}
		a.fixTaken(p.ID+".prep", cut(*l.prep), &f)
	}
	for j, iv := range l.layers {
		a.fix(p.ID+"."+p.Layers[j].ID, cut(iv), p.Layers[j].Crew, p.Layers[j].Station)
	}
	if l.cover != nil {
		a.fix(p.ID+".cover", cut(*l.cover), p.Cover.Crew, p.Cover.Station)
	}
}

func (a *advance) placeCuring(l *life) {
	src := a.merge(l)
	p := model.Pour{ID: src.ID, Order: src.Order, Piece: src.Piece, Stage: model.Curing, Due: src.Due,
		LatePerTick: src.LatePerTick, Demold: src.Demold, Racks: src.Racks, Places: src.Places,
		Spans: src.Spans, Finish: src.Finish}
	p.Demold.Work += l.longer["demold"]
	var until *model.Tick
	if l.pour.Stage == model.New {
		a.coatsUnderWay(l, never)
		p.Mold, p.CureEnd = l.mold, a.toQ(a.curedAt(l))
		if l.pour.MoldMax != nil {
			t := l.cover[1] + *l.pour.MoldMax
			until = &t
		}
	} else {
		p.Mold, p.CureEnd, until = l.pour.Mold, a.toQ(l.pour.CureEnd), l.pour.MoldUntil
		if a.facts.Recure {
			a.note(p.ID, "its cure was reckoned before the air changed; test it before it is taken out")
		}
	}
	if until != nil {
		if t := *until - a.shift; t < a.q.Now {
			a.note(p.ID, "its longest time in the mold has passed; take it out as soon as it can be")
		} else {
			p.MoldUntil = &t
		}
	}
	a.put(p)
}

// placeRacked handles a pour that is out of its mold, or on its way out.
func (a *advance) placeRacked(l *life) {
	src := a.merge(l)
	p := model.Pour{ID: src.ID, Order: src.Order, Piece: src.Piece, Stage: model.Racked, Due: src.Due,
		LatePerTick: src.LatePerTick, Rack: l.rack, Places: src.Places, Spans: src.Spans, Finish: src.Finish}
	end := model.Tick(0) // of the step before
	next := 0
	if l.demold != nil {
		end = l.demold[1]
		a.fix(p.ID+".demold", *l.demold, src.Demold.Crew, src.Demold.Station)
		a.freeMold(cmpOr(l.mold, l.pour.Mold), end)
		a.morePlaces(l.rack, l.demold[0], int64(src.Places))
		if l.pour.Stage == model.New && l.cover != nil && l.cover[1] > a.now {
			a.coatsUnderWay(l, never)
		}
	} else {
		p.Rack, next, end = l.pour.Rack, l.pour.Next, l.pour.From-l.pour.Finish[l.pour.Next].Rest
		if l.finish == nil {
			l.finish = make([]*model.Interval, len(l.pour.Finish))
		}
	}
	for ; next < len(l.finish); next++ {
		iv := l.finish[next]
		if iv == nil || iv[0] >= a.now || iv[0] < end {
			break
		}
		if _, told := a.facts.Done[p.ID][p.Finish[next].ID]; !told && iv[0] < end+p.Finish[next].Rest {
			a.note(p.ID, "%s was planned %s, before its rest of %s was over: it counts as not done", p.Finish[next].ID, a.at(iv[0]), a.hours(p.Finish[next].Rest))
			break
		}
		a.fixTaken(p.ID+"."+p.Finish[next].ID, *iv, &l.pour.Finish[next])
		end = iv[1]
	}
	if next == len(p.Finish) {
		a.done(l, end)
		return
	}
	p.Next, p.From = next, a.toQ(end+p.Finish[next].Rest)
	var latest *model.Tick
	switch {
	case l.demold == nil && next == l.pour.Next:
		latest = l.pour.FromMax
	case p.Finish[next].RestMax != nil:
		t := end + *p.Finish[next].RestMax
		latest = &t
	}
	if latest != nil {
		if t := *latest - a.shift; t < a.q.Now {
			a.note(p.ID, "the longest wait before %s has passed; judge by hand whether it may go on", p.Finish[next].ID)
		} else {
			p.FromMax = &t
		}
	}
	a.put(p)
}

func cmpOr(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// freeMold keeps a mold from new pours until t.
func (a *advance) freeMold(id string, t model.Tick) {
	for i := range a.q.Molds {
		if m := &a.q.Molds[i]; m.ID == id && t > a.now {
			m.FreeFrom = max(m.FreeFrom, a.toQ(t))
		}
	}
}

// morePlaces adds n to the places of a rack before t: a racked pour counts from
// tick 0 on, and one whose demold is still to come needs its places only then.
func (a *advance) morePlaces(rack string, t model.Tick, n int64) {
	for i := range a.q.Racks {
		if r := &a.q.Racks[i]; r.ID == rack && t > a.now {
			r.Places = lessUntil(r.Places, a.toQ(t), -n)
		}
	}
}

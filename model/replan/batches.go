package replan

import "pourweek/model"

// batchesUnderWay turns what is left of mixing to fixed work. The washes wait
// until it is known who is busy: see wash.
func (a *advance) batchesUnderWay() {
	for _, b := range a.order {
		m := a.mixes[b.plan.Mix]
		if m == nil || !b.forced && !(b.lost && b.plan.Start < a.now) {
			continue
		}
		s := b.plan.Start
		ready := s + m.Mix + m.Rest + m.Remix
		a.fix(b.plan.ID+".mix", model.Interval{s, s + m.Mix}, m.Crew, "")
		a.fix(b.plan.ID+".remix", model.Interval{ready - m.Remix, ready}, m.Crew, "")
		a.washes = append(a.washes, b)
	}
}

// wash fixes the washings of the batches under way and keeps their mixers until
// then. All are given hands as planned; then a clean-up that was short because of
// the batch after it becomes a whole one, at the planned start or near it, if
// that batch may not come and people are free for it.
func (a *advance) wash(h *hands) {
	as := func(b *batch, iv model.Interval) *model.Fixed {
		return &model.Fixed{ID: b.plan.ID + ".wash", Start: a.toQ(max(iv[0], a.now)), End: a.toQ(iv[1]), Crew: a.mixes[b.plan.Mix].Crew}
	}
	planned := map[*batch]model.Who{}
	for _, b := range a.washes {
		planned[b] = h.man(as(b, b.plan.Wash))
	}
	for _, b := range a.washes {
		m := a.mixes[b.plan.Mix]
		ready := b.plan.Start + m.Mix + m.Rest + m.Remix
		wash := b.plan.Wash
		if wash.Len() < m.Wash && wash[1] > a.now && !a.followed(b) {
			short := as(b, wash)
			h.set(planned[b], model.Interval{short.Start, short.End}, false)
			if whole, ok := a.wholeWash(h, b, ready); ok {
				wash = whole
			} else {
				a.note(b.plan.ID, "nobody has time for the whole clean-up of %s after it; it stays as short as planned", b.plan.Mixer)
			}
			planned[b] = h.man(as(b, wash))
		}
		crew := m.Crew
		if planned[b] == nil && wash[1] > a.now {
			crew = nil
			a.note(b.plan.ID, "too few are there and free to wash %s after it; see to it by hand", b.plan.Mixer)
		}
		a.fix(b.plan.ID+".wash", wash, crew, "")
		a.keepMixer(b, max(wash[1], ready))
	}
}

// wholeWash looks for a time for the whole washing: the planned start first,
// then later ones, then earlier ones, within the gap that the mix allows.
func (a *advance) wholeWash(h *hands, b *batch, ready model.Tick) (model.Interval, bool) {
	m := a.mixes[b.plan.Mix]
	limit := never
	for _, c := range a.order {
		if c.forced && c != b && c.plan.Mixer == b.plan.Mixer && c.plan.Start > b.plan.Start {
			limit = min(limit, c.plan.Start)
		}
	}
	try := func(s model.Tick) (model.Interval, bool) {
		iv := model.Interval{s, s + m.Wash}
		x := model.Fixed{ID: b.plan.ID + ".wash", Start: a.toQ(s), End: a.toQ(iv[1]), Crew: m.Crew}
		ok := s >= a.now && iv[1] <= limit && a.cal.openIn(iv[0], iv[1]) == m.Wash && h.find(&x) != nil
		return iv, ok
	}
	planned := b.plan.Wash[0]
	for s := planned; s <= max(planned, ready+m.WashGap[1]); s++ {
		if iv, ok := try(s); ok {
			return iv, true
		}
	}
	for s := planned - 1; s >= ready+m.WashGap[0]; s-- {
		if iv, ok := try(s); ok {
			return iv, true
		}
	}
	return model.Interval{}, false
}

// keepMixer keeps the mixer of a batch under way from others until t.
func (a *advance) keepMixer(b *batch, t model.Tick) {
	end := a.toQ(t)
	for i := range a.q.Mixers {
		x := &a.q.Mixers[i]
		switch {
		case x.ID != b.plan.Mixer || end <= a.q.Now:
		case b.plan.Start < a.now:
			x.FreeFrom = max(x.FreeFrom, end)
		default:
			x.Down = model.Union(x.Down, []model.Interval{{a.toQ(b.plan.Start), end}})
		}
	}
}

// followed reports whether the batch after b on its mixer is under way too, or
// is to keep its place, so that b's planned clean-up is the right one.
func (a *advance) followed(b *batch) bool {
	var next *batch
	for _, c := range a.order {
		if c.plan.Mixer == b.plan.Mixer && c.plan.Start > b.plan.Start && (next == nil || c.plan.Start < next.plan.Start) {
			next = c
		}
	}
	if next == nil || next.forced || next.lost || !a.facts.InOrder {
		return next != nil && next.forced
	}
	a.note(b.plan.ID, "its clean-up is a short one, since %s is mixed in %s next: keep that order", next.plan.Mix, b.plan.Mixer)
	return true
}

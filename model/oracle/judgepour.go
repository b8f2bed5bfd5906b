package oracle

import (
	"slices"

	"pourweek/model"
)

func (j *judge) allPours() {
	for i := range j.p.Pours {
		if x := j.pours[j.p.Pours[i].ID]; x != nil {
			if !j.shape(x) {
				return
			}
			switch x.q.Stage {
			case model.New:
				j.body(x)
				j.demold(x)
			case model.Curing:
				x.cured = x.q.CureEnd // what the plan repeats of it has no standing
				j.demold(x)
			}
			j.finish(x)
			j.spans(x)
			if j.broken != "" {
				return
			}
		}
	}
}

// shape checks that the pour has just the steps that are to be done.
func (j *judge) shape(x *pourUse) bool {
	isNew, racked := x.q.Stage == model.New, x.q.Stage == model.Racked
	ok := (x.Prep != nil) == isNew && (x.Cover != nil) == isNew && len(x.Layers) == len(x.q.Layers) &&
		(x.Demold != nil) == !racked && (x.CureEnd != nil) == !racked && len(x.Finish) == len(x.q.Finish)
	if !isNew {
		ok = ok && len(x.Draws) == 0 && len(x.Layers) == 0
	}
	if ok {
		for k, f := range x.Finish {
			ok = ok && (f != nil) == !(racked && k < x.q.Next)
		}
	}
	w := &x.Who
	if isNew {
		ok = ok && len(w.Layers) == len(x.Layers)
	} else {
		ok = ok && len(w.Layers) == 0 && len(w.Prep) == 0 && len(w.Cover) == 0
	}
	if racked {
		ok = ok && len(w.Demold) == 0
	}
	ok = ok && len(w.Finish) == len(x.Finish)
	if ok {
		for k, f := range x.Finish {
			ok = ok && (f != nil || len(w.Finish[k]) == 0)
		}
	}
	if !j.need(ok, "pour %s has too many or too few steps", x.ID) {
		return false
	}
	x.mold = string(x.Mold)
	switch {
	case isNew:
		return j.need(slices.Contains(x.q.Racks, x.Rack), "pour %s cannot rest on %q", x.ID, x.Rack)
	case racked:
		return j.need(x.Rack == x.q.Rack, "pour %s is on another rack", x.ID) && j.need(x.Mold == "", "pour %s is in no mold", x.ID)
	}
	return j.need(x.mold == x.q.Mold, "pour %s is in another mold", x.ID) &&
		j.need(slices.Contains(x.q.Racks, x.Rack), "pour %s cannot rest on %q", x.ID, x.Rack)
}

func (j *judge) body(x *pourUse) {
	q := x.q
	k := slices.IndexFunc(q.Molds, func(m model.MoldChoice) bool { return m.Mold == x.mold })
	if !j.need(k >= 0, "pour %s cannot be cast in %q", x.ID, x.mold) {
		return
	}
	j.task(x.ID+" prep", job{q.Molds[k].Work, q.Prep.Crew, q.Prep.Station, true, q.Prep.When}, *x.Prep, x.Who.Prep)
	j.need(x.Prep[0] >= q.Release, "pour %s: prep before the release", x.ID)
	for i, l := range q.Layers {
		iv := x.Layers[i]
		j.task(x.ID+" "+l.ID, job{l.Work, l.Crew, l.Station, false, l.When}, iv, x.Who.Layers[i])
		if i > 0 {
			gap := iv[0] - x.Layers[i-1][1]
			j.need(l.Gap[0] <= gap && gap <= l.Gap[1], "pour %s: gap before %s", x.ID, l.ID)
			continue
		}
		j.need(iv[0] >= x.Prep[1], "pour %s: poured before it is prepared", x.ID)
		j.need(q.PrepMax == nil || iv[0] <= x.Prep[1]+*q.PrepMax, "pour %s: prepared too long ago", x.ID)
		j.need(iv[0] < j.p.PourUntil, "pour %s: poured after the week", x.ID)
		if q.Pin != nil {
			j.need(iv[0] == q.Pin.Start && x.mold == q.Pin.Mold, "pour %s is not where it is pinned", x.ID)
		}
	}
	gap := x.Cover[0] - x.Layers[len(x.Layers)-1][1]
	j.need(q.Cover.Gap[0] <= gap && gap <= q.Cover.Gap[1], "pour %s: gap before the cover", x.ID)
	j.task(x.ID+" cover", job{q.Cover.Work, q.Cover.Crew, q.Cover.Station, false, q.Cover.When}, *x.Cover, x.Who.Cover)
	for _, c := range j.p.Cures {
		if c.ID == q.Cure {
			j.need(*x.CureEnd == x.Cover[1]+model.Tick(c.Lag.At(x.Cover[1])), "pour %s: cure_end", x.ID)
		}
	}
	x.cured = *x.CureEnd
	j.need(q.MoldMax == nil || x.Demold[0] <= x.Cover[1]+*q.MoldMax, "pour %s is in the mold too long", x.ID)
}

func (j *judge) demold(x *pourUse) {
	q := x.q
	j.need(x.Demold[0] >= x.cured, "pour %s is taken out too early", x.ID)
	j.need(q.MoldUntil == nil || x.Demold[0] <= *q.MoldUntil, "pour %s is taken out too late", x.ID)
	j.task(x.ID+" demold", job{q.Demold.Work, q.Demold.Crew, q.Demold.Station, false, q.Demold.When}, *x.Demold, x.Who.Demold)
}

func (j *judge) finish(x *pourUse) {
	q := x.q
	last := model.Tick(0)
	if x.Demold != nil {
		last = x.Demold[1]
	}
	for k, f := range q.Finish {
		if x.Finish[k] == nil {
			continue
		}
		s := x.Finish[k][0]
		j.task(x.ID+" "+f.ID, job{f.Work, f.Crew, f.Station, f.Pausable, f.When}, *x.Finish[k], x.Who.Finish[k])
		if q.Stage == model.Racked && k == q.Next {
			j.need(s >= q.From, "pour %s: %s too early", x.ID, f.ID)
			j.need(q.FromMax == nil || s <= *q.FromMax, "pour %s: %s too late", x.ID, f.ID)
		} else {
			j.need(s-last >= f.Rest, "pour %s: %s too early", x.ID, f.ID)
			j.need(f.RestMax == nil || s-last <= *f.RestMax, "pour %s: %s too late", x.ID, f.ID)
		}
		last = x.Finish[k][1]
	}
	j.need(x.Ready == last, "pour %s is ready at %d", x.ID, last)
}

// spans holds the stations that a pour keeps between two moments.
func (j *judge) spans(x *pourUse) {
	for _, s := range x.q.Spans {
		a, was := j.moment(x, s.From)
		b, over := j.moment(x, s.To)
		if over {
			continue
		}
		if was {
			a = 0
		}
		j.hold(s.Station, a, b)
	}
}

// moment is when it was, or that it is past.
func (j *judge) moment(x *pourUse, m string) (t model.Tick, past bool) {
	step, end := stepOf(m)
	at := func(iv *model.Interval) (model.Tick, bool) {
		switch {
		case iv == nil:
			return 0, true
		case end:
			return iv[1], false
		}
		return iv[0], false
	}
	switch step {
	case "prep":
		return at(x.Prep)
	case "cover":
		return at(x.Cover)
	case "demold":
		return at(x.Demold)
	}
	for k, f := range x.q.Finish {
		if f.ID == step {
			return at(x.Finish[k])
		}
	}
	for k, l := range x.q.Layers {
		if l.ID == step {
			return at(&x.Layers[k])
		}
	}
	return 0, true // a layer of long ago
}

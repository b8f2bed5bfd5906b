package replan

import (
	"slices"
	"strings"

	"pourweek/model"
)

// held is a span of which something is fixed.
type held struct {
	id string
	at model.Span
	iv model.Interval // ticks of the published problem; open ended: never
}

// fixSpans keeps stations for spans that end in a fixed step still to come:
// the planning model takes such a span as over. One that begins in a fixed step
// and ends in one to be planned holds from tick 0 there, which may be earlier
// than it does; it then stands for one that ends before it begins.
func (a *advance) fixSpans() {
	var ending, early []held
	for _, l := range a.lives {
		if l.again || a.gone[l.pour.ID] && l.demold == nil {
			continue
		}
		known := a.fixedMoments(l)
		for _, s := range l.pour.Spans {
			from, begun := known[s.From]
			to, ended := known[s.To]
			switch {
			case begun && ended && to > a.now:
				ending = append(ending, held{l.pour.ID, s, model.Interval{from, to}})
			case begun && !ended && from > a.now:
				early = append(early, held{l.pour.ID, s, model.Interval{from, never}})
			}
		}
	}
	for _, e := range early {
		i := slices.IndexFunc(ending, func(h held) bool { return h.at.Station == e.at.Station && h.iv[1] <= e.iv[0] })
		if i >= 0 {
			ending = slices.Delete(ending, i, i+1)
		}
	}
	for _, h := range ending {
		a.fix(h.id+"."+h.at.Station, h.iv, nil, model.OptID(h.at.Station))
	}
}

// fixedMoments are the moments of a pour's life that are not to be planned any
// more, in ticks of the published problem.
func (a *advance) fixedMoments(l *life) map[string]model.Tick {
	m := map[string]model.Tick{}
	put := func(step string, iv *model.Interval) {
		if iv != nil && iv[0] < never {
			m[step+".start"], m[step+".end"] = iv[0], iv[1]
		}
	}
	q := a.find(l.pour.ID)
	done := q == nil || a.gone[l.pour.ID]
	if !done && q.Stage == model.New {
		return m
	}
	put("prep", l.prep)
	for j := range l.layers {
		put(l.pour.Layers[j].ID, &l.layers[j])
	}
	put("cover", l.cover)
	if done || q.Stage == model.Racked {
		put("demold", l.demold)
		for j, iv := range l.finish {
			if done || j < q.Next {
				put(l.pour.Finish[j].ID, iv)
			}
		}
	}
	// A span of a pour that was in its mold or on its rack when the week was
	// published began before.
	for _, s := range l.pour.Spans {
		if _, ok := m[s.From]; !ok && l.pour.Stage != model.New && !strings.HasPrefix(s.From, "demold.") && !isFinish(l.pour, s.From) {
			m[s.From] = 0
		}
	}
	return m
}

func isFinish(p *model.Pour, moment string) bool {
	return slices.ContainsFunc(p.Finish, func(f model.Finish) bool { return strings.HasPrefix(moment, f.ID+".") })
}

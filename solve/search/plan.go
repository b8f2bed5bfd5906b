package search

import (
	"cmp"
	"slices"
	"strings"

	"pourweek/model"
	"pourweek/solve/inst"
)

// bestPlan writes out the best plan so far; the state in hand is lost.
func (w *worker) bestPlan() *model.Plan {
	w.s.copyFrom(w.best)
	return w.plan()
}

// plan writes the state out as a plan, without terms and bound.
func (w *worker) plan() *model.Plan {
	q, s := w.q, w.s
	pl := &model.Plan{
		Format: model.PlanFormat, Problem: q.P.Name, Cost: model.Mils(s.cost),
		Batches: []model.BatchPlan{}, Pours: []model.PourPlan{}, Carried: []string{}, Fixed: map[string]model.Who{},
	}
	ids := w.planBatches(pl)
	for i := range q.pours {
		if s.stage[i] != placed {
			pl.Carried = append(pl.Carried, q.pours[i].ID)
			continue
		}
		pl.Pours = append(pl.Pours, w.planPour(&q.pours[i], ids))
	}
	for i := range q.fixed {
		pl.Fixed[q.Fixed[i].ID] = w.names(q.fix0+int32(i), &q.fixed[i])
	}
	return pl
}

// planBatches lists the batches by start and mixer, and gives their ids.
func (w *worker) planBatches(pl *model.Plan) []string {
	q, s := w.q, w.s
	var l []int32
	for b := range q.batches {
		if s.bMix[b] >= 0 {
			l = append(l, b)
		}
	}
	slices.SortFunc(l, func(a, b int32) int {
		return cmp.Or(cmp.Compare(s.bStart[a], s.bStart[b]), cmp.Compare(s.bMixer[a], s.bMixer[b]))
	})
	ids, named := make([]string, q.batches), q.BatchIDs(len(l))
	for k, b := range l {
		ids[b] = named[k]
		t := &q.mixes[s.bMix[b]].tasks
		tid := q.batch0 + 3*b
		x := model.BatchPlan{
			ID: ids[b], Mixer: q.Mixers[s.bMixer[b]].ID, Mix: q.Mixes[s.bMix[b]].ID, Start: model.Tick(q.clock[s.bStart[b]]),
			Who: model.BatchWho{Mix: w.names(tid, &t[0]), Remix: w.names(tid+1, &t[1]), Wash: w.names(tid+2, &t[2])},
		}
		ready := model.Tick(w.batchReady(b))
		x.Wash = model.Interval{ready, ready}
		if s.start[tid+2] >= 0 {
			x.Wash = *w.times(tid + 2)
		}
		pl.Batches = append(pl.Batches, x)
	}
	return ids
}

func (w *worker) times(tid int32) *model.Interval {
	if w.s.start[tid] < 0 {
		return nil
	}
	return &model.Interval{model.Tick(w.q.clock[w.s.start[tid]]), model.Tick(w.s.end[tid])}
}

// names gives the people of a task by skill; empty for a task not placed.
func (w *worker) names(tid int32, d *task) model.Who {
	who := model.Who{}
	if tid < w.q.fix0 && w.s.start[tid] < 0 {
		return who
	}
	off := w.q.whoOff[tid]
	for _, h := range d.crew {
		var l []string
		for range h.N {
			l = append(l, w.q.People[w.s.who[off]].ID)
			off++
		}
		slices.Sort(l)
		who[w.q.Skills[h.Skill]] = l
	}
	return who
}

func (w *worker) planPour(p *pour, ids []string) model.PourPlan {
	q, s := w.q, w.s
	at := p.t0
	x := model.PourPlan{
		ID: p.ID, Rack: q.Racks[s.rack[p.id]].ID, Ready: model.Tick(w.readyOf(p.id)),
		Layers: []model.Interval{}, Draws: []string{}, Finish: []*model.Interval{},
		Who: model.PourWho{Prep: model.Who{}, Layers: []model.Who{}, Cover: model.Who{}, Demold: model.Who{}, Finish: []model.Who{}},
	}
	if p.Stage == inst.New {
		x.Mold = model.OptID(q.Molds[s.mold[p.id]].ID)
		x.Prep, x.Who.Prep = w.times(at), w.names(at, w.stepOf(p.id, at))
		for j := range p.coat {
			t := at + 1 + int32(j)
			x.Layers = append(x.Layers, *w.times(t))
			x.Who.Layers = append(x.Who.Layers, w.names(t, &p.coat[j]))
		}
		c := at + 1 + p.layers
		x.Cover, x.Who.Cover = w.times(c), w.names(c, &p.cover)
		for d := range p.Draws {
			x.Draws = append(x.Draws, ids[s.feed[p.d0+int32(d)]])
		}
	}
	if p.Stage == inst.Curing {
		x.Mold = model.OptID(q.Molds[p.Mold].ID)
	}
	if p.Stage != inst.Racked {
		e := model.Tick(w.tailSince(p))
		x.CureEnd = &e
	}
	skip := int32(0)
	if p.tail[0].demold {
		t := p.tail[0].tid
		x.Demold, x.Who.Demold = w.times(t), w.names(t, &p.tail[0].task)
		skip = 1
	}
	for range int32(len(p.Finish)) - (int32(len(p.tail)) - skip) {
		x.Finish = append(x.Finish, nil)
		x.Who.Finish = append(x.Who.Finish, model.Who{})
	}
	for k := range p.tail[skip:] {
		f := &p.tail[int(skip)+k]
		x.Finish = append(x.Finish, w.times(f.tid))
		x.Who.Finish = append(x.Who.Finish, w.names(f.tid, &f.task))
	}
	return x
}

// lacking says which pours that must be planned found no place.
func (w *worker) lacking() string {
	var l []string
	for i := range w.q.pours {
		if w.q.pours[i].must && w.best.stage[i] != placed {
			l = append(l, w.q.pours[i].ID)
		}
	}
	return "no place was found for " + strings.Join(l, ", ")
}

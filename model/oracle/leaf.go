package oracle

import (
	"cmp"
	"fmt"
	"math/bits"
	"slices"

	"pourweek/model"
)

// ship adds what shipments cost and holds their places, then goes on to the
// clean-ups. All pours are placed.
func (s *search) ship(cost int64) {
	type span struct{ rack, a, b, n int }
	var held []span
	ok := true
	for _, x := range s.p.Shipments {
		out, pours := s.out(&x)
		if len(pours) == 0 {
			continue
		}
		cost += int64(x.LatePerTick) * int64(max(0, out-int(x.Due)))
		for _, i := range pours {
			if x.Hold {
				h := span{s.racks[i], s.ready(i), out, s.p.Pours[i].Places}
				held = append(held, h)
				ok = s.rack(h.rack, h.a, h.b, h.n) && ok
			}
		}
	}
	if ok && cost < s.best {
		order := slices.Clone(s.batches)
		slices.SortFunc(order, func(a, b *load) int { return cmp.Or(a.mixer-b.mixer, a.s-b.s) })
		s.wash(order, 0, cost)
	}
	for _, h := range held {
		s.rack(h.rack, h.a, h.b, -h.n)
	}
}

// out is when a shipment leaves, and its pours that are planned.
func (s *search) out(x *model.Shipment) (out int, pours []int) {
	for _, o := range s.st.order {
		if slices.Contains(x.Pours, s.p.Pours[o.pour].ID) {
			pours = append(pours, o.pour)
			out = max(out, s.ready(o.pour))
		}
	}
	if x.Trucks == nil {
		return out, pours
	}
	for _, t := range x.Trucks {
		if int(t) >= out {
			return int(t), pours
		}
	}
	return s.h, pours
}

// wash places the clean-ups of the batches from the k-th on, which are in the
// order of their mixers and starts.
func (s *search) wash(order []*load, k int, cost int64) {
	if k == len(order) {
		s.callins(cost)
		return
	}
	b := order[k]
	m, x := &s.p.Mixes[b.mix], &s.p.Mixers[b.mixer]
	long, until := int(m.Wash), s.h
	if k+1 < len(order) && order[k+1].mixer == b.mixer {
		until = order[k+1].s
		w, listed := m.WashBefore[s.p.Mixes[order[k+1].mix].ID]
		if listed && (x.Keep == nil || until <= b.ready+int(*x.Keep)) {
			long = int(w)
		}
	}
	from, to := b.ready+int(m.WashGap[0]), b.ready+int(m.WashGap[1])
	if long == 0 {
		from, to = b.ready, b.ready
	}
	for z := from; z <= to && z+long <= until; z++ {
		if !s.steady(z, z+long) || slices.ContainsFunc(x.Down, func(d model.Interval) bool { return b.s < int(d[1]) && int(d[0]) < z+long }) {
			continue
		}
		over := s.overtime(m.Crew, z, z+long)
		if cost+over >= s.best || !s.batchPart(m.Crew, z, z+long, target{ofBatch, slices.Index(s.batches, b), 2}) {
			continue
		}
		b.z, b.end = z, z+long
		s.wash(order, k+1, cost+over)
		s.batchUndo(z, z+long)
	}
}

// callins adds the call-ins that the placed tasks cause, and tells people off.
func (s *search) callins(cost int64) {
	for _, c := range s.p.Callins {
		w := s.word(int(c.From), int(c.To))
		if slices.ContainsFunc(s.uses, func(u taken) bool { return u.to.kind != ofFixed && u.ticks&w != 0 }) {
			cost += int64(c.Cost)
		}
	}
	if cost >= s.best {
		return
	}
	if who := s.tellOff(); who != nil {
		s.best = cost
		s.found = s.plan(who, cost)
	}
}

// tellOff names people for every task in every way until one works; nil if none
// does.
func (s *search) tellOff() []model.Who {
	who := make([]model.Who, len(s.uses))
	for k := range who {
		who[k] = model.Who{}
	}
	busy := make([]uint64, len(s.p.People))
	type head struct {
		use   int
		skill string
	}
	var heads []head
	order := make([]int, len(s.uses))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return bits.TrailingZeros64(s.uses[a].ticks) - bits.TrailingZeros64(s.uses[b].ticks)
	})
	for _, k := range order {
		for _, name := range s.skills {
			for range s.uses[k].crew[name] {
				heads = append(heads, head{k, name})
			}
		}
	}
	var rec func(n int) bool
	rec = func(n int) bool {
		if n == len(heads) {
			return true
		}
		h := heads[n]
		ticks := s.uses[h.use].ticks
		for i := range s.p.People {
			x := &s.p.People[i]
			if ticks&^s.reach[i] != 0 || ticks&busy[i] != 0 || !slices.Contains(x.Skills, h.skill) {
				continue
			}
			if ticks == 0 && in(who[h.use], x.ID) {
				continue
			}
			busy[i] |= ticks
			who[h.use][h.skill] = append(who[h.use][h.skill], x.ID)
			if rec(n + 1) {
				return true
			}
			who[h.use][h.skill] = who[h.use][h.skill][:len(who[h.use][h.skill])-1]
			busy[i] &^= ticks
		}
		return false
	}
	if !rec(0) {
		return nil
	}
	return who
}

func in(w model.Who, id string) bool {
	for _, ids := range w {
		if slices.Contains(ids, id) {
			return true
		}
	}
	return false
}

// plan writes down what is placed.
func (s *search) plan(who []model.Who, cost int64) *model.Plan {
	out := &model.Plan{
		Format: model.PlanFormat, Problem: s.p.Name, Batches: []model.BatchPlan{}, Pours: []model.PourPlan{}, Carried: []string{},
		Fixed: map[string]model.Who{}, Cost: model.Mils(cost), Bound: model.Mils(cost),
	}
	for _, i := range s.st.carried {
		out.Carried = append(out.Carried, s.p.Pours[i].ID)
	}
	for k, b := range s.batches {
		out.Batches = append(out.Batches, model.BatchPlan{
			ID: fmt.Sprintf("b%d", k+1), Mixer: s.p.Mixers[b.mixer].ID, Mix: s.p.Mixes[b.mix].ID, Start: model.Tick(b.s),
			Wash: interval(placed{b.z, b.end}), Who: model.BatchWho{Mix: model.Who{}, Remix: model.Who{}, Wash: model.Who{}},
		})
	}
	at := map[int]int{}
	for _, o := range s.st.order {
		at[o.pour] = len(out.Pours)
		out.Pours = append(out.Pours, s.pourPlan(o))
	}
	for k, u := range s.uses {
		switch u.to.kind {
		case ofFixed:
			out.Fixed[s.p.Fixed[u.to.at].ID] = who[k]
		case ofBatch:
			w := &out.Batches[u.to.at].Who
			*[]*model.Who{&w.Mix, &w.Remix, &w.Wash}[u.to.part] = who[k]
		case ofPour:
			i, w := u.to.at, &out.Pours[at[u.to.at]].Who
			switch step := u.to.part; {
			case step == 0:
				w.Prep = who[k]
			case step < s.cover(i):
				w.Layers[step-1] = who[k]
			case step == s.cover(i):
				w.Cover = who[k]
			case step == s.demold(i):
				w.Demold = who[k]
			default:
				w.Finish[step-s.demold(i)-1] = who[k]
			}
		}
	}
	out.Terms, _ = Terms(s.p, out)
	return out
}

func interval(x placed) model.Interval { return model.Interval{model.Tick(x.s), model.Tick(x.e)} }

func (s *search) pourPlan(o spot) model.PourPlan {
	i := o.pour
	q := &s.p.Pours[i]
	x := model.PourPlan{ID: q.ID, Rack: s.p.Racks[s.racks[i]].ID, Ready: model.Tick(s.ready(i))}
	iv := func(step int) *model.Interval {
		if step < s.first(i) {
			return nil
		}
		v := interval(s.steps[i][step])
		return &v
	}
	if q.Stage != model.Racked {
		x.Demold = iv(s.demold(i))
		cured := q.CureEnd
		x.Mold = model.OptID(q.Mold)
		if q.Stage == model.New {
			cured = model.Tick(s.cure[q.Cure][s.steps[i][s.cover(i)].e])
			x.Mold = model.OptID(s.p.Molds[o.mold].ID)
			x.Prep, x.Cover = iv(0), iv(s.cover(i))
			for j := range q.Layers {
				x.Layers = append(x.Layers, *iv(j + 1))
			}
			x.Who.Layers = make([]model.Who, len(q.Layers))
			x.Draws = []string{}
			for d := range q.Draws {
				x.Draws = append(x.Draws, fmt.Sprintf("b%d", slices.Index(s.batches, s.draws[i][d])+1))
			}
		}
		x.CureEnd = &cured
	}
	x.Finish = make([]*model.Interval, len(q.Finish))
	x.Who.Finish = make([]model.Who, len(q.Finish))
	for k := range q.Finish {
		x.Finish[k] = iv(s.demold(i) + 1 + k)
	}
	return x
}

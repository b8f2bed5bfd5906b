package oracle

import (
	"sort"

	"pourweek/model"
)

func (j *judge) allBatches() {
	mixes := map[string]*model.Mix{}
	for i := range j.p.Mixes {
		mixes[j.p.Mixes[i].ID] = &j.p.Mixes[i]
	}
	for _, b := range j.plan.Batches {
		m := mixes[b.Mix]
		_, twice := j.batches[b.ID]
		if !j.need(m != nil, "batch %q: unknown mix %q", b.ID, b.Mix) || !j.need(!twice, "batch %q twice", b.ID) {
			return
		}
		ok := false
		for _, id := range m.Mixers {
			ok = ok || id == b.Mixer
		}
		if !j.need(ok, "batch %q is in the mixer %q", b.ID, b.Mixer) ||
			!j.need(b.Start >= j.p.Now && b.Start >= 0 && b.Start <= j.p.Horizon, "batch %q starts before now", b.ID) {
			return
		}
		ready := b.Start + m.Mix + m.Rest + m.Remix
		if !j.need(ready <= j.p.Horizon, "batch %q ends after the horizon", b.ID) {
			return
		}
		for t := b.Start; t < ready; t++ {
			j.need(j.isOpen(t), "batch %q is mixed at the closed tick %d", b.ID, t)
		}
		mix := model.Interval{b.Start, b.Start + m.Mix}
		remix := model.Interval{ready - m.Remix, ready}
		j.batchTask(b.ID+" mix", m.Crew, mix, b.Who.Mix)
		j.batchTask(b.ID+" remix", m.Crew, remix, b.Who.Remix)
		j.batches[b.ID] = batchUse{BatchPlan: b, mix: m, ready: ready, last: b.Start + model.Tick(m.PotLife.At(b.Start))}
	}
}

// batchTask is task for one that may have no ticks and then no people.
func (j *judge) batchTask(what string, crew model.Crew, iv model.Interval, who model.Who) {
	if iv[0] == iv[1] {
		j.need(len(who) == 0, "%s has no ticks but people", what)
		return
	}
	j.task(what, job{work: iv[1] - iv[0], crew: crew}, iv, who)
}

// mixers checks the order of batches, their clean-ups and their content.
func (j *judge) mixers() {
	for i := range j.p.Mixers {
		x := &j.p.Mixers[i]
		var bs []batchUse
		for _, b := range j.batches {
			if b.Mixer == x.ID {
				bs = append(bs, b)
			}
		}
		sort.Slice(bs, func(a, b int) bool { return bs[a].Start < bs[b].Start })
		for k, b := range bs {
			wash := b.mix.Wash
			if k+1 < len(bs) {
				w, listed := b.mix.WashBefore[bs[k+1].Mix]
				if listed && (x.Keep == nil || bs[k+1].Start <= b.ready+*x.Keep) {
					wash = w
				}
			}
			z, end := b.Wash[0], b.Wash[1]
			if !j.need(end-z == wash, "batch %s is washed %d ticks instead of %d", b.ID, end-z, wash) {
				return
			}
			if wash == 0 {
				j.need(z == b.ready, "batch %s: no clean-up, yet one at %d", b.ID, z)
			} else {
				j.need(b.mix.WashGap[0] <= z-b.ready && z-b.ready <= b.mix.WashGap[1], "batch %s is washed at %d", b.ID, z)
			}
			j.batchTask(b.ID+" wash", b.mix.Crew, b.Wash, b.Who.Wash)
			j.need(b.Start >= x.FreeFrom, "batch %s: mixer not free", b.ID)
			for _, d := range x.Down {
				j.need(end <= d[0] || d[1] <= b.Start, "batch %s: mixer down", b.ID)
			}
			if k+1 < len(bs) {
				j.need(end <= bs[k+1].Start, "batches %s and %s overlap", b.ID, bs[k+1].ID)
			}
			j.content(&b, x.Capacity)
		}
	}
}

func (j *judge) content(b *batchUse, capacity model.Grams) {
	if !j.need(b.draws > 0, "batch %s is empty", b.ID) {
		return
	}
	mixed := mixedMass(b.mix, b.net)
	j.need(mixed <= capacity, "batch %s is too big", b.ID)
	j.terms.Batch += j.p.Costs.Batch
	j.terms.Waste += j.p.Costs.Waste * model.Mils(mixed-b.net)
}

func mixedMass(m *model.Mix, net model.Grams) model.Grams {
	mixed := net + m.Loss
	if m.Step > 0 && mixed%m.Step != 0 {
		mixed += m.Step - mixed%m.Step
	}
	return max(mixed, m.Min)
}

// draws checks that layers are fed while their batch can be worked.
func (j *judge) draws() {
	for _, x := range j.pours {
		if x.q.Stage != model.New {
			continue
		}
		if !j.need(len(x.Draws) == len(x.q.Draws), "pour %s has %d draws", x.ID, len(x.Draws)) {
			return
		}
		for i, d := range x.q.Draws {
			b, ok := j.batches[x.Draws[i]]
			if !j.need(ok, "pour %s: batch %q is not in the plan", x.ID, x.Draws[i]) ||
				!j.need(b.Mix == d.Mix, "pour %s: batch %q is of another mix", x.ID, b.ID) {
				return
			}
			for _, k := range d.Layers {
				j.need(x.Layers[k][0] >= b.ready, "pour %s: batch %s not ready", x.ID, b.ID)
				j.need(x.Layers[k][1] <= b.last, "pour %s: batch %s too old", x.ID, b.ID)
			}
			b.net += d.Grams
			b.draws++
			j.batches[b.ID] = b
		}
	}
}

// molds checks who is in a mold and prices the time in which it stands empty.
func (j *judge) molds() {
	for _, m := range j.p.Molds {
		var in []*pourUse
		free := m.FreeFrom
		for _, x := range j.pours {
			switch {
			case x.q.Stage == model.New && x.mold == m.ID:
				in = append(in, x)
			case x.q.Stage == model.Curing && x.q.Mold == m.ID:
				free = max(free, x.Demold[1])
				for _, y := range j.pours { // held from tick 0
					if y.q.Stage == model.New && y.mold == m.ID {
						j.need(y.Prep[0] >= x.Demold[1], "mold %s is still held by %s", m.ID, x.ID)
					}
				}
			}
		}
		sort.Slice(in, func(a, b int) bool { return in[a].Prep[0] < in[b].Prep[0] })
		for k, x := range in {
			a, b := x.Prep[0], x.Demold[1]
			j.need(a >= m.FreeFrom, "mold %s is not free for %s", m.ID, x.ID)
			for _, d := range m.Down {
				j.need(b <= d[0] || d[1] <= a, "mold %s is down under %s", m.ID, x.ID)
			}
			if k > 0 {
				j.need(in[k-1].Demold[1] <= a, "mold %s holds %s and %s at once", m.ID, in[k-1].ID, x.ID)
			}
			j.terms.Idle += j.p.Costs.Idle * (j.reg(max(free, j.p.Now), a) + j.reg(x.Prep[1], x.Layers[0][0]))
			free = b
		}
	}
}

// ships works out when shipments leave, and holds rack places.
func (j *judge) ships() {
	held := map[string]model.Tick{}
	for _, s := range j.p.Shipments {
		out, some := model.Tick(0), false
		for _, id := range s.Pours {
			if x := j.pours[id]; x != nil {
				out, some = max(out, x.Ready), true
			}
		}
		if !some {
			continue
		}
		if s.Trucks != nil {
			k := sort.Search(len(s.Trucks), func(k int) bool { return s.Trucks[k] >= out })
			if k < len(s.Trucks) {
				out = s.Trucks[k]
			} else {
				out = j.p.Horizon
			}
		}
		j.terms.Ship += s.LatePerTick * model.Mils(max(0, out-s.Due))
		if s.Hold {
			for _, id := range s.Pours {
				held[id] = out
			}
		}
	}
	for id, x := range j.pours {
		from := model.Tick(0)
		if x.q.Stage != model.Racked {
			from = x.Demold[0]
		}
		j.holdRack(x.Rack, from, max(x.Ready, held[id]), x.q.Places)
	}
}

// costs adds the terms that need nothing but times.
func (j *judge) costs() {
	c := &j.p.Costs
	for i := range j.p.Pours {
		q := &j.p.Pours[i]
		x := j.pours[q.ID]
		if x == nil {
			j.terms.Carry += q.Carry
			if q.Base != nil {
				j.terms.Move += c.Move
			}
			continue
		}
		j.terms.Late += q.LatePerTick * model.Mils(max(0, x.Ready-q.Due))
		if q.Stage != model.Racked {
			j.terms.Held += c.Held * j.reg(max(x.cured, j.p.Now), x.Demold[0])
		}
		j.terms.RackWait += c.RackWait * j.waits(x)
		if q.Stage == model.New && q.Base != nil {
			off := x.Layers[0][0] - q.Base.Start
			if x.mold != q.Base.Mold || max(off, -off) > j.p.MoveTolerance {
				j.terms.Move += c.Move
			}
		}
	}
	paid := make([]bool, len(j.p.Callins))
	for _, u := range j.uses {
		if u.fixed {
			continue
		}
		heads := model.Mils(0)
		for _, n := range u.crew {
			heads += model.Mils(n)
		}
		for _, t := range u.ticks {
			if j.over[t] {
				j.terms.Overtime += c.Overtime * heads
			}
			for k, ci := range j.p.Callins {
				if ci.From <= t && t < ci.To && !paid[k] {
					paid[k] = true
					j.terms.Callin += ci.Cost
				}
			}
		}
	}
}

func (j *judge) waits(x *pourUse) (n model.Mils) {
	last := model.Tick(0)
	if x.q.Stage != model.Racked {
		last = x.Demold[1]
	}
	for k, f := range x.q.Finish {
		if x.q.Stage == model.Racked && k < x.q.Next {
			continue
		}
		earliest := last + f.Rest
		if x.q.Stage == model.Racked && k == x.q.Next {
			earliest = x.q.From
		}
		n += j.reg(max(earliest, j.p.Now), x.Finish[k][0])
		last = x.Finish[k][1]
	}
	return n
}

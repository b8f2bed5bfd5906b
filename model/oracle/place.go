package oracle

import (
	"slices"

	"pourweek/model"
)

func (s *search) tryStructure(st *structure) {
	s.st, s.batches = st, s.batches[:0]
	s.later = make([]int64, len(st.order)+1)
	for k := len(st.order) - 1; k >= 0; k-- {
		s.later[k] = s.later[k+1] + st.order[k].least
	}
	carry := int64(0)
	for _, i := range st.carried {
		carry += int64(s.p.Pours[i].Carry)
		if s.p.Pours[i].Base != nil {
			carry += int64(s.p.Costs.Move)
		}
	}
	s.nextPour(0, carry, st.least-s.later[0]-carry)
}

// nextPour places the k-th pour of the order and all after it. cost is that of
// what is placed, without batches and waste; batch is what these come to at
// least.
func (s *search) nextPour(k int, cost, batch int64) {
	if k == len(s.st.order) {
		s.ship(cost + batch)
		return
	}
	o := s.st.order[k]
	prev := 0
	if o.mold >= 0 {
		prev = s.free(o.mold)
		if o.after >= 0 {
			prev = max(prev, s.steps[o.after][s.demold(o.after)].e)
		}
	}
	s.steps[o.pour] = make([]placed, s.count(o.pour))
	s.step(k, s.first(o.pour), prev, cost, batch)
}

// step places one step of the k-th pour and all that follows.
func (s *search) step(k, step, prev int, cost, batch int64) {
	o := s.st.order[k]
	i := o.pour
	s.nodes++
	if s.nodes > maxNodes {
		return
	}
	if step == s.count(i) {
		s.rest(k, cost, batch)
		return
	}
	s.ways(i, step, o.mold, prev, func(x placed, ticks uint64, own int64) {
		if cost+own+s.minFrom(i, step+1, o.mold, x.e)+s.later[k+1]+batch >= s.best {
			return
		}
		if step == s.demold(i) && s.down(o, x.e) {
			return
		}
		j := s.job(i, step, o.mold)
		if s.take(j.crew, ticks, target{kind: ofPour, at: i, part: step}) {
			if s.hold(string(j.station), x.s, x.e, 1) {
				s.steps[i][step] = x
				if step > 0 && step < s.cover(i) {
					s.feed(k, step, 0, cost+own, batch)
				} else {
					s.step(k, step+1, x.e, cost+own, batch)
				}
			}
			s.hold(string(j.station), x.s, x.e, -1)
			s.giveBack()
		}
	})
}

// down reports whether the mold goes down while the pour is in it.
func (s *search) down(o spot, end int) bool {
	if o.mold < 0 {
		return false
	}
	return slices.ContainsFunc(s.p.Molds[o.mold].Down, func(d model.Interval) bool {
		return s.steps[o.pour][0].s < int(d[1]) && int(d[0]) < end
	})
}

// feed gives every draw whose last layer was just placed a batch, from the d-th
// draw on: one at hand or a new one.
func (s *search) feed(k, step, d int, cost, batch int64) {
	i := s.st.order[k].pour
	q := &s.p.Pours[i]
	for ; d < len(q.Draws); d++ {
		if slices.Max(q.Draws[d].Layers) == step-1 {
			break
		}
	}
	if d == len(q.Draws) {
		s.step(k, step+1, s.steps[i][step].e, cost, batch)
		return
	}
	w := &q.Draws[d]
	from, to := s.h, 0
	for _, j := range w.Layers {
		from, to = min(from, s.steps[i][j+1].s), max(to, s.steps[i][j+1].e)
	}
	mix := s.mixAt[w.Mix]
	m := &s.p.Mixes[mix]
	give := func(b *load, own int64) {
		b.net += w.Grams
		b.n++
		s.draws[i][d] = b
		if least := s.batchLeast(s.batches, s.unfed(k)); cost+own+s.minFrom(i, step+1, s.st.order[k].mold, s.steps[i][step].e)+
			s.later[k+1]+least < s.best {
			s.feed(k, step, d+1, cost+own, least)
		}
		s.draws[i][d] = nil
		b.net -= w.Grams
		b.n--
	}
	for _, b := range s.batches {
		if b.mix == mix && b.ready <= from && to <= b.last && mixedMass(m, b.net+w.Grams) <= s.p.Mixers[b.mixer].Capacity {
			give(b, 0)
		}
	}
	for _, id := range m.Mixers {
		if mixedMass(m, w.Grams) <= s.p.Mixers[s.mixerAt[id]].Capacity {
			s.newBatch(mix, s.mixerAt[id], from, to, give)
		}
	}
}

// unfed is the draws of planned pours that have no batch yet.
func (s *search) unfed(k int) []drawRef {
	var out []drawRef
	for _, o := range s.st.order[k:] {
		if o.mold < 0 {
			continue
		}
		for d := range s.draws[o.pour] {
			if s.draws[o.pour][d] == nil {
				out = append(out, drawRef{o.pour, d})
			}
		}
	}
	return out
}

// newBatch opens a batch that can feed layers from the tick from to the tick to
// at every start, and calls f with what its overtime costs.
func (s *search) newBatch(mix, mixer, from, to int, f func(*load, int64)) {
	m := &s.p.Mixes[mix]
	long := int(m.Mix + m.Rest + m.Remix)
	for t := max(int(s.p.Now), int(s.p.Mixers[mixer].FreeFrom)); t+long <= from; t++ {
		b := &load{mix: mix, mixer: mixer, s: t, ready: t + long, last: t + int(m.PotLife.At(model.Tick(t)))}
		if b.last < to || !s.steady(t, t+long) || slices.ContainsFunc(s.batches, func(c *load) bool {
			return c.mixer == mixer && c.s < b.ready && b.s < c.ready
		}) {
			continue
		}
		s.batches = append(s.batches, b)
		at := len(s.batches) - 1
		if s.batchPart(m.Crew, t, t+int(m.Mix), target{ofBatch, at, 0}) {
			if s.batchPart(m.Crew, b.ready-int(m.Remix), b.ready, target{ofBatch, at, 1}) {
				f(b, s.overtime(m.Crew, t, t+int(m.Mix))+s.overtime(m.Crew, b.ready-int(m.Remix), b.ready))
				s.batchUndo(b.ready-int(m.Remix), b.ready)
			}
			s.batchUndo(t, t+int(m.Mix))
		}
		s.batches = s.batches[:at]
	}
}

func (s *search) steady(a, b int) bool {
	for t := a; t < b; t++ {
		if t >= s.h || !s.open[t] {
			return false
		}
	}
	return b <= s.h
}

// batchPart is take for a task that may have no ticks and is none then.
func (s *search) batchPart(crew model.Crew, a, b int, to target) bool {
	return a == b || s.take(crew, s.word(a, b), to)
}

func (s *search) batchUndo(a, b int) {
	if a != b {
		s.giveBack()
	}
}

// overtime is what a steady task costs for its heads in overtime ticks.
func (s *search) overtime(crew model.Crew, a, b int) (n int64) {
	for t := a; t < b; t++ {
		if s.over[t] {
			for _, k := range crew {
				n += int64(s.p.Costs.Overtime) * int64(k)
			}
		}
	}
	return n
}

// rest tries the racks of a pour whose steps are all placed, with its spans.
func (s *search) rest(k int, cost, batch int64) {
	i := s.st.order[k].pour
	q := &s.p.Pours[i]
	ok, n := true, 0
	for ; n < len(q.Spans) && ok; n++ {
		a, b := s.span(i, q.Spans[n])
		ok = s.hold(q.Spans[n].Station, a, b, 1)
	}
	racks := q.Racks
	from := 0
	if q.Stage == model.Racked {
		racks = []string{q.Rack}
	} else {
		from = s.steps[i][s.demold(i)].s
	}
	for _, id := range racks {
		if !ok {
			break
		}
		r := s.rackAt[id]
		s.racks[i] = r
		if s.rack(r, from, s.ready(i), q.Places) {
			s.nextPour(k+1, cost, batch)
		}
		s.rack(r, from, s.ready(i), -q.Places)
	}
	for n--; n >= 0; n-- {
		a, b := s.span(i, q.Spans[n])
		s.hold(q.Spans[n].Station, a, b, -1)
	}
}

func (s *search) ready(i int) int { return s.steps[i][s.count(i)-1].e }

// span is the range that a span holds; empty when it is over.
func (s *search) span(i int, x model.Span) (a, b int) {
	a, was := s.moment(i, x.From)
	b, over := s.moment(i, x.To)
	if over {
		return 0, 0
	}
	if was {
		a = 0
	}
	return a, b
}

// moment is the tick of a moment, or that it is past.
func (s *search) moment(i int, m string) (t int, past bool) {
	name, end := stepOf(m)
	q := &s.p.Pours[i]
	step := -1
	switch name {
	case "prep":
		step = 0
	case "cover":
		step = s.cover(i)
	case "demold":
		step = s.demold(i)
	}
	for k := range q.Layers {
		if q.Layers[k].ID == name {
			step = 1 + k
		}
	}
	for k := range q.Finish {
		if q.Finish[k].ID == name {
			step = s.demold(i) + 1 + k
		}
	}
	if step < s.first(i) {
		return 0, true
	}
	if end {
		return s.steps[i][step].e, false
	}
	return s.steps[i][step].s, false
}

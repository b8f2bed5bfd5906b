package exact

import (
	"math/bits"
	"slices"

	"pourweek/solve/inst"
)

// solo holds stronger tables for a pour whose prep, mixing, layers and cover
// all need the same one person, so that no two of them overlap. A set says which
// of these are done; least[k][t] is the least priced cost from set k on when the
// person has no task of the pour under way at t.
//
// Longest times between steps are kept only over closed hours (a set in which a
// window runs cannot wait through a closing that is longer); the clean-up of the
// pour's last batch is priced in its window and may overlap.
type solo struct {
	b     *tables
	sets  []soloSet
	index map[uint32]int
	least [][]int32
}

// Bits of a set: prep, then mixing of each draw, clean-up after each draw,
// layers, cover.
type soloSet struct {
	bits    uint32
	moves   []soloMove
	longest int32 // closing that the set may wait through
	idle    bool  // the mold stands empty ahead of layer 1
	mixed   int   // set after the next batch, if that is a move
}

type soloKind uint8

const (
	soloPrep soloKind = iota
	soloMix
	soloWash
	soloLayer
	soloCover
)

// soloMove is a task that may be done next.
type soloMove struct {
	kind soloKind
	at   int // draw or layer
	to   int // set after it
}

func (o *solo) mixBit(d int) uint32   { return 1 << (1 + d) }
func (o *solo) washBit(d int) uint32  { return 1 << (1 + len(o.b.p.draws) + d) }
func (o *solo) layerBit(j int) uint32 { return 1 << (1 + 2*len(o.b.p.draws) + j) }
func (o *solo) coverBit() uint32      { return o.layerBit(len(o.b.p.layers)) }

// newSolo makes the tables of a pour, nil if the argument does not hold for it.
func (w *week) newSolo(b *tables, before *pour) *solo {
	if !w.onePerson(b.p) || !w.inOrder(b.p) || before != nil && !w.notBefore(b, before) {
		return nil
	}
	o := &solo{b: b, index: map[uint32]int{}}
	o.visit(w, 0)
	for range o.sets {
		o.least = append(o.least, filled(w.in.H+1))
	}
	return o
}

// onePerson reports whether one row that never has more than one head is needed
// by all tasks of the pour's body.
func (w *week) onePerson(p *pour) bool {
	for r := range w.rows {
		if slices.Max(w.have[r]) > 1 {
			continue
		}
		ok := p.cover.need[r] > 0
		for _, t := range p.prep {
			ok = ok && t.need[r] > 0
		}
		for _, t := range p.layers {
			ok = ok && t.need[r] > 0
		}
		for d := range p.draws {
			ok = ok && w.mixes[p.draws[d].mix].crew.need[r] > 0
		}
		if ok {
			return true
		}
	}
	return false
}

// inOrder reports whether the batches of a pour's draws must be mixed in the
// order of the draws, in one mixer and so each washed before the next: draws
// feed layers one after the other, no two can share a batch, and a batch mixed
// before that of an earlier draw would be too old.
func (w *week) inOrder(p *pour) bool {
	if len(p.draws) > 6 {
		return false
	}
	for d := range p.draws {
		// A rest without mixing before or remixing after it does not keep long
		// tasks out.
		if m := &w.mixes[p.draws[d].mix]; m.Rest > 0 && (m.Mix.Mix == 0 || m.Remix == 0) {
			return false
		}
	}
	for d := 1; d < len(p.draws); d++ {
		a, b := &p.draws[d-1], &p.draws[d]
		ma, mb := &w.mixes[a.mix], &w.mixes[b.mix]
		if a.last >= b.first || len(ma.Mixers) != 1 || len(mb.Mixers) != 1 || ma.Mixers[0] != mb.Mixers[0] {
			return false
		}
		if a.mix == b.mix && p.spanOf(a, b) <= maxPot(mb)-mb.Ready {
			return false
		}
		if mb.Ready+mb.wash+ma.Ready+p.spanOf(a, b) <= maxPot(mb) {
			return false
		}
	}
	return true
}

// notBefore reports whether no batch of the pour can be mixed before the pour
// before it has left the mold: the one person would have to mix, demold, prepare
// and lay within the pot life.
func (w *week) notBefore(b *tables, before *pour) bool {
	for d := range b.p.draws {
		q := &b.p.draws[d]
		m := &w.mixes[q.mix]
		least := m.Ready
		if before.demold.work <= m.Rest {
			least = m.Mix.Mix
		}
		least += before.demold.work + b.prepTask.work
		for j := 0; j <= q.last; j++ {
			least += b.p.layers[j].work
		}
		if least <= maxPot(m) {
			return false
		}
	}
	return true
}

// visit adds a set and all that follow it, and returns its place.
func (o *solo) visit(w *week, set uint32) int {
	if k, ok := o.index[set]; ok {
		return k
	}
	k := len(o.sets)
	o.index[set] = k
	o.sets = append(o.sets, soloSet{bits: set})
	var moves []soloMove
	add := func(kind soloKind, at int, bit uint32) {
		moves = append(moves, soloMove{kind: kind, at: at, to: o.visit(w, set|bit)})
	}
	p := o.b.p
	if set&1 == 0 {
		add(soloPrep, 0, 1)
	}
	for d := range p.draws {
		if set&o.mixBit(d) == 0 {
			if d == 0 || set&o.mixBit(d-1) != 0 && set&o.washBit(d-1) != 0 {
				add(soloMix, d, o.mixBit(d))
			}
			break
		}
		if d+1 < len(p.draws) && set&o.washBit(d) == 0 {
			add(soloWash, d, o.washBit(d))
		}
	}
	for j := range p.layers {
		if set&o.layerBit(j) != 0 {
			continue
		}
		ready := j == 0 && set&1 != 0 || j > 0
		for d := range p.draws {
			ready = ready && !(p.draws[d].first <= j && j <= p.draws[d].last && set&o.mixBit(d) == 0)
		}
		if ready {
			add(soloLayer, j, o.layerBit(j))
		}
		break
	}
	if set&o.coverBit() == 0 && set&o.layerBit(len(p.layers)-1) != 0 {
		add(soloCover, 0, o.coverBit())
	}
	s := &o.sets[k]
	for _, m := range moves {
		if m.kind == soloMix {
			s.mixed = m.to
		}
	}
	s.moves, s.longest, s.idle = moves, o.longestWait(w, set), set&o.layerBit(0) == 0
	return k
}

// longestWait is the longest closing through which a set may wait.
func (o *solo) longestWait(w *week, set uint32) int32 {
	p := o.b.p
	most := w.in.H
	if set&1 != 0 && set&o.layerBit(0) == 0 && p.PrepMax >= 0 {
		most = min(most, p.PrepMax)
	}
	for j := range p.layers {
		if set&o.layerBit(j) == 0 {
			break
		}
		switch {
		case j+1 < len(p.layers) && set&o.layerBit(j+1) == 0:
			most = min(most, p.Layers[j+1].GapMax)
		case j+1 == len(p.layers) && set&o.coverBit() == 0:
			most = min(most, p.CoverGapMax)
		}
	}
	for d := range p.draws {
		if m := &w.mixes[p.draws[d].mix]; set&o.mixBit(d) != 0 && set&o.layerBit(p.draws[d].last) == 0 {
			most = min(most, maxPot(m)-m.Ready)
		}
		if set&o.mixBit(d) != 0 && d+1 < len(p.draws) && set&o.washBit(d) == 0 {
			most = min(most, w.mixes[p.draws[d].mix].GapMax)
		}
	}
	return most
}

// fillSolo works the tables out; the demold's must be filled before.
func (w *shop) fillSolo(o *solo) {
	order := make([]int, len(o.sets))
	for k := range order {
		order[k] = k
	}
	slices.SortFunc(order, func(a, b int) int { return bits.OnesCount32(o.sets[b].bits) - bits.OnesCount32(o.sets[a].bits) })
	in := w.in
	for _, k := range order {
		s, v := &o.sets[k], o.least[k]
		v[in.H] = inf
		if len(s.moves) == 0 { // all done
			for t := range in.H {
				v[t] = at(o.b.demFrom, w.cured(o.b.p, t))
			}
			continue
		}
		next := in.H // next open tick
		for t := in.H - 1; t >= 0; t-- {
			if !in.Open[t] {
				if next-t > s.longest {
					v[t] = inf
				} else {
					v[t] = v[next]
				}
				continue
			}
			next = t
			best := add(v[t+1], w.soloIdle(o, s, t, t+1))
			for m := range s.moves {
				best = min(best, w.soloCost(o, s, &s.moves[m], t, nil))
			}
			v[t] = best
		}
	}
}

// soloIdle is what the mold's standing empty over [a, b) costs.
func (w *shop) soloIdle(o *solo, s *soloSet, a, b int32) int32 {
	if !s.idle {
		return 0
	}
	return int32(w.in.Costs.Idle) * w.in.Reg(max(a, w.in.Molds[o.b.mold].FreeFrom), b)
}

// soloUse is work of a crew in [a, b), a share of it where it is a batch's.
type soloUse struct {
	crew    *crew
	a, b    int32
	share   int32
	regular bool
}

// soloCost is the least cost of a move at the open tick t and all that follows.
// With use, what the move does is noted, and the end and set it leads to are
// returned in it.
func (w *shop) soloCost(o *solo, s *soloSet, m *soloMove, t int32, use *soloPath) int32 {
	p := o.b.p
	switch m.kind {
	case soloMix:
		return w.soloMixing(o, s, m, t, use)
	case soloWash:
		x := &w.mixes[p.draws[m.at].mix]
		v := w.steady(x.washer, t, t+x.wash)
		if v >= inf {
			return inf
		}
		use.note(soloUse{x.washer, t, t + x.wash, p.draws[m.at].share, false}, m.to, t+x.wash)
		return add(v/p.draws[m.at].share+w.soloIdle(o, s, t, t+x.wash), o.least[m.to][t+x.wash])
	case soloPrep:
		if t < p.Release || t < w.in.Molds[o.b.mold].FreeFrom || w.isDown(o.b.mold, t, t+1) {
			return inf
		}
		q := o.b.prepTask
		best, put := inf, false
		if e := q.end[t]; e >= 0 {
			best = add(q.cost[t], o.least[m.to][e])
		}
		if q.putEnd != nil && q.putEnd[t] >= 0 {
			if v := add(q.putCost[t], o.least[m.to][q.putEnd[t]]); v < best {
				best, put = v, true
			}
		}
		if use != nil && best < inf {
			e := q.end[t]
			if put {
				e = q.putEnd[t]
			}
			use.note(soloUse{q.crew, t, e, 1, put}, m.to, e)
		}
		return best
	}
	q := p.cover
	extra := int32(0)
	if m.kind == soloLayer {
		q = p.layers[m.at]
		if m.at == 0 {
			if !w.mayPour(p, o.b.mold, t) {
				return inf
			}
			extra = w.move(p, o.b.mold, t)
		}
	}
	e := q.end[t]
	if e < 0 {
		return inf
	}
	use.note(soloUse{q.crew, t, e, 1, false}, m.to, e)
	return add(add(q.cost[t], extra), o.least[m.to][e])
}

// soloMixing is soloCost for a batch: the person is bound while it is mixed and
// remixed; short tasks of the pour may be done while it rests.
func (w *shop) soloMixing(o *solo, s *soloSet, m *soloMove, t int32, use *soloPath) int32 {
	q := &o.b.p.draws[m.at]
	x := &w.mixes[q.mix]
	if t < w.in.Now || x.price[t] >= inf {
		return inf
	}
	ready := t + x.Ready
	own := w.mixPrice(x, t)
	if m.at == len(o.b.p.draws)-1 {
		own = x.price[t] // with the cheapest clean-up
	}
	own /= q.share
	if use != nil {
		use.batch(w, q, t, m.at == len(o.b.p.draws)-1)
	}
	best := add(own, w.soloRest(o, s, m, t, t+x.Mix.Mix, ready-x.Remix, ready, use))
	return best
}

// soloRest is the least cost after a batch that is ready at ready, from set s,
// paid up to tick a, when the person is free in [u, v).
func (w *shop) soloRest(o *solo, s *soloSet, m *soloMove, a, u, v, ready int32, use *soloPath) int32 {
	to := s.mixed
	best := add(w.soloIdle(o, s, a, ready), o.least[to][ready])
	base := 0
	if use != nil {
		use.to, use.end = to, ready
		base = len(use.uses)
	}
	for k := range s.moves {
		c := &s.moves[k]
		if c.kind == soloMix {
			continue
		}
		var q *task
		work, f := int32(0), int32(1)
		switch c.kind {
		case soloPrep:
			q = o.b.prepTask
		case soloLayer:
			q = o.b.p.layers[c.at]
		case soloCover:
			q = o.b.p.cover
		case soloWash:
			work, f = w.mixes[o.b.p.draws[c.at].mix].wash, o.b.p.draws[c.at].share
		}
		if q != nil {
			work = q.work
		}
		for b := u; b+work <= v; b++ {
			cost := inf
			switch {
			case q == nil:
				crew := w.mixes[o.b.p.draws[c.at].mix].washer
				cost = w.steady(crew, b, b+work) / f
			case c.kind == soloPrep && (b < o.b.p.Release || b < w.in.Molds[o.b.mold].FreeFrom):
			case c.kind == soloLayer && c.at == 0 && !w.mayPour(o.b.p, o.b.mold, b):
			case q.end[b] == b+work:
				cost = q.cost[b]
				if c.kind == soloLayer && c.at == 0 {
					cost = add(cost, w.move(o.b.p, o.b.mold, b))
				}
			}
			if cost >= inf {
				continue
			}
			then := &o.sets[c.to]
			paid := b + work
			idle := w.soloIdle(o, s, a, b)
			if c.kind != soloPrep && c.kind != soloLayer {
				idle = w.soloIdle(o, s, a, paid)
			}
			var sub *soloPath
			if use != nil {
				sub = &soloPath{}
			}
			r := add(add(cost, idle), w.soloRest(o, then, m, paid, paid, v, ready, sub))
			if r >= best {
				continue
			}
			best = r
			if use != nil {
				use.uses = append(use.uses[:base:base], soloUse{crewOf(q, w, o, c), b, paid, f, false})
				use.uses = append(use.uses, sub.uses...)
				use.to, use.end = sub.to, sub.end
			}
		}
	}
	return best
}

func crewOf(q *task, w *shop, o *solo, c *soloMove) *crew {
	if q != nil {
		return q.crew
	}
	return w.mixes[o.b.p.draws[c.at].mix].washer
}

// soloPath notes what a move uses, for the ascent; nil notes nothing.
type soloPath struct {
	uses []soloUse
	to   int
	end  int32
}

func (x *soloPath) note(u soloUse, to int, end int32) {
	if x != nil {
		x.uses = append(x.uses, u)
		x.to, x.end = to, end
	}
}

func (x *soloPath) batch(w *shop, q *draw, t int32, wash bool) {
	m := &w.mixes[q.mix]
	ready := t + m.Ready
	x.uses = append(x.uses, soloUse{m.crew, t, t + m.Mix.Mix, q.share, false}, soloUse{m.crew, ready - m.Remix, ready, q.share, false},
		soloUse{m.hold, t + m.holdA, t + m.holdB, q.share, false})
	if !wash || m.wash == 0 {
		return
	}
	for z := ready + m.GapMin; z <= ready+m.GapMax; z++ {
		if w.steady(m.washer, z, z+m.wash) == w.washPrice(m, ready+m.GapMin, ready+m.GapMax) {
			x.uses = append(x.uses, soloUse{m.washer, z, z + m.wash, q.share, false})
			return
		}
	}
}

// useSolo adds the work of the cheapest way from set 0 at t on.
func (w *week) useSolo(use [][]float64, o *solo, t int32) {
	k := 0
	for len(o.sets[k].moves) > 0 {
		s := &o.sets[k]
		if t >= w.in.H {
			return
		}
		if !w.in.Open[t] || o.least[k][t] == add(o.least[k][t+1], w.soloIdle(o, s, t, t+1)) {
			t++
			continue
		}
		x := &soloPath{}
		for m := range s.moves {
			if w.soloCost(o, s, &s.moves[m], t, nil) == o.least[k][t] {
				w.soloCost(o, s, &s.moves[m], t, x)
				break
			}
		}
		for _, u := range x.uses {
			w.use(use, u.crew, u.a, u.b, 1/float64(u.share), u.regular)
		}
		k, t = x.to, x.end
	}
	w.useDemold(use, o.b, w.cured(o.b.p, t))
}

// soloValue is the least priced cost of a pour of stage new before its cover is
// begun, from where it stands at t, when the one person is free from tp on.
func (w *week) soloValue(st *state, i int, t, tp int32) int32 {
	b := w.tables[i]
	o, p := b.solo, &w.pours[i]
	step := int(st.step[i])
	set := uint32(0)
	for d := range p.draws {
		if st.link[p.draws[d].at] != -1 {
			set |= o.mixBit(d)
			if d+1 < len(p.draws) {
				set |= o.washBit(d)
			}
		}
	}
	from, rest := max(t, tp), int32(0)
	done := step
	if st.run[i] != waiting {
		done++
		from = max(from, st.at[i])
		rest = w.rest(w.taskOf(i, step).crew, t, st.at[i], st.run[i])
	}
	if done > 0 {
		set |= 1
	}
	for j := 0; j < done-1 && j < len(p.layers); j++ {
		set |= o.layerBit(j)
	}
	k, ok := o.index[set]
	if !ok {
		return 0
	}
	v := add(rest, at(o.least[k], from))
	if o.sets[k].idle {
		a := t
		if st.run[i] != waiting {
			a = st.at[i]
		}
		v = add(v, w.soloIdle(o, &o.sets[k], a, from))
	}
	return v
}

// waitsInBody reports whether the pour is new and its cover not begun.
func (w *week) waitsInBody(s *state, i int) bool {
	p := &w.pours[i]
	return p.Stage == inst.New && int(s.step[i]) < p.cov()
}

package exact

import (
	"math/bits"
	"slices"

	"pourweek/solve/inst"
)

// fill works the tables out; the demold's must be filled before.
func (o *solo) fill() {
	order := make([]int, len(o.sets))
	for k := range order {
		order[k] = k
	}
	slices.SortFunc(order, func(a, b int) int { return bits.OnesCount32(o.sets[b].bits) - bits.OnesCount32(o.sets[a].bits) })
	in := o.in
	for _, k := range order {
		s, v := &o.sets[k], o.least[k]
		v[in.H] = inf
		if len(s.moves) == 0 { // all done
			for t := range in.H {
				v[t] = at(o.b.demFrom, o.cured(o.b.p, t))
			}
			continue
		}
		next := in.H // next open tick
		for t := in.H - 1; t >= 0; t-- {
			if !in.Open[t] {
				v[t] = inf
				if next-t <= s.longest {
					v[t] = v[next]
				}
				continue
			}
			next = t
			best := add(v[t+1], o.idle(s, t, t+1))
			for m := range s.moves {
				best = min(best, o.cost(s, &s.moves[m], t, nil))
			}
			v[t] = best
		}
	}
}

// idle is what the mold's standing empty over [a, b) costs.
func (o *solo) idle(s *soloSet, a, b int32) int32 {
	if !s.idle {
		return 0
	}
	return int32(o.in.Costs.Idle) * o.in.Reg(max(a, o.in.Molds[o.b.mold].FreeFrom), b)
}

// soloPath notes what a move uses and where it leads, for the ascent; nil notes
// nothing.
type soloPath struct {
	uses []use
	to   int // set
	end  int32
}

func (x *soloPath) note(u use, to int, end int32) {
	if x != nil {
		x.uses = append(x.uses, u)
		x.to, x.end = to, end
	}
}

// mayPrep reports whether the prep may start at t.
func (o *solo) mayPrep(t int32) bool {
	return t >= o.b.p.Release && t >= o.in.Molds[o.b.mold].FreeFrom && !o.isDown(o.b.mold, t, t+1)
}

// cost is the least cost of a move at the open tick t and all that follows.
func (o *solo) cost(s *soloSet, m *soloMove, t int32, path *soloPath) int32 {
	p := o.b.p
	switch m.kind {
	case soloMix:
		return o.mixing(s, m, t, path)
	case soloWash:
		q := &p.draws[m.at]
		x := &o.mixes[q.mix]
		v := o.steady(x.washer, t, t+x.wash)
		if v >= inf {
			return inf
		}
		path.note(use{x.washer, ticks{t, t + x.wash, false}, q.share}, m.to, t+x.wash)
		return add(v/q.share+o.idle(s, t, t+x.wash), o.least[m.to][t+x.wash])
	case soloPrep:
		return o.prep(m, t, path)
	}
	q, own := o.task(m), o.start(m, t)
	if own >= inf {
		return inf
	}
	path.note(use{q.crew, ticks{t, q.end[t], false}, 1}, m.to, q.end[t])
	return add(own, o.least[m.to][q.end[t]])
}

func (o *solo) prep(m *soloMove, t int32, path *soloPath) int32 {
	if !o.mayPrep(t) {
		return inf
	}
	q := o.b.prepTask
	best, e, put := inf, q.end[t], false
	if e >= 0 {
		best = add(q.cost[t], o.least[m.to][e])
	}
	if q.putEnd != nil && q.putEnd[t] >= 0 {
		if v := add(q.putCost[t], o.least[m.to][q.putEnd[t]]); v < best {
			best, e, put = v, q.putEnd[t], true
		}
	}
	if best < inf {
		path.note(use{q.crew, ticks{t, e, put}, 1}, m.to, e)
	}
	return best
}

// task is the task of a move that is neither mixing nor a clean-up.
func (o *solo) task(m *soloMove) *task {
	switch m.kind {
	case soloPrep:
		return o.b.prepTask
	case soloLayer:
		return o.b.p.layers[m.at]
	}
	return o.b.p.cover
}

// start is the own cost of a layer, cover or prep that starts at t and goes
// straight on; inf if it cannot.
func (o *solo) start(m *soloMove, t int32) int32 {
	q := o.task(m)
	switch {
	case q.end[t] < 0 || m.kind == soloPrep && !o.mayPrep(t):
		return inf
	case m.kind == soloLayer && m.at == 0:
		if !o.mayPour(o.b.p, o.b.mold, t) {
			return inf
		}
		return add(q.cost[t], o.move(o.b.p, o.b.mold, t))
	}
	return q.cost[t]
}

// mixing is cost for a batch: the person is bound while it is mixed and remixed;
// short tasks of the pour may be done while it rests.
func (o *solo) mixing(s *soloSet, m *soloMove, t int32, path *soloPath) int32 {
	q := &o.b.p.draws[m.at]
	x := &o.mixes[q.mix]
	if t < o.in.Now || x.price[t] >= inf {
		return inf
	}
	last := m.at == len(o.b.p.draws)-1
	own := x.price[t] // with the cheapest clean-up
	if !last {
		own = o.mixPrice(x, t)
	}
	if path != nil {
		path.uses = append(path.uses, o.mixUses(q, t, last)...)
	}
	r := resting{o, t + x.Ready - x.Remix, t + x.Ready}
	return add(own/q.share, r.least(s, t, t+x.Mix.Mix, path))
}

// resting is a batch of the pour at rest until the tick until, ready at ready.
type resting struct {
	*solo
	until, ready int32
}

// least is the least cost after the batch, from set s, which is paid up to tick
// a, when the person is free from tick u until the remixing.
func (r resting) least(s *soloSet, a, u int32, path *soloPath) int32 {
	best := add(r.idle(s, a, r.ready), r.solo.least[s.mixed][r.ready])
	base := 0
	if path != nil {
		path.to, path.end = s.mixed, r.ready
		base = len(path.uses)
	}
	for k := range s.moves {
		c := &s.moves[k]
		for b := u; b < r.until; b++ {
			w, cost := r.short(c, b)
			if cost >= inf {
				continue
			}
			idle := r.idle(s, a, b)
			if c.kind == soloWash || c.kind == soloCover {
				idle = r.idle(s, a, w.to)
			}
			var sub *soloPath
			if path != nil {
				sub = &soloPath{}
			}
			v := add(add(cost, idle), r.least(&r.sets[c.to], w.to, w.to, sub))
			if v >= best {
				continue
			}
			best = v
			if path != nil {
				path.uses = append(append(path.uses[:base:base], w), sub.uses...)
				path.to, path.end = sub.to, sub.end
			}
		}
	}
	return best
}

// short is a move done at b while the batch rests, and its own cost; inf if it
// does not fit.
func (r resting) short(c *soloMove, b int32) (use, int32) {
	switch c.kind {
	case soloMix:
		return use{}, inf
	case soloWash:
		q := &r.b.p.draws[c.at]
		m := &r.mixes[q.mix]
		if b+m.wash > r.until {
			return use{}, inf
		}
		v := r.steady(m.washer, b, b+m.wash)
		if v < inf {
			v /= q.share
		}
		return use{m.washer, ticks{b, b + m.wash, false}, q.share}, v
	}
	q := r.task(c)
	if b+q.work > r.until || q.end[b] != b+q.work {
		return use{}, inf
	}
	return use{q.crew, ticks{b, b + q.work, false}, 1}, r.start(c, b)
}

// alone adds the work of the cheapest way from the empty set at t on.
func (w *usage) alone(o *solo, t int32) {
	k := 0
	for len(o.sets[k].moves) > 0 {
		s := &o.sets[k]
		if t >= w.in.H {
			return
		}
		if !w.in.Open[t] || o.least[k][t] == add(o.least[k][t+1], o.idle(s, t, t+1)) {
			t++
			continue
		}
		x := &soloPath{}
		for m := range s.moves {
			if o.cost(s, &s.moves[m], t, nil) == o.least[k][t] {
				o.cost(s, &s.moves[m], t, x)
				break
			}
		}
		for _, u := range x.uses {
			w.add(u)
		}
		k, t = x.to, x.end
	}
	w.demold(o.b, w.cured(o.b.p, t))
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
		v = add(v, o.idle(&o.sets[k], a, from))
	}
	return v
}

// waitsInBody reports whether the pour is new and its cover not begun.
func (w *week) waitsInBody(s *state, i int) bool {
	p := &w.pours[i]
	return p.Stage == inst.New && int(s.step[i]) < p.cov()
}

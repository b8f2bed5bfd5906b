package exact

import "slices"

// joint looks at all pours of one batch together, each with this draw alone and
// all their bodies the work of one person, so that no two tasks overlap. It
// gives the surplus: what the batch and these bodies cost beyond what the pours'
// own tables say, at least.
//
// A set of stages says how many body tasks each pour has done: prep, layers,
// cover. before[k][t] is the least from stages k at t on while the batch is not
// mixed, after[k][t] once all layers that it feeds are done. A pour's own tables
// are taken off when its prep begins, or the batch is mixed if that is before, so
// that waiting before it costs nothing.
type joint struct {
	*week
	ps     []*jointPour
	mix    *mix
	n      int // sets of stages
	before [][]int32
	after  [][]int32
	locals map[int32]*local // by the batch's start
}

type jointPour struct {
	*tables
	draw *draw
	unit int // what one stage adds to the number of the set
	most int // stages
}

// newJoint is the joint view of a set of draws of one mix, nil where its
// argument does not hold.
func (w *week) newJoint(set []other) *joint {
	if len(set) > 3 {
		return nil
	}
	j := &joint{week: w, mix: &w.mixes[set[0].mix], n: 1, locals: map[int32]*local{}}
	if j.mix.Rest > 0 && (j.mix.Mix.Mix == 0 || j.mix.Remix == 0) {
		return nil
	}
	if w.worksOn(j.mix) {
		return nil
	}
	for _, o := range set {
		if len(set) > 1 && o.first > 0 {
			return nil
		}
		b := w.tables[o.pour]
		if b == nil || b.solo == nil || len(b.p.draws) != 1 {
			return nil
		}
		j.ps = append(j.ps, &jointPour{b, o.draw, j.n, len(b.p.layers) + 2})
		j.n *= len(b.p.layers) + 3
	}
	if !j.onePerson() {
		return nil
	}
	return j
}

// onePerson reports whether one row of one head is needed by all bodies.
func (j *joint) onePerson() bool {
	for r := range j.rows {
		if slices.Max(j.have[r]) > 1 {
			continue
		}
		ok := j.mix.crew.need[r] > 0
		for _, p := range j.ps {
			for k := range p.most {
				ok = ok && p.task(k).need[r] > 0
			}
		}
		if ok {
			return true
		}
	}
	return false
}

// task is the task that follows stage k.
func (p *jointPour) task(k int) *task {
	switch {
	case k == 0:
		return p.prepTask
	case k <= len(p.p.layers):
		return p.p.layers[k-1]
	}
	return p.p.cover
}

func (p *jointPour) stage(set int) int { return set / p.unit % (p.most + 1) }

// fed reports whether the task after stage k is a layer that the draw feeds.
func (p *jointPour) fed(k int) bool { return k >= 1 && k <= len(p.p.layers) && p.draw.feeds(k-1) }

// laid reports whether all layers that the batch feeds are done.
func (j *joint) laid(set int) bool {
	for _, p := range j.ps {
		if p.stage(set) < p.draw.last+2 {
			return false
		}
	}
	return true
}

// unlaid reports whether none is.
func (j *joint) unlaid(set int) bool {
	for _, p := range j.ps {
		if p.stage(set) > p.draw.first+1 {
			return false
		}
	}
	return true
}

// idle is what the molds' standing empty over [a, b) costs from stages set on, but
// for pour but: between prep and layer 1, and once the batch is mixed ahead of
// the prep too.
func (j *joint) idle(set int, a, b int32, but *jointPour, mixed bool) (cost int32) {
	for _, p := range j.ps {
		if p == but {
			continue
		}
		from := a
		switch k := p.stage(set); {
		case k == 0 && mixed:
			from = max(a, j.in.Molds[p.mold].FreeFrom)
		case k != 1:
			continue
		}
		cost += int32(j.in.Costs.Idle) * j.in.Reg(from, b)
	}
	return cost
}

// step is one way to do a task at t.
type jointStep struct {
	cost int32
	end  int32
	put  bool // a prep put down
}

// ways are the ways to do the next task of p at t, from stage k. own tables are
// taken off at the prep, if the batch is not mixed before it.
func (j *joint) ways(p *jointPour, k int, t int32, mixed bool) (out [2]jointStep, n int) {
	q := p.task(k)
	cost := int32(0)
	switch {
	case k == 0:
		if !p.solo.mayPrep(t) {
			return
		}
		if v := j.fromFree(p.tables, t); !mixed && v >= inf {
			return
		} else if !mixed {
			cost = -v
		}
	case k == 1:
		if !j.mayPour(p.p, p.mold, t) {
			return
		}
		cost = j.move(p.p, p.mold, t)
	}
	if e := q.end[t]; e >= 0 {
		c := q.cost[t] + cost
		if k == p.most-1 {
			c = add(c, at(p.demFrom, j.cured(p.p, e)))
		}
		if c < inf {
			out[n] = jointStep{c, e, false}
			n++
		}
	}
	if q.putEnd != nil && q.putEnd[t] >= 0 {
		out[n] = jointStep{q.putCost[t] + cost, q.putEnd[t], true}
		n++
	}
	return
}

// longest is the longest closing that stages may wait through.
func (j *joint) longest(set int) int32 {
	most := j.in.H
	for _, p := range j.ps {
		switch k := p.stage(set); {
		case k == 1 && p.p.PrepMax >= 0:
			most = min(most, p.p.PrepMax)
		case k >= 2 && k <= len(p.p.layers):
			most = min(most, p.p.Layers[k-1].GapMax)
		case k == p.most-1:
			most = min(most, p.p.CoverGapMax)
		}
	}
	return most
}

func add2(a, b int32) int32 {
	if a >= inf || b >= inf {
		return inf
	}
	return a + b
}

// fill works out the tables and returns the surplus.
func (j *joint) fill() {
	h := j.in.H
	j.before, j.after = make([][]int32, j.n), make([][]int32, j.n)
	for set := j.n - 1; set >= 0; set-- {
		if j.laid(set) {
			j.after[set] = filled(h + 1)
			j.sweepBack(set, j.after, nil)
		}
	}
	for set := j.n - 1; set >= 0; set-- {
		if j.unlaid(set) {
			j.before[set] = filled(h + 1)
			j.sweepBack(set, j.before, j.mixing)
		}
	}
}

// sweepBack fills v[set] backward in time.
func (j *joint) sweepBack(set int, v [][]int32, extra func(set int, t int32) int32) {
	in := j.in
	if set == j.n-1 {
		for t := range v[set] {
			v[set][t] = 0
		}
		return
	}
	next, longest := in.H, j.longest(set)
	for t := in.H - 1; t >= in.Now; t-- {
		if !in.Open[t] {
			if next-t <= longest {
				v[set][t] = v[set][next]
			}
			continue
		}
		next = t
		best := add2(v[set][t+1], j.idle(set, t, t+1, nil, false))
		for _, p := range j.ps {
			k := p.stage(set)
			if k == p.most || p.fed(k) && extra != nil {
				continue
			}
			ws, n := j.ways(p, k, t, false)
			for _, s := range ws[:n] {
				best = min(best, add2(s.cost+j.idle(set, t, s.end, p, false), v[set+p.unit][s.end]))
				if s.put {
					best = min(best, j.meanwhile(p, set, t, s))
				}
			}
		}
		if extra != nil {
			best = min(best, extra(set, t))
		}
		v[set][t] = best
	}
}

// meanwhile is the least when the prep of p is put down and that of another pour
// is done in the overtime meanwhile.
func (j *joint) meanwhile(p *jointPour, set int, t int32, s jointStep) int32 {
	best := inf
	for _, q := range j.ps {
		if q == p || q.stage(set) != 0 {
			continue
		}
		for u := t; u < s.end; u++ {
			if !j.in.Overtime[u] {
				continue
			}
			ws, n := j.ways(q, 0, u, false)
			for _, x := range ws[:n] {
				if x.end > s.end || x.put {
					continue
				}
				rest := set + p.unit + q.unit
				best = min(best, add2(s.cost+x.cost+j.idle(set, t, s.end, nil, false)+int32(j.in.Costs.Idle)*j.in.Reg(x.end, s.end), j.before[rest][s.end]))
			}
		}
	}
	return best
}

// mixing is the least from a batch at t on.
func (j *joint) mixing(set int, t int32) int32 {
	m := j.mix
	if m.price[t] >= inf {
		return inf
	}
	own := m.price[t] + j.idle(set, t, t+m.Mix.Mix, nil, true)
	for _, p := range j.ps {
		if p.stage(set) == 0 {
			v := j.fromFree(p.tables, t)
			if v >= inf {
				return inf
			}
			own -= v
		}
	}
	return add2(own, j.local(t).least(set, t+m.Mix.Mix, [3]int32{}))
}

// local is the time in which one batch must be laid.
type local struct {
	*joint
	b, until, ready, last int32
	memo                  map[uint64]int32
}

// local is the time after a batch at b.
func (j *joint) local(b int32) *local {
	l := j.locals[b]
	if l == nil {
		m := j.mix
		l = &local{j, b, b + m.Ready - m.Remix, b + m.Ready, m.PotEnd[b], map[uint64]int32{}}
		j.locals[b] = l
	}
	return l
}

// least is the least from stages set at t on; ends are the ends of layers done
// since the batch began, 0 for none.
func (l *local) least(set int, t int32, ends [3]int32) int32 {
	laid := l.laid(set)
	if laid && (set == l.n-1 || t-l.b > 200) {
		return l.after[set][min(t, l.in.H)]
	}
	for n, p := range l.ps {
		if k := p.stage(set); k < p.most && ends[n] > 0 && t > p.latest(k, ends[n]) {
			return inf
		}
	}
	if t >= l.until && t < l.ready {
		return add2(l.idle(set, t, l.ready, nil, true), l.least(set, l.ready, ends))
	}
	if !laid && t >= l.last || t >= l.in.H {
		return inf
	}
	key := uint64(set)<<32 | uint64(t-l.b)<<24
	for k, e := range ends {
		if e > 0 {
			key |= uint64(e-l.b) << (8 * k)
		}
	}
	if v, ok := l.memo[key]; ok {
		return v
	}
	best := add2(l.idle(set, t, t+1, nil, true), l.least(set, t+1, ends))
	if l.in.Open[t] {
		for n, p := range l.ps {
			k := p.stage(set)
			if k == p.most || t < l.ready && p.fed(k) || !p.within(k, t, ends[n]) {
				continue
			}
			ws, c := l.ways(p, k, t, true)
			for _, s := range ws[:c] {
				if s.put || t < l.until && s.end > l.until || p.fed(k) && s.end > l.last {
					continue
				}
				es := ends
				if k >= 1 && k <= len(p.p.layers) {
					es[n] = s.end
				}
				best = min(best, add2(add2(s.cost, l.idle(set, t, s.end, p, true)), l.least(set+p.unit, s.end, es)))
			}
		}
	}
	l.memo[key] = best
	return best
}

// within reports whether the task after stage k may start at t when the last
// layer ended at e, 0 if that is not known.
func (p *jointPour) within(k int, t, e int32) bool {
	switch {
	case e == 0 || k < 2:
		return true
	case k <= len(p.p.layers):
		return t >= e+p.p.Layers[k-1].GapMin && t <= e+p.p.Layers[k-1].GapMax
	}
	return t >= e+p.p.CoverGapMin && t <= e+p.p.CoverGapMax
}

// latest is the last start of the task after stage k, from 2 on, when the layer
// before it ended at e.
func (p *jointPour) latest(k int, e int32) int32 {
	if k <= len(p.p.layers) {
		return e + p.p.Layers[k-1].GapMax
	}
	return e + p.p.CoverGapMax
}

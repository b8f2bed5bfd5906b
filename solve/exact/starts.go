package exact

// cand is something that may start now.
type cand struct {
	kind       candKind
	pour       int
	slot       int // live batch of a clean-up
	w          uint8
	mix, mixer int
	set        uint64 // draws of a new batch
	cost       int64
	task       *task
	ticks      // regular ones alone when the task is put down
}

type candKind uint8

const (
	startStep candKind = iota
	startWash
	startBatch
)

func (x *sweep) findWashes() {
	for k := range x.cur.n {
		l := &x.cur.live[k]
		m := &x.mixes[l.mix]
		off := x.t - l.s - m.Ready
		if l.z >= 0 || off < m.GapMin || off > m.GapMax {
			continue
		}
		for w, n := range m.lengths {
			if n > 0 && (w == 0 || x.follows(m)) {
				x.addWash(k, uint8(w), n)
			}
		}
	}
}

// addWash adds a clean-up of the live batch in place k, of n ticks.
func (x *sweep) addWash(k int, w uint8, n int32) {
	l := &x.cur.live[k]
	if x.in.SteadyEnd(x.t, n) < 0 || x.mixerDown(int(l.mixer), l.s, x.t+n) {
		return
	}
	x.cands = append(x.cands, cand{kind: startWash, slot: k, mix: int(l.mix), mixer: int(l.mixer), w: w,
		ticks: ticks{x.t, x.t + n, false}, cost: x.washCost(&x.mixes[l.mix], n)})
}

func (x *sweep) mixerDown(k int, a, b int32) bool {
	for _, d := range x.in.Mixers[k].Down {
		if a < int32(d[1]) && int32(d[0]) < b {
			return true
		}
	}
	return false
}

// canMix reports whether a batch of mix mi may start in mixer k at t.
func (x *sweep) canMix(mi, k int, t int32) bool {
	m := &x.mixes[mi]
	if t < x.in.Mixers[k].FreeFrom || m.Ready > 0 && x.in.SteadyEnd(t, m.Ready) < 0 || x.mixerDown(k, t, t+m.Ready) {
		return false
	}
	for j := range x.cur.n {
		if l := &x.cur.live[j]; int(l.mixer) == k && !x.mayFollow(l, mi, t) {
			return false
		}
	}
	return true
}

// canFeed reports whether a batch started at t may feed the draw.
func (x *sweep) canFeed(o other, t int32) bool {
	s, p := &x.cur, &x.pours[o.pour]
	m := &x.mixes[o.mix]
	if s.link[o.at] != -1 || x.near != nil && !x.near.mayMix(o, t) {
		return false
	}
	at := max(x.earliest(s, o.pour, o.first, t), t+m.Ready)
	if at+o.span > m.PotEnd[t] {
		return false
	}
	// A layer with a window must not have to start before the batch is ready.
	step := int(s.step[o.pour])
	if o.first > 0 && step == o.first+1 && s.run[o.pour] == waiting || o.first > 0 && step == o.first && s.run[o.pour] != waiting {
		return s.at[o.pour]+p.Layers[o.first].GapMax >= t+m.Ready
	}
	return true
}

func (x *sweep) findBatches() {
	for mi := range x.mixes {
		m := &x.mixes[mi]
		for _, k := range m.Mixers {
			if !x.canMix(mi, int(k), x.t) {
				continue
			}
			x.sets = x.sets[:0]
			for i := range x.pours {
				p := &x.pours[i]
				if x.tables[i] == nil || !p.isNew() {
					continue
				}
				for d := range p.draws {
					if o := (other{i, &p.draws[d]}); int(o.mix) == mi && x.canFeed(o, x.t) {
						x.sets = append(x.sets, o)
					}
				}
			}
			x.addSets(mi, int(k), 0, nil)
		}
	}
}

// addSets adds every set of x.sets from the k-th on that fits with chosen.
func (x *sweep) addSets(mi, mixer, k int, chosen []other) {
	for ; k < len(x.sets) && !x.over(); k++ {
		n := append(chosen[:len(chosen):len(chosen)], x.sets[k])
		if !x.fits(n) {
			continue
		}
		net, set := int64(0), uint64(0)
		for _, o := range n {
			net += o.grams
			set |= 1 << o.at
		}
		m := &x.mixes[mi]
		if m.Mixed(net) <= x.in.Mixers[mixer].Capacity {
			x.cands = append(x.cands, cand{kind: startBatch, mix: mi, mixer: mixer, set: set, cost: int64(x.batchCost(n)) + x.mixCost(m)})
		}
		x.addSets(mi, mixer, k+1, n)
	}
}

func (x *sweep) findSteps() {
	s := &x.cur
	for i := range x.pours {
		if int(s.step[i]) == x.ends[i] || s.run[i] != waiting || int(s.step[i]) == 0 && x.blocked(s, i) {
			continue
		}
		from, to, _ := x.window(s, i)
		step := int(s.step[i])
		if x.t < from || x.t > to || !x.within(i, step, x.t) {
			continue
		}
		t := x.taskOf(i, step)
		if e := t.end[x.t]; e >= 0 {
			x.addStep(i, t, e, false)
		}
		if t.putEnd != nil && t.putEnd[x.t] >= 0 {
			x.addStep(i, t, t.putEnd[x.t], true)
		}
	}
}

// addStep adds a start of a step if what is known when the state is reached
// allows it.
func (x *sweep) addStep(i int, t *task, e int32, put bool) {
	p, step := &x.pours[i], int(x.cur.step[i])
	c := cand{kind: startStep, pour: i, task: t, ticks: ticks{x.t, e, put}}
	c.cost = x.ownCost(t, put)
	if p.isNew() && step <= p.dem() && x.isDown(x.tables[i].mold, x.t, e) {
		return
	}
	if step == 1 {
		if !x.mayPour(p, x.tables[i].mold, x.t) {
			return
		}
		c.cost += int64(x.move(p, x.tables[i].mold, x.t))
	}
	if step >= 1 && step < p.cov() {
		for d := range p.draws {
			q := &p.draws[d]
			if !q.feeds(step - 1) {
				continue
			}
			s := x.cur.link[q.at]
			if s < 0 || s+x.mixes[q.mix].Ready > x.t || e > x.mixes[q.mix].PotEnd[s] {
				// A batch that takes no time may start in this very tick.
				if s != -1 || x.mixes[q.mix].Ready > 0 {
					return
				}
			}
		}
	}
	if step == x.ends[i]-1 {
		c.cost += int64(x.afterFinish(x.tables[i], step-p.dem()-1, e))
	}
	x.cands = append(x.cands, c)
}

func (d *draw) feeds(layer int) bool {
	for _, j := range d.layers {
		if int(j) == layer {
			return true
		}
	}
	return false
}

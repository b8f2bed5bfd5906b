package exact

// leave goes on from the starts chosen at x.t: to a complete plan, or to the
// next tick at which something can start or ends.
func (x *sweep) leave() {
	x.looked++
	s := &x.cur
	if x.complete(s) {
		if cost := s.cost - x.refund(x.t, x.in.H); cost > x.top(x.limit) {
			x.dropped = true
		} else if x.record {
			x.reached(cost - x.base)
		} else {
			x.nodes = append(x.nodes, node{x.from, x.keepActs(), x.in.H})
			x.end = int32(len(x.nodes) - 1)
			if x.near == nil || x.near.take(x) {
				x.limit = cost
			}
		}
		return
	}
	t := x.nextTick()
	if t < 0 {
		return
	}
	x.next = *s
	x.toTrack = x.onTrack && x.near.acts[x.t] == hashActs(x.pick)
	x.arrive(x.t, t, later)
}

// complete reports whether all is started: then the cost is known.
func (x *sweep) complete(s *state) bool {
	for i := range x.pours {
		n := x.ends[i]
		if int(s.step[i]) != n && !(int(s.step[i]) == n-1 && s.run[i] != waiting) {
			return false
		}
	}
	for k := range s.n {
		if !x.closes(&s.live[k]) {
			return false
		}
	}
	return true
}

// later marks acts that are not yet kept: most successors are dropped.
const later = ^uint32(0)

// keepActs notes what was started at x.t.
func (x *sweep) keepActs() uint32 {
	x.acts = append(x.acts, uint16(len(x.pick)))
	x.acts = append(x.acts, x.pick...)
	return uint32(len(x.acts) - 1 - len(x.pick))
}

// nextTick is the first open tick after x.t at which a task under way has ended
// or something may start; -1 when there is none.
func (x *sweep) nextTick() int32 {
	base := x.in.OpenIndex(x.t)
	for i := base + 1; int(i) < x.open; i++ {
		t := x.in.OpenAt[i]
		if x.record || x.event(t, i, i-base) {
			return t
		}
	}
	return -1
}

// event reports whether at the open tick t, of index i, something may start as
// far as is known at x.t; k is i from that of x.t.
func (x *sweep) event(t, i, k int32) bool {
	s := &x.cur
	for p := range x.pours {
		if s.run[p] != waiting {
			if s.at[p] <= t {
				return true
			}
			continue
		}
		if int(s.step[p]) == x.ends[p] || int(s.step[p]) == 0 && x.blocked(s, p) {
			continue
		}
		step := int(s.step[p])
		from, _, _ := x.window(s, p)
		if from <= t && x.within(p, step, t) && x.roomAt(x.taskOf(p, step).crew, i, k) {
			return true
		}
	}
	for j := range s.n {
		l := &s.live[j]
		m := &x.mixes[l.mix]
		if l.z < 0 && x.cleans(m) && t >= l.s+m.Ready+m.GapMin && x.roomAt(m.crew, i, k) {
			return true
		}
	}
	for mi := range x.mixes {
		m := &x.mixes[mi]
		if !x.roomAt(m.crew, i, k) {
			continue
		}
		for _, mx := range m.Mixers {
			if x.canMix(mi, int(mx), t) && x.anyFeeds(mi, t) {
				return true
			}
		}
	}
	return false
}

func (x *sweep) anyFeeds(mi int, t int32) bool {
	for i := range x.pours {
		p := &x.pours[i]
		if x.tables[i] == nil || !p.isNew() {
			continue
		}
		for d := range p.draws {
			if o := (other{i, &p.draws[d]}); int(o.mix) == mi && x.canFeed(o, t) {
				return true
			}
		}
	}
	return false
}

func (x *sweep) roomAt(c *crew, i, k int32) bool {
	for r, h := range c.need[:len(x.rows)] {
		if h > 0 && x.busy[r][k]+h > x.have[r][i] {
			return false
		}
	}
	return true
}

// arrive carries x.next from tick a to the open tick t: tasks end, waiting is
// paid, and what can no longer be done ends it.
func (x *sweep) arrive(a, t int32, acts uint32) {
	s := &x.next
	for i := range x.pours {
		if x.tables[i] == nil {
			continue
		}
		if s.run[i] != waiting && s.at[i] <= t {
			s.step[i]++
			s.run[i] = waiting
			if int(s.step[i]) == x.ends[i] {
				s.at[i] = free
			}
		}
	}
	for i := range x.pours {
		if x.tables[i] != nil && !x.wait(s, i, a, t) {
			return
		}
	}
	n := 0
	for k := range s.n {
		l := s.live[k]
		held, ok := x.clean(s, &l, t)
		if !ok {
			return
		}
		if !held {
			continue
		}
		s.live[n] = l
		n++
	}
	for k := n; k < s.n; k++ {
		s.live[k] = live{}
	}
	s.n = n
	s.cost -= x.refund(a, t)
	v := x.value(s, t)
	if s.cost+v > x.top(x.limit) {
		x.dropped = x.dropped || v < inf64
		return
	}
	if acts == later {
		acts = x.keepActs()
	}
	x.put(t, s.cost, v, acts)
}

// wait pays for the pour's waiting over [a, t), drops times that no longer
// matter, and reports whether the pour can still be done.
func (x *sweep) wait(s *state, i int, a, t int32) bool {
	p := &x.pours[i]
	step := int(s.step[i])
	if step == x.ends[i] {
		return true
	}
	inMold := p.isNew() && (step > 0 && step <= p.dem() || step == 0 && s.run[i] != waiting)
	if inMold && x.isDown(x.tables[i].mold, a, t) && x.heldIn(s, i, a, t) {
		return false
	}
	if s.run[i] != waiting {
		return x.fed(s, i, t)
	}
	if step == 0 && x.blocked(s, i) {
		return x.fed(s, i, t)
	}
	from, to, waits := x.window(s, i)
	if x.near != nil {
		to = min(to, x.tables[i].span[step].to-1)
	}
	if to < t {
		return false
	}
	if step == 0 {
		if b := x.before[i]; b >= 0 { // free since the demold before
			waits = max(waits, x.demolded(s, int(b), t))
		}
		if t >= x.in.PourUntil {
			return false
		}
	} else if step == 1 {
		waits = x.preparedAt(s, i)
	}
	if rate := x.waitRate(i, step); rate > 0 && waits < t {
		s.cost += rate * int64(x.in.Reg(max(a, waits), t))
	}
	if !x.limited(s, i) {
		switch {
		case from <= t:
			s.at[i] = free
		case step >= p.dem() && s.at[i] != free:
			s.at[i] = fromBase - x.nextOpen(from)
		}
	}
	return x.fed(s, i, t)
}

// nextOpen is the first open tick at or after t, H if there is none: nothing
// starts and no waiting is paid before it.
func (s *shop) nextOpen(t int32) int32 {
	if i := s.in.OpenIndex(t); int(i) < s.open {
		return s.in.OpenAt[i]
	}
	return s.in.H
}

// heldIn reports whether a mold that is down in [a, t) is held then: all the
// time from the prep's start on, which is checked at each start, so that what is
// left is waiting.
func (x *sweep) heldIn(s *state, i int, a, t int32) bool {
	if s.run[i] != waiting {
		return true
	}
	return x.isDown(x.tables[i].mold, max(a, s.at[i]), t)
}

// demolded is the tick at which the pour before left the mold if that was since
// the last tick, else a tick long ago: waiting is paid from the last tick on.
func (x *sweep) demolded(s *state, b int, t int32) int32 {
	p := &x.pours[b]
	if int(x.cur.step[b]) == p.dem() && x.cur.run[b] != waiting && int(s.step[b]) > p.dem() {
		return x.cur.at[b]
	}
	return 0
}

// preparedAt is the like for a prep that has ended since the last tick.
func (x *sweep) preparedAt(s *state, i int) int32 {
	if x.cur.step[i] == 0 && s.step[i] == 1 {
		return x.cur.at[i]
	}
	return 0
}

// fed reports whether every draw that has a batch can still be laid in time.
func (x *sweep) fed(s *state, i int, t int32) bool {
	p := &x.pours[i]
	for d := range p.draws {
		q := &p.draws[d]
		b := s.link[q.at]
		if b < 0 {
			continue
		}
		last := x.mixes[q.mix].PotEnd[b]
		if int(s.step[i])-1 == q.last && s.run[i] != waiting {
			continue
		}
		if x.earliest(s, i, q.last, t)+p.layers[q.last].work > last {
			return false
		}
	}
	return true
}

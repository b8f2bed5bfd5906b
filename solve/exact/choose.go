package exact

import (
	"math/bits"

	"pourweek/solve/inst"
)

// choose goes through the candidates from the k-th on: skip it, or start it if
// there is room.
func (x *sweep) choose(k int) {
	if x.over() {
		return
	}
	if k == len(x.cands) {
		x.leave()
		return
	}
	x.choose(k + 1)
	c := &x.cands[k]
	switch c.kind {
	case startStep:
		x.tryStep(k, c)
	case startWash:
		m := &x.mixes[c.mix]
		if x.cur.live[c.slot].z < 0 && x.room(m.crew, c.ticks) {
			x.take(m.crew, c.ticks, 1)
			l := &x.cur.live[c.slot]
			l.z, l.w = x.t, c.w
			x.started(k, c, actWash|uint16(c.w)<<8|uint16(c.mixer))
			l.z, l.w = -1, 0
			x.take(m.crew, c.ticks, -1)
		}
	case startBatch:
		x.tryBatch(k, c)
	}
}

func (x *sweep) started(k int, c *cand, acts ...uint16) {
	n := len(x.pick)
	x.pick = append(x.pick, acts...)
	x.cur.cost += c.cost
	x.choose(k + 1)
	x.cur.cost -= c.cost
	x.pick = x.pick[:n]
}

func (x *sweep) tryStep(k int, c *cand) {
	s, i := &x.cur, c.pour
	if s.run[i] != waiting || !x.room(c.task.crew, c.ticks) || !x.stationRoom(c) || !x.rackRoom(c) {
		return
	}
	step := int(s.step[i])
	old := s.at[i]
	var links [8]int32
	p := &x.pours[i]
	if step >= 1 && step < p.cov() {
		for d := range p.draws {
			q := &p.draws[d]
			links[d&7] = s.link[q.at]
			if q.feeds(step - 1) {
				if b := s.link[q.at]; b < 0 || c.to > x.mixes[q.mix].PotEnd[b] {
					for u := range d {
						s.link[p.draws[u].at] = links[u&7]
					}
					return
				}
				if q.last == step-1 {
					s.link[q.at] = free
				}
			}
		}
	}
	s.run[i] = straight
	mode := uint16(0)
	if c.regular {
		s.run[i], mode = putDown, 1
	}
	s.at[i] = c.to
	x.take(c.task.crew, c.ticks, 1)
	x.started(k, c, actStep(i, step)|mode)
	x.take(c.task.crew, c.ticks, -1)
	s.run[i], s.at[i] = waiting, old
	if step >= 1 && step < p.cov() {
		for d := range p.draws {
			s.link[p.draws[d].at] = links[d&7]
		}
	}
}

func (x *sweep) tryBatch(k int, c *cand) {
	s := &x.cur
	m := &x.mixes[c.mix]
	for j := range s.n { // one batch at a time, of those started now too
		if int(s.live[j].mixer) == c.mixer && s.live[j].s == x.t {
			return
		}
	}
	if !x.canMix(c.mix, c.mixer, x.t) {
		return
	}
	for v := c.set; v != 0; v &= v - 1 {
		if s.link[bits.TrailingZeros64(v)] != -1 {
			return
		}
	}
	ready := x.t + m.Ready
	if !x.room(m.crew, ticks{x.t, x.t + m.Mix.Mix, false}) || !x.room(m.crew, ticks{ready - m.Remix, ready, false}) {
		return
	}
	if s.n == maxLive {
		x.spilled = true
		return
	}
	s.live[s.n] = live{mix: uint8(c.mix), mixer: uint8(c.mixer), s: x.t, z: -1}
	s.n++
	for v := c.set; v != 0; v &= v - 1 {
		s.link[bits.TrailingZeros64(v)] = x.t
	}
	x.takeMixing(m, x.t, 1)
	x.started(k, c, actBatch|uint16(c.mixer)<<8|uint16(c.mix),
		uint16(c.set), uint16(c.set>>16), uint16(c.set>>32), uint16(c.set>>48))
	x.takeMixing(m, x.t, -1)
	for v := c.set; v != 0; v &= v - 1 {
		s.link[bits.TrailingZeros64(v)] = -1
	}
	s.n--
}

// stationRoom reports whether the station of a step has a place. Whatever holds
// it at any later tick holds it now, but for fixed work.
func (x *sweep) stationRoom(c *cand) bool {
	k := c.task.station
	if k == inst.None {
		return true
	}
	n := int32(1)
	for i := range x.pours {
		if x.cur.run[i] != waiting && x.taskOf(i, int(x.cur.step[i])).station == k {
			n++
		}
	}
	top := int32(0)
	for a := range x.in.Fixed {
		f := &x.in.Fixed[a]
		if f.Station == k && f.Start < c.to && c.from < f.End {
			top = max(top, x.fixedAt(k, max(f.Start, c.from)))
		}
	}
	return n+top <= x.in.Stations[k].Places
}

// fixedAt is how many places of a station fixed work holds at t.
func (x *sweep) fixedAt(k, t int32) (n int32) {
	for a := range x.in.Fixed {
		if f := &x.in.Fixed[a]; f.Station == k && f.Start <= t && t < f.End {
			n++
		}
	}
	return n
}

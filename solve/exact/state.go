package exact

import "pourweek/solve/inst"

// Limits of a state; what does not fit ends the search without a proof.
const (
	maxPours = 64
	maxDraws = 64
	maxLive  = 6
)

// How a step stands.
const (
	waiting uint8 = iota
	straight
	putDown
)

// state is a week at an open tick t: what is done, what is under way and when
// it ends. Steps of a pour: 0 prep, then layers, cover, demold, finish steps.
type state struct {
	step [maxPours]uint8
	run  [maxPours]uint8
	at   [maxPours]int32 // end of the step under way, or of the one before; free when that no longer matters
	link [maxDraws]int32 // start of the batch that a draw has, -1: none yet; free when it is laid
	live [maxLive]live
	n    int // live batches
	cost int64
}

// free stands for a tick that no longer matters. A tick from which a step may
// start, where no latest start depends on the step before, is kept as
// fromBase less the tick.
const (
	free     int32 = -2
	fromBase int32 = -1000
)

// live is a batch whose mixer it still holds; z is the start of the clean-up,
// -1 while that is not begun, and w the place of its length among those of the mix.
type live struct {
	mix, mixer, w uint8
	s, z          int32
}

// shape knows the layout of states of a week as bytes.
type shape struct {
	stride int
}

func (w *week) shape() shape {
	n := 3 * len(w.pours)
	for i := range w.pours {
		n += 2 * len(w.pours[i].draws)
	}
	return shape{n + 6*maxLive}
}

func put16(b []byte, v int32) { b[0], b[1] = byte(v), byte(v>>8) }

func get16(b []byte) int32 { return int32(int16(uint16(b[0]) | uint16(b[1])<<8)) }

// encode writes a state as bytes; equal states give equal bytes.
func (w *week) encode(b []byte, s *state) {
	k := 0
	for i := range w.pours {
		b[k] = s.step[i]<<2 | s.run[i]
		put16(b[k+1:], s.at[i])
		k += 3
		for d := range w.pours[i].draws {
			put16(b[k:], s.link[w.pours[i].draws[d].at])
			k += 2
		}
	}
	for j := range maxLive {
		if j < s.n {
			l := &s.live[j]
			b[k], b[k+1] = l.mix+1, l.mixer|l.w<<6
			put16(b[k+2:], l.s)
			put16(b[k+4:], l.z)
		} else {
			clear(b[k : k+6])
		}
		k += 6
	}
}

func (w *week) decode(b []byte, s *state) {
	k := 0
	for i := range w.pours {
		s.step[i], s.run[i] = b[k]>>2, b[k]&3
		s.at[i] = get16(b[k+1:])
		k += 3
		for d := range w.pours[i].draws {
			s.link[w.pours[i].draws[d].at] = get16(b[k:])
			k += 2
		}
	}
	s.n = 0
	for range maxLive {
		if b[k] != 0 {
			s.live[s.n] = live{b[k] - 1, b[k+1] & 63, b[k+1] >> 6, get16(b[k+2:]), get16(b[k+4:])}
			s.n++
		}
		k += 6
	}
}

func (p *pour) cov() int   { return 1 + len(p.layers) }
func (p *pour) dem() int   { return 2 + len(p.layers) }
func (p *pour) count() int { return 3 + len(p.layers) + len(p.finish) }

// taskOf is the task of a step.
func (w *week) taskOf(i int, step int) *task {
	p := &w.pours[i]
	switch {
	case step == 0:
		return w.tables[i].prepTask
	case step < p.cov():
		return p.layers[step-1]
	case step == p.cov():
		return p.cover
	case step == p.dem():
		return p.demold
	}
	return p.finish[step-p.dem()-1]
}

// first is the state at the first open tick of planning.
func (w *week) first() *state {
	s := &state{}
	for d := range s.link {
		s.link[d] = -1
	}
	for i := range w.pours {
		p := &w.pours[i]
		s.at[i] = free
		switch {
		case w.tables[i] == nil:
			s.step[i] = uint8(p.count())
		case p.Stage == inst.Curing:
			s.step[i] = uint8(p.dem())
		case p.Stage == inst.Racked:
			s.step[i] = uint8(p.dem() + 1 + int(p.Next))
		}
	}
	for _, d := range w.all(func(i int) bool { return w.tables[i] == nil }) {
		s.link[d.at] = free
	}
	return s
}

// blocked reports whether the pour's mold is still held by the pour before.
func (w *week) blocked(s *state, i int) bool {
	b := w.before[i]
	return b >= 0 && int(s.step[b]) <= w.pours[b].dem()
}

// window is the closed range in which the step that a pour waits for may start,
// and the tick from which waiting costs; late is the range's end.
func (w *week) window(s *state, i int) (from, to, waits int32) {
	p := &w.pours[i]
	in := w.in
	to = in.H
	end := s.at[i] // of the step before
	switch step := int(s.step[i]); {
	case step == 0:
		f := in.Molds[w.tables[i].mold].FreeFrom
		return max(p.Release, f), to, f
	case step == 1:
		if p.PrepMax >= 0 {
			to = end + p.PrepMax
		}
		return 0, min(to, in.PourUntil-1), 0
	case step < p.cov():
		return end + p.Layers[step-1].GapMin, end + p.Layers[step-1].GapMax, in.H
	case step == p.cov():
		return end + p.CoverGapMin, end + p.CoverGapMax, in.H
	case step == p.dem():
		if p.Stage == inst.Curing {
			if p.MoldUntil >= 0 {
				to = p.MoldUntil
			}
			return p.CuredAt, to, p.CuredAt
		}
		if end < 0 {
			return opens(end), to, opens(end)
		}
		if p.MoldMax >= 0 {
			to = end + p.MoldMax
		}
		return p.CureEnd[end], to, p.CureEnd[end]
	default:
		k := step - p.dem() - 1
		if p.Stage == inst.Racked && k == int(p.Next) {
			if p.FromMax >= 0 {
				to = p.FromMax
			}
			return p.From, to, p.From
		}
		if end < 0 {
			return opens(end), to, opens(end)
		}
		if m := p.Finish[k].RestMax; m >= 0 {
			to = end + m
		}
		return end + p.Finish[k].Rest, to, end + p.Finish[k].Rest
	}
}

// opens is the tick from which a step may start, by a state's negative tick.
func opens(at int32) int32 {
	if at == free {
		return 0
	}
	return fromBase - at
}

// limited reports whether the step a pour waits for has a latest start that
// depends on the end of the step before.
func (w *week) limited(s *state, i int) bool {
	p := &w.pours[i]
	switch step := int(s.step[i]); {
	case step == 0:
		return false
	case step == 1:
		return p.PrepMax >= 0
	case step <= p.cov():
		return true
	case step == p.dem():
		return p.Stage == inst.New && p.MoldMax >= 0
	default:
		k := step - p.dem() - 1
		return !(p.Stage == inst.Racked && k == int(p.Next)) && p.Finish[k].RestMax >= 0
	}
}

// waitRate is what a regular tick of waiting for the step costs.
func (w *week) waitRate(i, step int) int64 {
	p, c := &w.pours[i], &w.in.Costs
	switch {
	case step <= 1:
		return int64(c.Idle)
	case step <= p.cov():
		return 0
	case step == p.dem():
		return int64(c.Held)
	}
	return int64(c.RackWait)
}

// earliest is a tick before which layer j of a pour cannot start, given that it
// has not started at tick t.
func (w *week) earliest(s *state, i, j int, t int32) int32 {
	p := &w.pours[i]
	step := int(s.step[i])
	k := step - 1 // the layer waited for or under way
	var at int32
	switch {
	case step == 0 && s.run[i] != waiting:
		k, at = 0, s.at[i]
	case step == 0:
		k, at = 0, t+w.tables[i].prepTask.work
	case s.run[i] != waiting:
		k++
		at = s.at[i]
		if k < len(p.layers) {
			at += p.Layers[k].GapMin
		}
	default:
		at = t
		if k > 0 {
			at = max(t, s.at[i]+p.Layers[k].GapMin)
		}
	}
	at = max(at, t)
	for ; k < j; k++ {
		at += p.layers[k].work + p.Layers[k+1].GapMin
	}
	return at
}

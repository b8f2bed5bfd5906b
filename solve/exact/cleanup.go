package exact

// In a corridor a clean-up has just the length that the planning model asks for:
// where that follows the mix of the next batch, the length is chosen when the
// clean-up begins (none is chosen by beginning that batch), and the batch after it
// must be one that it is right for. Elsewhere clean-ups take the least length that
// any next batch allows, and bind nothing.

// mostLengths is the number of lengths of one mix's clean-ups up to which a corridor
// is laid.
const mostLengths = 4

// length is the length of a live batch's clean-up.
func (s *shop) length(l *live) int32 { return s.mixes[l.mix].lengths[l.w] }

// follows reports whether what comes next decides the clean-ups of a mix.
func (x *sweep) follows(m *mix) bool { return x.near != nil && len(m.lengths) > 1 }

// cleans reports whether there is a clean-up to begin for batches of a mix.
func (x *sweep) cleans(m *mix) bool {
	return m.wash > 0 || x.follows(m)
}

// free reports whether a live batch whose clean-up binds no other has left its mixer
// by the tick t.
func (x *sweep) free(l *live, t int32) bool {
	m := &x.mixes[l.mix]
	return m.wash == 0 && t >= l.s+m.Ready || l.z >= 0 && t >= l.z+x.length(l)
}

// due is the length of the clean-up after a batch when one of mix n starts at t.
func (x *sweep) due(l *live, n int, t int32) int32 {
	m := &x.mixes[l.mix]
	keep := x.in.Mixers[l.mixer].Keep
	if m.Before[n] < 0 || keep >= 0 && t > l.s+m.Ready+keep {
		return m.Wash
	}
	return m.Before[n]
}

// mayFollow reports whether a batch of mix n may start at t after a live one on its
// mixer.
func (x *sweep) mayFollow(l *live, n int, t int32) bool {
	m := &x.mixes[l.mix]
	if !x.follows(m) {
		return x.free(l, t)
	}
	due := x.due(l, n, t)
	if l.z < 0 {
		return due == 0 && t >= l.s+m.Ready
	}
	return due == x.length(l) && t >= l.z+due
}

// clean carries a live batch to the tick t. It reports whether its mixer is still
// held, or what it was cleaned for matters, and whether it can still be as it must.
func (x *sweep) clean(s *state, l *live, t int32) (held, ok bool) {
	m := &x.mixes[l.mix]
	if !x.follows(m) {
		if x.free(l, t) {
			return false, true
		}
		return true, m.wash == 0 || l.z >= 0 || t <= l.s+m.Ready+m.GapMax
	}
	for k := range s.n {
		if o := &s.live[k]; o.mixer == l.mixer && o.s > l.s {
			return false, true
		}
	}
	keep := x.in.Mixers[l.mixer].Keep
	kept := keep < 0 || t <= l.s+m.Ready+keep
	switch {
	case l.z < 0:
		return true, t <= l.s+m.Ready+m.GapMax || m.Wash == 0 || kept && m.lengths[0] == 0
	case t < l.z+x.length(l):
		return true, true
	case !kept:
		return false, x.length(l) == m.Wash
	}
	l.z = 0
	if keep < 0 {
		l.s = 0
	}
	return true, true
}

// closes reports whether a live batch needs nothing more when no other follows.
func (x *sweep) closes(l *live) bool {
	m := &x.mixes[l.mix]
	if !x.follows(m) {
		return m.wash == 0 || l.z >= 0
	}
	return l.z < 0 && m.Wash == 0 || l.z >= 0 && x.length(l) == m.Wash
}

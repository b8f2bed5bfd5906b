package exact

import (
	"bytes"
	"cmp"
	"slices"

	"pourweek/solve/inst"
)

// undominated drops states of a bucket that another is as good as: one in which
// the same is done and under way, every step that waits for a tick may start as
// soon, every task under way ends as soon, every window that is open closes no
// sooner, and which costs no more even if it pays for waiting from its own ticks
// to the other's. Whatever the other goes on to do, this one can do at the same
// ticks, and then waits just so much longer.
func (x *sweep) undominated(b *bucket, t int32, order []int32) []int32 {
	if len(order) < 2 {
		return order
	}
	stride := len(x.key)
	width := x.width()
	masked := make([]byte, len(b.cost)*stride)
	ticks := make([]int32, len(b.cost)*width)
	for _, o := range order {
		k := int(o)
		key := masked[k*stride : (k+1)*stride]
		copy(key, b.keys[k*stride:(k+1)*stride])
		x.mask(key, t, ticks[k*width:(k+1)*width])
	}
	at := func(k int32) []byte { return masked[int(k)*stride : int(k+1)*stride] }
	slices.SortFunc(order, func(p, q int32) int {
		return cmp.Or(bytes.Compare(at(p), at(q)), cmp.Compare(b.cost[p], b.cost[q]), cmp.Compare(p, q))
	})
	kept := order[:0]
	first := 0 // of the group
	for n, k := range order {
		if n > 0 && (len(kept) == 0 || !bytes.Equal(at(k), at(kept[len(kept)-1]))) {
			first = len(kept)
		}
		if !x.beaten(b, kept[first:], k, ticks) {
			kept = append(kept, k)
		}
	}
	slices.Sort(kept)
	return kept
}

// width is how many ticks mask notes: one by pour, by draw and by live batch.
func (x *sweep) width() int {
	n := len(x.pours) + maxLive
	for i := range x.pours {
		n += len(x.pours[i].draws)
	}
	return n
}

// mask wipes from a state's bytes the ticks that undominated compares, and notes
// them so that less is better.
func (x *sweep) mask(key []byte, t int32, ticks []int32) {
	clear(ticks)
	k, n := 0, len(x.pours)
	for i := range x.pours {
		p := &x.pours[i]
		step, run, at := int(key[k]>>2), key[k]&3, get16(key[k+1:])
		switch {
		case step == x.ends[i]:
		case run != waiting:
			if x.freely(p, step) {
				ticks[i] = at
				put16(key[k+1:], 0)
			}
		case step >= p.dem():
			if (at == free || at <= fromBase) && !x.constant(p, step) {
				ticks[i] = max(t, opens(at))
				put16(key[k+1:], 0)
			}
		case step >= 2 && step <= p.cov(): // the window is open: the later it began the better
			lo := p.CoverGapMin
			if step < p.cov() {
				lo = p.Layers[step-1].GapMin
			}
			if at >= 0 && at+lo <= t {
				ticks[i] = -at
				put16(key[k+1:], 0)
			}
		}
		k += 3
		for d := range p.draws {
			m := &x.mixes[p.draws[d].mix]
			if s := get16(key[k:]); s >= 0 && s+m.Ready <= t {
				ticks[n] = -m.PotEnd[s]
				put16(key[k:], 0)
			}
			k += 2
			n++
		}
	}
	for range maxLive {
		if key[k] != 0 {
			m := &x.mixes[key[k]-1]
			if s, z := get16(key[k+2:]), get16(key[k+4:]); z < 0 && m.wash > 0 && s+m.Ready+m.GapMin <= t {
				ticks[n] = -s
				put16(key[k+2:], 0)
			}
		}
		k += 6
		n++
	}
}

// freely reports whether after the end of a step nothing has a latest start that
// depends on it, so that ending sooner is only better.
func (x *sweep) freely(p *pour, step int) bool {
	switch {
	case step == 0:
		return p.PrepMax < 0
	case step < p.dem():
		return false
	}
	k := step - p.dem()
	return k >= len(p.finish) || p.Finish[k].RestMax < 0
}

// constant reports whether the tick from which a step may start is the same in
// all states.
func (x *sweep) constant(p *pour, step int) bool {
	return p.Stage == inst.Curing && step == p.dem() || p.Stage == inst.Racked && step == p.dem()+1+int(p.Next)
}

// beaten reports whether one of the kept states, which cost no more and differ
// in ticks alone, is as good as state k.
func (x *sweep) beaten(b *bucket, kept []int32, k int32, ticks []int32) bool {
	n := x.width()
	mine := ticks[int(k)*n : int(k+1)*n]
	stride := len(x.key)
	key := b.keys[int(k)*stride:]
	for _, a := range kept {
		other := ticks[int(a)*n : int(a+1)*n]
		ok := true
		for i := range mine {
			if other[i] > mine[i] {
				ok = false
				break
			}
		}
		if !ok {
			continue
		}
		if v := x.extra(key, other, mine); b.cost[a]+v <= b.cost[k] {
			return true
		}
	}
	return false
}

// extra is the waiting that a state pays beyond another when its steps may start
// at the ticks a instead of b.
func (x *sweep) extra(key []byte, a, b []int32) (cost int64) {
	at := 0
	for i := range x.pours {
		if a[i] < b[i] {
			p := &x.pours[i]
			step := int(key[at] >> 2)
			switch {
			case step == 0:
				cost += x.waitRate(i, 1) * int64(x.in.Reg(a[i], b[i]))
			case step < p.dem(): // an open window costs nothing
			case key[at]&3 == waiting:
				cost += x.waitRate(i, step) * int64(x.in.Reg(a[i], b[i]))
			default:
				if k := step - p.dem(); k < len(p.finish) && step < x.ends[i]-1 {
					r := p.Finish[k].Rest
					cost += x.waitRate(i, step+1) * int64(x.in.Reg(a[i]+r, b[i]+r))
				}
				if step == p.dem() && x.tables[i].next != nil {
					cost += int64(x.in.Costs.Idle) * int64(x.in.Reg(a[i], b[i]))
				}
			}
		}
		at += 3 + 2*len(x.pours[i].draws)
	}
	return cost
}

package exact

import (
	"bytes"
	"cmp"
	"slices"

	"pourweek/solve/inst"
)

// undominated drops states of a bucket that another is as good as: one in which
// the same is done and under way, every step that waits for a tick may start as
// soon, and which costs no more even if it pays for waiting from its own ticks
// to the other's. Whatever the other goes on to do, this one can do at the same
// ticks, and then waits just so much longer.
func (x *sweep) undominated(b *bucket, t int32, order []int32) []int32 {
	if len(order) < 2 {
		return order
	}
	stride := len(x.key)
	masked := make([]byte, len(order)*stride)
	ticks := make([]int32, len(order)*len(x.pours))
	for k := range order {
		key := masked[k*stride : (k+1)*stride]
		copy(key, b.keys[k*stride:(k+1)*stride])
		x.mask(key, t, ticks[k*len(x.pours):(k+1)*len(x.pours)])
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

// mask wipes from a state's bytes the ticks from which unlimited steps may
// start, and notes them by pour; 0 where there is none.
func (x *sweep) mask(key []byte, t int32, ticks []int32) {
	k := 0
	for i := range x.pours {
		p := &x.pours[i]
		step := int(key[k] >> 2)
		ticks[i] = 0
		if at := get16(key[k+1:]); key[k]&3 == waiting && step >= p.dem() && step < p.count() && (at == free || at <= fromBase) && !x.constant(p, step) {
			ticks[i] = max(t, opens(at))
			put16(key[k+1:], 0)
		}
		k += 3 + 2*len(p.draws)
	}
}

// constant reports whether the tick from which a step may start is the same in
// all states.
func (x *sweep) constant(p *pour, step int) bool {
	return p.Stage == inst.Curing && step == p.dem() || p.Stage == inst.Racked && step == p.dem()+1+int(p.Next)
}

// beaten reports whether one of the kept states, which cost no more and differ
// in ticks alone, is as good as state k.
func (x *sweep) beaten(b *bucket, kept []int32, k int32, ticks []int32) bool {
	n := len(x.pours)
	mine := ticks[int(k)*n : int(k+1)*n]
	stride := len(x.key)
	key := b.keys[int(k)*stride:]
	for _, a := range kept {
		other := ticks[int(a)*n : int(a+1)*n]
		cost, ok, at := b.cost[a], true, 0
		for i := range mine {
			if other[i] > mine[i] {
				ok = false
				break
			}
			if other[i] < mine[i] {
				cost += x.waitRate(i, int(key[at]>>2)) * int64(x.in.Reg(other[i], mine[i]))
			}
			at += 3 + 2*len(x.pours[i].draws)
		}
		if ok && cost <= b.cost[k] {
			return true
		}
	}
	return false
}

package exact

import (
	"bytes"

	"pourweek/solve/inst"
)

// outrun drops states of a bucket that another has outrun: the same but for one
// more prep or finish step done, which costs no more even if it waits until the
// other may begin that step, and all the time that it then takes for it. Whatever
// the other goes on to do, this one can do at the same ticks, and rests while the
// other does what it has done.
func (x *sweep) outrun(b *bucket, t int32, order []int32) []int32 {
	stride := len(x.key)
	kept := order[:0]
	for _, k := range order {
		if !x.isOutrun(b, b.state(k, stride), t, k) {
			kept = append(kept, k)
		}
	}
	return kept
}

func (x *sweep) isOutrun(b *bucket, state []byte, t, k int32) bool {
	at := 0
	for i := range x.pours {
		if v := x.restFor(i, state[at:], t); v >= 0 {
			copy(x.key, state)
			x.key[at] += 1 << 2
			put16(x.key[at+1:], free)
			if x.alike != nil {
				x.settle(x.key)
			}
			if n := b.find(x.key); n >= 0 && b.cost[n]+v <= b.cost[k] {
				return true
			}
		}
		at += 3 + 2*len(x.pours[i].draws)
	}
	return false
}

// restFor is what resting costs at most while another state does the step that
// a pour waits for; negative where the rule does not hold.
func (x *sweep) restFor(i int, part []byte, t int32) int64 {
	p := &x.pours[i]
	step := int(part[0] >> 2)
	if x.tables[i] == nil || part[0]&3 != waiting || step == x.ends[i] {
		return -1
	}
	work := int64(x.taskOf(i, step).work)
	switch k := step - p.dem() - 1; {
	case step == 0:
		if p.PrepMax >= 0 || len(x.in.Molds[x.tables[i].mold].Down) > 0 {
			return -1
		}
		return int64(x.in.Costs.Idle) * work
	case k < 0:
		return -1
	case step == x.ends[i]-1:
		return 0
	case p.Finish[k+1].Rest == 0 && p.Finish[k+1].RestMax < 0:
		return int64(x.in.Costs.RackWait) * (work + int64(x.in.Reg(t, x.restedAt(p, k, get16(part[1:])))))
	}
	return -1
}

// restedAt is the tick from which waiting for finish step k is paid, by the tick in
// the state.
func (x *sweep) restedAt(p *pour, k int, at int32) int32 {
	switch {
	case p.Stage == inst.Racked && k == int(p.Next):
		return p.From
	case at < 0:
		return opens(at)
	}
	return at + p.Finish[k].Rest
}

// find is the place of a settled state, -1 if it is not there.
func (b *bucket) find(key []byte) int {
	stride := len(key)
	h := hash(key) & uint64(len(b.table)-1)
	for b.table[h] != 0 {
		k := int(b.table[h] - 1)
		if bytes.Equal(b.keys[k*stride:(k+1)*stride], key) {
			return k
		}
		h = (h + 1) & uint64(len(b.table)-1)
	}
	return -1
}

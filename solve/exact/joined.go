package exact

// jointDraws is the number of draws of one mix up to which their sets are looked
// at jointly.
const jointDraws = 6

// join works out the joint views of all batches at the prices of the shop; the
// tables must be filled.
func (w *week) join() {
	w.joints = nil
	var out [][]*joint
	some := false
	for m, bits := range w.least.bits {
		js := make([]*joint, 1<<len(bits))
		out = append(out, js)
		if len(bits) > jointDraws || len(w.mixes[m].Mixers) != 1 {
			continue
		}
		for k := 1; k < len(js); k++ {
			if w.least.one[m][k] >= inf {
				continue
			}
			if j := w.newJoint(w.unpack(m, k)); j != nil {
				j.fill()
				js[k] = j
				some = true
			}
		}
	}
	if some {
		w.joints = out
	}
}

// unpack is the draws of a compressed set.
func (w *week) unpack(m, k int) (set []other) {
	for n, at := range w.least.bits[m] {
		if k>>n&1 != 0 {
			for i := range w.pours {
				for d := range w.pours[i].draws {
					if w.pours[i].draws[d].at == int(at) {
						set = append(set, other{i, &w.pours[i].draws[d]})
					}
				}
			}
		}
	}
	return set
}

// batches is the least cost of the batches of the draws left, and what they and
// the batches under way cost beyond vs, the values of the pours on their own.
//
// Why the surplus of a batch adds up with the others: let the priced cost of a
// plan from the start of a pour's prep on, all that follows in the mold
// included, be its own table's value and D more. By the tables' recursion D is
// at least what its body costs beyond that value, with the tables' value after
// the cover, and D of the next pour in the mold. The surplus of a batch is the
// least sum of the bodies' parts of that; each body is in one batch.
func (w *week) batches(s *state, t, tp int32, left uint64, vs *[maxPours]int32) int32 {
	sum := int32(0)
	var one, best [1 << jointDraws]int32
	for m := range w.joints {
		if vs != nil {
			sum = add(sum, w.alive(s, m, t, tp, vs))
		}
		all := w.least.pack(m, left)
		if all == 0 {
			continue
		}
		if len(w.least.bits[m]) > jointDraws {
			sum = add(sum, w.least.cost[m][all])
			continue
		}
		for k := all & -all; ; k = (k - all) & all {
			one[k] = w.least.one[m][k]
			if j := w.joints[m][k]; j != nil && one[k] < inf {
				one[k] = add(one[k], j.surplus(w, s, t, tp, vs))
			}
			if k == all {
				break
			}
		}
		for k := all & -all; ; k = (k - all) & all {
			low := k & -k
			rest := k &^ low
			best[k] = inf
			for sub := rest; ; sub = (sub - 1) & rest {
				if v := one[sub|low]; v < inf {
					best[k] = min(best[k], add(v, best[rest&^sub]))
				}
				if sub == 0 {
					break
				}
			}
			if k == all {
				break
			}
		}
		sum = add(sum, best[all])
	}
	return sum
}

// surplus is what the batch not yet begun and its pours cost beyond their values.
func (j *joint) surplus(w *week, s *state, t, tp int32, vs *[maxPours]int32) int32 {
	set, own, sub := 0, int32(0), int32(0)
	for _, p := range j.ps {
		step := int(s.step[p.at])
		switch {
		case s.run[p.at] == putDown:
			return 0
		case s.run[p.at] == straight:
			own += j.underWay(w, s, p, t, tp)
			step++
		case step == 1:
			own += int32(j.in.Costs.Idle) * j.in.Reg(t, tp)
		}
		if step > 0 {
			sub += vs[p.at]
		}
		set += step * p.unit
	}
	if j.before[set] == nil {
		return 0
	}
	v := at(j.before[set], tp)
	if v >= inf {
		return inf
	}
	return max(0, v+own-sub)
}

// underWay is what is left of a task under way and of waiting after it up to tp.
func (j *joint) underWay(w *week, s *state, p *jointPour, t, tp int32) int32 {
	v := w.rest(p.task(int(s.step[p.at])).crew, t, s.at[p.at], straight)
	if s.step[p.at] == 0 {
		v += int32(j.in.Costs.Idle) * j.in.Reg(s.at[p.at], tp)
	}
	return v
}

// alive is the like for the batches of a mix that are mixed and not yet laid.
func (w *week) alive(s *state, m int, t, tp int32, vs *[maxPours]int32) int32 {
	sum, seen := int32(0), 0
	for n, a := range w.least.bits[m] {
		b := s.link[a]
		if b < 0 || seen>>n&1 != 0 {
			continue
		}
		k := 0
		for i, c := range w.least.bits[m] {
			if s.link[c] == b {
				k |= 1 << i
			}
		}
		seen |= k
		if j := w.joints[m][k]; j != nil {
			sum = add(sum, j.laying(w, s, b, t, tp, vs))
		}
	}
	return sum
}

// laying is what laying a batch mixed at b costs beyond the values of its pours.
func (j *joint) laying(w *week, s *state, b, t, tp int32, vs *[maxPours]int32) int32 {
	set, own, sub := 0, int32(0), int32(0)
	var ends [3]int32
	for n, p := range j.ps {
		step := int(s.step[p.at])
		switch {
		case s.run[p.at] == putDown || step == 0 && s.run[p.at] == waiting:
			return 0
		case s.run[p.at] == straight:
			own += j.underWay(w, s, p, t, tp)
			step++
		case step == 1:
			own += int32(j.in.Costs.Idle) * j.in.Reg(t, tp)
		}
		if step >= 2 && s.at[p.at] > b {
			ends[n] = s.at[p.at]
		}
		sub += vs[p.at]
		set += step * p.unit
	}
	l := j.local(b)
	if tp < b+j.mix.Mix.Mix || tp-b > 200 {
		return 0
	}
	v := l.least(set, tp, ends)
	if v >= inf {
		return inf
	}
	return max(0, v+own-sub)
}

package exact

import (
	"pourweek/solve/inst"
)

// shares bounds how many draws one batch can hold with each draw of a planned
// pour: by mass, by the time in which its layers must be laid, and one pour a
// mold where no piece is out of its mold again within a pot life.
func (w *week) shares() {
	for _, o := range w.all(w.isPlanned) {
		o.share = w.mostWith(o)
	}
}

// manyDraws is the number of draws of one mix up to which sets of them are listed.
const manyDraws = 14

func (w *week) isPlanned(i int) bool {
	return w.tables[i] != nil || w.any && w.pours[i].Stage == inst.New
}

// other is a draw with its pour, for counting.
type other struct {
	pour int
	*draw
}

// all lists the draws of the pours kept.
func (s *shop) all(keep func(i int) bool) []other {
	var out []other
	for i := range s.pours {
		if keep(i) {
			for d := range s.pours[i].draws {
				out = append(out, other{i, &s.pours[i].draws[d]})
			}
		}
	}
	return out
}

// mostWith is the size of the largest batch with the draw e.
func (w *week) mostWith(e other) int32 {
	var ds []other
	for _, o := range w.all(w.isPlanned) {
		if o.mix == e.mix && o.at != e.at && w.fits([]other{e, o}) {
			ds = append(ds, o)
		}
	}
	if len(ds) >= manyDraws {
		return w.mostByMass(e, ds)
	}
	best := int32(1)
	var rec func(k int, set []other)
	rec = func(k int, set []other) {
		best = max(best, int32(len(set)))
		for ; k < len(ds); k++ {
			if n := append(set[:len(set):len(set)], ds[k]); w.fits(n) {
				rec(k+1, n)
			}
		}
	}
	rec(0, []other{e})
	return best
}

// mostByMass bounds the size of the largest batch with the draw e by its mass
// alone: e and the lightest of the others.
func (w *week) mostByMass(e other, ds []other) int32 {
	m := &w.mixes[e.mix]
	least := ds[0].grams
	for _, o := range ds {
		least = min(least, o.grams)
	}
	n, net := int32(1), e.grams+least
	for mass := w.largest(m); n <= int32(len(ds)) && m.Mixed(net) <= mass; n++ {
		net += least
	}
	return n
}

// largest is the mass that the largest mixer of a mix holds.
func (s *shop) largest(m *mix) (mass int64) {
	for _, x := range m.Mixers {
		mass = max(mass, s.in.Mixers[x].Capacity)
	}
	return mass
}

// fits reports whether a set of draws of one mix may share a batch as far as
// mass and working time go. Working time: for every row of people, the work of
// all fed layers is at most what the row can do from ready to the end of the
// pot life, at its longest.
func (s *week) fits(set []other) bool {
	m := &s.mixes[set[0].mix]
	net := int64(0)
	for _, o := range set {
		net += o.grams
	}
	if m.Mixed(net) > s.largest(m) {
		return false
	}
	long := maxPot(m) - m.Ready
	for k, o := range set {
		if o.span > long {
			return false
		}
		for _, q := range set[:k] {
			if o.pour == q.pour && s.pours[o.pour].spanOf(o.draw, q.draw) > long {
				return false
			}
			if o.pour != q.pour && s.together(o.pour, q.pour) && s.leastCure > maxPot(m) {
				return false
			}
		}
	}
	for r := range s.rows {
		work := int32(0)
		for _, o := range set {
			for _, j := range o.layers {
				l := s.pours[o.pour].layers[j]
				work += l.work * l.need[r]
			}
		}
		if work > s.most[r]*long {
			return false
		}
	}
	return true
}

// together reports whether two pours are cast in one mold.
func (w *week) together(a, b int) bool {
	return !w.any && w.tables[a].mold == w.tables[b].mold
}

// spanOf is the least time from the first layer of two draws to the end of the
// last.
func (p *pour) spanOf(a, b *draw) (n int32) {
	for j := min(a.first, b.first); j <= max(a.last, b.last); j++ {
		n += p.layers[j].work
		if j > min(a.first, b.first) {
			n += p.Layers[j].GapMin
		}
	}
	return n
}

// cheapest returns, for every set of draws, the least cost of batches and waste
// in which the set can be mixed, whatever the times. Bits are draw numbers; only
// sets of draws of ds are filled. Cost O(3^n) for n draws of one mix; of a mix with
// more than manyDraws every draw is given a share of its batch, as in addShare.
type cheapest struct {
	bits [][]uint  // by mix: draw numbers
	each [][]int32 // by mix and place in bits: shares, nil where sets are looked at
	one  [][]int32 // by mix and compressed set: the least cost of one batch of it
	cost [][]int32 // the like of several
}

func (s *week) cheapest(ds []other) *cheapest {
	c := &cheapest{bits: make([][]uint, len(s.mixes)), cost: make([][]int32, len(s.mixes)), one: make([][]int32, len(s.mixes)), each: make([][]int32, len(s.mixes))}
	for m := range s.mixes {
		var mine []other
		for _, o := range ds {
			if int(o.mix) == m {
				mine = append(mine, o)
				c.bits[m] = append(c.bits[m], uint(o.at))
			}
		}
		n := len(mine)
		if n > manyDraws {
			for _, o := range mine {
				c.each[m] = append(c.each[m], int32(s.in.Costs.Batch)/o.share)
			}
			continue
		}
		one := make([]int32, 1<<n)
		var set []other
		for w := 1; w < 1<<n; w++ {
			set = set[:0]
			for k := range n {
				if w>>k&1 != 0 {
					set = append(set, mine[k])
				}
			}
			one[w] = inf
			if int32(len(set)) <= set[0].share && s.fits(set) {
				one[w] = s.batchCost(set)
			}
		}
		best := make([]int32, 1<<n)
		for w := 1; w < 1<<n; w++ {
			best[w] = inf
			low := w & -w
			rest := w &^ low
			for sub := rest; ; sub = (sub - 1) & rest {
				if v := one[sub|low]; v < inf {
					best[w] = min(best[w], v+best[rest&^sub])
				}
				if sub == 0 {
					break
				}
			}
		}
		c.cost[m], c.one[m] = best, one
	}
	return c
}

// batchCost is the cost of one batch of the draws and its waste.
func (s *shop) batchCost(set []other) int32 {
	net := int64(0)
	for _, o := range set {
		net += o.grams
	}
	m := &s.mixes[set[0].mix]
	return int32(int64(s.in.Costs.Batch) + int64(s.in.Costs.Waste)*(m.Mixed(net)-net))
}

// least is the least batch cost of the draws of the set left.
func (c *cheapest) least(left uint64) int32 {
	sum := int32(0)
	for m := range c.bits {
		if c.each[m] == nil {
			sum = add(sum, c.cost[m][c.pack(m, left)])
			continue
		}
		for k, b := range c.bits[m] {
			sum += int32(left>>b&1) * c.each[m][k]
		}
	}
	return sum
}

// pack is the compressed set of the draws of a mix.
func (c *cheapest) pack(m int, left uint64) (w int) {
	for k, b := range c.bits[m] {
		w |= int(left>>b&1) << k
	}
	return w
}

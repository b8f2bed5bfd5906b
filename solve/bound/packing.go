package bound

import (
	"slices"

	"pourweek/solve/inst"
)

// MinBins is a lower bound on the number of bins of a capacity that hold all
// sizes: the best of the sum, of L2 (Martello and Toth 1990, "Lower bounds and
// reduction procedures for the bin packing problem") and of the dual feasible
// functions u(k), k = 2..maxK (Fekete and Schepers 2001, "New classes of fast
// lower bounds for bin packing problems"). Sizes are between 0 and capacity,
// capacity above 0. Cost O(n log n + n * thresholds).
func MinBins(sizes []int64, capacity int64) int64 {
	s := slices.Clone(sizes)
	slices.SortFunc(s, func(a, b int64) int { return int(min(max(b-a, -1), 1)) })
	sum := int64(0)
	for _, x := range s {
		sum += x
	}
	best := ceilDiv(sum, capacity)
	for i, x := range s {
		if 2*x <= capacity && (i == 0 || s[i-1] != x) {
			best = max(best, l2(s, capacity, x))
		}
	}
	best = max(best, l2(s, capacity, 0))
	for k := int64(1); k <= maxK; k++ {
		best = max(best, dualFeasible(s, capacity, k))
	}
	return best
}

// maxK is the largest k of the functions u(k) that is tried.
const maxK = 50

// l2 counts the bins that sizes of at least a ask for, a at most half the
// capacity: large ones take a bin each; small ones go into what those above
// half leave, and the rest into bins of their own. s descends.
func l2(s []int64, capacity, a int64) int64 {
	bins, room, small := int64(0), int64(0), int64(0)
	for _, x := range s {
		switch {
		case x > capacity-a:
			bins++
		case 2*x > capacity:
			bins++
			room += capacity - x
		case x >= a:
			small += x
		}
	}
	return bins + max(0, ceilDiv(small-room, capacity))
}

// dualFeasible is the sum of u(k)(x) over x = size/capacity, rounded up: u(k)(x)
// is x where (k+1)x is whole, else floor((k+1)x)/k. Counted in units of
// 1/(k*capacity).
func dualFeasible(s []int64, capacity, k int64) int64 {
	sum := int64(0)
	for _, x := range s {
		if y := (k + 1) * x; y%capacity == 0 {
			sum += k * x
		} else {
			sum += y / capacity * capacity
		}
	}
	return ceilDiv(sum, k*capacity)
}

// packing proves what counting batches proves: with a(p) the least cost of pour
// p by itself in the empty shop, leaving batches out, c(p) that of leaving it
// out, B the least cost of the batches of all pours by mass and by the scarcest
// resource, and D(p) that of batches for p alone, a plan that plans the pours S
// costs at least
//
//	sum of a over S + sum of c over the others + B(S), and B(S) >= B(all) - sum of D over the others,
//
// since the batches of S and those for each other pour alone serve all. So it
// costs at least B(all) + the sum of min(a(p), c(p) - D(p)). The terms add up: a
// holds lateness, idle time after prep, held, rack wait, overtime of the pour's
// own tasks and moves; B holds batch and waste; neither holds the other's. Pours
// under way cost by themselves what they cost in the empty shop.
//
// The relaxation must be priced at zero, with alone holding a less the credit.
func (r *run) packing(alone []int64) {
	l := r.lag
	v := int64(0)
	unserved := map[int32]bool{}
	serve := make([]int64, len(l.groups)) // D
	for i := range l.mixes {
		v += l.packMix(&l.mixes[i], serve, unserved)
	}
	for g, x := range l.groups {
		a := min(alone[g]+x.credit, inf)
		c := x.leave
		if !unserved[x.id] {
			c -= serve[g]
		}
		if c = min(a, c); c < inf/2 {
			v += x.n * c
		}
	}
	for _, y := range l.racked {
		v += int64(y.n) * y.cost(l)
	}
	clear(l.v)
	for _, c := range l.classes {
		if c.curing != nil {
			c.priceCuring(l)
			if x := c.value(l, l.v); x < inf/2 {
				v += c.n * x
			}
		}
	}
	r.improve(v, Batches)
}

// packMix is B of one mix; it adds to D, and notes the groups with a draw that
// no batch can serve: they are not counted in B.
func (l *lagrangian) packMix(x *mix, serve []int64, unserved map[int32]bool) int64 {
	most := l.capacity(x.m) - x.m.Loss
	units := x.places * int64(x.longest)
	var grams, loads []int64
	for _, g := range l.groups {
		for _, d := range g.pour.Draws {
			if &l.mixes[d.Mix] != x {
				continue
			}
			load := l.loadOf(x, g, d)
			if x.m.Mixed(d.Grams) > l.capacity(x.m) || x.places > 0 && load > units {
				unserved[g.id] = true
				continue
			}
			serve[g.id] += l.batchCost(x.m, d.Grams) - scale*int64(l.ax.in.Costs.Waste)*d.Grams
			for range g.n {
				grams, loads = append(grams, d.Grams), append(loads, load)
			}
		}
	}
	if len(grams) == 0 {
		return 0
	}
	bins := MinBins(grams, max(most, 1))
	if x.places > 0 && units > 0 {
		bins = max(bins, MinBins(loads, units))
	}
	net := int64(0)
	for _, g := range grams {
		net += g
	}
	c := l.ax.in.Costs
	mixed := max(bins*x.m.Min, net+bins*x.m.Loss)
	return scale * (bins*int64(c.Batch) + int64(c.Waste)*(mixed-net))
}

// loadOf is what the layers of a draw take of the mix's scarcest resource; 0
// where draws may share layers.
func (l *lagrangian) loadOf(x *mix, g *group, d inst.Draw) int64 {
	n := int64(0)
	if g.loose || x.places == 0 {
		return 0
	}
	for _, j := range d.Layers {
		n += x.asks(g.layers[j].sh) * int64(g.layers[j].sh.work)
	}
	return n
}

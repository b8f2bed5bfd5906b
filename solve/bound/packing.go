package bound

import (
	"pourweek/solve/inst"
	"pourweek/solve/pack"
)

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
	served := l.served()
	serve := make([]int64, len(l.groups)) // D
	for i := range l.mixes {
		v += l.packMix(&l.mixes[i], serve, served)
	}
	for g, x := range l.groups {
		c := x.leave
		if served[g] {
			c = min(c-serve[g], alone[g]+x.credit, inf)
		}
		if c < inf/2 {
			v += x.n * c
		}
	}
	for _, y := range l.racked {
		x := y.cost(l)
		if x >= inf/2 {
			r.unfinished(y.tail.pour)
			return
		}
		v += int64(y.n) * x
	}
	for _, c := range l.classes {
		if c.curing != nil {
			c.priceCuring(l)
			x := c.value(l, l.zero)
			if x >= inf/2 {
				r.unfinished(c.curing.pour)
				return
			}
			v += c.n * x
		}
	}
	r.improve(v, Batches)
}

// served tells of each group whether batches can serve each of its draws; if
// not, no plan plans its pours: they cost what leaving them out does, and none
// of their draws counts in B.
func (l *lagrangian) served() []bool {
	ok := make([]bool, len(l.groups))
	for i, g := range l.groups {
		ok[i] = true
		for _, d := range g.pour.Draws {
			x := &l.mixes[d.Mix]
			if x.m.Mixed(d.Grams) > l.capacity(x.m) || x.places > 0 && l.loadOf(x, g, d) > x.places*int64(x.longest) {
				ok[i] = false
			}
		}
	}
	return ok
}

// packMix is B of one mix over the groups that can be served; it adds to D.
func (l *lagrangian) packMix(x *mix, serve []int64, served []bool) int64 {
	most := l.capacity(x.m) - x.m.Loss
	var draws []pack.Draw
	net := int64(0)
	for i, g := range l.groups {
		for _, d := range g.pour.Draws {
			if &l.mixes[d.Mix] != x || !served[i] {
				continue
			}
			serve[i] += l.batchCost(x.m, d.Grams) - scale*int64(l.ax.in.Costs.Waste)*d.Grams
			for range g.n {
				draws = append(draws, pack.Draw{Mass: d.Grams, Work: l.loadOf(x, g, d)})
				net += d.Grams
			}
		}
	}
	if len(draws) == 0 {
		return 0
	}
	bins := int64(pack.Batches(draws, max(most, 1), x.places*int64(x.longest)))
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

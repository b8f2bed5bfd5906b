package model

import (
	"fmt"
	"maps"
	"slices"
	"sort"
)

func sortedKeys[V any, M ~map[string]V](m M) []string { return slices.Sorted(maps.Keys(m)) }

func (v *validator) people() {
	p := v.p
	if len(p.People) > maxPeople {
		v.add("people", "%d people; at most %d", len(p.People), maxPeople)
	}
	ids(v, "people", "person", p.People, func(x *Person) string { return x.ID })
	for i := range p.People {
		at := fmt.Sprintf("people[%d]", i)
		v.calendar(at+".on", p.People[i].On)
		v.subset(at+".on", "the presence", p.People[i].On)
	}
}

func (v *validator) mixersAndMixes() {
	p := v.p
	v.mixers = ids(v, "mixers", "mixer", p.Mixers, func(x *Mixer) string { return x.ID })
	for i := range p.Mixers {
		m, at := &p.Mixers[i], fmt.Sprintf("mixers[%d]", i)
		bounded(v, at+".capacity_g", "a capacity in grams of", m.Capacity, 0, maxGrams)
		v.anyTick(at+".free_from", "free_from", m.FreeFrom)
		v.intervals(at+".down", m.Down)
		v.optTicks(at+".keep", "keep", m.Keep)
	}
	v.mixes = ids(v, "mixes", "mix", p.Mixes, func(x *Mix) string { return x.ID })
	for i := range p.Mixes {
		v.mix(fmt.Sprintf("mixes[%d]", i), &p.Mixes[i])
	}
}

func (v *validator) mix(at string, m *Mix) {
	v.ticks(at+".mix", "mix", m.Mix, 0)
	v.ticks(at+".rest", "rest", m.Rest, 0)
	v.ticks(at+".remix", "remix", m.Remix, 0)
	v.ticks(at+".wash", "wash", m.Wash, 0)
	v.gap(at+".wash_gap", "a wash_gap", m.WashGap)
	for _, id := range sortedKeys(m.WashBefore) {
		v.known(at+".wash_before", "mix", id, v.mixes)
		v.ticks(at+".wash_before", fmt.Sprintf("before the mix %q a wash of", id), m.WashBefore[id], 0)
	}
	v.crew(at+".crew", m.Crew)
	bounded(v, at+".loss_g", "loss_g", m.Loss, 0, maxGrams)
	bounded(v, at+".min_g", "min_g", m.Min, 0, maxGrams)
	bounded(v, at+".step_g", "step_g", m.Step, 1, maxGrams)
	v.steps(at+".pot_life", m.PotLife, 0)
	v.distinct(at+".mixers", "mixer", m.Mixers, v.mixers)
}

func (v *validator) things() {
	p := v.p
	v.molds = ids(v, "molds", "mold", p.Molds, func(x *Mold) string { return x.ID })
	for i := range p.Molds {
		at := fmt.Sprintf("molds[%d]", i)
		v.anyTick(at+".free_from", "free_from", p.Molds[i].FreeFrom)
		v.intervals(at+".down", p.Molds[i].Down)
	}
	v.racks = ids(v, "racks", "rack", p.Racks, func(x *Rack) string { return x.ID })
	for i := range p.Racks {
		v.steps(fmt.Sprintf("racks[%d].places", i), p.Racks[i].Places, 0)
	}
	v.stations = ids(v, "stations", "station", p.Stations, func(x *Station) string { return x.ID })
	for i := range p.Stations {
		bounded(v, fmt.Sprintf("stations[%d].places", i), "places", p.Stations[i].Places, 0, maxTick)
	}
	v.cures = ids(v, "cures", "cure", p.Cures, func(x *Cure) string { return x.ID })
	for i := range p.Cures {
		v.lag(fmt.Sprintf("cures[%d].lag", i), p.Cures[i].Lag)
	}
}

// lag judges that t + lag(t) never decreases as t grows. Only ticks count at
// which a cover can end: those behind an open tick. (Section 5, 4.)
func (v *validator) lag(path string, s Steps) {
	before := len(v.issues)
	v.steps(path, s, 0)
	if len(v.issues) > before {
		return
	}
	// Within an entry t + lag(t) grows, so that the last end of each entry has the
	// most to compare with.
	var last, cured Tick = -1, -1
	for i, e := range s {
		until := v.horizon + 1
		if i+1 < len(s) {
			until = Tick(s[i+1][0])
		}
		first, final := coverEnds(v.open, Interval{Tick(e[0]), until})
		if first < 0 {
			continue
		}
		if c := first + Tick(e[1]); c < cured {
			v.add(fmt.Sprintf("%s[%d]", path, i), "a cover that ends at tick %d is cured at %d, but one that ends at %d not before %d; a later end is not cured sooner",
				first, c, last, cured)
		}
		last, cured = final, final+Tick(e[1])
	}
}

// coverEnds is the first and the last tick in iv that follows an open one, -1
// if there is none. open ascends.
func coverEnds(open []Interval, iv Interval) (first, last Tick) {
	i := sort.Search(len(open), func(i int) bool { return open[i].To() >= iv.From() })
	k := sort.Search(len(open), func(k int) bool { return open[k].From()+1 >= iv.To() }) - 1
	if i > k {
		return -1, -1
	}
	return max(open[i].From()+1, iv.From()), min(open[k].To(), iv.To()-1)
}

func (v *validator) fixed() {
	p := v.p
	ids(v, "fixed", "piece of fixed work", p.Fixed, func(x *Fixed) string { return x.ID })
	for i := range p.Fixed {
		f, at := &p.Fixed[i], fmt.Sprintf("fixed[%d]", i)
		if f.Start < 0 || f.End <= f.Start || f.End > v.horizon {
			v.add(at, "fixed work %q from tick %d to %d; it starts at 0 or later, ends after that and not after the horizon %d", f.ID, f.Start, f.End, v.horizon)
		}
		v.crew(at+".crew", f.Crew)
		v.station(at+".station", f.Station)
	}
	for i, c := range p.Callins {
		at := fmt.Sprintf("callins[%d]", i)
		v.anyTick(at+".from", "from", c.From)
		v.anyTick(at+".to", "to", c.To)
		if c.From >= c.To {
			v.add(at, "a call-in from tick %d to %d; it ends after it starts", c.From, c.To)
		}
		v.price(at+".cost", "a cost of", c.Cost)
	}
}

func (v *validator) station(path string, id OptID) {
	if id != "" {
		v.known(path, "station", string(id), v.stations)
	}
}

func (v *validator) shipments() {
	p := v.p
	v.pourIDs = ids(v, "pours", "pour", p.Pours, func(x *Pour) string { return x.ID })
	ids(v, "shipments", "shipment", p.Shipments, func(x *Shipment) string { return x.ID })
	in := map[string]string{}
	for i := range p.Shipments {
		s, at := &p.Shipments[i], fmt.Sprintf("shipments[%d]", i)
		for k, id := range s.Pours {
			path := fmt.Sprintf("%s.pours[%d]", at, k)
			v.known(path, "pour", id, v.pourIDs)
			if other, ok := in[id]; ok {
				v.add(path, "pour %q stands in the shipments %q and %q; it stands in one at most", id, other, s.ID)
			}
			in[id] = s.ID
		}
		v.anyTick(at+".due", "due", s.Due)
		v.price(at+".late_per_tick", "late_per_tick", s.LatePerTick)
		for k, t := range s.Trucks {
			path := fmt.Sprintf("%s.trucks[%d]", at, k)
			v.anyTick(path, "the tick", t)
			if k > 0 && t < s.Trucks[k-1] {
				v.add(path, "a truck at tick %d follows one at %d; trucks ascend", t, s.Trucks[k-1])
			}
		}
	}
}

// money judges the prices, and that no sum of them is too large to count.
func (v *validator) money() {
	p := v.p
	c := &p.Costs
	for _, m := range []struct {
		name string
		v    Mils
	}{
		{"idle", c.Idle}, {"held", c.Held}, {"rack_wait", c.RackWait}, {"overtime", c.Overtime},
		{"batch", c.Batch}, {"waste", c.Waste}, {"move", c.Move},
	} {
		v.price("costs."+m.name, m.name, m.v)
	}
	if worst := p.Worst(); worst > maxTotal {
		v.add("costs", "the costs of a plan may come to %.2g mils, more than %.0g, which is the most that is counted", worst, maxTotal)
	}
}

// Worst is at least the cost of any allowed plan, in mils: all pours late and
// waiting to the end and carried besides, all people at work in all overtime, a full
// batch for each draw. It may be far more. What a float rounds off is less by far
// than what it counts twice.
func (p *Problem) Worst() float64 {
	h, c := float64(p.Horizon), &p.Costs
	late := func(per Mils, due Tick, end float64) float64 { return float64(per) * max(0, end-float64(due)) }
	total, draws := float64(len(p.People))*h*float64(c.Overtime), 0.0
	for i := range p.Pours {
		q := &p.Pours[i]
		total += late(q.LatePerTick, q.Due, h) + float64(q.Carry)
		total += 2*h*float64(c.Idle) + h*float64(c.Held) + h*float64(c.RackWait) + float64(c.Move)
		draws += float64(len(q.Draws))
	}
	for i := range p.Shipments {
		s := &p.Shipments[i]
		end := h
		for _, t := range s.Trucks {
			end = max(end, float64(t))
		}
		total += late(s.LatePerTick, s.Due, end)
	}
	for _, ci := range p.Callins {
		total += float64(ci.Cost)
	}
	most := Grams(0)
	for i := range p.Mixers {
		most = max(most, p.Mixers[i].Capacity)
	}
	return total + draws*(float64(c.Batch)+float64(c.Waste)*float64(most))
}

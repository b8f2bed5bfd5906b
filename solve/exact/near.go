package exact

import (
	"slices"

	"pourweek/model"
	"pourweek/solve/inst"
)

// near keeps a sweep in a corridor around a plan: every step starts not far from
// where the plan has it (tables.span), and so does the batch of every draw. The
// states that the plan passes through are followed whatever they cost.
type near struct {
	acts   map[int32]uint64   // what the plan starts at a tick, see hashActs
	mixed  []ticks            // by draw number: where its batch may start
	cost   model.Mils         // of the plan, or of a better one found
	best   *model.Plan        // cheaper than the plan, nil while there is none
	pours  []*model.PourPlan  // of the plan, by pour
	feeds  []*model.BatchPlan // by draw number: its batch in the plan
	fixed  map[string]model.Who
	all    bool    // every step is free
	most   int64   // states looked at before the sweep ends
	heldTo []int32 // by pour: until when it keeps its rack place when it is finished, 0: not at all
	tries  int     // ways that turned out to be no cheaper plan
}

// maxRefused is how many ways of one sweep may turn out to be no plan, as the shop
// of a sweep leaves rules out, before the others below their cost are given up.
const maxRefused = 20

// names finds the numbers of what a plan names.
type names struct {
	pours, molds, mixes, mixers inst.Index
}

func newNames(in *inst.Inst) *names {
	return &names{
		pours:  inst.IndexOf(in.Pours, func(x *inst.Pour) string { return x.ID }),
		molds:  inst.IndexOf(in.Molds, func(x *inst.Mold) string { return x.ID }),
		mixes:  inst.IndexOf(in.Mixes, func(x *inst.Mix) string { return x.ID }),
		mixers: inst.IndexOf(in.Mixers, func(x *inst.Mixer) string { return x.ID }),
	}
}

// take is told of a complete way that costs less than the limit of the sweep, and
// reports whether only cheaper ones matter from now on.
func (n *near) take(x *sweep) bool {
	if n.tries >= maxRefused {
		return true
	}
	if p := x.plan(); p != nil && p.Cost < n.cost {
		n.best, n.cost = p, p.Cost
		return true
	}
	n.tries++
	return false
}

// within reports whether the corridor lets a step of a pour start at t.
func (x *sweep) within(i, step int, t int32) bool {
	if x.near == nil {
		return true
	}
	s := x.tables[i].span[step]
	return s.from <= t && t < s.to
}

// mayMix reports whether the corridor lets a batch for the draw start at t.
func (n *near) mayMix(o other, t int32) bool {
	at := n.mixed[o.at]
	return at.from <= t && t < at.to
}

// narrow lays a corridor around the plan: a step of a pour that starts at t is free
// to start width ticks sooner or later, and so is a batch for it.
func (c *corridor) narrow(width func(pour int, t int32) int32) *near {
	n := &near{acts: map[int32]uint64{}, mixed: make([]ticks, maxDraws), cost: c.cost, heldTo: c.heldTo(),
		pours: make([]*model.PourPlan, len(c.pours)), feeds: make([]*model.BatchPlan, maxDraws), fixed: c.plan.Fixed}
	free := func(pour int, t int32) ticks {
		d := width(pour, t)
		return ticks{from: max(t-d, 0), to: min(t+d+1, c.in.H)}
	}
	sets := c.drawSets()
	batches := map[string]*model.BatchPlan{}
	for k := range c.plan.Batches {
		b := &c.plan.Batches[k]
		batches[b.ID] = b
		mix, mixer := c.ids.mixes[b.Mix], c.ids.mixers[b.Mixer]
		v := sets[b.ID]
		n.start(int32(b.Start), actBatch|uint16(mixer)<<8|uint16(mix), uint16(v), uint16(v>>16), uint16(v>>32), uint16(v>>48))
		if length := int32(b.Wash[1] - b.Wash[0]); length > 0 {
			w := slices.Index(c.mixes[mix].lengths, length)
			n.start(int32(b.Wash[0]), actWash|uint16(w)<<8|uint16(mixer))
		}
	}
	for k := range c.plan.Pours {
		y := &c.plan.Pours[k]
		i := int(c.ids.pours[y.ID])
		n.pours[i] = y
		b := c.week.tables[i]
		b.span = make([]ticks, b.p.count())
		for step, v := range b.steps(y) {
			if v == nil {
				continue
			}
			t := int32(v[0])
			b.span[step] = free(i, t)
			act := actStep(i, step)
			if c.week.taskOf(i, step).end[t] != int32(v[1]) {
				act |= 1
			}
			n.start(t, act)
		}
		for d := range b.p.draws {
			at, f := b.p.draws[d].at, batches[y.Draws[d]]
			n.mixed[at], n.feeds[at] = free(i, int32(f.Start)), f
		}
	}
	return n
}

// stepWho names those who do a step of a pour in the plan, nobody without one.
func (n *near) stepWho(p *pour, i, step int) model.Who {
	if n == nil {
		return nil
	}
	return *p.whoOf(&n.pours[i].Who, step)
}

// batchWho is the like for the batch of a draw.
func (n *near) batchWho(draw int) model.BatchWho {
	if n == nil {
		return model.BatchWho{}
	}
	return n.feeds[draw].Who
}

func (n *near) fixedWho(id string) model.Who {
	if n == nil {
		return nil
	}
	return n.fixed[id]
}

// rackOf is the rack of a pour in the plan, none without one.
func (n *near) rackOf(s *shop, i int) int32 {
	if n == nil {
		return inst.None
	}
	return int32(slices.IndexFunc(s.in.Racks, func(r inst.Rack) bool { return r.ID == n.pours[i].Rack }))
}

// heldTo tells until when the pours of shipments that are kept together hold their
// rack places in the plan: to when the shipment leaves, by which they stay in the
// corridor.
func (c *corridor) heldTo() []int32 {
	out := make([]int32, len(c.pours))
	ready := make([]int32, len(c.in.Ships))
	for k := range c.plan.Pours {
		y := &c.plan.Pours[k]
		if s := c.pours[c.ids.pours[y.ID]].Ship; s != inst.None {
			ready[s] = max(ready[s], int32(y.Ready))
		}
	}
	for i := range c.pours {
		if s := c.pours[i].Ship; s != inst.None && c.in.Ships[s].Hold {
			out[i] = c.in.Ships[s].Leaves(ready[s], c.in.H)
		}
	}
	return out
}

// steps lists the steps of a pour in a plan, nil for those that are not in it.
func (b *tables) steps(y *model.PourPlan) []*model.Interval {
	v := make([]*model.Interval, b.p.count())
	v[0], v[b.p.cov()], v[b.p.dem()] = y.Prep, y.Cover, y.Demold
	for j := range b.p.layers {
		v[1+j] = &y.Layers[j]
	}
	for k := range y.Finish {
		v[b.p.dem()+1+k] = y.Finish[k]
	}
	return v
}

// drawSets gives the draws of each batch of the plan.
func (c *corridor) drawSets() map[string]uint64 {
	sets := map[string]uint64{}
	for k := range c.plan.Pours {
		y := &c.plan.Pours[k]
		for d, id := range y.Draws {
			sets[id] |= 1 << c.pours[c.ids.pours[y.ID]].draws[d].at
		}
	}
	return sets
}

// start notes what the plan starts at t.
func (n *near) start(t int32, act ...uint16) { n.acts[t] += hashActs(act) }

// hashActs is a sum over acts, whatever their order.
func hashActs(acts []uint16) (h uint64) {
	for k := 0; k < len(acts); k++ {
		v := uint64(acts[k])
		if acts[k] >= actBatch {
			for _, x := range acts[k+1 : k+1+setWords] {
				v = scramble(v) ^ uint64(x)
			}
			k += setWords
		}
		h += scramble(v)
	}
	return h
}

func scramble(v uint64) uint64 {
	v = (v + 1) * 0x9e3779b97f4a7c15
	v = (v ^ v>>29) * 0xbf58476d1ce4e5b9
	return v ^ v>>32
}

// structureOf is the structure of a plan.
func (s *shop) structureOf(p *model.Plan, ids *names) *structure {
	st := &structure{chains: make([][]int32, len(s.in.Molds))}
	from := make([]model.Tick, len(s.pours))
	planned := make([]bool, len(s.pours))
	for k := range p.Pours {
		y := &p.Pours[k]
		i := ids.pours[y.ID]
		planned[i] = true
		if s.pours[i].Stage != inst.New {
			continue
		}
		from[i] = y.Prep[0]
		m := ids.molds[string(y.Mold)]
		c := append(st.chains[m], i)
		for k := len(c) - 1; k > 0 && from[c[k]] < from[c[k-1]]; k-- {
			c[k], c[k-1] = c[k-1], c[k]
		}
		st.chains[m] = c
	}
	for i, ok := range planned {
		if !ok {
			st.carried = append(st.carried, int32(i))
			st.fixed += s.pours[i].Carry
			if s.pours[i].BaseMold != inst.None {
				st.fixed += int64(s.in.Costs.Move)
			}
		}
	}
	return st
}

package why

import (
	"pourweek/model"
	"pourweek/solve/inst"
	"pourweek/solve/sat"
)

// kernel is the question of an Asker as a model of the exact kernel: steps with
// windows, lags and cures; molds, racks, stations, mixers and people as limits
// at each tick. It is a relaxation: whatever it demands follows from the planning
// model while the facts hold whose rules are on, so that a clash in it proves No.
// Left out are who does what (sections 2 and 3: it counts heads of each set of
// skills), which draws share a batch and what such a batch weighs and holds
// (section 4), the mold of pours other than those that are asked about (it
// counts molds of each set), how long a shipment holds rack places, and all
// that is after the time that is asked for.
type kernel struct {
	in     *inst.Inst
	m      *sat.Model
	rules  *rules
	by     int // the time that is asked for
	cast   []casting
	actors []actor
	loads  []load
	size   int // starts and other literals

	missed, missedRegular [][]int32 // by person: open, regular ticks before t in which they are not there
}

// casting is a pour in the kernel, there while on holds.
type casting struct {
	pour  *inst.Pour
	asked bool // it is asked about
	on    sat.Lit
	nodes []node
	steps [][]variant
	done  int32             // steps before the first of steps
	racks map[int32]sat.Lit // that it may rest on
	molds []sat.Lit         // by choice
	own   sat.Lit           // it is in a mold of its own
	out   []int32           // soonest end of the demold by start of the prep, from its first on; -1: none
}

// demold is the index of the demold among the steps of a pour not yet racked.
func (c *casting) demold() int {
	if c.pour.Stage == inst.Curing {
		return 0
	}
	return 2 + len(c.pour.Layers)
}

// newKernel lays out the pours that are asked about, those that cannot be carried,
// and the others that are named.
func (a *Asker) newKernel(in *inst.Inst, others []string) *kernel {
	m := sat.NewModel()
	k := &kernel{in: in, m: m, rules: newRules(m, a.facts()), by: int(min(a.Due, model.Tick(in.H)))}
	k.countMissed()
	named := map[string]bool{}
	for _, id := range others {
		named[id] = true
	}
	for _, asked := range []bool{true, false} { // first whose batches count first
		for i := range in.Pours {
			x := &in.Pours[i]
			must := x.Stage != inst.New || x.PinMold != inst.None
			switch {
			case k.tooBig() || a.asks(x.ID) != asked || !asked && !must && !named[x.ID]:
			case asked:
				k.add(casting{pour: x, asked: true, on: sat.True}, int32(k.by))
			default:
				k.other(x, must, a.latest(x))
			}
		}
	}
	for _, part := range []func(){k.stations, k.racks, k.molds, k.batches, k.crews} {
		if !k.tooBig() {
			part()
		}
	}
	return k
}

// tooBig reports whether the kernel is past what is solved; it is not laid out
// any further then, and nothing is asked of it.
func (k *kernel) tooBig() bool { return k.size > maxSize }

// latest is when a pour of the plan must be ready so that it is not made worse.
func (a *Asker) latest(x *inst.Pour) int32 {
	for i := range a.Plan.Pours {
		if y := &a.Plan.Pours[i]; y.ID == x.ID {
			return max(x.Due, int32(y.Ready))
		}
	}
	return -1
}

// other adds a pour that is not asked about. One that can be carried is there
// while the others count; one that cannot is always there, and in time while they
// do.
func (k *kernel) other(x *inst.Pour, must bool, latest int32) {
	others := k.rules.holds(Fact{Others, ""})
	latest = min(latest, k.in.H)
	if !must {
		k.add(casting{pour: x, on: others}, latest)
		return
	}
	c := k.add(casting{pour: x, on: sat.True}, k.in.H)
	if c == nil || latest >= k.in.H || int(latest) > k.by {
		return
	}
	last := point{vs: c.steps[len(c.steps)-1], end: true}
	for i := range last.vs {
		v := &last.vs[i]
		k.m.Add(sat.Clause{others.Not(), v.on.Not(), k.reached(&last, v, int(latest))})
	}
}

// add lays out a pour that is ready by a tick; nil if it cannot be.
func (k *kernel) add(c casting, by int32) *casting {
	x := c.pour
	c.nodes = k.chain(x)
	switch x.Stage {
	case inst.Curing:
		c.done = 2
	case inst.Racked:
		c.done = 3 + x.Next
	}
	if !k.windows(x, c.nodes, by) {
		k.m.Add(sat.Clause{c.on.Not()})
		return nil
	}
	who := actor{on: c.on}
	for i := range c.nodes {
		n := &c.nodes[i]
		vs := k.lay(n, i, c.on)
		for j := range vs {
			k.hire(&who, &vs[j], n.task.Crew)
		}
		c.steps = append(c.steps, vs)
		if i > 0 {
			k.lags(x, n, c.steps[i-1], vs)
		}
	}
	k.actors = append(k.actors, who)
	c.racks = map[int32]sat.Lit{}
	if x.Stage == inst.Racked {
		c.racks[x.Rack] = c.on
	} else {
		some := sat.Clause{c.on.Not()}
		for _, r := range x.Racks {
			c.racks[r] = c.on
			if len(x.Racks) > 1 {
				c.racks[r] = k.m.Bool("on " + k.in.Racks[r].ID)
			}
			some = append(some, c.racks[r])
		}
		k.m.Add(some)
	}
	if x.Stage == inst.New {
		k.choose(&c)
	}
	k.cast = append(k.cast, c)
	return &k.cast[len(k.cast)-1]
}

package bound

import (
	"pourweek/solve/inst"
)

// lagrangian is the relaxation: prices in, a bound and the use of everything
// priced out. (Bound = the sum over groups of n times the price of planning,
// less the prices of all that there is, plus the cheapest paths of molds, the
// cheapest tails of racked pours, less the dearest paths of mixers.)
//
// Why it is a bound: take any allowed plan. Its cost, less each price times
// what the plan leaves unused of that resource, plus each price of a stretch
// times nothing (stretches laid equal stretches served), is at most its cost.
// Sorted by mold, racked pour and mixer, that sum falls into parts, each the
// priced cost of one path; the cheapest path is at most as dear, and so is the
// cheapest of the paths that take no more of a group than there is, as far as they
// remember (memory.go). What a carried pour costs is at least its price of planning.
type lagrangian struct {
	ax      *axis
	sh      *shapes
	groups  []*group
	kinds   []kind
	mixes   []mix
	sets    []set
	classes []*class
	racked  []*racked
	mixers  []*mixerClass
	asks    [][]int32 // by set and crew: heads

	idle, held, rackWait, move int64
	lastStart                  int32 // index from which no layer 1 starts
	constant                   int64 // cost that every plan has

	prices
	usage
	sound, guessed      bool      // this pricing of batches must be sound; some of the last was cut off
	earned              int64     // by all mixers in the last pass
	firsts              [][]int32 // by group and start of layer 1: pours of the cheapest paths, where asked for
	least               []int64   // by index: cost of the cheapest move of the class at hand
	which               []int32   // and which one
	mem                 memory
	cycles              map[cycle]int64 // of paths so far
	taken               []int           // items of the path at hand
	scratch             []int64
	sliderBuf           []int32
	stationCap, rackCap [][]int64
	bucketOf            []int32 // rack price bucket by open tick
	buckets             int32
	zero                []int64 // the price sums of no station, the path of a mold that takes nothing
}

// racked is a set of racked pours alike in everything.
type racked struct {
	n      int32
	tail   *tail
	lo, hi int32
}

func newLagrangian(in *inst.Inst, parts []part, mem memory) *lagrangian {
	ax := newAxis(in)
	l := &lagrangian{ax: ax, sh: newShapes(ax), mem: mem, cycles: map[cycle]int64{}}
	l.idle, l.held = int64(in.Costs.Idle)*scale, int64(in.Costs.Held)*scale
	l.rackWait, l.move = int64(in.Costs.RackWait)*scale, int64(in.Costs.Move)*scale
	l.lastStart = in.OpenIndex(in.PourUntil)
	l.scratch, l.sliderBuf = make([]int64, ax.n+1), make([]int32, ax.n+1)
	l.least, l.which = make([]int64, ax.n+1), make([]int32, ax.n+1)
	l.zero = make([]int64, ax.n+1)
	for i := range in.Mixes {
		l.mixes = append(l.mixes, newMix(l, &in.Mixes[i]))
	}
	for _, x := range parts {
		l.groups = append(l.groups, newGroup(l, x))
	}
	for _, ids := range in.Groups {
		if p := &in.Pours[ids[0]]; p.Stage == inst.Racked {
			l.racked = append(l.racked, newRacked(l, p, len(ids)))
		}
	}
	for _, g := range l.groups {
		g.stretches(l)
		g.program(l)
	}
	l.classes = newClasses(l)
	l.spans()
	for i := range in.Mixes {
		l.mixes[i].crew, l.mixes[i].least = l.sh.crewOf(in.Mixes[i].Crew), in.Mixes[i].LeastWash()
	}
	l.sets = skillSets(ax, l.sh.crews)
	for s := range l.sets {
		a := make([]int32, len(l.sh.crews))
		for c, crew := range l.sh.crews {
			a[c] = int32(l.sets[s].asks(crew))
		}
		l.asks = append(l.asks, a)
	}
	l.capacities()
	for i := range l.mixes {
		l.mixes[i].windows(l)
	}
	l.mixers = newMixers(l)
	l.newPrices()
	return l
}

func newRacked(l *lagrangian, p *inst.Pour, n int) *racked {
	r := &racked{n: int32(n), tail: newTail(l, p, nil, p.Next)}
	r.lo, r.hi = max(l.ax.in.OpenIndex(p.From), l.ax.first), l.ax.n-1
	if p.FromMax >= 0 {
		r.hi = min(r.hi, l.ax.in.OpenIndex(p.FromMax+1)-1)
	}
	return r
}

// spans hangs the prices of spans on the steps.
func (l *lagrangian) spans() {
	finish := func(t *tail, m inst.Moment) *step {
		if k := int(m.At) - (len(t.pour.Finish) - len(t.steps)); m.Step == inst.AtFinish && k >= 0 {
			return &t.steps[k]
		}
		return nil
	}
	for _, g := range l.groups {
		spansOf(g.pour, func(m inst.Moment) *step {
			switch m.Step {
			case inst.AtPrep:
				return &g.anyPrep
			case inst.AtLayer:
				return &g.layers[m.At]
			case inst.AtCover:
				return &g.cover
			case inst.AtDemold:
				return &g.demold
			}
			if g.shared { // its tail has the prices already
				return &step{}
			}
			return finish(g.tail, m)
		})
	}
	for _, c := range l.classes {
		for _, it := range c.items {
			it.prep.start, it.prep.end = it.g.anyPrep.start, it.g.anyPrep.end
		}
		if q := c.curing; q != nil {
			spansOf(q.pour, func(m inst.Moment) *step {
				if m.Step == inst.AtDemold {
					return &q.demold
				}
				return finish(q.tail, m)
			})
		}
	}
	for _, r := range l.racked {
		spansOf(r.tail.pour, func(m inst.Moment) *step { return finish(r.tail, m) })
	}
}

// lateCost is what it costs, in units, that a pour is ready at a tick: its own
// lateness, and its share of its shipment's. A shipment leaves no sooner than
// the truck after the pour is ready, and the shares of its pours add up to no
// more than its price.
func (l *lagrangian) lateCost(p *inst.Pour, ready int32) int64 {
	c := p.LatePerTick * scale * int64(max(ready-p.Due, 0))
	if p.Ship == inst.None {
		return c
	}
	s := &l.ax.in.Ships[p.Ship]
	out := ready
	if len(s.Trucks) > 0 {
		out = l.ax.in.H
		for _, t := range s.Trucks {
			if t >= ready {
				out = t
				break
			}
		}
	}
	return c + s.LatePerTick*scale/int64(len(s.Pours))*int64(max(out-s.Due, 0))
}

// pass works the bound out at the prices, in units, and the use of everything
// priced. Where guessed is set after it, the value may be too high, and prove
// must be asked.
func (l *lagrangian) pass() int64 {
	l.sums()
	l.clearUse()
	v := l.constant - l.priceOfAll()
	for i := range l.mixes {
		l.mixes[i].offers(l)
	}
	l.sound, l.guessed, l.earned = false, false, 0
	for _, m := range l.mixers {
		l.earned += m.n * m.earn(l)
		m.walk(l)
	}
	v -= l.earned
	for _, r := range l.racked {
		v += int64(r.n) * r.cost(l)
	}
	l.priceGroups()
	for i, c := range l.classes {
		c.priceCuring(l)
		if c.lead == i {
			c.path(l)
		}
		x := c.value(l, c.states[0].v)
		if x >= inf/2 {
			return inf
		}
		v += c.n * x
		c.walk(l)
	}
	return v
}

// prove is the bound at the prices of the last pass, of which v is the value.
func (l *lagrangian) prove(v int64) int64 {
	if !l.guessed {
		return v
	}
	l.sound = true
	v += l.earned
	for _, m := range l.mixers {
		v -= m.n * m.earn(l)
	}
	return v
}

func (r *racked) cost(l *lagrangian) int64 {
	t := r.tail
	t.price(l)
	if r.lo > r.hi {
		return 0
	}
	best, at := inf, r.lo
	s := t.s[0]
	for i := r.lo; i <= r.hi; i++ {
		if v := s[i] + l.rackWait*(l.ax.reg[i]-l.ax.reg[r.lo]); v < best {
			best, at = v, i
		}
	}
	if best >= inf/2 {
		return inf // it cannot be finished
	}
	rack := l.useRack[t.racks[0]]
	rack[l.ax.first] += r.n * int32(t.places)
	// The wait ahead of the first step counts from r.lo, not from its start.
	end := t.walk(l, 0, at, at, r.n)
	rack[end] -= r.n * int32(t.places)
	return best - t.places*l.rackSum[t.racks[0]][l.ax.first]
}

// priceGroups works out what the steps of new pours cost, and their tails.
func (l *lagrangian) priceGroups() {
	for _, g := range l.groups {
		for j := range g.layers {
			g.layers[j].price(l)
		}
		g.cover.price(l)
		if !g.shared {
			g.demold.price(l)
			g.tail.price(l)
			g.tail.demold(l, &g.demold, g.tailCost)
		}
	}
}

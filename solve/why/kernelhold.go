package why

import (
	"slices"

	"pourweek/solve/inst"
	"pourweek/solve/sat"
)

// point is the start or end of a step, or so many ticks after; without variants
// it is long past.
type point struct {
	vs   []variant
	end  bool
	plus int
}

// reached is the literal of "the point lies at t or before" if v is the way its
// step is done.
func (k *kernel) reached(p *point, v *variant, t int) sat.Lit {
	t -= p.plus
	if !p.end {
		return k.m.StartLE(v.task, t)
	}
	i, _ := slices.BinarySearch(v.ends, t+1) // ends ascend with the starts
	if i == 0 {
		return sat.False
	}
	return k.m.StartLE(v.task, v.starts[i-1])
}

// holder holds n places from one point to another while on holds and off does
// not.
type holder struct {
	from, to point
	on, off  sat.Lit // off: False for never
	n        int
}

// reason is a way in which a holder may hold at a tick: its steps done in these
// ways, begun since, not over.
type reason struct{ from, to, since, over sat.Lit }

// reasons lists the ways in which the holder may hold at t.
func (k *kernel) reasons(h *holder, t int) []reason {
	begun := h.from.vs
	if begun == nil {
		begun = []variant{{on: sat.True}}
	}
	same := len(h.from.vs) > 0 && len(h.to.vs) > 0 && h.from.vs[0].task == h.to.vs[0].task
	var rs []reason
	for i := range begun {
		for j := range h.to.vs {
			if same && i != j {
				continue
			}
			a, b := &begun[i], &h.to.vs[j]
			r := reason{a.on, b.on, sat.True, k.reached(&h.to, b, t)}
			if h.from.vs != nil {
				r.since = k.reached(&h.from, a, t)
			}
			if r.since != sat.False && r.over != sat.True {
				rs = append(rs, r)
			}
		}
	}
	return rs
}

// held is a literal that is true if the holder holds for one of the reasons.
func (k *kernel) held(h *holder, rs []reason) sat.Lit {
	run := k.m.Bool("held")
	k.size++
	for _, r := range rs {
		k.m.Add(sat.Clause{run, h.on.Not(), h.off, r.from.Not(), r.to.Not(), r.since.Not(), r.over})
	}
	return run
}

// block holds places of a resource by itself over [from, to).
type block struct {
	from, to int32
	n        int
}

// resource is a thing with places for holders.
type resource struct {
	holders []holder
	blocks  []block
	places  func(t int32) int
	changes []int32 // ticks at which places may fall
	gate    sat.Lit // what makes it scarce
}

// limit demands at each tick at which the load may rise, up to the time that is
// asked for, that what is held is at most the places.
func (k *kernel) limit(r *resource) {
	if len(r.holders) == 0 || k.tooBig() {
		return
	}
	for _, t := range k.rises(r) {
		most := r.places(int32(t))
		for _, b := range r.blocks {
			if int(b.from) <= t && t < int(b.to) {
				most -= b.n
			}
		}
		k.limitAt(r, t, max(most, 0))
	}
}

func (k *kernel) limitAt(r *resource, t, most int) {
	var at []int
	var rs [][]reason
	total := 0
	for i := range r.holders {
		if x := k.reasons(&r.holders[i], t); len(x) > 0 {
			at, rs, total = append(at, i), append(rs, x), total+r.holders[i].n
		}
	}
	if total <= most {
		return
	}
	var lits []sat.Lit
	var weights []int
	for n, i := range at {
		lits, weights = append(lits, k.held(&r.holders[i], rs[n])), append(weights, r.holders[i].n)
	}
	k.rules.atMost(lits, weights, most, r.gate)
}

func (k *kernel) rises(r *resource) []int {
	ticks := []int{0}
	for _, h := range r.holders {
		for _, v := range h.from.vs {
			list := v.starts
			if h.from.end {
				list = v.ends
			}
			for _, t := range list {
				ticks = append(ticks, t+h.from.plus)
			}
		}
	}
	for _, b := range r.blocks {
		ticks = append(ticks, int(b.from))
	}
	for _, t := range r.changes {
		ticks = append(ticks, int(t))
	}
	slices.Sort(ticks)
	ticks = slices.Compact(ticks)
	return slices.DeleteFunc(ticks, func(t int) bool { return t < 0 || t > k.by || t >= int(k.in.H) })
}

// stations limits each station by the steps and spans that hold it.
func (k *kernel) stations() {
	for s := range k.in.Stations {
		id := int32(s)
		r := resource{gate: k.rules.holds(Fact{Rigs, k.in.Stations[s].ID}), places: func(int32) int { return int(k.in.Stations[s].Places) }}
		for _, f := range k.in.Fixed {
			if f.Station == id {
				r.blocks = append(r.blocks, block{f.Start, f.End, 1})
			}
		}
		for _, c := range k.cast {
			for i := range c.nodes {
				if c.nodes[i].task.Station == id {
					r.holders = append(r.holders, holder{point{vs: c.steps[i]}, point{vs: c.steps[i], end: true}, c.on, sat.False, 1})
				}
			}
			for _, sp := range c.pour.Spans {
				if sp.Station != id {
					continue
				}
				if from, to, ok := c.span(sp); ok {
					r.holders = append(r.holders, holder{from, to, c.on, sat.False, 1})
				}
			}
		}
		if len(r.holders) > 0 {
			k.countStation(id, &r)
		}
		k.limit(&r)
	}
}

// span gives the ends of a span; false if it is over.
func (c *casting) span(s inst.Span) (from, to point, ok bool) {
	at := func(m inst.Moment) (point, bool) {
		i := int32(0)
		switch m.Step {
		case inst.AtPrep:
		case inst.AtLayer:
			i = 1 + m.At
		case inst.AtCover:
			i = 1 + int32(len(c.pour.Layers))
		case inst.AtDemold:
			i = 2 + int32(len(c.pour.Layers))
		case inst.AtFinish:
			i = 3 + int32(len(c.pour.Layers)) + m.At
		}
		if c.pour.Stage != inst.New && m.Step < inst.AtDemold {
			return point{}, false
		}
		if i -= c.done; i < 0 {
			return point{}, false
		}
		return point{vs: c.steps[i], end: m.End}, true
	}
	from, _ = at(s.From)
	to, ok = at(s.To)
	return from, to, ok
}

// racks limits each rack by the pours that rest on it, from their demold until
// they are ready. How long a shipment holds them longer is left out.
func (k *kernel) racks() {
	for r := range k.in.Racks {
		x := &k.in.Racks[r]
		q := resource{gate: k.rules.holds(Fact{Places, x.ID}), places: func(t int32) int { return int(x.Places[t]) }}
		for t := 1; t < len(x.Places); t++ {
			if x.Places[t] < x.Places[t-1] {
				q.changes = append(q.changes, int32(t))
			}
		}
		for _, c := range k.cast {
			on, ok := c.racks[int32(r)]
			if !ok {
				continue
			}
			h := holder{to: point{vs: c.steps[len(c.steps)-1], end: true}, on: on, off: sat.False, n: int(c.pour.Places)}
			if c.pour.Stage != inst.Racked {
				h.from = point{vs: c.steps[c.demold()]}
			}
			q.holders = append(q.holders, h)
		}
		k.limit(&q)
	}
}

package bound

import (
	"cmp"
	"fmt"
	"slices"

	"pourweek/solve/inst"
)

// item is a group that a mold may take, as that mold sees it.
type item struct {
	g       *group
	prep    step
	after   [2]window // where prep_max is given: layer 1 starts by prep start, straight on and put down
	special bool      // a pin or a base puts a cost on layer 1
	atBase  bool      // the mold is the base's
}

// segment is a stretch of time, as indices [from, end), without a down time.
type segment struct{ from, end int32 }

// class is a set of molds alike in everything.
type class struct {
	n      int64
	molds  []int32
	family int   // classes alike in all but curing pour and free tick share their paths
	lead   int   // index of the first of its family, which is free no later than the others
	free   int32 // index from which idle counts and new pours may start
	segs   []segment
	items  []*item
	*paths
	curing *curing
}

// curing is the pour that stands in a mold at the start.
type curing struct {
	pour     *inst.Pour
	demold   step
	tail     *tail
	lo, hi   int32 // demold starts
	cost     []int64
	freeFrom int32 // index
}

func newClasses(l *lagrangian) []*class {
	in := l.ax.in
	stands := map[int32]*inst.Pour{}
	for i := range in.Pours {
		if p := &in.Pours[i]; p.Stage == inst.Curing {
			stands[p.Mold] = p
		}
	}
	at, families := map[string]*class{}, map[string]int{}
	var list []*class
	for m := range in.Molds {
		mold := int32(m)
		c := &class{n: 1, molds: []int32{mold}}
		key := fmt.Sprint(in.Molds[m].Down)
		for _, g := range l.groups {
			it, k := newItem(l, g, mold)
			if it != nil {
				c.items, key = append(c.items, it), key+k
			}
		}
		f, ok := families[key]
		if !ok {
			f = len(families)
			families[key] = f
		}
		c.family = f
		key += fmt.Sprint(" free ", in.Molds[m].FreeFrom)
		if p := stands[mold]; p != nil {
			key += " " + p.ID
		}
		if len(c.items) == 0 && stands[mold] == nil {
			continue
		}
		if old := at[key]; old != nil {
			old.n++
			old.molds = append(old.molds, mold)
			continue
		}
		at[key] = c
		list = append(list, c)
		c.layOut(l, mold, stands[mold])
	}
	slices.SortStableFunc(list, func(a, b *class) int {
		return cmp.Or(cmp.Compare(a.family, b.family), cmp.Compare(a.free, b.free))
	})
	for i, c := range list {
		if c.lead = i; i > 0 && list[i-1].family == c.family {
			// The cheapest path from a tick on does not depend on what came before.
			c.lead, c.items, c.paths = list[i-1].lead, list[i-1].items, list[i-1].paths
			continue
		}
		c.paths = &paths{}
		a, ok := c.remembering(l.mem, roomInCase)
		if !ok {
			a, _ = c.remembering(memory{}, roomInCase)
		}
		c.remember(l, a)
	}
	return list
}

// newItem is nil when the mold cannot take the group. The string tells items
// of different molds apart.
func newItem(l *lagrangian, g *group, mold int32) (*item, string) {
	p := g.pour
	if len(p.Layers) == 0 || p.PinMold != inst.None && p.PinMold != mold {
		return nil, ""
	}
	for i := range p.Molds {
		c := &p.Molds[i]
		if c.Mold != mold {
			continue
		}
		it := &item{g: g, prep: newStep(l, &c.Prep), special: p.PinMold != inst.None || p.BaseMold != inst.None, atBase: p.BaseMold == mold}
		sh := it.prep.sh
		if p.PrepMax >= 0 {
			it.after[0] = l.ax.lagWindow(func(i int32) int32 { return endOr(sh.e1[i], func() int32 { return sh.end1(l.ax, i) }) }, 0, p.PrepMax)
			it.after[1] = l.ax.lagWindow(func(i int32) int32 { return endOr(sh.e2[i], func() int32 { return sh.end2(l.ax, i) }) }, 0, p.PrepMax)
		}
		return it, fmt.Sprint(" ", g.id, c.Prep, it.atBase)
	}
	return nil, ""
}

func (c *class) layOut(l *lagrangian, mold int32, p *inst.Pour) {
	in := l.ax.in
	m := &in.Molds[mold]
	free := max(m.FreeFrom, in.Now)
	c.free = in.OpenIndex(free)
	from := free
	for _, d := range m.Down {
		if s := (segment{in.OpenIndex(from), in.OpenIndex(int32(d.From()))}); s.from < s.end {
			c.segs = append(c.segs, s)
		}
		from = max(from, int32(d.To()))
	}
	if s := (segment{in.OpenIndex(from), l.ax.n}); s.from < s.end {
		c.segs = append(c.segs, s)
	}
	if p == nil {
		return
	}
	q := &curing{pour: p, demold: newStep(l, &p.Demold), freeFrom: in.OpenIndex(m.FreeFrom), cost: make([]int64, l.ax.n+1)}
	q.tail = newTail(l, p, q.demold.sh, 0)
	q.lo, q.hi = max(in.OpenIndex(p.CuredAt), l.ax.first), l.ax.n-1
	if p.MoldUntil >= 0 {
		q.hi = min(q.hi, in.OpenIndex(p.MoldUntil+1)-1)
	}
	c.curing = q
}

// priceCuring works out what the pour that stands in the mold costs from its
// demold on.
func (c *class) priceCuring(l *lagrangian) {
	if q := c.curing; q != nil {
		q.demold.price(l)
		q.tail.price(l)
		q.tail.demold(l, &q.demold, q.cost)
	}
}

// path works out the cost of the mold's cheapest path from each index on, the
// mold being free then, by what it remembers.
func (c *class) path(l *lagrangian) {
	at := l.ax.n
	for i := range c.states {
		c.states[i].v[at] = 0
	}
	for _, it := range c.items {
		it.prep.price(l)
	}
	for s := len(c.segs) - 1; s >= 0; s-- {
		seg := c.segs[s]
		c.rest(l, seg.end, at)
		at = seg.end
		for _, m := range c.moves {
			m.b.reset(seg.end)
		}
		for at > seg.from {
			at = c.advance(l, seg, at)
		}
	}
	c.rest(l, c.free, at)
}

// rest carries the path from index at back to index to, where no pour starts.
func (c *class) rest(l *lagrangian, to, at int32) {
	for k := range c.states {
		v := c.states[k].v
		for i := at - 1; i >= to; i-- {
			v[i] = min(0, v[i+1]+l.idle*(l.ax.reg[i+1]-l.ax.reg[i]))
		}
	}
}

// advance carries the path further back inside a segment, from index at to the
// returned one, as far as what is known of the bodies allows.
func (c *class) advance(l *lagrangian, seg segment, at int32) int32 {
	to := seg.from
	for _, m := range c.moves {
		m.b.extend(l, c.items[m.item], c.states[m.to].v, seg, at)
		to = max(to, m.b.at[atPrep])
	}
	// The cheapest move is the next one in most states.
	least, which := l.least[to:at], l.which[to:at]
	for i := range least {
		least[i] = inf
	}
	for k := range c.moves {
		for i, z := range c.moves[k].b.z[to:at] {
			if z < least[i] {
				least[i], which[i] = z, int32(k)
			}
		}
	}
	for k := range c.states {
		s := &c.states[k]
		v := s.v
		for i := at - 1; i >= to; i-- {
			x := min(0, v[i+1]+l.idle*(l.ax.reg[i+1]-l.ax.reg[i]))
			if y := least[i-to]; y < x {
				if s.may[which[i-to]] {
					x = y
				} else {
					for _, m := range s.moves {
						x = min(x, c.moves[m].b.z[i])
					}
				}
			}
			v[i] = x
		}
	}
	return to
}

// value is the cost of the class's cheapest path, per mold, after path.
func (c *class) value(l *lagrangian, v []int64) int64 {
	q := c.curing
	if q == nil {
		return v[min(c.free, l.ax.n)]
	}
	best := inf
	for i := q.lo; i <= q.hi; i++ {
		best = min(best, c.curingCost(l, v, i))
	}
	return best
}

// curingCost is the cost of demolding the curing pour at i and all after it.
func (c *class) curingCost(l *lagrangian, v []int64, i int32) int64 {
	q := c.curing
	if q.cost[i] >= inf {
		return inf
	}
	return q.cost[i] + l.held*(l.ax.reg[i]-l.ax.reg[q.lo]) + v[max(i+q.demold.sh.work, c.free)]
}

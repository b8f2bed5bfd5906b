package exact

import (
	"cmp"
	"context"
	"math/rand/v2"
	"slices"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/solve/inst"
)

// ImproveOptions steers Improve.
type ImproveOptions struct {
	Seed uint64
	// Effort ends the run after so many states were looked at, some 2 microseconds
	// each; 0 means no limit.
	Effort int64
	// Bound, if not nil, gives a proven bound: a plan that costs no more ends the run.
	Bound func() model.Mils
	// Report, if not nil, is told after every sweep what the best plan costs.
	Report func(cost model.Mils)
}

// Improved counts what Improve did.
type Improved struct {
	Sweeps, Better int64
	Gain           model.Mils
	Effort         int64 // as ImproveOptions.Effort counts it
}

// Improvable reports whether Improve can do anything for plans of the problem.
func Improvable(in *inst.Inst) bool { return tooBig(in) == nil }

// Improve looks for a cheaper plan with the same pours in the same molds in the
// same order, and the same batches or others: again and again it follows the best
// states of the shop through a corridor around the best plan so far, at prices of
// people that were improved for it. A corridor leaves some steps that follow each
// other, some pours, or everything a little freedom; all else starts when it did.
// (The corridor method: Sniedovich and Voss, Control and Cybernetics 35, 2006; from
// memory.) Plans are judged by the checker, which also counts what a sweep leaves
// out. The result is nil where there is no cheaper one; it is the same for the same
// problem, plan and options unless the context ends the run.
func Improve(ctx context.Context, in *inst.Inst, p *model.Plan, o ImproveOptions) (*model.Plan, Improved) {
	c, ok := newCorridor(in, p, o.Seed)
	if !ok {
		return nil, Improved{}
	}
	for c.steps = firstAscent; (o.Effort == 0 || c.did.Effort < o.Effort) && ctx.Err() == nil; c.steps = nextAscent {
		if o.Bound != nil && c.cost <= o.Bound() {
			break
		}
		c.sweep(ctx, c.draw())
		if o.Report != nil {
			o.Report(c.cost)
		}
	}
	if c.did.Better == 0 {
		return nil, c.did
	}
	return c.plan, c.did
}

// newCorridor prepares a run from a plan; false if it is not allowed, or it or the
// problem does not fit.
func newCorridor(in *inst.Inst, p *model.Plan, seed uint64) (*corridor, bool) {
	s, err := newShop(in)
	if err != nil {
		return nil, false
	}
	v := check.Check(in.P, p)
	if !v.Allowed || int64(v.Cost) > maxCost {
		return nil, false
	}
	s.lazy = true
	size := min(max(firstSteps/float64(max(len(in.Pours), 1)), leastSize), firstSize)
	c := &corridor{shop: s, ids: newNames(in), r: rand.New(rand.NewPCG(seed, 0)), climbs: true, size: size}
	c.plan, c.cost, c.unseen = p, v.Cost, v.Terms.Ship+v.Terms.Callin
	c.week = c.newWeek(c.structureOf(p, c.ids))
	return c, true
}

// How a corridor is swept. (Values from trials on the small and medium weeks.)
const (
	nearBeam    = 60 // states followed at a tick
	firstAscent = 60 // steps before the first sweep
	nextAscent  = 5  // before later ones, from the prices of the one before
	stepEffort  = 500

	// The number of free steps is drawn from a range that adapts, so that a sweep
	// looks at some sweepEffort states, and so does the width where all are free;
	// there it may be wideEffort. One that looks at tooMany times as many ends.
	sweepEffort = 10_000
	wideEffort  = 40_000
	tooMany     = 4
	leastSteps  = 5
	firstSteps  = 200 // at first, shared among the pours
	firstSize   = 20
	leastSize   = 3
	mostSize    = 40
	mostWide    = 8
)

// corridor is a run of Improve.
type corridor struct {
	*shop
	week   *week
	ids    *names
	r      *rand.Rand
	plan   *model.Plan
	cost   model.Mils
	unseen model.Mils // of the cost: what a sweep leaves out
	size   float64
	wide   float64
	climbs bool
	steps  int // of the next ascent
	did    Improved
}

// draw lays a corridor around the plan.
func (c *corridor) draw() *near {
	kind, wide := c.r.IntN(8), c.r.IntN(1+int(c.wide))
	if c.climbs { // first everything, by more and more
		kind, wide = 0, int(c.wide)
	}
	switch kind {
	case 0: // everything
		width := int32(3 << wide)
		n := c.narrow(func(int, int32) int32 { return width })
		n.all = true
		return n
	case 1:
		free, width := c.somePours(), int32(24<<c.r.IntN(4))
		return c.narrow(func(pour int, _ int32) int32 {
			if slices.Contains(free, pour) {
				return width
			}
			return 0
		})
	}
	from, to := c.someTime()
	width := int32(12 << c.r.IntN(4))
	return c.narrow(func(_ int, t int32) int32 {
		if from <= t && t <= to {
			return width
		}
		return 0
	})
}

// someTime draws from the starts of a step and of one some steps later.
func (c *corridor) someTime() (from, to int32) {
	var at []int32
	for k := range c.plan.Pours {
		y := &c.plan.Pours[k]
		for _, v := range c.week.tables[c.ids.pours[y.ID]].steps(y) {
			if v != nil {
				at = append(at, int32(v[0]))
			}
		}
	}
	if len(at) == 0 {
		return 0, 0
	}
	slices.Sort(at)
	n := min(len(at), leastSteps+c.r.IntN(int(c.size)))
	k := c.r.IntN(len(at) - n + 1)
	return at[k], at[k+n-1]
}

// somePours draws up to four pours that are ready at about the same time.
func (c *corridor) somePours() (out []int) {
	l := c.plan.Pours
	if len(l) == 0 {
		return nil
	}
	at := l[c.r.IntN(len(l))].Ready
	key := make([]int, len(c.pours))
	for k := range l {
		i := int(c.ids.pours[l[k].ID])
		key[i] = int(max(l[k].Ready-at, at-l[k].Ready)) + c.r.IntN(60)
		out = append(out, i)
	}
	slices.SortFunc(out, func(a, b int) int { return cmp.Or(cmp.Compare(key[a], key[b]), cmp.Compare(a, b)) })
	return out[:min(len(out), 1+c.r.IntN(4))]
}

// lay prepares a sweep through a corridor.
func (c *corridor) lay(n *near) *sweep {
	w, limit := c.week, int64(c.cost-c.unseen)
	w.clear()
	w.ascend(c.steps, limit)
	w.reprice()
	w.fillAll(true)
	x := w.newSweep(limit, maxCost)
	x.alike, x.beam, x.near = nil, nearBeam, n
	return x
}

// sweep goes through a corridor and takes over what is cheaper.
func (c *corridor) sweep(ctx context.Context, n *near) {
	x, aim := c.lay(n), int64(sweepEffort)
	if n.all {
		aim = wideEffort
	}
	n.most = tooMany * aim
	x.run(ctx)
	c.did.Sweeps++
	c.did.Effort += x.effort() + int64(c.steps*stepEffort)
	switch {
	case n.all && x.effort() > aim:
		c.wide, c.climbs = max(0, c.wide-1), false
	case n.all:
		c.wide = min(mostWide, c.wide+1)
		c.climbs = c.climbs && c.wide < mostWide
	case x.effort() > aim:
		c.size = max(leastSize, float64(0.85*c.size))
	default:
		c.size = min(mostSize, float64(1.05*c.size))
	}
	if n.best != nil {
		c.did.Better++
		c.did.Gain += c.cost - n.cost
		c.plan, c.cost, c.unseen = n.best, n.cost, n.best.Terms.Ship+n.best.Terms.Callin
	}
}

// clear empties the tables of a week.
func (w *week) clear() {
	for _, b := range w.tables {
		if b != nil {
			b.clear()
		}
	}
}

func (b *tables) clear() {
	b.solo = nil
	lists := [][][]int32{{b.coverStart, b.coverAfter, b.demStart, b.demFrom},
		b.prepStart, b.prepFrom, b.layerFrom, b.finStart, b.finFrom}
	lists = append(append(lists, b.layerStart...), b.layerAfter...)
	for _, l := range lists {
		for _, v := range l {
			for t := range v {
				v[t] = inf
			}
		}
	}
}

package bound

import (
	"cmp"
	"context"
	"math"
	"slices"

	"pourweek/model"
	"pourweek/solve/inst"
)

// Branch and bound over the relaxation: a case splits into two by when pours
// start, and the bound is the least of those of all open cases.
//
// Why the two cover all: of the n pours alike of a part, some plan starts c
// before an index, the others later or not at all. Either c is at least m, and
// then, with the pours numbered as it pleases, m of them start before it, if
// planned; or n-m+1 of them do not start before it. Pours that are left out are
// allowed in both cases.

// part is a set of new pours alike in everything, in one case.
type part struct {
	in     int // index in inst.Inst.Groups
	n      int64
	lo, hi int32 // layer 1 starts in [lo, hi), as indices of open ticks
	of     int   // index of the part that it is of, in the case that was split
}

// whole is the case of all plans.
func whole(in *inst.Inst) []part {
	var list []part
	for at, ids := range in.Groups {
		if in.Pours[ids[0]].Stage == inst.New {
			list = append(list, part{in: at, n: int64(len(ids)), hi: int32(len(in.OpenAt))})
		}
	}
	return list
}

// cut splits a case: at least m pours of a part start before index at, or fewer.
type cut struct {
	part int
	at   int32
	m    int64
	over float64 // m less the pours that start before it in the relaxation, from 0 to 1
}

// split gives the parts of both cases.
func (c cut) split(parts []part) (sides [2][]part) {
	x := parts[c.part]
	for s := range sides {
		in, out := part{n: c.m, lo: x.lo, hi: c.at}, part{n: x.n - c.m, lo: x.lo, hi: x.hi}
		if s == 1 {
			in, out = part{n: x.n - c.m + 1, lo: c.at, hi: x.hi}, part{n: c.m - 1, lo: x.lo, hi: x.hi}
		}
		for i, y := range parts {
			y.of = i
			if i != c.part {
				sides[s] = append(sides[s], y)
				continue
			}
			for _, z := range [2]part{in, out} {
				if z.n > 0 {
					z.in, z.of = y.in, i
					sides[s] = append(sides[s], z)
				}
			}
		}
	}
	return sides
}

// subproblem is a case that is open.
type subproblem struct {
	parts  []part
	bound  model.Mils // no plan of the case costs less; shut where none is allowed
	value  int64      // what its best prices prove, in units
	prices [][]float64
	spans  [][]span // by part: where the prices of its stretches stand
	cuts   []cut
	spent  bool // many passes have raised nothing
}

const shut = model.Mils(math.MaxInt64)

// span is where the prices of a stretch stand: that of start i at off + i - lo.
type span struct {
	lo, hi int32
	off    int
}

// How a run branches. The values come from trials of 5,000 passes on small and
// medium weeks.
const (
	branchFrom    = 1500     // a run of so many passes branches,
	branchGroup   = 200      // and of so many for each group of pours
	maybeFrom     = 0.6      // a run that seems to have this share of them is asked again after
	rootPasses    = 400      // of the whole week, before
	deepFrom      = 1.6      // share of them from which it gets twice rootPasses
	endlessRounds = 6        // the rounds of the whole week in runs without an end
	casePasses    = 80       // of a case
	testPasses    = 20       // of a case that may not be taken
	deepPasses    = 600      // of a case without a cut
	caseSize      = 0.5      // the step size at the start of a case
	mostTests     = 6        // cuts tried out of one case
	leastDoubt    = 0.03     // below that a share is whole
	mostPrices    = 20 << 20 // kept in all open cases
)

// tree is the state of branching.
type tree struct {
	*run
	open  []*subproblem
	most  int       // open cases
	gains [][2]gain // by group (inst.Inst.Groups) and side
	all   [2]gain   // of all groups
}

// gain is what cuts of a group have brought one side, by the pour that they moved.
type gain struct{ sum, n float64 }

// add takes what a cut brought, in units, that moved so much of a pour.
func (g *gain) add(units int64, moved float64) {
	g.sum, g.n = g.sum+max(float64(units), 0)/max(moved, leastDoubt), g.n+1
}

// expect is what a cut may bring that moves so much of a pour; what cuts of all
// groups brought counts as one of its own.
func (g *gain) expect(all *gain, moved float64) float64 {
	return (g.sum + all.sum/max(all.n, 1)) / (g.n + 1) * moved
}

// moved is how much of a pour a side of the cut moves.
func (c cut) moved(side int) float64 {
	if side == 0 {
		return c.over
	}
	return 1 - c.over
}

// branch splits the open case with the least bound until the run ends.
func (s *steering) branch(ctx context.Context) {
	r := s.run
	r.lag.firsts = grid[int32](len(r.lag.groups), r.lag.ax.n+1)
	s.round(ctx, caseRound(casePasses))
	x := s.keep(whole(r.in), math.MinInt64)
	t := &tree{run: r, open: []*subproblem{x}, gains: make([][2]gain, len(r.in.Groups))}
	prices := 0
	for _, y := range x.prices {
		prices += len(y)
	}
	t.most = mostPrices / max(prices, 1)
	for len(t.open) < t.most && !t.over(ctx) {
		if !t.advance(ctx, t.least()) {
			return
		}
		if len(t.open) == 0 {
			r.res.Impossible = Clash
			return
		}
		r.raise(t.open[t.least()].bound, Branching)
	}
}

// least is the index of the first open case of the least bound.
func (t *tree) least() int {
	k := 0
	for i, x := range t.open {
		if x.bound < t.open[k].bound {
			k = i
		}
	}
	return k
}

func caseRound(passes int64) round {
	return round{passes: passes, first: caseSize, fall: stepFall}
}

func (t *tree) over(ctx context.Context) bool {
	return ctx.Err() != nil || t.o.Passes > 0 && t.res.Passes >= t.o.Passes || t.closed()
}

// advance splits the k-th open case; false if there is nothing more to do.
func (t *tree) advance(ctx context.Context, k int) bool {
	x := t.open[k]
	switch {
	case len(x.cuts) == 0 && x.spent:
		return false
	case len(x.cuts) == 0:
		y := t.again(ctx, x, deepPasses)
		y.spent = y.value == x.value
		t.replace(k, y)
	default:
		kids := t.choose(ctx, x)
		t.replace(k, kids[0], kids[1])
	}
	return true
}

// replace puts cases in the place of the k-th.
func (t *tree) replace(k int, by ...*subproblem) {
	t.open = slices.Delete(t.open, k, k+1)
	for _, x := range by {
		if x.bound < shut {
			t.open = append(t.open, x)
		}
	}
}

// choose splits a case where that raises the bounds of both sides most, as far
// as earlier cuts of the same pours tell, and short tests where there are none
// (reliability branching: Achterberg, Koch, Martin 2005, "Branching rules
// revisited", from memory).
func (t *tree) choose(ctx context.Context, x *subproblem) [2]*subproblem {
	best, top := -1.0, cut{}
	var tested [2]*subproblem
	tests := 0
	for _, c := range x.cuts {
		g := &t.gains[x.parts[c.part].in]
		var kids [2]*subproblem
		var up [2]float64
		if g[0].n == 0 && tests < mostTests {
			tests++
			kids = t.try(ctx, x, c, testPasses)
			for s, y := range kids {
				up[s] = float64(y.value - x.value)
			}
		} else {
			for s := range up {
				up[s] = g[s].expect(&t.all[s], c.moved(s))
			}
		}
		if v := max(up[0], 1) * max(up[1], 1); v > best {
			best, top, tested = v, c, kids
		}
	}
	if tested[0] == nil {
		return t.try(ctx, x, top, casePasses)
	}
	for s, y := range tested {
		tested[s] = t.again(ctx, y, casePasses-testPasses)
	}
	return tested
}

// try passes over both sides of a cut, and notes what that brings.
func (t *tree) try(ctx context.Context, x *subproblem, c cut, passes int64) [2]*subproblem {
	var kids [2]*subproblem
	for s, parts := range c.split(x.parts) {
		kids[s] = t.pass(ctx, parts, x, passes)
		if kids[s].bound < shut {
			t.gains[x.parts[c.part].in][s].add(kids[s].value-x.value, c.moved(s))
			t.all[s].add(kids[s].value-x.value, c.moved(s))
		}
	}
	return kids
}

// again passes over a case once more.
func (t *tree) again(ctx context.Context, x *subproblem, passes int64) *subproblem {
	parts := slices.Clone(x.parts)
	for i := range parts {
		parts[i].of = i
	}
	return t.pass(ctx, parts, x, passes)
}

// pass looks for prices of a case for so many passes, as far as the run allows,
// from the prices of the one that it comes of.
func (t *tree) pass(ctx context.Context, parts []part, from *subproblem, n int64) *subproblem {
	r := &run{in: t.in, gran: t.gran, worst: t.worst, lag: newLagrangian(t.in, parts, t.lag.mem)}
	if t.o.Passes == 0 {
		r.o.Upper = t.o.Upper
	} else {
		n = min(n, t.o.Passes-t.res.Passes)
	}
	r.res.Bound = from.bound
	r.lag.firsts = grid[int32](len(parts), r.lag.ax.n+1)
	s := newSteering(r)
	s.warm(parts, from)
	if n > 0 {
		s.round(ctx, caseRound(n-1))
	}
	t.res.Passes += r.res.Passes
	return s.keep(parts, from.value)
}

// The first block of prices is by group and the last by stretch and start; those
// between are the same in all cases.

// warm takes the prices of the case that it comes of.
func (s *steering) warm(parts []part, from *subproblem) {
	l, last := s.lag, len(s.blocks)-1
	for i, b := range s.blocks {
		switch i {
		case 0:
			for g, y := range parts {
				b.y[g] = from.prices[i][y.of]
			}
		case last:
			for g, y := range parts {
				for k, id := range l.groups[g].kinds {
					to, old := &l.kinds[id], from.spans[y.of][k]
					for j := max(to.lo, old.lo); j < min(to.hi, old.hi); j++ {
						b.y[to.off+int(j-to.lo)] = from.prices[i][old.off+int(j-old.lo)]
					}
				}
			}
		default:
			copy(b.y, from.prices[i])
		}
		copy(b.best, b.y)
	}
}

// keep is the case with what the passes found; a value is known already.
func (s *steering) keep(parts []part, value int64) *subproblem {
	x := &subproblem{parts: parts, bound: s.res.Bound, value: max(value, s.best)}
	if s.res.Impossible != "" {
		x.bound = shut
	}
	for _, b := range s.blocks {
		x.prices = append(x.prices, b.best)
	}
	for _, g := range s.lag.groups {
		var list []span
		for _, id := range g.kinds {
			k := &s.lag.kinds[id]
			list = append(list, span{k.lo, k.hi, k.off})
		}
		x.spans = append(x.spans, list)
	}
	x.cuts = s.cuts(parts)
	return x
}

// cuts lists what a case may be split by, a cut for each part, the most doubtful
// first: where about half of a pour starts before an index in the relaxation.
// Between days comes before within a day, and that before cuts that take away
// what the relaxation does.
func (s *steering) cuts(parts []part) []cut {
	var days, within, corners []cut
	each := func(f func(i int, x part)) {
		for i, x := range parts {
			if s.lag.groups[i].pour.PinMold == inst.None {
				f(i, x)
			}
		}
	}
	each(func(i int, x part) {
		day, hour := s.doubtful(i, x)
		if day.m > 0 {
			days = append(days, day)
		}
		if hour.m > 0 {
			within = append(within, hour)
		}
	})
	for _, list := range [][]cut{days, within} {
		if len(list) > 0 {
			slices.SortStableFunc(list, func(a, b cut) int { return cmp.Compare(math.Abs(a.over-0.5), math.Abs(b.over-0.5)) })
			return list
		}
	}
	each(func(i int, x part) {
		if c := s.corner(i, x); c.m > 0 {
			corners = append(corners, c)
		}
	})
	return corners
}

// doubtful is the most doubtful cut of a part between days, and within a day; m
// is 0 where none is in doubt.
func (s *steering) doubtful(i int, x part) (day, hour cut) {
	inDays, inHours, before := leastDoubt, leastDoubt, int64(0)
	for at := x.lo + 1; at < x.hi; at++ {
		before += int64(s.lag.firsts[i][at-1])
		f := float64(before) / float64(max(s.seen, 1))
		m := math.Ceil(f)
		doubt := min(m-f, f-m+1)
		if m < 1 || int64(m) > x.n {
			continue
		}
		c := cut{i, at, int64(m), m - f}
		if s.lag.ax.newDay(at) {
			if doubt > inDays {
				inDays, day = doubt, c
			}
		} else if doubt > inHours {
			inHours, hour = doubt, c
		}
	}
	return day, hour
}

// corner is a cut of a part that is not in doubt: one of its sides takes away
// the first start that the relaxation takes. It leaves as much else as it can:
// the day, rather than the tick.
func (s *steering) corner(i int, x part) cut {
	f := s.lag.firsts[i]
	first := x.lo
	for first < x.hi && int64(f[first])*2 < s.seen {
		first++
	}
	if first >= x.hi || x.hi-x.lo < 2 {
		return cut{}
	}
	before := func(at int32) int64 {
		n := int64(0)
		for j := x.lo; j < at; j++ {
			n += int64(f[j])
		}
		return (n + s.seen/2) / max(s.seen, 1)
	}
	next, day := first+1, first
	for next < x.hi && !s.lag.ax.newDay(next) {
		next++
	}
	for day > x.lo && !s.lag.ax.newDay(day) {
		day--
	}
	for _, at := range [2]int32{next, first + 1} {
		if m := before(at); at < x.hi && m >= 1 && m <= x.n {
			return cut{i, at, m, 0}
		}
	}
	for _, at := range [2]int32{day, first} {
		if m := before(at) + 1; at > x.lo && m <= x.n {
			return cut{i, at, m, 1}
		}
	}
	return cut{}
}

// newDay reports whether an index is the first of its day.
func (a *axis) newDay(i int32) bool {
	day := int32(model.MinutesPerDay / max(a.in.P.TickMinutes, 1))
	return a.tick[i]/day != a.tick[i-1]/day
}

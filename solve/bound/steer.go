package bound

import (
	"context"
	"math"
	"time"
)

// block is one class of prices: a slice of the dual vector with one scale.
type block struct {
	scale float64
	price []int64   // where the rounded prices go
	top   []float64 // upper limits in mils, nil for none
	grad  func(g []float64)
	y     []float64 // mils
	m, v  []float64 // Adam's moments of the scaled gradient
	g     []float64
	best  []float64

	levels []*level
}

func (r *run) blocks() []*block {
	l := r.lag
	var bs []*block
	add := func(scale float64, price []int64, top []float64, grad func(g []float64)) {
		n := len(price)
		f := func() []float64 { return make([]float64, n) }
		bs = append(bs, &block{scale: scale, price: price, top: top, grad: grad, y: f(), m: f(), v: f(), g: f(), best: f()})
	}
	top := make([]float64, len(l.groups))
	for g, x := range l.groups {
		top[g] = float64(min(x.leave, 1<<40)) / scale
	}
	add(scalePlanned, l.u, top, func(g []float64) {
		for i := range g {
			g[i] = float64(l.groups[i].n - l.useGroup[i])
		}
	})
	tick := max(float64(l.ax.in.P.TickMinutes)/scaleTick, 1)
	for s := range l.crew {
		add(scaleCrew*tick, l.crew[s], nil, func(g []float64) { l.crewUse(s, g) })
	}
	for s := range l.station {
		add(scaleStation*tick, l.station[s], nil, func(g []float64) {
			sumUse(g, l.useStation[s], l.stationCap[s], l.ax.first)
		})
	}
	for k := range l.rack {
		add(scaleRack, l.rack[k], nil, func(g []float64) { l.rackUse(k, g) })
	}
	add(scaleStretch, l.beta, nil, func(g []float64) {
		for i, u := range l.useBeta {
			g[i] = float64(u)
		}
	})
	bs[len(bs)-1].levels = l.levels()
	return bs
}

func sumUse(g []float64, diff []int32, have []int64, first int32) {
	x := int64(0)
	for i := range g {
		x += int64(diff[i])
		g[i] = 0
		if int32(i) >= first {
			g[i] = float64(x - have[i])
		}
	}
}

func (l *lagrangian) crewUse(s int, g []float64) {
	clear(g)
	for c, h := range l.asks[s] {
		if h == 0 {
			continue
		}
		all, reg := l.useAll[c], l.useReg[c]
		a, b := int32(0), int32(0)
		for i := range g {
			a += all[i]
			b += reg[i]
			x := a
			if l.ax.reg[i+1] > l.ax.reg[i] {
				x += b
			}
			g[i] += float64(x * h)
		}
	}
	for i := range g {
		g[i] -= float64(l.sets[s].have[i])
		if int32(i) < l.ax.first {
			g[i] = 0
		}
	}
}

func (l *lagrangian) rackUse(r int, g []float64) {
	clear(g)
	x := int32(0)
	for i, b := range l.bucketOf {
		x += l.useRack[r][i]
		if int32(i) >= l.ax.first {
			g[b] += float64(x)
		}
	}
	for b := range g {
		g[b] -= float64(l.rackCap[r][b])
	}
	if f := l.ax.first; f < l.ax.n {
		for b := range l.bucketOf[f] + 1 {
			g[b] = 0
		}
	}
}

// most is the highest price in mils; sums of many prices stay within 64 bits.
const most = 1e9

// put rounds the prices and hands them to the relaxation. Whatever the steering
// did, they are from 0 to most, or up to top: only such prices prove anything.
func (b *block) put() {
	for i, y := range b.y {
		if !(y > 0) {
			y, b.y[i] = 0, 0
		}
		high := float64(most)
		if b.top != nil {
			high = b.top[i]
		}
		b.price[i] = int64(math.Round(min(y, high) * scale))
	}
}

// step moves the prices along the gradient. t is the number of steps of this
// phase so far, from 1; size multiplies the scale.
func (b *block) step(t int, size float64) {
	c1 := 1 - math.Pow(adamMean, float64(t))
	c2 := 1 - math.Pow(adamSquare, float64(t))
	a := size * b.scale / c1
	for i, g := range b.g {
		if g == 0 && b.m[i] == 0 {
			continue
		}
		b.m[i] = float64(adamMean*b.m[i]) + float64((1-adamMean)*g)
		b.v[i] = float64(adamSquare*b.v[i]) + float64((1-adamSquare)*g*g)
		if math.Abs(b.m[i]) < 1e-9 && g == 0 {
			b.m[i] = 0
			continue
		}
		y := max(b.y[i]+a*b.m[i]/(math.Sqrt(b.v[i]/c2)+1e-8), 0)
		if b.top != nil {
			y = min(y, b.top[i])
		}
		b.y[i] = y
	}
}

// round is a stretch of passes in which the step size falls.
type round struct {
	passes int64          // its length, a guess where left tells
	left   func() float64 // share of the round left, nil to go by passes
	first  float64        // step size at its start
	fall   float64        // what it falls by
}

// sized is a round of so many passes with the steps that fit its length: longer
// ones start higher and end lower.
func sized(passes int64) round {
	more := min(max(float64(passes)/stepPasses, 1), stepMore)
	return round{passes: passes, first: stepFirst * math.Sqrt(more), fall: stepFall / more}
}

// share tells the share of the run that is left, or is nil where no end is known.
func (r *run) share(ctx context.Context) func() float64 {
	if r.o.Left != nil {
		return r.o.Left
	}
	if r.o.Passes > 0 {
		return func() float64 { return 1 - float64(r.res.Passes)/float64(r.o.Passes) }
	}
	if at, ok := ctx.Deadline(); ok {
		all := time.Until(at)
		return func() float64 { return float64(time.Until(at)) / float64(all) }
	}
	return nil
}

// steer looks for good prices, and branches where the run is long enough for it,
// until the run ends.
func (r *run) steer(ctx context.Context) {
	s := newSteering(r)
	r.start(s.blocks)
	branch := s.rounds(ctx, r.share(ctx))
	s.keepPrices()
	if branch {
		s.branch(ctx)
	}
}

// rounds does the passes of the whole week: a short round for a first bound,
// then one to the end, or to where branching begins; rounds that double where no
// end is known. It reports whether to branch.
func (s *steering) rounds(ctx context.Context, left func() float64) bool {
	if left == nil {
		for k := range endlessRounds {
			if !s.round(ctx, sized(firstRound<<k)) {
				return false
			}
		}
		return true
	}
	from := max(left(), 0)
	quick := round{first: stepQuick, fall: stepFall, left: func() float64 {
		// Ends after firstRound passes, or a part of the run if that is sooner.
		a := 1 - float64(float64(s.res.Passes)/firstRound)
		return min(a, 1-(from-left())/(from*firstPart))
	}}
	if !s.round(ctx, quick) {
		return false
	}
	if s.o.Root > 0 {
		return s.round(ctx, sized(s.o.Root))
	}
	// How many passes there will be is known better after more of them.
	enough := float64(max(branchFrom, branchGroup*len(s.lag.groups)))
	if s.total(left()) >= maybeFrom*enough {
		if !s.round(ctx, sized(rootPasses)) {
			return false
		}
		if all := s.total(left()); all >= enough {
			return all < deepFrom*enough || s.round(ctx, sized(rootPasses))
		}
	}
	from = max(left(), 0)
	rd := sized(int64(min(s.total(from), 1<<30)) - s.res.Passes)
	rd.left = func() float64 { return left() / from }
	s.round(ctx, rd)
	return false
}

// total is how many passes a run does in all of which such a share is left.
func (s *steering) total(left float64) float64 {
	return float64(s.res.Passes) / max(1-left, 0.001)
}

// steering is the search for good prices of one relaxation.
type steering struct {
	*run
	blocks []*block
	best   int64
	seen   int64 // passes of the last part of the last round, of which starts were counted
}

func newSteering(r *run) *steering {
	return &steering{run: r, blocks: r.blocks(), best: math.MinInt64}
}

// round does the passes of one round from the best prices so far; false when
// the run is over.
func (s *steering) round(ctx context.Context, rd round) bool {
	for _, b := range s.blocks {
		clear(b.m)
		for _, v := range b.levels {
			v.forget()
		}
		clear(b.v)
		copy(b.y, b.best)
	}
	clear(s.lag.cycles)
	s.watch()
	for t := 1; ; t++ {
		if s.o.Passes > 0 && s.res.Passes >= s.o.Passes || ctx.Err() != nil || s.closed() {
			return false
		}
		left := 1 - float64(t-1)/float64(max(rd.passes, 1))
		if rd.left != nil {
			left = rd.left()
		}
		if !(left > 0) { // a round that begins at the end of the run has no share of it: 0/0
			left = 0
		}
		if left > watchFrom {
			s.watch()
		}
		// A run's end may cut off its last pass, so its last part is proved more often.
		s.pass(left == 0 || t%proveEvery == 0 || left < endPart && t%proveAtEnd == 0)
		if left == 0 {
			return true
		}
		if t%learnEvery == 0 {
			s.lag.learn()
		}
		size := rd.first * math.Pow(rd.fall, 1-left)
		for _, b := range s.blocks {
			b.grad(b.g)
			b.step(t, size)
			for _, v := range b.levels {
				v.step(b, t, size)
			}
		}
	}
}

// watch begins to count the starts of layer 1 anew.
func (s *steering) watch() {
	s.seen = 0
	for _, f := range s.lag.firsts {
		clear(f)
	}
}

// pass works out the bound at the prices and keeps them if they are the best;
// guessed ones only where a proof is due.
func (s *steering) pass(due bool) {
	for _, b := range s.blocks {
		b.put()
	}
	l := s.lag
	v := l.pass()
	first := s.best == math.MinInt64
	s.res.Passes++
	s.seen++
	if v <= s.best || v >= inf/4 {
		return // no better, or no plan is allowed at all
	}
	if l.guessed {
		if !due && !first {
			return
		}
		if v = l.prove(v); v <= s.best {
			return
		}
	}
	s.best = v
	for _, b := range s.blocks {
		copy(b.best, b.y)
	}
	if first {
		s.improve(v, PerPour)
	} else {
		s.improve(v, Lagrangian)
	}
}

// How the run is steered.
const (
	firstRound = 64   // passes of the first round
	watchFrom  = 0.5  // the share of a round from which on starts are counted
	proveAtEnd = 4    // as proveEvery, in the last part of a round
	endPart    = 0.06 // the share of a round that counts as that
)

// What a pass spends on guesses, and how often they are proved.
const (
	quickNodes = 200 // patterns looked at for a batch start
	quickTries = 20  // ways to fill one pattern
	proveEvery = 16  // passes between proofs of guessed values
)

// How the steps are sized. The values come from trials of 64 to 1,000 passes on
// small, medium and large weeks.
const (
	stepFirst  = float64(1) // step size at the start of a round
	stepQuick  = float64(1) // the same for a short first round
	stepFall   = 0.02       // what it falls by in a round
	stepPasses = 200        // passes of a round up to which that holds; longer ones start higher and end lower
	stepMore   = 4          // the most that they are longer by for this
	firstPart  = 0.1        // the most of the run that a short first round takes
)

// Adam (Kingma and Ba 2015, "Adam: a method for stochastic optimization"), with
// one step scale per class of prices.
const (
	adamMean   = 0.9
	adamSquare = 0.998
)

// The scale of each class of prices, in mils.
const (
	scalePlanned = 10000
	scaleTick    = 15 // minutes of a tick up to which they hold; prices of longer ones are higher
	scaleCrew    = 60
	scaleStation = 2000
	scaleRack    = 120
	scaleStretch = 600
)

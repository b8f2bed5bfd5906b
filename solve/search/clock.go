package search

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"
)

// clock says how far a run has come.
type clock struct {
	ctx      context.Context
	begin    time.Time
	o        Options
	share    int64 // work of one worker
	from, to float64
	apart    bool     // the workers go their own ways
	ends     []*state // the plans with which the starts ended
	cycles   []int    // the rounds with which the cycles begin
	starts   int      // the cycles before the last two, each from a plan of its own
	racing   bool     // the run begins with a race
}

// guess is how much work a worker is likely to do: some 100 insertions in a
// millisecond of a timed run.
func (c *clock) guess() int64 {
	if c.o.Time > 0 {
		return int64(c.o.Time/time.Millisecond) * 100
	}
	return c.share
}

// pace lays out the cycles of a timed run anew, by what the workers have done so far.
func (c *clock) pace(ws []*worker) {
	if d := c.done(ws[0]); c.o.Time > 0 && d > 0 {
		c.plan(ws[0].q, int64(float64(total(ws))/float64(len(ws))/d))
		c.apart = c.starts > 0
	}
}

// A run without cycles that is not very short begins with a race: in each of its
// first rounds every worker sets out by itself from a plan built anew, and they go on
// from the best that come of it. A short run hardly leaves the way in which its first
// few hundred steps let a plan fall into place, and how good that way is can soon be
// seen.
const raceRounds = 3

// race gives the workers the plans to begin a round of the race from, or behind it.
func (c *clock) race(ws []*worker, round int) {
	if !c.racing || round > raceRounds {
		return
	}
	c.apart = round < raceRounds
	if round > 0 {
		c.keep(ws)
	}
	switch {
	case round == raceRounds:
		slices.SortStableFunc(c.ends, func(a, b *state) int { return cmp.Compare(a.cost, b.cost) })
		for i, w := range ws {
			w.cur.copyFrom(c.ends[i])
		}
		c.ends = nil
	case round > 0:
		together(ws, (*worker).restart)
	}
}

// done is how much of the run is over, from 0 to 1, as the worker sees it.
func (c *clock) done(w *worker) float64 {
	d := 0.0
	if c.share > 0 {
		d = float64(w.work) / float64(c.share)
	}
	if c.o.Time > 0 || c.o.Timed {
		d = max(d, float64(time.Since(c.begin))/float64(max(c.o.Time, 1)))
	}
	if c.ctx.Err() != nil {
		return 1
	}
	return d
}

func (c *clock) over(ws []*worker) bool {
	for _, w := range ws {
		if c.done(w) >= 1 {
			return true
		}
	}
	return false
}

// start builds first plans by several rules and keeps the cheapest.
func (w *worker) start(c *clock) {
	w.best.cost = math.MaxInt64
	for rule := range int32(40) {
		if !w.build(rule) {
			w.unstaffed = true
			return
		}
		if w.s.cost < w.best.cost {
			w.best.copyFrom(w.s)
		}
		if (rule >= 3 && w.best.missing == 0) || (rule > 0 && c.done(w) > 0.05 && w.best.missing == 0) || c.done(w) > 0.3 {
			break
		}
	}
	w.cur.copyFrom(w.best)
}

// A long run is done in cycles. The first ones, the starts, begin with a plan built
// anew; they share startRounds. In the last but one the first worker goes on from
// the best plan, cooler, while the others set out, hotter than before and by
// themselves, from the best one that carries other pours, or from theirs; the last
// is cool for all. Workers stay apart until then: what decides most is in which of a
// few ways a plan falls into place early.
const startRounds = 12

// lastCycles are the rounds with which the last two cycles begin.
var lastCycles = [...]int{startRounds, 18}

// long is the work for each pour and worker from which on cycles pay, startWork
// what a start is given at least where there are more than two.
const (
	long      = 8000
	startWork = 2000
)

// raceWork is the work for each pour and worker from which on a race pays.
const raceWork = 1000

// plan lays out the cycles of a run in which a worker does so much work; none in a
// short one, which may begin with a race.
func (c *clock) plan(q *prob, work int64) {
	c.starts, c.cycles = 0, nil
	work /= int64(max(len(q.pours), 1))
	c.racing = work > raceWork && work <= long
	if work <= long {
		return
	}
	c.starts = 2
	for _, n := range []int{3, 4, 6} { // divisors of startRounds
		if work*startRounds/rounds >= int64(n*startWork) {
			c.starts = n
		}
	}
	for k := range c.starts {
		c.cycles = append(c.cycles, k*startRounds/c.starts)
	}
	c.cycles = append(c.cycles, lastCycles[:]...)
}

// reheat gives the workers the plans to start a cycle from, where one begins with
// the round: in the last two the first worker the best of all, the others their
// own.
func (c *clock) reheat(ws []*worker, round int) {
	k := slices.Index(c.cycles, round)
	if k >= 0 {
		c.apart = k <= c.starts
	}
	if 0 < k && k <= c.starts {
		c.keep(ws)
	}
	switch {
	case k <= 0:
	case k < c.starts:
		together(ws, (*worker).restart)
	default:
		b := bestOf(ws)
		for i, w := range ws {
			s := b.best
			if i > 0 {
				s = w.best
				if o := c.unlike(b.best); o != nil {
					s = o
				}
			}
			w.cur.copyFrom(s)
		}
		c.ends = nil
	}
}

// keep keeps the plans with which a start ends.
func (c *clock) keep(ws []*worker) {
	for _, w := range ws {
		s := newState(w.q)
		s.copyFrom(w.cur)
		c.ends = append(c.ends, s)
	}
}

// unlike is the cheapest plan with which a start ended that carries other pours
// than the plan s, if it is not far dearer; nil if there is none.
func (c *clock) unlike(s *state) *state {
	var best *state
	for _, x := range c.ends {
		if x.missing == 0 && float64(x.cost) < unlikeMost*float64(s.cost) && (best == nil || x.cost < best.cost) && !sameAway(x, s) {
			best = x
		}
	}
	return best
}

// unlikeMost is how much dearer, as a ratio, a plan may be to be gone on from
// because it carries other pours than the best.
const unlikeMost = 1.3

// sameAway reports whether two plans leave out the same pours.
func sameAway(a, b *state) bool {
	for p, x := range a.stage {
		if (x == away) != (b.stage[p] == away) {
			return false
		}
	}
	return true
}

// restart goes on from a plan built anew, or from the one at hand where chance
// left the fixed work without people.
func (w *worker) restart() {
	if w.build(w.r.n(4)) {
		w.cur.copyFrom(w.s)
	}
}

// cycle is the cycle in which the share d of the run lies, and how much of it is
// over.
func (c *clock) cycle(d float64) (k int, done float64) {
	for k+1 < len(c.cycles) && d >= float64(c.cycles[k+1])/rounds {
		k++
	}
	a, b := float64(c.cycles[k])/rounds, 1.0
	if k+1 < len(c.cycles) {
		b = float64(c.cycles[k+1]) / rounds
	}
	return k, (d - a) / (b - a)
}

// heatAt is the temperature of a worker at the share d of the run. A run that begins
// with a race is hotter at first where there are people enough: a race of cool starts is
// won by the first way that offers itself.
func (c *clock) heatAt(w *worker, d float64) float64 {
	hot, cold := float64(w.q.heat*10000), float64(w.q.heat*150)
	k := 0
	if c.starts > 0 {
		k, d = c.cycle(d)
	}
	switch {
	case c.racing && len(w.q.People) > fewPeople:
		hot *= 2
	case k < c.starts || c.starts == 0:
	case k > c.starts:
		hot *= 0.25
	case w.rank == 0:
		hot *= 0.4
	default:
		hot *= 2
	}
	return hot * exp(float64(d*ln(cold/hot)))
}

// anneal runs steps until the round of the clock is over.
func (w *worker) anneal(c *clock) {
	for {
		d := c.done(w)
		if d >= c.to || d >= 1 {
			return
		}
		w.heat = c.heatAt(w, d)
		w.step(w.heat)
	}
}

// dearAt is by how many eighths leaving a pour out costs more in this round: in
// long runs, in the first half of all cycles but the last.
func (c *clock) dearAt() int64 {
	if c.starts == 0 {
		return 0
	}
	k, d := c.cycle(c.from)
	if k > c.starts {
		return 0
	}
	return int64(max(0, dearest*(1-2*d)))
}

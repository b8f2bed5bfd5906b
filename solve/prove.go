package solve

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"sync"
	"time"

	"pourweek/model"
	"pourweek/solve/bound"
	"pourweek/solve/exact"
	"pourweek/solve/inst"
)

// Sizes in pours that are new, up to which the exact search is tried: before
// all else, in runs of counted work, and in timed runs.
const (
	exactFirst = 4
	exactWork  = 6
	exactTimed = 9
)

// passes is the number of passes of the Lagrangian relaxation that take a little
// longer than the search takes for its work: a pass takes some 0.1 microseconds
// for each pour and open tick, a unit of work some 11 with two workers.
func passes(in *inst.Inst, work int64) int64 {
	return max(60, work*120/int64(1+len(in.OpenAt)*len(in.Pours)))
}

// prover proves bounds beside the search: the Lagrangian relaxation, and for
// small weeks the exact search.
type prover struct {
	in    *inst.Inst
	o     Options
	begin time.Time
	news  int
	worst float64 // at least the cost of any plan, in mils

	mu     sync.Mutex
	cost   model.Mils // of the best plan so far, -1 when there is none
	bound  model.Mils
	source string
	plan   *model.Plan // cheaper than what the search had, from the exact search
	none   string      // why no plan is allowed, "" where that is not proven
	broken string      // what a proof or an improvement that broke off said; a bug
	asked  bool        // a run of counted work has looked at what is proven

	early   chan struct{} // closed when the exact search of a tiny week has ended, nil if there is none
	proving chan struct{} // closed when a timed proof has ended
	running sync.WaitGroup
	cancel  context.CancelFunc
}

// newProver also gives the context in which tiny and start are to run: it ends
// with stop.
func newProver(ctx context.Context, in *inst.Inst, o Options, begin time.Time) (*prover, context.Context) {
	ctx, cancel := context.WithCancel(ctx)
	v := &prover{in: in, o: o, begin: begin, worst: in.P.Worst(), cost: -1, cancel: cancel}
	for i := range in.Pours {
		if in.Pours[i].Stage == inst.New {
			v.news++
		}
	}
	return v, ctx
}

func (v *prover) timed() bool { return v.o.Time > 0 }

// report takes a proven bound. One above what any plan costs proves that there is
// no plan.
func (v *prover) report(b model.Mils, source string) {
	v.mu.Lock()
	defer v.mu.Unlock()
	if float64(b) > v.worst {
		v.none = bound.Clash
		return
	}
	if b > v.bound {
		v.bound, v.source = b, source
	}
}

// best is the cost of the best plan so far, -1 when there is none.
func (v *prover) best() model.Mils {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.cost
}

func (v *prover) found(cost model.Mils) {
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.cost < 0 || cost < v.cost {
		v.cost = cost
	}
}

// known is the proven bound, or what a plan of the exact search costs if that
// is the bound: there is nothing left to search for.
func (v *prover) known() model.Mils {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.bound
}

// In a timed run the exact search of a tiny week goes on for up to tinyTime, of
// which up to tinyWait pass before a plan is searched for beside it.
const (
	tinyTime = 3 * time.Second
	tinyWait = 300 * time.Millisecond
)

// tiny tries to settle a tiny week at once by exact search. In a timed run it
// takes no more than tinyWait; what is not settled by then goes on, and v.early is
// closed at its end.
func (v *prover) tiny(ctx context.Context) bool {
	if v.news > exactFirst {
		return false
	}
	if !v.timed() {
		v.exact(ctx, min(50_000, 10*v.o.Work))
		return v.settled()
	}
	early := make(chan struct{})
	v.early = early
	c, cancel := context.WithTimeout(ctx, min(v.o.Time/2, tinyTime))
	v.running.Go(func() {
		defer close(early)
		defer cancel()
		v.exact(c, math.MaxInt64)
	})
	select {
	case <-early:
	case <-time.After(tinyWait):
		return false
	}
	return v.settled()
}

// settled reports whether the exact search has a plan that costs what is proven,
// or has proven that there is none.
func (v *prover) settled() bool {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.none != "" || v.plan != nil && v.plan.Cost <= v.bound
}

// spare keeps a proof, or whatever else breaks off, from taking the plan with it:
// bounds reported before stand, and the result says what happened.
func (v *prover) spare(what string) {
	if x := recover(); x != nil {
		v.mu.Lock()
		defer v.mu.Unlock()
		v.broken = fmt.Sprintf("%s broke off (a bug): %v", what, x)
	}
}

func (v *prover) exact(ctx context.Context, nodes int64) {
	defer v.spare("a proof")
	workers := 1
	if v.o.Time >= longRun {
		workers = 2
	}
	x := exact.Run(ctx, v.in, exact.Options{Upper: v.best(), Nodes: nodes, Workers: workers, Report: v.report})
	v.report(x.Bound, exact.Source)
	if x.Plan != nil {
		v.mu.Lock()
		v.plan = x.Plan
		v.mu.Unlock()
		v.found(x.Cost)
	}
}

// shortRun is a timed run that leaves the exact search out. Up to there a run
// proves for proofShare of its time alone, so that the search keeps its cores;
// from there on for more, until all of a run of fullProof is used; what a run
// takes beyond that is shared half and half.
const (
	shortRun   = 5 * time.Second
	fullProof  = 10 * time.Second
	proofShare = 4
)

// relaxFor is how long a run of the time t relaxes, where no exact search follows.
func relaxFor(t time.Duration) time.Duration {
	const least = shortRun / proofShare
	switch {
	case t <= shortRun:
		return t / proofShare
	case t < fullProof:
		return least + (t-shortRun)*(fullProof-least)/(fullProof-shortRun)
	}
	return fullProof + (t-fullProof)/2
}

// A timed run in which the exact search follows relaxes for relaxShare of its
// time, but no longer than relaxTime, or than one part in relaxPart of it if that
// is more.
const (
	relaxShare = 0.6
	relaxTime  = 20 * time.Second
	relaxPart  = 3
)

// In a run of at least longRun on a week small enough for the exact search, the
// search rests after a quarter of the time, if the bound is at least closeBy of
// the cost: what is left to do is the proof.
const (
	longRun = 40 * time.Second
	closeBy = 0.9
)

// rest lets the proof have the cores where it is near its end.
func (v *prover) rest(ctx context.Context) {
	spent := time.Since(v.begin)
	if v.proving == nil || v.news > exactTimed || v.o.Time < longRun || spent < v.o.Time/4 ||
		float64(v.known()) < closeBy*float64(v.best()) {
		return
	}
	select {
	case <-v.proving:
	case <-ctx.Done():
	case <-time.After(v.o.Time*19/20 - spent):
	}
}

// start begins to prove beside the search, after what tiny began: the Lagrangian
// relaxation, then, for small weeks, the exact search.
func (v *prover) start(ctx context.Context, work int64) {
	if !v.timed() {
		n := passes(v.in, work)
		v.running.Go(func() { v.lagrangian(ctx, n, nil) })
		return
	}
	end, exactly := v.o.Time, v.news <= exactTimed && v.o.Time >= shortRun
	first := relaxFor(end)
	if exactly {
		first = min(time.Duration(relaxShare*float64(end)), max(relaxTime, end/relaxPart))
	}
	v.proving = make(chan struct{})
	v.running.Go(func() {
		defer close(v.proving)
		from := v.begin
		if v.early != nil {
			<-v.early
			from = time.Now()
			first = max(first-time.Since(v.begin), v.o.Time/4)
		}
		left := func() float64 { return max(0, 1-float64(time.Since(from))/float64(first)) }
		c, cancel := context.WithDeadline(ctx, from.Add(first))
		v.lagrangian(c, 0, left)
		cancel()
		if exactly && ctx.Err() == nil {
			c, cancel = context.WithDeadline(ctx, v.begin.Add(end))
			v.exact(c, math.MaxInt64)
			cancel()
		}
	})
}

func (v *prover) lagrangian(ctx context.Context, passes int64, left func() float64) {
	defer v.spare("a proof")
	r := bound.Run(ctx, v.in, bound.Options{Passes: passes, Left: left, Upper: v.best, Report: v.report})
	v.report(r.Bound, r.Source)
	v.mu.Lock()
	defer v.mu.Unlock()
	if r.Impossible != "" {
		v.none = r.Impossible
	}
}

// A week that may well be proven optimal asks half way what is proven; for the
// others the cores have better things to do than to wait for the bound.
const (
	askSmall = 0.5
	ask      = 0.85
)

// between is called between the rounds of the search; true ends it. Without a
// time limit nothing may depend on who is faster, so the bound is waited for
// once, when the share askSmall or ask of the run is done, and read only then.
func (v *prover) between(ctx context.Context, done float64, work int64) bool {
	if v.timed() {
		v.rest(ctx)
		return v.met()
	}
	at := ask
	if v.news <= exactTimed {
		at = askSmall
	}
	if v.asked || done < at {
		return false
	}
	v.asked = true
	v.running.Wait()
	if !v.met() && v.news <= exactWork && v.best() >= 0 && ctx.Err() == nil {
		v.exact(ctx, work/10)
	}
	return v.met()
}

// met reports whether there is nothing left to search for: the best plan costs no
// more than what is proven, or no plan is allowed.
func (v *prover) met() bool {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.none != "" || v.cost >= 0 && v.cost <= v.bound
}

// patience is how long a run whose time is over waits for a proof to notice.
const patience = 100 * time.Millisecond

// stop ends what still runs, and gives what is proven: at once in a timed run
// or a cancelled one, else when it is done. A proof that does not notice in time
// that its run is over is left behind; it changes nothing that was given.
func (v *prover) stop(ctx context.Context) proven {
	ended := make(chan struct{})
	go func() {
		v.running.Wait()
		close(ended)
	}()
	if v.timed() || ctx.Err() != nil {
		v.cancel()
		select {
		case <-ended:
		case <-time.After(patience):
		}
	} else {
		<-ended
	}
	v.cancel()
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.none == bound.Clash { // rather the one that cannot be
		v.none = cmp.Or(bound.Lacking(v.in), bound.Clash)
	}
	return proven{v.bound, v.source, v.plan, v.none, v.broken}
}

// proven is what a prover has to say.
type proven struct {
	bound  model.Mils
	source string
	plan   *model.Plan
	none   string
	broken string
}

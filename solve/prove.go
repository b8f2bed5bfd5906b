package solve

import (
	"context"
	"sync"
	"time"

	"pourweek/model"
	"pourweek/solve/bound"
	"pourweek/solve/exact"
	"pourweek/solve/inst"
)

// smallWeek is the number of new pours up to which a week is given to the exact
// search. The state space of larger ones is out of reach.
const smallWeek = 12

// prover proves bounds beside the search. It knows the cost of the best plan so
// far and ends the search when a bound reaches it.
type prover struct {
	in   *inst.Inst
	stop context.CancelFunc // ends the search

	mu     sync.Mutex
	cost   model.Mils // of the best plan; -1: none yet
	bound  model.Mils
	source string
	plan   *model.Plan // of the exact search, nil if it found none better
	tell   func()      // called when the bound rises
}

// found takes the cost of a plan that the search has.
func (v *prover) found(cost model.Mils) {
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.cost < 0 || cost < v.cost {
		v.cost = cost
	}
	v.close()
}

// raise takes a proven bound.
func (v *prover) raise(b model.Mils, source string) {
	v.mu.Lock()
	if b <= v.bound {
		v.mu.Unlock()
		return
	}
	v.bound, v.source = b, source
	v.close()
	v.mu.Unlock()
	if v.tell != nil {
		v.tell()
	}
}

// close ends the search if the plan is optimal. The caller holds the lock.
func (v *prover) close() {
	if v.cost >= 0 && v.bound >= v.cost {
		v.stop()
	}
}

func (v *prover) upper() model.Mils {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.cost
}

func (v *prover) now() (model.Mils, string) {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.bound, v.source
}

// lagrange runs the Lagrangian bound: by passes, or for a share of a time.
func (v *prover) lagrange(ctx context.Context, passes int64, t time.Duration) {
	if t > 0 {
		var done context.CancelFunc
		ctx, done = context.WithTimeout(ctx, t)
		defer done()
	}
	bound.Run(ctx, v.in, bound.Options{Passes: passes, Upper: v.upper, Report: v.raise})
}

// exactly searches small weeks to the end from the plan in hand.
func (v *prover) exactly(ctx context.Context, nodes int64) {
	upper := v.upper()
	b, _ := v.now()
	if upper < 0 || b >= upper {
		return
	}
	r := exact.Run(ctx, v.in, exact.Options{Upper: upper, Nodes: nodes, Report: v.raise})
	if r.Plan != nil {
		v.mu.Lock()
		v.plan = r.Plan
		v.mu.Unlock()
		v.found(r.Cost)
	}
	v.raise(r.Bound, exact.Source)
}

// small reports whether the exact search can help.
func small(in *inst.Inst) bool {
	n := 0
	for i := range in.Pours {
		if in.Pours[i].Stage == inst.New {
			n++
		}
	}
	return n <= smallWeek
}

// boundShare is the part of a timed run that the Lagrangian bound takes part
// in: in short runs the search needs the cores.
func boundShare(t time.Duration) time.Duration {
	return t * time.Duration(min(max(int64(t/(100*time.Millisecond)), 40), 100)) / 100
}

// alongside starts the provers of a timed run; wait returns when they ended.
func (v *prover) alongside(ctx context.Context, t time.Duration) (wait func()) {
	var wg sync.WaitGroup
	wg.Go(func() { v.lagrange(ctx, 0, boundShare(t)) })
	if small(v.in) {
		wg.Go(func() {
			for end := time.Now().Add(t / 10); time.Now().Before(end) || v.upper() < 0; {
				select {
				case <-ctx.Done():
					return
				case <-time.After(10 * time.Millisecond):
				}
			}
			v.exactly(ctx, 1<<40)
		})
	}
	return wg.Wait
}

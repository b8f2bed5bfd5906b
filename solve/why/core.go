package why

import (
	"context"
	"slices"
	"time"

	"pourweek/model"
	"pourweek/solve/inst"
	"pourweek/solve/sat"
)

// Limits of the kernel's questions, counted so that the answer is the same
// everywhere. The kernel knows no limit of work within a solve, so that its
// models must be small enough for each to end.
const (
	maxSize   = 120_000 // starts and other literals of a model
	maxSizes  = 250_000 // of all models of a question
	maxSolves = 200     // of one core
)

// safety ends a core that hangs all the same; it counts as not found. A model of
// the size that is let through takes a few seconds at most on the weeks tried.
// An answer after it is true as any other, and may name other facts elsewhere.
const safety = 2 * time.Minute

// core looks for a set of facts that the kernel proves to make the pour late,
// shrunk until none can go and checked again by fresh solvers (sat.Model.Core).
// It asks first without the pours that could be carried, then with more and more
// of them, those whose latest time comes first before the others. False if no
// model that is small enough has a clash. Cost: up to some seconds.
func (a *Asker) core(ctx context.Context) ([]Fact, bool, error) {
	in, err := inst.Compile(a.Problem)
	if err != nil || in.H >= faraway/4 {
		return nil, false, err
	}
	others := a.others(in)
	for n, sizes := 0, 0; ; n = min(max(2*n, 4), len(others)) {
		k := a.newKernel(in, others[:n])
		if sizes += k.size; k.tooBig() || sizes > maxSizes || ctx.Err() != nil {
			return nil, false, nil
		}
		k.rules.name()
		r, err := k.m.Core(sat.Options{Solves: maxSolves, Time: safety})
		switch {
		case err != nil:
			return nil, false, err
		case r.Status == sat.Infeasible:
			return k.rules.named(r.Rules), true, nil
		case r.Status == sat.Unknown, n == len(others):
			return nil, false, nil
		}
	}
}

// others lists the planned pours that could be carried, those that must be ready
// first in front.
func (a *Asker) others(in *inst.Inst) []string {
	var list []*inst.Pour
	at := map[string]int32{}
	for i := range in.Pours {
		x := &in.Pours[i]
		planned := slices.ContainsFunc(a.Plan.Pours, func(y model.PourPlan) bool { return y.ID == x.ID })
		if !a.asks(x.ID) && x.Stage == inst.New && x.PinMold == inst.None && planned {
			list, at[x.ID] = append(list, x), a.latest(x)
		}
	}
	slices.SortStableFunc(list, func(x, y *inst.Pour) int { return int(at[x.ID] - at[y.ID]) })
	var ids []string
	for _, x := range list {
		ids = append(ids, x.ID)
	}
	return ids
}

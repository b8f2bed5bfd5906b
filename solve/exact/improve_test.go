package exact

import (
	"context"
	"math"
	"testing"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/model/modeltest"
	"pourweek/solve/inst"
	"pourweek/solve/search"
)

// searched is a plan of the search, nil if it has none.
func searched(t testing.TB, p *model.Problem, work int64) (*inst.Inst, *model.Plan) {
	t.Helper()
	in, err := inst.Compile(p)
	if err != nil {
		t.Fatal(err)
	}
	r, err := search.Run(context.Background(), in, search.Options{Seed: 1, Work: work, Workers: 1})
	if err != nil {
		t.Fatal(err)
	}
	if r.Plan != nil {
		r.Plan.Cost = model.Unstated
	}
	return in, r.Plan
}

// A corridor without any freedom leads through the plan itself: all its acts are
// found, and what they cost is counted as the checker does.
func TestCorridorLeadsThroughThePlan(t *testing.T) {
	through, weeks := 0, 0
	for seed := range uint64(300) {
		p := modeltest.Random(seed, modeltest.Options{})
		if seed%3 == 0 {
			p = modeltest.Odd(seed)
		}
		in, plan := searched(t, p, 200)
		if plan == nil || !Improvable(in) {
			continue
		}
		weeks++
		c, ok := newCorridor(in, plan, 1)
		if !ok {
			t.Fatalf("%s: the plan of the search is refused", p.Name)
		}
		cost := c.cost
		c.cost++
		n := c.narrow(func(int, int32) int32 { return 0 })
		c.steps, n.most = 5, math.MaxInt64
		x := c.lay(n)
		x.beam = 1 // the states of the plan
		x.run(context.Background())
		if n.best == nil || n.best.Cost != cost {
			t.Errorf("%s: no way through", p.Name)
			continue
		}
		through++
	}
	t.Logf("%d of %d weeks", through, weeks)
	if weeks < 200 {
		t.Errorf("only %d weeks", weeks)
	}
}

// Plans are never made dearer, the same run gives the same plan, and on the way
// most become cheaper.
func TestImprove(t *testing.T) {
	better, weeks := 0, 0
	for seed := range uint64(16) {
		p := modeltest.Random(seed, modeltest.Options{})
		in, plan := searched(t, p, 60)
		if plan == nil || !Improvable(in) {
			continue
		}
		weeks++
		cost := check.Check(p, plan).Cost
		o := ImproveOptions{Seed: seed, Effort: 60_000}
		q, did := Improve(context.Background(), in, plan, o)
		if q == nil {
			continue
		}
		better++
		if v := check.Check(p, q); !v.Allowed || v.Cost >= cost || v.Cost != q.Cost || did.Gain != cost-v.Cost {
			t.Errorf("%s: from %d to %+v, gain %d", p.Name, cost, v, did.Gain)
		}
		if again, _ := Improve(context.Background(), in, plan, o); again == nil || again.Cost != q.Cost {
			t.Errorf("%s: another run gives %v, the first %d", p.Name, again, q.Cost)
		}
	}
	t.Logf("%d of %d plans became cheaper", better, weeks)
	if 2*better < weeks {
		t.Errorf("only %d of %d plans became cheaper", better, weeks)
	}
}

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

// A state with more successors than can be followed, many draws that one batch can
// hold in any set, ends a sweep, and the end of a run is noticed amid it.
func TestCorridorEndsAmidAState(t *testing.T) {
	p := modeltest.Plant(1, 20)
	p.People = p.People[:min(len(p.People), 10)]
	for i := range p.Mixers {
		p.Mixers[i].Capacity *= 6
	}
	for i := range p.Mixes {
		p.Mixes[i].PotLife[0][1] *= 3
	}
	for i := range p.Pours {
		for d := range p.Pours[i].Draws {
			x := &p.Pours[i].Draws[d]
			x.Mix, x.Grams = p.Mixes[0].ID, max(1, x.Grams/8)
		}
	}
	in, plan := searched(t, p, 1000)
	if plan == nil || !Improvable(in) {
		t.Fatal("no plan to begin with")
	}
	for _, ends := range []bool{false, true} {
		ctx, cancel := context.WithCancel(context.Background())
		c, _ := newCorridor(in, plan, 1)
		n := c.narrow(func(int, int32) int32 { return 300 })
		c.steps, n.most = 5, 10_000
		most := n.most*chooseShare + chooseMask
		x := c.lay(n)
		if ends {
			n.most, most = math.MaxInt64, 2*chooseMask
			cancel()
		}
		done := x.run(ctx)
		cancel()
		if done || !x.cut || x.chosen > most {
			t.Errorf("the sweep came to its end: %v, was cut: %v, after %d calls", done, x.cut, x.chosen)
		}
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

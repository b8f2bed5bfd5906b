package exact

import (
	"context"
	"os"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/solve/inst"
)

// hardToy is a toy on which batches are looked at jointly, tails are loose and
// pours change places more often: one person, and pours alike in some.
func hardToy(seed uint64) *model.Problem {
	p := modeltest.Toy(seed)
	p.People = p.People[:1]
	one := model.Crew{"hand": 1}
	for i := range p.Pours {
		x := &p.Pours[i]
		for j := range x.Layers {
			x.Layers[j].Crew = one
		}
		x.Prep.Crew, x.Cover.Crew, x.Demold.Crew = one, one, one
		if x.Stage == model.Racked {
			x.Demold = model.Demolding{}
		}
		for k := range x.Finish {
			x.Finish[k].Crew = one
			if seed%3 == 0 && k > 0 && x.Finish[k].RestMax == nil {
				x.Finish[k].Rest = 14
			}
		}
		if x.Stage == model.New && len(x.Draws) > 1 && seed%2 == 0 {
			x.Draws = x.Draws[:1]
		}
		if i > 0 && x.Stage == model.New && p.Pours[0].Stage == model.New && seed%4 < 3 {
			id := x.ID
			*x = p.Pours[0]
			x.ID, x.Pin, x.Base = id, nil, nil
		}
	}
	p.Pours[0].Pin, p.Pours[0].Base = nil, nil
	return p
}

// TestToysTheHardWay holds the way that hard structures take, with joint views,
// guides and beams, against the oracle.
func TestToysTheHardWay(t *testing.T) {
	toys := uint64(60)
	if testing.Short() {
		toys = 20
	}
	if os.Getenv("POURWEEK_LONG") != "" {
		toys = 2000
	}
	proven, open, joints, guides, alikes := 0, 0, 0, 0, 0
	for seed := range toys {
		p := hardToy(seed)
		in, err := inst.Compile(p)
		if err != nil {
			continue
		}
		plan, cost, ok := oracle.Best(p)
		if !ok || plan == nil {
			continue
		}
		for _, upper := range []model.Mils{-1, cost + 700} {
			r := newRunner(in, Options{Upper: upper, Nodes: 300_000, Workers: 1 + int(seed%2)})
			r.try, r.blind = 0, seed%4 < 2 // a plan that is found lowers the limit, and hides what a guide cuts off
			x := r.result(context.Background())
			if x.Bound > cost || x.Plan != nil && x.Cost < cost || x.Optimal && x.Cost != cost {
				t.Errorf("toy %d: the optimum is %d: optimal %v cost %d bound %d", seed, cost, x.Optimal, x.Cost, x.Bound)
			}
			if x.Optimal {
				proven++
			} else {
				open++
			}
			joints, guides, alikes = joints+r.joints, guides+r.guides, alikes+r.alikes
		}
	}
	t.Logf("%d proven, %d not; %d structures with joint views, %d with a guide, %d with pours alike", proven, open, joints, guides, alikes)
	if proven < open || joints == 0 || guides == 0 || alikes == 0 {
		t.Error("the rules were hardly tried")
	}
}

package solve

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"pourweek/model"
)

// What the contract allows and a shop's own files never hold is answered, and
// answered as the checker sees it (Solve errs where the two differ).
func TestProblemsFromOutsideAreAnswered(t *testing.T) {
	minus := model.Tick(-1)
	night := func(heads int) func(*model.Problem) {
		return func(p *model.Problem) {
			p.Fixed = append(p.Fixed, model.Fixed{ID: "night", Start: 100, End: 124, Crew: model.Crew{"hand": heads}})
		}
	}
	for _, c := range []struct {
		name string
		edit func(p *model.Problem)
		want Status
	}{
		{"a racked piece that cannot be finished", func(p *model.Problem) { x := pourOf(p, "A098/1"); x.Next, x.From, x.FromMax = 1, 400, nil }, Infeasible},
		{"a new pour that no mold casts", func(p *model.Problem) { pourOf(p, "A103/1").Molds = nil }, Feasible},
		{"a limit of a racked piece before the week", func(p *model.Problem) { pourOf(p, "A098/1").FromMax = &minus }, Infeasible},
		{"a limit of a curing piece before the week", func(p *model.Problem) { pourOf(p, "A099/1").MoldUntil = &minus }, Infeasible},
		{"no truck is left", func(p *model.Problem) { p.Shipments[0].Trucks = []model.Tick{} }, Feasible},
		{"fixed work in a closed shop", night(1), Feasible},
		{"fixed work in a closed shop for more people than there are", night(40), Unknown},
	} {
		p := exampleProblem(t)
		c.edit(p)
		if is := p.Validate(); len(is) > 0 {
			t.Fatalf("%s: %v", c.name, is)
		}
		r, err := Solve(context.Background(), p, Options{Seed: 1, Work: 8000})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if r.Status != c.want && !(r.Status == Optimal && c.want == Feasible) {
			t.Errorf("%s: %s (%s), want %s", c.name, r.Status, r.Reason, c.want)
		}
	}
}

func exampleProblem(t *testing.T) *model.Problem {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "shared", "spec", "example.problem.json"))
	if err != nil {
		t.Skipf("the planning model's example is not here: %v", err)
	}
	defer f.Close()
	p, err := model.ReadProblem("example", f)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func pourOf(p *model.Problem, id string) *model.Pour {
	for i := range p.Pours {
		if p.Pours[i].ID == id {
			return &p.Pours[i]
		}
	}
	return nil
}

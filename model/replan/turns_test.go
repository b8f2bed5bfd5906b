package replan

import (
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
)

// Where a coat takes longer than planned, those that need its station after it wait:
// the work under way never holds more places than there are, and what is told of the
// wait names the coat.
func TestCoatsTakeTurns(t *testing.T) {
	longer, waited := 0, 0
	for seed := uint64(1); seed <= 60; seed++ {
		p := modeltest.Random(seed, modeltest.Options{})
		plan := searched(t, p).Plan
		if plan == nil {
			continue
		}
		for _, x := range plan.Pours {
			src := pourOf(p, x.ID)
			for j, iv := range x.Layers {
				if src.Layers[j].Station == "" || iv[0] < p.Now {
					continue
				}
				now := iv[1]
				if now >= p.PourUntil {
					continue
				}
				f := Facts{Longer: map[string]map[string]model.Tick{x.ID: {src.Layers[j].ID: 5}}}
				q, notes, err := Advance(Fresh(p, now), p, plan, f)
				if err != nil {
					t.Fatal(err)
				}
				longer++
				for _, n := range notes {
					if strings.Contains(n.Text, "waits for a place of") {
						waited++
					}
				}
				for _, issue := range q.Validate() {
					if strings.Contains(issue.Text, "places of station") {
						t.Errorf("seed %d at %d, %s takes longer: %v", seed, now, x.ID, issue)
					}
				}
			}
		}
	}
	t.Logf("%d coats took longer, %d waited", longer, waited)
	if waited < 10 {
		t.Errorf("only %d coats waited", waited)
	}
}

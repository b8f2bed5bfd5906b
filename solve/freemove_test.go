package solve

import (
	"bytes"
	"testing"
)

// Where moving is free, bases say nothing: a week under way is planned the same
// with them and without.
func TestFreeMovesPlanAsWithoutBases(t *testing.T) {
	for _, p := range sharedWeeks(t, "replan-*") {
		p.Costs.Move = 0
		o := Options{Seed: 3, Work: 400}
		with := planBytes(t, p, o)
		bases := 0
		for i := range p.Pours {
			if p.Pours[i].Base != nil {
				bases++
			}
			p.Pours[i].Base = nil
		}
		if bases == 0 {
			t.Errorf("%s has no bases to leave out", p.Name)
		}
		if with == nil || !bytes.Equal(with, planBytes(t, p, o)) {
			t.Errorf("%s: bases change the plan where moving is free", p.Name)
		}
	}
}

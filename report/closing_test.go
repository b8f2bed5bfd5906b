package report_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"pourweek/model"
	"pourweek/report"
)

// A piece holds its places from the start of its demold on, as the planning
// model has it (section 5, holding): at closing it counts whether it was
// stripped earlier in the day or up to the last minute.
func TestRacksAtClosingHoldWhatIsStrippedUpToIt(t *testing.T) {
	w, b := busyWeek(t)
	day := model.Tick(12 * 60 / w.Problem.TickMinutes) // no more than half of one
	moved := 0
	for i := range w.Plan.Pours {
		x := &w.Plan.Pours[i]
		if x.Demold == nil {
			continue
		}
		was := *x.Demold
		for k, c := range b.Closings {
			if was.To() > c.At.Tick || c.At.Tick-was.To() > day || x.Ready <= c.At.Tick {
				continue
			}
			*x.Demold = model.Interval{c.At.Tick - was.Len(), c.At.Tick}
			late, err := report.Build(w)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.Racks, late.Closings[k].Racks); diff != "" {
				t.Errorf("pour %s, stripped up to closing of %s (-earlier +up to closing):\n%s", x.ID, c.Date, diff)
			}
			moved++
		}
		*x.Demold = was
	}
	if moved == 0 {
		t.Error("no piece rests at closing on the day it is stripped, so nothing was tested")
	}
}

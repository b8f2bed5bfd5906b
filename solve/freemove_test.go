package solve

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
)

// Where moving is free, bases say nothing: a week under way is planned the same
// with them and without.
func TestFreeMovesPlanAsWithoutBases(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(modeltest.Shared(t, "weeks"), "replan-*.json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no weeks under way: %v", err)
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		p, err := model.ReadProblem(f, bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
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
		name := strings.TrimSuffix(filepath.Base(f), ".json")
		if bases == 0 {
			t.Errorf("%s has no bases to leave out", name)
		}
		if with == nil || !bytes.Equal(with, planBytes(t, p, o)) {
			t.Errorf("%s: bases change the plan where moving is free", name)
		}
	}
}

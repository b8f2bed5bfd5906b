package check

import (
	"bufio"
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
)

func readProblem(t testing.TB, path string) *model.Problem {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	p, err := model.ReadProblem(filepath.Base(path), bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func readPlan(t testing.TB, name string, data []byte) *model.Plan {
	t.Helper()
	plan, err := model.ReadPlan(name, bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// TestExample holds the checker against the example beside the planning model,
// whose plan states its cost.
func TestExample(t *testing.T) {
	p := readProblem(t, modeltest.Shared(t, "spec/example.problem.json"))
	data, err := os.ReadFile(modeltest.Shared(t, "spec/example.plan.json"))
	if err != nil {
		t.Fatal(err)
	}
	plan := readPlan(t, "example.plan.json", data)
	v := Check(p, plan)
	if !v.Allowed || v.Cost != 418000 || v.Terms != plan.Terms {
		t.Fatalf("cost %d, terms %+v, broken %v", v.Cost, v.Terms, v.Broken)
	}
}

// TestVerdicts holds the checker against the plans with known verdict that the
// authors of the planning model give (shared verdicts/README.md).
func TestVerdicts(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(modeltest.Shared(t, "verdicts"), "*.jsonl"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no verdicts: %v", err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".jsonl")
		p := readProblem(t, modeltest.Shared(t, "weeks/"+name+".json"))
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		lines := bufio.NewScanner(bytes.NewReader(data))
		lines.Buffer(nil, 1<<24)
		for n := 1; lines.Scan(); n++ {
			var want struct {
				Allowed bool
				Cost    model.Mils
				Terms   model.Terms
				Broken  []string
				Plan    json.RawMessage
			}
			if err := json.Unmarshal(lines.Bytes(), &want); err != nil {
				t.Fatal(err)
			}
			got := Check(p, readPlan(t, name, want.Plan))
			if got.Allowed != want.Allowed {
				t.Errorf("%s:%d: allowed %v with %v; the verdict is %v with %v", name, n, got.Allowed, got.Broken, want.Allowed, want.Broken)
			} else if want.Allowed && (got.Cost != want.Cost || got.Terms != want.Terms) {
				t.Errorf("%s:%d: cost %d, terms %+v; the verdict is %d, %+v", name, n, got.Cost, got.Terms, want.Cost, want.Terms)
			}
		}
	}
}

// largestVerdict is the allowed plan with the most pours, and its problem.
func largestVerdict(t testing.TB) (*model.Problem, *model.Plan) {
	p := readProblem(t, modeltest.Shared(t, "weeks/rich-11.json"))
	data, err := os.ReadFile(modeltest.Shared(t, "verdicts/rich-11.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range bytes.Split(data, []byte{'\n'}) {
		var v struct {
			Allowed bool
			Plan    json.RawMessage
		}
		if json.Unmarshal(line, &v) == nil && v.Allowed {
			return p, readPlan(t, "rich-11", v.Plan)
		}
	}
	t.Fatal("no allowed plan")
	return nil, nil
}

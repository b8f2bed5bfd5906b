package oracle

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

func readWeek(t testing.TB, path string) *model.Problem {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	p, err := model.ReadProblem(path, bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestJudgeAgreesWithVerdicts holds the judge against the plans with known
// verdict that the contract's authors give (shared verdicts/README.md).
func TestJudgeAgreesWithVerdicts(t *testing.T) {
	dir := modeltest.Shared(t, "verdicts")
	files, err := filepath.Glob(filepath.Join(dir, "*.jsonl"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no verdicts in %s: %v", dir, err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".jsonl")
		p := readWeek(t, modeltest.Shared(t, "weeks/"+name+".json"))
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		lines := bufio.NewScanner(bytes.NewReader(data))
		lines.Buffer(nil, 1<<24)
		for n := 1; lines.Scan(); n++ {
			var v struct {
				Allowed bool
				Cost    model.Mils
				Terms   model.Terms
				Broken  []string
				Plan    model.Plan
			}
			if err := json.Unmarshal(lines.Bytes(), &v); err != nil {
				t.Fatal(err)
			}
			terms, broken := Terms(p, &v.Plan)
			if Allowed(p, &v.Plan) != v.Allowed {
				t.Errorf("%s:%d: judged %q; the verdict is allowed=%v %v", name, n, broken, v.Allowed, v.Broken)
			} else if v.Allowed && (terms != v.Terms || terms.Total() != v.Cost) {
				t.Errorf("%s:%d: terms %+v, want %+v", name, n, terms, v.Terms)
			}
		}
	}
}

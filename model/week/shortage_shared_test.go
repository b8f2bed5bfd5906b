package week

import (
	"bufio"
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pourweek/model"
)

// shared is the path of data that is kept beside the checkout; it skips the
// test where it is absent.
func shared(t *testing.T, name string) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for dir != filepath.Dir(dir) {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			path := filepath.Join(dir, "..", "shared", name)
			if _, err := os.Stat(path); err != nil {
				t.Skipf("the shared data %s is not beside the checkout", name)
			}
			return path
		}
		dir = filepath.Dir(dir)
	}
	t.Skip("there is no go.mod above the test")
	return ""
}

// A week of which some allowed plan leaves nothing out is short of nothing:
// each sentence must be true of every plan.
func TestNothingIsShortWhereAPlanDoesItAll(t *testing.T) {
	verdicts, err := filepath.Glob(filepath.Join(shared(t, "verdicts"), "*.jsonl"))
	if err != nil || len(verdicts) == 0 {
		t.Skip("there are no verdicts")
	}
	done := 0
	for _, file := range verdicts {
		name := strings.TrimSuffix(filepath.Base(file), ".jsonl")
		if !plansAll(t, file) {
			continue
		}
		done++
		data, err := os.ReadFile(filepath.Join(shared(t, "weeks"), name+".json"))
		if err != nil {
			t.Fatal(err)
		}
		p, err := model.ReadProblem(name, bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		if short := Shortages(p); len(short) > 0 {
			t.Errorf("%s can be done, and is short of %q", name, short)
		}
	}
	if done == 0 {
		t.Skip("no verdict allows a plan that leaves nothing out")
	}
	t.Logf("%d weeks can be done", done)
}

// plansAll says that a file of verdicts has an allowed plan that carries none.
func plansAll(t *testing.T, file string) bool {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, 16<<20)
	for lines.Scan() {
		var v struct {
			Allowed bool
			Plan    struct{ Carried []string }
		}
		if err := json.Unmarshal(lines.Bytes(), &v); err != nil {
			t.Fatal(err)
		}
		if v.Allowed && len(v.Plan.Carried) == 0 {
			return true
		}
	}
	if err := lines.Err(); err != nil {
		t.Fatal(err)
	}
	return false
}

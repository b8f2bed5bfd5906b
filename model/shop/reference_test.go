package shop

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"go.yaml.in/yaml/v4"
)

func TestReferenceSaysSomethingOfEveryKey(t *testing.T) {
	var b bytes.Buffer
	if err := Reference(&b); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.String(), "  ") || strings.Contains(b.String(), " \n") {
		t.Error("the reference holds doubled or trailing spaces")
	}
	for _, s := range sections() {
		if s.path == "" || s.title == "" {
			t.Errorf("section %+v", s)
		}
		for _, r := range s.rows {
			if r.form == "" || r.such == "" || !strings.HasSuffix(r.says, ".") {
				t.Errorf("%s %s: %+v", s.path, r.key, r)
			}
			if !strings.Contains(b.String(), fmt.Sprintf("| `%s` | %s, as in `%s` |", r.key, r.form, r.such)) {
				t.Errorf("%s %s is not in the reference", s.path, r.key)
			}
		}
	}
}

// Every cost says what it does to a plan.
func TestEveryCostSaysWhatItDoes(t *testing.T) {
	for _, r := range costsTable.section().rows {
		if r.key != "move tolerance" && !strings.Contains(r.says, "Higher:") {
			t.Errorf("%s: %s", r.key, r.says)
		}
	}
}

func TestFullShopUsesEveryKeyOfTheReference(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(testdata, "shops", "full", "shop.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	var top map[string]any
	if err := yaml.Unmarshal(data, &top); err != nil {
		t.Fatal(err)
	}
	for _, s := range sections() {
		used := map[string]bool{}
		for _, m := range mappings(top, s.path) {
			for k := range m {
				used[k] = true
			}
		}
		for _, r := range s.rows {
			if !used[r.key] {
				t.Errorf("%s %s is not used in the full shop", s.path, r.key)
			}
		}
	}
}

// mappings are the mappings of a YAML document at a path of the reference, such
// as "pieces: NAME: coats:"; sets count where they are used.
func mappings(top map[string]any, path string) []map[string]any {
	if path == "shop.yaml" {
		return []map[string]any{top}
	}
	at := []any{top}
	for _, key := range strings.Split(strings.TrimSuffix(path, ":"), ": ") {
		var next []any
		for _, x := range at {
			m, ok := x.(map[string]any)
			switch {
			case !ok:
			case key == "NAME":
				for _, v := range m {
					next = append(next, v)
				}
			case m[key] != nil:
				next = append(next, m[key])
			}
		}
		if key == "coats" || key == "finish" {
			for _, set := range top[strings.TrimSuffix(key, "s")+" sets"].(map[string]any) {
				next = append(next, set)
			}
		}
		at = nil
		for _, x := range next {
			if l, ok := x.([]any); ok {
				at = append(at, l...)
			} else {
				at = append(at, x)
			}
		}
	}
	var out []map[string]any
	for _, x := range at {
		if m, ok := x.(map[string]any); ok {
			out = append(out, m)
		}
	}
	return out
}

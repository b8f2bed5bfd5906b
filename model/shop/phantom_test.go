package shop

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pourweek/model/diag"
)

// A value that could not be read is told once, and nothing is told that only
// follows from it. Each value of three shops is spoiled in turn, in two ways.
func TestAValueThatCannotBeReadIsNotJudgedFurther(t *testing.T) {
	tried := 0
	for _, path := range []string{testdata + "/shops/full/shop.yaml", "../../cmd/pourweek/starter/shop.yaml", "../../cmd/pourweek/demo/shop.yaml"} {
		data, err := os.ReadFile(filepath.FromSlash(path))
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range scalars(parse(diag.NewSource("shop.yaml", data), data, &diag.List{})) {
			for _, wrong := range []string{"/?!/", "999999999999 h"} {
				lines := strings.Split(string(data), "\n")
				line, from := lines[x.pos.Line-1], x.pos.Col-1
				if !strings.HasPrefix(line[from:], x.text) {
					continue // quoted
				}
				lines[x.pos.Line-1] = line[:from] + wrong + line[from+len(x.text):]
				_, errs := Read("shop.yaml", []byte(strings.Join(lines, "\n")))
				if tried++; len(told(errs)) > 1 {
					t.Errorf("%s for %s:\n%s", wrong, x.text, errs.Error())
				}
			}
		}
	}
	if tried < 500 {
		t.Errorf("only %d values were spoiled", tried)
	}
}

// scalars are the single values below a node.
func scalars(n *node) (out []*node) {
	if n.kind == scalar && n.text != "" {
		out = append(out, n)
	}
	for _, i := range n.items {
		out = append(out, scalars(i)...)
	}
	for _, p := range n.pairs {
		out = append(out, scalars(p.value)...)
	}
	return out
}

// told are the different problems, without the moments that a span names: of
// those each piece type has its own, and a step that was renamed is known.
func told(errs *diag.List) map[string]bool {
	all := map[string]bool{}
	for _, p := range errs.Sorted() {
		if !strings.Contains(p.Error(), "which is no moment of it") {
			all[p.Error()] = true
		}
	}
	return all
}

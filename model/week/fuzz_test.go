package week

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"pourweek/model"
)

// tooBig is the size of a problem from which on a fuzz run does not write and
// read it again, in pours.
const tooBig = 300

// checkLoad loads a folder and holds what Load promises: a valid problem that
// reads back, or mistakes, and never the admission that what was worked out is
// not sound.
func checkLoad(t *testing.T, files ...string) {
	t.Helper()
	l, errs := Load(folder(files...), Options{Monday: monday})
	if (l == nil) != (errs.Len() > 0) {
		t.Fatalf("loaded %v and %d mistakes", l != nil, errs.Len())
	}
	if text := errs.Error(); strings.Contains(text, "fault of pourweek") {
		t.Fatal(text)
	}
	if l == nil || len(l.Problem.Pours) > tooBig {
		return
	}
	Shortages(l.Problem)
	var b bytes.Buffer
	if err := model.WriteProblem(&b, l.Problem); err != nil {
		t.Fatal(err)
	}
	if _, err := model.ReadProblem("problem.json", &b); err != nil {
		t.Fatal(err)
	}
}

func FuzzLoad(f *testing.F) {
	f.Add(fullShop(f), fullOrders, fullFloor)
	units := twoUnits
	for _, cut := range []string{"<", ">"} {
		units = strings.ReplaceAll(units, cut, "")
	}
	f.Add(units, oneBench, "")
	f.Fuzz(func(t *testing.T, shop, orders, floor string) {
		checkLoad(t, ShopFile, shop, OrdersCSV, orders, FloorFile, floor)
	})
}

// One word or number of the files changed at a time: a mistake or a sound week,
// never a panic. The changes are the slips of the error catalog's kind.
func TestLoadOfChangedFiles(t *testing.T) {
	changes := []string{"", "0", "-1", "1", "99999999", "1e9", "x", "\"", "2027-03-14", "24:00", "[", "{}", "~", "\u00e9", "0.001 min", "365 d", "1 g", "900 t"}
	files := []string{fullShop(t), fullOrders, fullFloor}
	names := []string{ShopFile, OrdersCSV, FloorFile}
	stride := 7
	if os.Getenv("POURWEEK_LONG") != "" {
		stride = 1
	}
	n := 0
	for which, text := range files {
		spots := words(text)
		for i := 0; i < len(spots); i += stride {
			change := changes[n%len(changes)]
			n++
			changed := append([]string{}, files...)
			changed[which] = text[:spots[i][0]] + change + text[spots[i][1]:]
			checkLoad(t, names[0], changed[0], names[1], changed[1], names[2], changed[2])
		}
	}
}

// words are the ranges of a text's words and numbers.
func words(text string) [][2]int {
	var out [][2]int
	start := -1
	for i, r := range text + " " {
		in := r > ' ' && !strings.ContainsRune(",:[]{}\"", r)
		switch {
		case in && start < 0:
			start = i
		case !in && start >= 0:
			out = append(out, [2]int{start, min(i, len(text))})
			start = -1
		}
	}
	return out
}

// Every case of the error catalog goes through Load as well, so that mistakes in
// several files are found in one run.
func TestLoadOfTheErrorCatalog(t *testing.T) {
	cases, err := filepath.Glob("../../testdata/errors/*.txtar")
	if err != nil || len(cases) == 0 {
		t.Fatalf("no catalog: %v", err)
	}
	for _, c := range cases {
		data, err := os.ReadFile(c)
		if err != nil {
			t.Fatal(err)
		}
		a := txtar.Parse(data)
		var files []string
		for _, f := range a.Files {
			files = append(files, f.Name, string(f.Data))
		}
		checkLoad(t, files...)
	}
}

package solve

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/orders"
	"pourweek/model/shop"
	"pourweek/model/week"
)

// demoProblem is the built-in week, read where it lies: solve imports nothing
// of cmd.
func demoProblem(t *testing.T) *model.Problem {
	t.Helper()
	read := func(name string) []byte {
		data, err := os.ReadFile(filepath.Join("..", "cmd", "pourweek", "demo", name))
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	s, errs := shop.Read("shop.yaml", read("shop.yaml"))
	b, more := orders.ReadOrders("orders.csv", read("orders.csv"))
	errs.Append(more)
	f, more := orders.ReadFloor("floor.csv", read("floor.csv"))
	errs.Append(more)
	if errs.Len() > 0 {
		t.Fatal(errs)
	}
	l, errs := week.Compile(s, b, f, week.Options{Monday: shop.DateOf(time.Date(2027, 3, 1, 0, 0, 0, 0, time.UTC))})
	if errs.Len() > 0 {
		t.Fatal(errs)
	}
	return l.Problem
}

// planHashes plans the demo week, random weeks and toys with counted work, and
// gives a line for each: name, SHA-256 of the plan's bytes, status, bound and
// where it is from, and work done.
func planHashes(t *testing.T) string {
	t.Helper()
	var b strings.Builder
	sweeps := int64(0)
	line := func(p *model.Problem, work int64) {
		r := mustSolve(t, p, Options{Seed: 3, Work: work})
		for _, s := range r.Stats {
			if s.Name == "corridor" {
				sweeps += s.Tried
			}
		}
		h := sha256.New()
		if r.Plan != nil {
			if err := model.WritePlan(h, r.Plan); err != nil {
				t.Fatal(err)
			}
		}
		fmt.Fprintf(&b, "%s %x %s %d %q %d\n", p.Name, h.Sum(nil), r.Status, r.Bound, r.BoundSource, r.Work)
	}
	seeds := uint64(5)
	if testing.Short() {
		seeds = 3
	}
	line(demoProblem(t), 800)
	line(modeltest.Plant(1, 40), 300)
	line(modeltest.Random(4, modeltest.Options{MinPours: 5, MaxPours: 5}), 100_000) // with several starts and cycles
	for seed := uint64(1); seed <= seeds; seed++ {
		line(modeltest.Random(seed, modeltest.Options{}), 300)
		line(modeltest.Random(seed, modeltest.Options{MaxPours: 6}), 300)
		line(modeltest.Toy(seed), 300)
	}
	if sweeps == 0 {
		t.Error("no plan was improved in a corridor")
	}
	return b.String()
}

// Same week, seed and work: same bytes, on one core and on two. With the
// variable POURWEEK_BYTES, which names a file, also from run to run: the first
// run writes what it found to the file, each later one compares. So builds with
// and without the race detector are held against each other (.ci/run).
func TestPlanBytes(t *testing.T) {
	procs := runtime.GOMAXPROCS(2)
	defer runtime.GOMAXPROCS(procs)
	two := planHashes(t)
	runtime.GOMAXPROCS(1)
	sameLines(t, "on two cores", two, "on one core", planHashes(t))
	name := os.Getenv("POURWEEK_BYTES")
	if name == "" {
		return
	}
	was, err := os.ReadFile(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if err := os.WriteFile(name, []byte(two), 0o666); err != nil {
			t.Fatal(err)
		}
		t.Log("written")
	case err != nil:
		t.Fatal(err)
	default:
		sameLines(t, "in "+name, string(was), "now", two)
		t.Log("compared")
	}
}

func sameLines(t *testing.T, nameA, a, nameB, b string) {
	t.Helper()
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	if len(x) != len(y) {
		t.Errorf("%d lines %s, %d %s", len(x), nameA, len(y), nameB)
		return
	}
	for i := range x {
		if x[i] != y[i] {
			t.Errorf("%s:\n%s\n%s:\n%s", nameA, x[i], nameB, y[i])
		}
	}
}

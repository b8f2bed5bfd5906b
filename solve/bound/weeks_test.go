package bound_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/solve/bound"
	"pourweek/solve/inst"
)

// shared is the folder of benchmark data beside the module, or the test is
// skipped.
func shared(t testing.TB) string {
	t.Helper()
	return filepath.Dir(filepath.Dir(modeltest.Shared(t, "weeks/best.csv")))
}

// known is a row of best.csv.
type known struct {
	week        string
	cost, bound model.Mils
	optimal     bool
}

func knownWeeks(t testing.TB, dir string) []known {
	t.Helper()
	f, err := os.Open(filepath.Join(dir, "weeks", "best.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var list []known
	for _, r := range rows[1:] {
		c, err1 := strconv.Atoi(r[1])
		b, err2 := strconv.Atoi(r[2])
		if err1 != nil || err2 != nil {
			t.Fatalf("best.csv: %v", r)
		}
		list = append(list, known{r[0], model.Mils(c), model.Mils(b), r[3] == "optimal"})
	}
	return list
}

func loadWeek(t testing.TB, dir, week string) *inst.Inst {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, "weeks", week+".json"))
	if err != nil {
		t.Fatal(err)
	}
	p, err := model.ReadProblem(week+".json", bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	in, err := inst.Compile(p)
	if err != nil {
		t.Fatal(err)
	}
	return in
}

// cpu is the processor time of this process, which others on the machine do
// not stretch.
func cpu() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// TestTable prints the bounds of all weeks after POURWEEK_BOUND_SECONDS of
// processor time, or POURWEEK_BOUND_PASSES, each,
// beside the best known. POURWEEK_BOUND_WEEKS picks weeks by prefix.
func TestTable(t *testing.T) {
	sec, err := strconv.ParseFloat(os.Getenv("POURWEEK_BOUND_SECONDS"), 64)
	passes, err2 := strconv.ParseInt(os.Getenv("POURWEEK_BOUND_PASSES"), 10, 64)
	if err != nil && err2 != nil {
		t.Skip("neither POURWEEK_BOUND_SECONDS nor POURWEEK_BOUND_PASSES is set")
	}
	if err != nil {
		sec = 1e9
	}
	dir := shared(t)
	for _, k := range knownWeeks(t, dir) {
		ok := os.Getenv("POURWEEK_BOUND_WEEKS") == ""
		for _, w := range strings.Fields(os.Getenv("POURWEEK_BOUND_WEEKS")) {
			ok = ok || strings.HasPrefix(k.week, w)
		}
		if !ok {
			continue
		}
		in := loadWeek(t, dir, k.week)
		ctx, cancel := context.WithCancel(context.Background())
		begin := cpu()
		var first time.Duration
		left := func() float64 {
			x := 1 - (cpu()-begin).Seconds()/sec
			if x <= 0 {
				cancel()
			}
			return x
		}
		if passes > 0 {
			left = nil
		}
		r := bound.Run(ctx, in, bound.Options{Passes: passes, Left: left, Report: func(_ model.Mils, s string) {
			if s == bound.Lagrangian && first == 0 {
				first = cpu() - begin
			}
		}})
		cancel()
		t.Logf("%-10s bound %8d  of bound %.3f  of cost %.3f  passes %6d  first %.2fs  %s", k.week, r.Bound,
			float64(r.Bound)/float64(max(k.bound, 1)), float64(r.Bound)/float64(max(k.cost, 1)), r.Passes, first.Seconds(), r.Source)
		if k.cost > 0 && r.Bound > k.cost {
			t.Errorf("%s: the bound %d is above the known cost %d", k.week, r.Bound, k.cost)
		}
	}
}

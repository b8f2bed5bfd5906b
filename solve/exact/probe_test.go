package exact

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"pourweek/model"
	"pourweek/solve/inst"
)

func sharedDir(t testing.TB) string {
	dir, _ := os.Getwd()
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		dir = filepath.Dir(dir)
	}
	path := filepath.Join(dir, "..", "shared")
	if _, err := os.Stat(path); err != nil {
		t.Skip("the shared data is not beside the checkout")
	}
	return path
}

func week1(t testing.TB, name string) *inst.Inst {
	f, err := os.Open(filepath.Join(sharedDir(t), "weeks", name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	p, err := model.ReadProblem(name, f)
	if err != nil {
		t.Fatal(err)
	}
	in, err := inst.Compile(p)
	if err != nil {
		t.Fatal(err)
	}
	return in
}

func bestCosts(t testing.TB) map[string]int64 {
	f, err := os.Open(filepath.Join(sharedDir(t), "weeks", "best.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, _ := csv.NewReader(f).ReadAll()
	out := map[string]int64{}
	for _, r := range rows[1:] {
		v, _ := strconv.ParseInt(r[1], 10, 64)
		out[r[0]] = v
	}
	return out
}

func TestProbe(t *testing.T) {
	names := strings.Fields(os.Getenv("WEEKS"))
	best := bestCosts(t)
	for _, n := range names {
		in := week1(t, n)
		s, err := newShop(in)
		if err != nil {
			t.Log(n, err)
			continue
		}
		up := best[n]
		sts, ok := s.structures(up)
		t0 := time.Now()
		low := int64(1 << 60)
		open := 0
		for k := range sts {
			w := s.newWeek(&sts[k])
			v := w.ascend(200, up)
			if k < 3 {
				t.Log(n, k, sts[k].chains, sts[k].carried, v)
			}
			low = min(low, v)
			if v < up {
				open++
			}
			if time.Since(t0) > 20*time.Second {
				t.Log("stopped at", k)
				break
			}
		}
		t.Logf("%s: %d structures %v, upper %d bound %d open %d unit %d rows %d in %v", n, len(sts), ok, up, low, open, s.unit, len(s.rows), time.Since(t0))
	}
}

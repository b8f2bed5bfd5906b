package bound_test

import (
	"archive/tar"
	"bufio"
	"compress/gzip"
	"encoding/csv"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"pourweek/solve/bound"

	"pgregory.net/rapid"
)

func TestMinBins(t *testing.T) {
	for _, c := range []struct {
		name  string
		sizes []int64
		cap   int64
		want  int64
	}{
		{"nothing", nil, 10, 0},
		{"sum", []int64{5, 5, 5}, 10, 2},
		{"sum rounded up", []int64{4, 4, 3}, 10, 2},
		{"two above half never share", []int64{6, 6, 6}, 10, 3},
		{"room beside large ones is too small", []int64{7, 7, 4, 4}, 10, 3},
		{"thirds", []int64{34, 34, 34, 34}, 100, 2},
		{"just above a third, by u(2)", []int64{34, 34, 34, 34, 34}, 100, 3},
		{"full", []int64{10, 10}, 10, 2},
	} {
		if got := bound.MinBins(c.sizes, c.cap); got != c.want {
			t.Errorf("%s: %d bins, want %d", c.name, got, c.want)
		}
	}
}

// bins is the least number of bins, by trying every place of every size.
func bins(sizes, rooms []int64, capacity int64, limit int) int {
	if len(sizes) == 0 {
		return len(rooms)
	}
	best := limit
	for i := range rooms {
		if rooms[i] >= sizes[0] {
			rooms[i] -= sizes[0]
			best = min(best, bins(sizes[1:], rooms, capacity, best))
			rooms[i] += sizes[0]
		}
	}
	if len(rooms)+1 < best {
		best = min(best, bins(sizes[1:], append(rooms, capacity-sizes[0]), capacity, best))
	}
	return best
}

func TestMinBinsBelowOptimum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		capacity := rapid.Int64Range(1, 40).Draw(t, "capacity")
		sizes := rapid.SliceOfN(rapid.Int64Range(0, capacity), 0, 7).Draw(t, "sizes")
		got := bound.MinBins(sizes, capacity)
		if opt := bins(sizes, nil, capacity, len(sizes)+1); got > int64(opt) {
			t.Fatalf("%d bins for an optimum of %d", got, opt)
		}
	})
}

// TestMinBinsPublished compares with the optima of the set scholl_1 (Scholl,
// Klein, Juergens 1997, "BISON"; optima as listed beside it).
func TestMinBinsPublished(t *testing.T) {
	dir := filepath.Join(shared(t), "bench", "binpacking", "scholl_1")
	optima := readOptima(t, filepath.Join(dir, "best.csv"))
	f, err := os.Open(filepath.Join(dir, "scholl_1.tar.gz"))
	if err != nil {
		t.Skip("no packing instances beside the module")
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	all, equal := 0, 0
	for r := tar.NewReader(z); ; {
		h, err := r.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		opt, ok := optima[filepath.Base(h.Name)]
		if !ok {
			continue
		}
		sizes, capacity := readBins(t, r)
		got := bound.MinBins(sizes, capacity)
		if got > opt {
			t.Errorf("%s: %d bins above the optimum %d", h.Name, got, opt)
		}
		all++
		if got == opt {
			equal++
		}
	}
	t.Logf("equal to the optimum on %d of %d", equal, all)
	if all < 700 || 4*equal < 3*all {
		t.Errorf("equal to the optimum on %d of %d, want three quarters of 720", equal, all)
	}
}

func readOptima(t *testing.T, file string) map[string]int64 {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Skip("no packing optima beside the module")
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	m := map[string]int64{}
	for _, r := range rows[1:] {
		if r[3] == "optimal" {
			if m[r[0]], err = strconv.ParseInt(r[2], 10, 64); err != nil {
				t.Fatal(err)
			}
		}
	}
	return m
}

// readBins reads: items, capacity, sizes.
func readBins(t *testing.T, r io.Reader) (sizes []int64, capacity int64) {
	t.Helper()
	s := bufio.NewScanner(r)
	s.Split(bufio.ScanWords)
	var all []int64
	for s.Scan() {
		x, err := strconv.ParseInt(s.Text(), 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, x)
	}
	return all[2:], all[1]
}

package pack

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"pourweek/solve/sat/benchset"
)

func TestBoundByHand(t *testing.T) {
	cases := []struct {
		name     string
		sizes    []int64
		capacity int64
		want     int
	}{
		{"nothing", nil, 10, 0},
		{"only empty sizes", []int64{0, 0}, 10, 1},
		{"fills one", []int64{4, 6}, 10, 1},
		{"one more than fits", []int64{4, 7}, 10, 2},
		{"above half each: L2, not L1", []int64{6, 6, 6}, 10, 3},
		{"above a third each: u(2), not L2", []int64{34, 34, 34, 34, 34}, 100, 3},
		{"fits nowhere", []int64{11}, 10, math.MaxInt},
		{"capacity 1", []int64{1, 1, 0}, 1, 2},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := Bound(c.sizes, c.capacity); got != c.want {
				t.Errorf("Bound(%v, %d) = %d, want %d", c.sizes, c.capacity, got, c.want)
			}
		})
	}
}

// fewest is the least number of bins, by trying every partition.
func fewest(sizes []int64, capacity int64) int {
	best := len(sizes)
	var room []int64
	var place func(i int)
	place = func(i int) {
		if i == len(sizes) {
			best = min(best, len(room))
			return
		}
		for b := range room {
			if room[b] >= sizes[i] {
				room[b] -= sizes[i]
				place(i + 1)
				room[b] += sizes[i]
			}
		}
		room = append(room, capacity-sizes[i])
		place(i + 1)
		room = room[:len(room)-1]
	}
	place(0)
	return best
}

func randomSizes(r *rand.Rand) ([]int64, int64) {
	c := 1 + r.Int64N(60)
	s := make([]int64, r.IntN(8))
	for i := range s {
		s[i] = r.Int64N(c + 1)
	}
	return s, c
}

func TestBoundAndSolveAgainstAllPartitions(t *testing.T) {
	tight := 0
	for seed := range uint64(5000) {
		s, c := randomSizes(rand.New(rand.NewPCG(seed, 3)))
		want := fewest(s, c)
		got := Bound(s, c)
		if got > want {
			t.Fatalf("seed %d: Bound(%v, %d) = %d above the optimum %d", seed, s, c, got, want)
		}
		if got == want {
			tight++
		}
		r := Solve(s, c, 100_000)
		if len(r.Bins) != want || r.Lower != want {
			t.Fatalf("seed %d: Solve(%v, %d) = %+v, want %d", seed, s, c, r, want)
		}
		checkBins(t, r.Bins, s, c)
		if r = Solve(s, c, 1); r.Lower > want || len(r.Bins) < want {
			t.Fatalf("seed %d: stopped Solve(%v, %d) = %+v, want %d", seed, s, c, r, want)
		}
	}
	if tight < 4000 {
		t.Errorf("bound exact on %d of 5000", tight)
	}
}

// checkBins holds that each item lies in one bin and no bin is overfull.
func checkBins(t *testing.T, bins [][]int, sizes []int64, capacity int64) {
	t.Helper()
	var all []int
	for _, b := range bins {
		var sum int64
		for _, i := range b {
			sum += sizes[i]
		}
		if sum > capacity {
			t.Errorf("bin %v holds %d of %d", b, sum, capacity)
		}
		all = append(all, b...)
	}
	slices.Sort(all)
	if len(slices.Compact(all)) != len(sizes) {
		t.Errorf("%d items lie in bins, want %d", len(all), len(sizes))
	}
}

func TestBoundIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Int64Range(1, 2000).Draw(t, "capacity")
		s := rapid.SliceOfN(rapid.Int64Range(0, c), 1, 25).Draw(t, "sizes")
		before := Bound(s, c)
		i := rapid.IntRange(0, len(s)-1).Draw(t, "item")
		more := slices.Clone(s)
		more[i] = rapid.Int64Range(s[i], c).Draw(t, "size")
		if got := Bound(more, c); got < before {
			t.Errorf("size %d raised to %d: bound falls from %d to %d", s[i], more[i], before, got)
		}
		if got := Bound(append(slices.Clone(s), rapid.Int64Range(0, c).Draw(t, "new")), c); got < before {
			t.Errorf("one more item: bound falls from %d to %d", before, got)
		}
		if got := Bound(s, 2*c+1); got > before {
			t.Errorf("a larger bin: bound rises from %d to %d", before, got)
		}
	})
}

// TestFunctionsAreDualFeasible fills bins at random and to the brim.
func TestFunctionsAreDualFeasible(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 5))
	for range 20000 {
		c := 2 + r.Int64N(90)
		var bin []int64
		for left := c; left > 0; {
			s := 1 + r.Int64N(left)
			bin, left = append(bin, s), left-s
		}
		e, k, w := 1+r.Int64N(c/2), 1+r.Int64N(100), 1+r.Int64N(c/2)
		var u, f, st int64
		for _, x := range bin {
			u, f, st = u+extremes(x, e, c), f+fractions(x, k, c), st+staircase(x, w, c)
		}
		if u > c || f > c*k || st > 2*(c/w) {
			t.Fatalf("bin %v of %d: U(%d) %d, u(%d) %d of %d, stairs(%d) %d of %d", bin, c, e, u, k, f, c*k, w, st, 2*(c/w))
		}
	}
}

// fewestBatches is the least number of batches, by trying every partition.
func fewestBatches(d []Draw, mass, work int64) int {
	best := len(d)
	var used []Draw
	var place func(i int)
	place = func(i int) {
		if i == len(d) {
			best = min(best, len(used))
			return
		}
		for b := range used {
			if used[b].Mass+d[i].Mass <= mass && used[b].Work+d[i].Work <= work {
				used[b].Mass, used[b].Work = used[b].Mass+d[i].Mass, used[b].Work+d[i].Work
				place(i + 1)
				used[b].Mass, used[b].Work = used[b].Mass-d[i].Mass, used[b].Work-d[i].Work
			}
		}
		used = append(used, d[i])
		place(i + 1)
		used = used[:len(used)-1]
	}
	place(0)
	return best
}

func TestBatchesAgainstAllPartitions(t *testing.T) {
	better := 0
	for seed := range uint64(3000) {
		r := rand.New(rand.NewPCG(seed, 4))
		mass, life := 1+r.Int64N(40), 1+r.Int64N(40)
		d := make([]Draw, r.IntN(8))
		var byMass []int64
		for i := range d {
			d[i] = Draw{r.Int64N(mass + 1), r.Int64N(life + 1)}
			byMass = append(byMass, d[i].Mass)
		}
		want, got := fewestBatches(d, mass, life), Batches(d, mass, life)
		if got > want {
			t.Fatalf("seed %d: Batches(%v, %d, %d) = %d, above the optimum %d", seed, d, mass, life, got, want)
		}
		if got > Bound(byMass, mass) {
			better++
		}
	}
	if better < 300 {
		t.Errorf("work raised the bound on %d of 3000 only", better)
	}
	if got := Batches([]Draw{{1, 50}}, 10, 40); got != math.MaxInt {
		t.Errorf("a draw longer than the pot life: %d batches", got)
	}
}

// packings reads a published set.
func packings(t *testing.T, name string) map[string]*benchset.Packing {
	t.Helper()
	dir, ok := benchset.Dir("binpacking/" + name)
	if !ok {
		t.Skipf("shared/bench/binpacking/%s is not beside the module", name)
	}
	files, err := benchset.Files(dir)
	if err != nil {
		t.Fatal(err)
	}
	r := map[string]*benchset.Packing{}
	for file, text := range files {
		var list []*benchset.Packing
		var err error
		switch name {
		case "falkenauer":
			list, err = benchset.ReadFalkenauer(text)
		case "hard28":
			list, err = benchset.ReadHard28(text)
		default:
			var p *benchset.Packing
			p, err = benchset.ReadBPP(file, text)
			list = append(list, p)
		}
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		for _, p := range list {
			r[p.Name] = p
		}
	}
	return r
}

// TestPublishedPackings holds the bound against the optima of best.csv (bounds
// list that follows M. Delorme, M. Iori, S. Martello 2018; see the bench
// folder's README): never above, and equal on the given share. An ordinary run
// takes each 6th instance, POURWEEK_LONG=1 takes all.
func TestPublishedPackings(t *testing.T) {
	step := 6
	if os.Getenv("POURWEEK_LONG") == "1" {
		step = 1
	}
	for _, set := range []struct {
		name  string
		equal float64
	}{{"scholl_1", 0.75}, {"scholl_2", 0.5}, {"scholl_3", 0}, {"falkenauer", 0.75}, {"hard28", 0}} {
		t.Run(set.name, func(t *testing.T) {
			all := packings(t, set.name)
			dir, _ := benchset.Dir("binpacking/" + set.name)
			rows, err := benchset.Best(dir)
			if err != nil || len(rows) == 0 {
				t.Fatalf("best.csv: %d rows, %v", len(rows), err)
			}
			equal, n := 0, 0
			for i := 0; i < len(rows); i += step {
				row := rows[i]
				p := all[row.Name]
				if p == nil {
					t.Fatalf("%s is not in the files", row.Name)
				}
				got := Bound(p.Sizes, p.Capacity)
				if got > row.Upper {
					t.Errorf("%s: bound %d above the optimum %d", row.Name, got, row.Upper)
				}
				if got == row.Upper {
					equal++
				}
				n++
			}
			t.Logf("%s: bound equals the optimum on %d of %d (%.1f %%)", set.name, equal, n, 100*float64(equal)/float64(n))
			if float64(equal) < set.equal*float64(n) {
				t.Errorf("equal on %d of %d, want %.0f %%", equal, n, 100*set.equal)
			}
		})
	}
}

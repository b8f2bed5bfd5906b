// Package pack bounds from below how many batches a set of draws needs, and
// packs small sets to the end. A batch is a bin: its sizes sum up to at most
// its capacity. Sizes are integers >= 0 in any unit (grams, seconds).
package pack

import (
	"cmp"
	"math"
	"slices"
)

// class is a size and how many items have it.
type class struct{ size, count int64 }

// Bound is a proven lower bound on the number of bins of the given capacity
// that sizes need: the greatest over
//
//   - L1, the sum over the capacity, rounded up;
//   - L2 (S. Martello, P. Toth 1990), as the family U of dual feasible
//     functions over all thresholds;
//   - the dual feasible functions u(k), k = 1..100 (S. P. Fekete, J. Schepers
//     2001), and the staircase of J. Carlier, F. Clautiaux, A. Moukrim (2007);
//   - both composed with U.
//
// A function f on [0, C] with values in [0, D] is dual feasible when no bin's
// values sum up to more than D; the bound is then the sum of f over D, rounded
// up. All thresholds count, of which those tried are the best, and the other
// parameters do not depend on the items. So the bound is monotone: adding an
// item or raising a size never lowers it.
//
// No items need 0 bins, and items of size 0 need 1. A size above the capacity
// fits nowhere: the answer is math.MaxInt. Capacities up to 1e9 are safe from
// overflow. O(k n^2) for n distinct sizes and some k = 300 functions; it stops
// as soon as a greedy packing shows the bound to be exact.
func Bound(sizes []int64, capacity int64) int {
	if len(sizes) == 0 {
		return 0
	}
	items := classes(sizes)
	if items[0].size > capacity {
		return math.MaxInt
	}
	if items[0].size <= 0 {
		return 1
	}
	return max(1, bound(items, capacity, len(FirstFit(sizes, capacity))))
}

// classes lists the distinct sizes, greatest first.
func classes(sizes []int64) []class {
	s := slices.Clone(sizes)
	slices.SortFunc(s, func(a, b int64) int { return cmp.Compare(b, a) })
	var r []class
	for _, v := range s {
		if n := len(r); n > 0 && r[n-1].size == v {
			r[n-1].count++
			continue
		}
		r = append(r, class{v, 1})
	}
	return r
}

// bound is Bound on classes; it stops at upper, which must be reachable.
func bound(items []class, c int64, upper int) int {
	best := total(items, c)
	var thresholds []int64
	if c > 1 {
		thresholds = append(thresholds, c/2)
	}
	for _, it := range items {
		if it.size < c/2 && it.size > 0 {
			thresholds = append(thresholds, it.size)
		}
	}
	rounded := make([][]class, 0, len(thresholds)+1)
	rounded = append(rounded, items)
	for _, e := range thresholds {
		r := apply(items, func(x int64) int64 { return extremes(x, e, c) })
		rounded = append(rounded, r)
		best = max(best, total(r, c))
	}
	steps := stairs(c)
	for _, r := range rounded {
		if best >= upper {
			return best
		}
		for k := int64(1); k <= 100; k++ {
			var sum int64
			for _, it := range r {
				sum += fractions(it.size, k, c) * it.count
			}
			best = max(best, int((sum+c*k-1)/(c*k)))
		}
		for _, w := range steps {
			var sum int64
			for _, it := range r {
				sum += staircase(it.size, w, c) * it.count
			}
			best = max(best, int((sum+2*(c/w)-1)/(2*(c/w))))
		}
	}
	return best
}

// total is L1.
func total(items []class, c int64) int {
	var sum int64
	for _, it := range items {
		sum += it.size * it.count
	}
	return int((sum + c - 1) / c)
}

func apply(items []class, f func(int64) int64) []class {
	r := make([]class, len(items))
	for i, it := range items {
		r[i] = class{f(it.size), it.count}
	}
	return r
}

// extremes is U(e): sizes above c-e fill a bin, sizes below e are nothing.
// Values in [0, c], 0 < e <= c/2. Over all e, the sizes up to c/2 and c/2
// itself give the greatest values pointwise.
func extremes(x, e, c int64) int64 {
	switch {
	case x > c-e:
		return c
	case x < e:
		return 0
	}
	return x
}

// fractions is u(k): x where (k+1)x/c is whole, else floor((k+1)x/c)/k of a
// bin. Values in [0, c*k].
func fractions(x, k, c int64) int64 {
	if (k+1)*x%c == 0 {
		return x * k
	}
	return (k + 1) * x / c * c
}

// staircase counts whole steps w in small sizes and what is left of a bin
// beside large ones, doubled. Values in [0, 2*floor(c/w)], 0 < w <= c/2.
func staircase(x, w, c int64) int64 {
	switch {
	case 2*x > c:
		return 2 * (c/w - (c-x)/w)
	case 2*x == c:
		return c / w
	}
	return 2 * (x / w)
}

// stairs lists the step widths tried: all of them for small capacities, else
// the narrowest and the widest for each of up to 100 steps a bin.
func stairs(c int64) []int64 {
	var r []int64
	if c <= 400 {
		for w := int64(1); w <= c/2; w++ {
			r = append(r, w)
		}
		return r
	}
	for k := int64(2); k <= 100; k++ {
		r = append(r, c/(k+1)+1, c/k)
	}
	return r
}

// FirstFit packs greatest size first, each into the first bin with room, and
// returns the indices of each bin's items. Sizes above the capacity get a bin
// of their own. O(n^2).
func FirstFit(sizes []int64, capacity int64) [][]int {
	var bins [][]int
	var room []int64
next:
	for _, i := range descending(sizes) {
		for b := range bins {
			if sizes[i] <= room[b] {
				bins[b], room[b] = append(bins[b], i), room[b]-sizes[i]
				continue next
			}
		}
		bins, room = append(bins, []int{i}), append(room, capacity-sizes[i])
	}
	return bins
}

func descending(sizes []int64) []int {
	r := make([]int, len(sizes))
	for i := range r {
		r[i] = i
	}
	slices.SortStableFunc(r, func(a, b int) int { return cmp.Compare(sizes[b], sizes[a]) })
	return r
}

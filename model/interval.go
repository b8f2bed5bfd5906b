package model

import (
	"cmp"
	"slices"
)

// Sets of ticks are lists of intervals: ascending, apart from each other
// (neither overlapping nor touching), none empty. None of these functions
// changes what it is given or returns nil.

// Union is the ticks in any of the lists, whose intervals may stand in any
// order, overlap or be empty. Cost O(n log n).
func Union(lists ...[]Interval) []Interval {
	sorted := slices.Concat(lists...)
	slices.SortFunc(sorted, func(a, b Interval) int { return cmp.Compare(a[0], b[0]) })
	out := []Interval{}
	for _, iv := range sorted {
		switch n := len(out); {
		case iv.Len() <= 0:
		case n > 0 && iv[0] <= out[n-1][1]:
			out[n-1][1] = max(out[n-1][1], iv[1])
		default:
			out = append(out, iv)
		}
	}
	return out
}

// Intersect is the ticks in both sets. Cost O(len(a) + len(b)).
func Intersect(a, b []Interval) []Interval {
	out := []Interval{}
	for i, j := 0, 0; i < len(a) && j < len(b); {
		both := Interval{max(a[i][0], b[j][0]), min(a[i][1], b[j][1])}
		if both.Len() > 0 {
			out = append(out, both)
		}
		if a[i][1] < b[j][1] {
			i++
		} else {
			j++
		}
	}
	return out
}

// Subtract is the ticks of a that are not in b. Cost O(len(a) + len(b)).
func Subtract(a, b []Interval) []Interval {
	out := []Interval{}
	j := 0
	for _, iv := range a {
		for j < len(b) && b[j][1] <= iv[0] {
			j++
		}
		from := iv[0]
		for k := j; k < len(b) && b[k][0] < iv[1]; k++ {
			if b[k][0] > from {
				out = append(out, Interval{from, b[k][0]})
			}
			from = max(from, b[k][1])
		}
		if from < iv[1] {
			out = append(out, Interval{from, iv[1]})
		}
	}
	return out
}

// TicksIn is the number of ticks of the set in [from, to).
func TicksIn(set []Interval, from, to Tick) Tick {
	var n Tick
	for _, iv := range set {
		n += max(0, min(iv[1], to)-max(iv[0], from))
	}
	return n
}

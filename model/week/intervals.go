package week

import (
	"slices"

	"pourweek/model"
)

// Sets of ticks as lists of intervals: sorted, apart from each other (neither
// overlapping nor touching), none empty. nil is the empty set.

// union brings intervals in any order into that form. Cost O(n log n).
func union(in []model.Interval) []model.Interval {
	sorted := slices.Clone(in)
	slices.SortFunc(sorted, func(a, b model.Interval) int {
		if a[0] != b[0] {
			return int(a[0] - b[0])
		}
		return int(a[1] - b[1])
	})
	var out []model.Interval
	for _, i := range sorted {
		switch n := len(out); {
		case i.Len() <= 0:
		case n > 0 && i[0] <= out[n-1][1]:
			out[n-1][1] = max(out[n-1][1], i[1])
		default:
			out = append(out, i)
		}
	}
	return out
}

// intersect is the ticks in both sets. Cost O(len(a) + len(b)).
func intersect(a, b []model.Interval) []model.Interval {
	var out []model.Interval
	for i, j := 0, 0; i < len(a) && j < len(b); {
		both := model.Interval{max(a[i][0], b[j][0]), min(a[i][1], b[j][1])}
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

// subtract is the ticks of a that are not in b. Cost O(len(a) + len(b)).
func subtract(a, b []model.Interval) []model.Interval {
	var out []model.Interval
	j := 0
	for _, i := range a {
		for j < len(b) && b[j][1] <= i[0] {
			j++
		}
		from := i[0]
		for k := j; k < len(b) && b[k][0] < i[1]; k++ {
			if b[k][0] > from {
				out = append(out, model.Interval{from, b[k][0]})
			}
			from = max(from, b[k][1])
		}
		if from < i[1] {
			out = append(out, model.Interval{from, i[1]})
		}
	}
	return out
}

// within is the number of ticks of the set in [from, to).
func within(set []model.Interval, from, to model.Tick) model.Tick {
	var n model.Tick
	for _, i := range set {
		n += max(0, min(i[1], to)-max(i[0], from))
	}
	return n
}

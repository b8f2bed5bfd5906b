package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pourweek/solve"
)

// summary is what a family of weeks came to over all its runs. What nothing is
// known of is nil.
type summary struct {
	Family string `json:"family"`
	Runs   int    `json:"runs"`
	NoPlan int    `json:"no_plan"`
	Proven int    `json:"optimal"` // proven to be

	Compared int      `json:"compared"` // runs with a ratio
	AtBest   int      `json:"at_best"`  // of these, no dearer than the best known
	Median   *float64 `json:"median_ratio"`
	Mean     *float64 `json:"geometric_mean_ratio"`
	Worst    *float64 `json:"worst_ratio"`
	WorstIn  string   `json:"worst_in"`

	Gap      *float64 `json:"median_gap"`
	WorstGap *float64 `json:"worst_gap"`

	Bounds      int      `json:"bounds"`       // runs with a bound to compare with
	Above       int      `json:"bounds_above"` // of these, above the best known
	LeastBound  *float64 `json:"least_bound_ratio"`
	LeastIn     string   `json:"least_bound_in"`
	MedianBound *float64 `json:"median_bound_ratio"`

	First float64 `json:"latest_first_plan_seconds"`
}

// line is the whole summary, each part behind its name.
func (s *summary) line() string {
	percent := func(v *float64) *float64 {
		if v == nil {
			return nil
		}
		return ptr(100 * *v)
	}
	or := func(format string, v *float64) string {
		if v == nil {
			return "-"
		}
		return fmt.Sprintf(format, *v)
	}
	in := func(week string) string {
		if week == "" {
			return ""
		}
		return " (" + week + ")"
	}
	return fmt.Sprintf("== %-8s runs %d  no plan %d  proven %d  ratio median %s mean %s worst %s%s at best %d of %d  gap median %s worst %s"+
		"  bound ratio median %s least %s%s above %d of %d  first plan by %.2fs",
		s.Family, s.Runs, s.NoPlan, s.Proven, or("%.3f", s.Median), or("%.4f", s.Mean), or("%.3f", s.Worst), in(s.WorstIn), s.AtBest, s.Compared,
		or("%.1f%%", percent(s.Gap)), or("%.1f%%", percent(s.WorstGap)),
		or("%.3f", s.MedianBound), or("%.3f", s.LeastBound), in(s.LeastIn), s.Above, s.Bounds, s.First)
}

// summarize sums up by family, the part of a week's name before its first dash,
// in the order in which they come; then all of them if there are several.
func summarize(rows []row) []summary {
	by := map[string][]row{}
	var names []string
	for _, x := range rows {
		f, _, _ := strings.Cut(x.Week, "-")
		if by[f] == nil {
			names = append(names, f)
		}
		by[f] = append(by[f], x)
	}
	var l []summary
	for _, f := range names {
		l = append(l, sum(f, by[f]))
	}
	if len(l) > 1 {
		l = append(l, sum("all", rows))
	}
	return l
}

func sum(family string, rows []row) summary {
	s := summary{Family: family, Runs: len(rows)}
	var ratios, gaps, bounds []float64
	logs := 0.0
	for _, x := range rows {
		if x.Cost == nil {
			s.NoPlan++
		}
		if x.Status == string(solve.Optimal) {
			s.Proven++
		}
		if r := x.Ratio; r != nil {
			ratios = append(ratios, *r)
			logs += math.Log(*r)
			if *x.Cost <= *x.Best {
				s.AtBest++
			}
			if s.Worst == nil || *r > *s.Worst {
				s.Worst, s.WorstIn = r, x.Week
			}
		}
		if x.Gap != nil {
			gaps = append(gaps, *x.Gap)
		}
		if b := x.BoundRatio; b != nil {
			bounds = append(bounds, *b)
			if x.Bound > *x.Known {
				s.Above++
			}
			if s.LeastBound == nil || *b < *s.LeastBound {
				s.LeastBound, s.LeastIn = b, x.Week
			}
		}
		s.First = max(s.First, x.First)
	}
	s.Compared, s.Bounds = len(ratios), len(bounds)
	s.Median, s.Gap, s.MedianBound = median(ratios), median(gaps), median(bounds)
	if len(ratios) > 0 {
		s.Mean = ptr(math.Exp(logs / float64(len(ratios))))
	}
	if len(gaps) > 0 {
		s.WorstGap = ptr(slices.Max(gaps))
	}
	return s
}

// median is nil for no values; it sorts v.
func median(v []float64) *float64 {
	if len(v) == 0 {
		return nil
	}
	slices.Sort(v)
	return ptr((v[(len(v)-1)/2] + v[len(v)/2]) / 2)
}

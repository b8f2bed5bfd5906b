package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// row is one run. What is not known is nil: no plan has no cost, and a week of
// which no plan is known no ratio.
type row struct {
	Week       string   `json:"week"`
	Seed       uint64   `json:"seed"`
	Status     string   `json:"status"`
	Cost       *int64   `json:"cost"`        // mils
	Best       *int64   `json:"best"`        // best known cost
	Ratio      *float64 `json:"ratio"`       // cost / best known
	Bound      int64    `json:"bound"`       // proven
	Known      *int64   `json:"known_bound"` // best bound known
	BoundRatio *float64 `json:"bound_ratio"` // bound / best bound known
	Gap        *float64 `json:"gap"`         // (cost - bound) / cost
	Source     string   `json:"bound_source"`
	Note       string   `json:"note"` // why there is no plan, or why a proof broke off
	Work       int64    `json:"work"`
	First      float64  `json:"first_plan_seconds"` // when a plan was first reported, 0 without one
	Seconds    float64  `json:"seconds"`
}

// known is what is known of a week; 0 where nothing is.
type known struct{ cost, bound int64 }

// knownOf is what best.csv of the folder, if there is one, and --against say.
func knownOf(o options) (map[string]known, error) {
	best := map[string]known{}
	r, err := os.Open(filepath.Join(o.dir, "best.csv"))
	switch {
	case err == nil:
		best, err = readBest(r)
		r.Close()
		if err != nil {
			return nil, err
		}
	case !errors.Is(err, os.ErrNotExist):
		return nil, err
	}
	for f := range strings.SplitSeq(o.against, ",") {
		if f == "" {
			continue
		}
		week, cost, _ := strings.Cut(f, "=")
		c, err := strconv.ParseInt(cost, 10, 64)
		if err != nil || c <= 0 {
			return nil, fmt.Errorf("--against %q: it is week=mils, such as plant-01=10210150", f)
		}
		best[week] = known{c, best[week].bound}
	}
	return best, nil
}

// readBest reads best.csv: week,cost,bound,...; 0 says that nothing is known.
func readBest(r io.Reader) (map[string]known, error) {
	rows, err := csv.NewReader(r).ReadAll()
	if err != nil {
		return nil, err
	}
	m := map[string]known{}
	for i, x := range rows {
		if i == 0 {
			continue
		}
		if len(x) < 3 {
			return nil, fmt.Errorf("best.csv: line %d has %d fields; it is week,cost,bound", i+1, len(x))
		}
		c, err1 := strconv.ParseInt(x[1], 10, 64)
		b, err2 := strconv.ParseInt(x[2], 10, 64)
		if err := errors.Join(err1, err2); err != nil {
			return nil, fmt.Errorf("best.csv: line %d: %w", i+1, err)
		}
		m[x[0]] = known{c, b}
	}
	return m, nil
}

// compare holds the run against what is known of the week.
func (x *row) compare(k known) {
	if k.cost > 0 {
		x.Best = &k.cost
		if x.Cost != nil {
			x.Ratio = ptr(float64(*x.Cost) / float64(k.cost))
		}
	}
	if k.bound > 0 {
		x.Known = &k.bound
		x.BoundRatio = ptr(float64(x.Bound) / float64(k.bound))
	}
}

// shown writes a value that may not be known: nothing then, as wide.
func shown[T any](format string, width int, v *T) string {
	if v == nil {
		return strings.Repeat(" ", width)
	}
	return fmt.Sprintf("%*s", width, fmt.Sprintf(format, *v))
}

func (x *row) line() string {
	var gap *float64
	if x.Gap != nil {
		gap = ptr(100 * *x.Gap)
	}
	return strings.TrimRight(fmt.Sprintf("%-10s %2d %-10s %s %s  bound %10d %s  gap %s  work %8d  first %6.2fs  %6.2fs  %s  %s",
		x.Week, x.Seed, x.Status, shown("%d", 10, x.Cost), shown("%.3f", 6, x.Ratio), x.Bound, shown("%.3f", 6, x.BoundRatio),
		shown("%.1f%%", 6, gap), x.Work, x.First, x.Seconds, x.Source, x.Note), " ")
}

// Command weekbench measures the solver on a folder of weeks: weeks x seeds
// with a fixed time or a fixed work each. It prints the cost, its ratio to the
// best known, the proven bound and the gap by week, and medians and worst
// values by family, as a table or as JSON.
//
// Example:
//
//	go run ./cmd/weekbench --time 2s --match 'small|medium' ../shared/weeks
package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"pourweek/model"
	"pourweek/solve"
)

type options struct {
	time  time.Duration
	work  int64
	seeds int
	match string
	json  bool
	dir   string
}

// row is one run.
type row struct {
	Week    string  `json:"week"`
	Seed    uint64  `json:"seed"`
	Status  string  `json:"status"`
	Cost    int64   `json:"cost"`
	Best    int64   `json:"best"`        // best known cost, 0 if none
	Ratio   float64 `json:"ratio"`       // cost / best known, 0 if none
	Bound   int64   `json:"bound"`       // proven
	Known   int64   `json:"known_bound"` // best bound known
	Gap     float64 `json:"gap"`         // (cost - bound) / cost
	Source  string  `json:"bound_source"`
	Note    string  `json:"note"` // why there is no plan, or why a proof broke off
	Work    int64   `json:"work"`
	Seconds float64 `json:"seconds"`
}

type known struct{ cost, bound int64 }

// readBest reads best.csv: week,cost,bound,...
func readBest(r io.Reader) (map[string]known, error) {
	rows, err := csv.NewReader(r).ReadAll()
	if err != nil {
		return nil, err
	}
	m := map[string]known{}
	for _, x := range rows[min(1, len(rows)):] {
		c, err1 := strconv.ParseInt(x[1], 10, 64)
		b, err2 := strconv.ParseInt(x[2], 10, 64)
		if err := errors.Join(err1, err2); err != nil {
			return nil, err
		}
		m[x[0]] = known{c, b}
	}
	return m, nil
}

func readWeek(f string) (*model.Problem, error) {
	r, err := os.Open(f)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return model.ReadProblem(f, r)
}

func run(o options, out io.Writer) error {
	pick, err := regexp.Compile(o.match)
	if err != nil {
		return err
	}
	best := map[string]known{}
	if r, err := os.Open(filepath.Join(o.dir, "best.csv")); err == nil {
		best, err = readBest(r)
		r.Close()
		if err != nil {
			return err
		}
	}
	files, err := filepath.Glob(filepath.Join(o.dir, "*.json"))
	if err != nil {
		return err
	}
	slices.Sort(files)
	var rows []row
	for _, f := range files {
		name := strings.TrimSuffix(filepath.Base(f), ".json")
		if !pick.MatchString(name) {
			continue
		}
		for seed := range o.seeds {
			x, err := measure(f, name, uint64(seed+1), o)
			if err != nil {
				return fmt.Errorf("%s: %w", name, err)
			}
			x.compare(best[name])
			rows = append(rows, x)
			if !o.json {
				fmt.Fprintln(out, x.line())
			}
		}
	}
	if o.json {
		e := json.NewEncoder(out)
		e.SetIndent("", " ")
		return e.Encode(struct {
			Runs     []row     `json:"runs"`
			Families []summary `json:"families"`
		}{rows, summarize(rows)})
	}
	for _, s := range summarize(rows) {
		fmt.Fprintln(out, s.line())
	}
	return nil
}

func measure(f, name string, seed uint64, o options) (row, error) {
	p, err := readWeek(f)
	if err != nil {
		return row{}, err
	}
	t := time.Now()
	r, err := solve.Solve(context.Background(), p, solve.Options{Seed: seed, Work: o.work, Time: o.time})
	if err != nil {
		return row{}, err
	}
	x := row{Week: name, Seed: seed, Status: string(r.Status), Bound: int64(r.Bound), Source: r.BoundSource, Note: r.Reason, Work: r.Work, Seconds: time.Since(t).Seconds()}
	if r.Plan != nil {
		x.Cost = int64(r.Plan.Cost)
		if x.Cost > 0 {
			x.Gap = float64(x.Cost-x.Bound) / float64(x.Cost)
		}
	}
	return x, nil
}

func (x *row) compare(k known) {
	x.Best, x.Known = k.cost, k.bound
	if k.cost > 0 && x.Cost > 0 {
		x.Ratio = float64(x.Cost) / float64(k.cost)
	}
}

func (x *row) line() string {
	kb := 0.0
	if x.Known > 0 {
		kb = float64(x.Bound) / float64(x.Known)
	}
	return fmt.Sprintf("%-10s %2d %-10s %10d %6.3f  bound %10d %5.2f  gap %5.1f%%  work %8d  %6.2fs  %s  %s",
		x.Week, x.Seed, x.Status, x.Cost, x.Ratio, x.Bound, kb, 100*x.Gap, x.Work, x.Seconds, x.Source, x.Note)
}

// summary is a family's median and worst over its runs.
type summary struct {
	Family   string  `json:"family"`
	Runs     int     `json:"runs"`
	NoPlan   int     `json:"no_plan"`
	Optimal  int     `json:"optimal"`
	Median   float64 `json:"median_ratio"`
	Worst    float64 `json:"worst_ratio"`
	WorstIn  string  `json:"worst_in"`
	Mean     float64 `json:"geometric_mean_ratio"`
	Gap      float64 `json:"median_gap"`
	WorstGap float64 `json:"worst_gap"`
}

func (s summary) line() string {
	return fmt.Sprintf("== %-8s runs %3d  no plan %d  optimal %d  median %.3f  mean %.4f  worst %.3f (%s)  gap median %.1f%% worst %.1f%%",
		s.Family, s.Runs, s.NoPlan, s.Optimal, s.Median, s.Mean, s.Worst, s.WorstIn, 100*s.Gap, 100*s.WorstGap)
}

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
		s := summary{Family: f, Runs: len(by[f])}
		var ratios, gaps []float64
		var logs float64
		for _, x := range by[f] {
			if x.Cost == 0 && x.Status != string(solve.Optimal) {
				s.NoPlan++
			}
			if x.Status == string(solve.Optimal) {
				s.Optimal++
			}
			if x.Ratio > 0 {
				ratios = append(ratios, x.Ratio)
				logs += math.Log(x.Ratio)
			}
			if x.Ratio > s.Worst {
				s.Worst, s.WorstIn = x.Ratio, x.Week
			}
			gaps = append(gaps, x.Gap)
			s.WorstGap = max(s.WorstGap, x.Gap)
		}
		s.Median, s.Gap = median(ratios), median(gaps)
		if len(ratios) > 0 {
			s.Mean = math.Exp(logs / float64(len(ratios)))
		}
		l = append(l, s)
	}
	return l
}

func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}

func main() {
	var o options
	flag.DurationVar(&o.time, "time", 0, "wall time of a run, such as 2s")
	flag.Int64Var(&o.work, "work", 0, "counted work of a run (insertions); 0 with no --time: the default")
	flag.IntVar(&o.seeds, "seeds", 1, "seeds 1 to N for each week")
	flag.StringVar(&o.match, "match", ".", "regular expression that a week's name must match")
	flag.BoolVar(&o.json, "json", false, "print JSON")
	flag.Parse()
	o.dir = "../shared/weeks"
	if flag.NArg() > 0 {
		o.dir = flag.Arg(0)
	}
	if err := run(o, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "weekbench:", err)
		os.Exit(1)
	}
}

// Command weekbench measures the solver on a folder of weeks: weeks x seeds
// with a fixed time or a fixed work each. It prints a line for each run (cost,
// its ratio to the best known, the proven bound, its ratio to the best bound
// known, the gap), then a line for each family of weeks and one for all:
// median and worst ratio, median gap, how many were proven optimal, least and
// median ratio of the bounds and how many are above the best known. With
// --growth it measures instead what it takes, in invented weeks of growing size,
// to come near the cost of a long run.
//
// Examples:
//
//	go run ./cmd/weekbench --time 2s --match 'small|medium' ../shared/weeks
//	go run ./cmd/weekbench --time 60s --match plant --against plant-01=10210150,plant-02=6400900
//	go run ./cmd/weekbench --growth --time 60s
package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"

	"pourweek/model"
	"pourweek/solve"
)

type options struct {
	time    time.Duration
	work    int64
	seeds   int
	match   string
	json    bool
	against string
	dir     string

	growth bool
	sizes  string
	within float64 // percent
}

func readWeek(f string) (*model.Problem, error) {
	r, err := os.Open(f)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return model.ReadProblem(f, r)
}

// run measures the weeks of a folder.
func run(o options, out io.Writer) error {
	pick, err := regexp.Compile(o.match)
	if err != nil {
		return err
	}
	best, err := knownOf(o)
	if err != nil {
		return err
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
		p, err := readWeek(f)
		if err != nil {
			return err
		}
		for seed := range o.seeds {
			x, err := measure(p, uint64(seed+1), o)
			if err != nil {
				return fmt.Errorf("%s: %w", name, err)
			}
			x.Week = name
			x.compare(best[name])
			rows = append(rows, x)
			if !o.json {
				fmt.Fprintln(out, x.line())
			}
		}
	}
	if len(rows) == 0 {
		return fmt.Errorf("no week in %s has a name that matches %q", o.dir, o.match)
	}
	if o.json {
		return writeJSON(out, struct {
			Runs     []row     `json:"runs"`
			Families []summary `json:"families"`
		}{rows, summarize(rows)})
	}
	for _, s := range summarize(rows) {
		fmt.Fprintln(out, s.line())
	}
	return nil
}

func writeJSON(out io.Writer, v any) error {
	e := json.NewEncoder(out)
	e.SetIndent("", " ")
	return e.Encode(v)
}

// measure solves a problem once. The row has no name and nothing to compare.
func measure(p *model.Problem, seed uint64, o options) (row, error) {
	t := time.Now()
	first := -1.0
	r, err := solve.Solve(context.Background(), p, solve.Options{Seed: seed, Work: o.work, Time: o.time, Progress: func(s solve.Progress) {
		if first < 0 && s.Cost >= 0 {
			first = s.Elapsed.Seconds()
		}
	}})
	if err != nil {
		return row{}, err
	}
	x := row{Seed: seed, Status: string(r.Status), Bound: int64(r.Bound), Source: r.BoundSource, Note: r.Reason, Work: r.Work, Seconds: time.Since(t).Seconds()}
	if r.Plan == nil {
		return x, nil
	}
	x.Cost = ptr(int64(r.Plan.Cost))
	if x.First = x.Seconds; first >= 0 {
		x.First = first
	}
	if *x.Cost > 0 {
		x.Gap = ptr(float64(*x.Cost-x.Bound) / float64(*x.Cost))
	} else {
		x.Gap = ptr(0.0)
	}
	return x, nil
}

func ptr[T any](v T) *T { return &v }

func main() {
	var o options
	flag.DurationVar(&o.time, "time", 0, "wall time of a run, such as 2s")
	flag.Int64Var(&o.work, "work", 0, "counted work of a run (insertions); 0 with no --time: the default")
	flag.IntVar(&o.seeds, "seeds", 1, "seeds 1 to N for each week")
	flag.StringVar(&o.match, "match", ".", "regular expression that a week's name must match")
	flag.BoolVar(&o.json, "json", false, "print JSON")
	flag.StringVar(&o.against, "against", "", "costs to compare with, before those of best.csv: week=mils,week=mils")
	flag.BoolVar(&o.growth, "growth", false, "measure invented weeks of growing size instead of a folder: what it takes to come near the cost of a long run")
	flag.StringVar(&o.sizes, "sizes", "10,20,40,80,160,250", "with --growth: the new pours of each week")
	flag.Float64Var(&o.within, "within", 5, "with --growth: how near, in percent above the final cost")
	flag.Parse()
	o.dir = "../shared/weeks"
	if flag.NArg() > 0 {
		o.dir = flag.Arg(0)
	}
	do := run
	if o.growth {
		do = grow
	}
	if err := do(o, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "weekbench:", err)
		os.Exit(1)
	}
}

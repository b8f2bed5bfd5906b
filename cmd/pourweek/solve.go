package main

import (
	"context"
	"fmt"
	"io"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/report"
	"pourweek/solve"
)

// searchFlags are the limits of a search, the same for every command that
// searches.
type searchFlags struct {
	seed  uint64
	work  int64
	time  time.Duration
	stats bool
	given given
}

// defaultSeed is the seed of a search that names none.
const defaultSeed = 1

func (o *searchFlags) add(cmd *cobra.Command) {
	f := cmd.Flags()
	o.given = f.Changed
	f.Uint64Var(&o.seed, "seed", defaultSeed, "seed of the search: another one may give another plan")
	f.Int64Var(&o.work, "work", 0, "end the search after so many counted `units`; the same units give the same plan\n(default: by the size of the week, some seconds)")
	f.DurationVar(&o.time, "time", 0, "end the search after so much `time`, such as 2s or 1m; not reproducible")
	f.BoolVar(&o.stats, "stats", false, "print on stderr what each part of the search brought")
}

func (o *searchFlags) check() error {
	return firstError(aboveZero(o.given, "work", o.work, "a number above 0 is needed"),
		aboveZero(o.given, "time", o.time, "a time above 0 is needed, such as 2s"))
}

type solveOptions struct {
	problem string
	plan    string
	search  searchFlags
}

func newSolveCommand(s *streams) *cobra.Command {
	var o solveOptions
	cmd := &cobra.Command{
		Use:   "solve PROBLEM.json [--plan OUT.json]",
		Short: "Plan a problem file",
		Long: `Reads a problem (pourweek-problem/1), searches for a cheap plan, and writes the
plan (pourweek-plan/1) to the file that --plan names, or to standard output.
PROBLEM.json may be - for standard input. Ctrl-C once: the best plan so far.`,
		Example: `  pourweek solve week.problem.json --plan week.plan.json --time 2s`,
		Args:    exactly("PROBLEM.json"),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.problem = args[0]
			if err := o.search.check(); err != nil {
				return err
			}
			return runSolve(cmd.Context(), s, o)
		},
	}
	cmd.Flags().StringVar(&o.plan, "plan", "", "write the plan to this `file`")
	o.search.add(cmd)
	return cmd
}

func runSolve(ctx context.Context, s *streams, o solveOptions) error {
	out := planOutput(o.plan)
	if err := out.clear(); err != nil {
		return err
	}
	p, err := readProblem(s, o.problem)
	if err != nil {
		return err
	}
	r, err := search(ctx, s, p, o.search)
	if err != nil {
		return err
	}
	if o.plan == "" {
		return model.WritePlan(s.out, r.Plan)
	}
	if err := out.write(func(w io.Writer) error { return model.WritePlan(w, r.Plan) }); err != nil {
		return err
	}
	facts(s, resultRows(r)...)
	return nil
}

// solver answers problems; tests put others in its place.
var solver solve.Solver = solve.Solve

// search runs the solver under the person's limits and gives a result with a
// plan that the checker allows. Everything else is an error: no plan, or a
// refused one.
func search(ctx context.Context, s *streams, p *model.Problem, o searchFlags) (*solve.Result, error) {
	ctx, done := interruptible(ctx, s)
	defer done()
	show := newProgress(s)
	r, err := solver(ctx, p, solve.Options{Seed: o.seed, Work: o.work, Time: o.time, Progress: show.update})
	show.end()
	if err != nil {
		return nil, failf(exitFailed, "%w", err)
	}
	if o.stats {
		printStats(s.err, r)
	}
	if r.Plan == nil {
		err := noPlan(r)
		if r.Status != solve.Infeasible {
			err = withHint(err, "give the search more --time or --work")
		}
		return nil, err
	}
	if v := check.Check(p, r.Plan); !v.Allowed {
		return nil, failf(exitFailed, "the plan that was found breaks a rule, so it is not printed. This is a bug in pourweek:\n%s", v.Broken[0].Text)
	}
	return r, nil
}

// noPlan says that there is no plan, and why.
func noPlan(r *solve.Result) error { return failf(exitNoPlan, "%s", report.NoPlan(r)) }

// resultRows say what is known about a plan, in mils.
func resultRows(r *solve.Result) [][]string {
	l := [][]string{
		{"status", string(r.Status)},
		{"cost", strconv.FormatInt(int64(r.Plan.Cost), 10)},
		{"bound", strconv.FormatInt(int64(r.Plan.Bound), 10)},
	}
	if r.BoundSource != "" {
		l = append(l, []string{"bound_source", r.BoundSource})
	}
	return append(l,
		[]string{"planned", strconv.Itoa(len(r.Plan.Pours))},
		[]string{"carried", strconv.Itoa(len(r.Plan.Carried))},
		[]string{"work", strconv.FormatInt(r.Work, 10)})
}

// printStats prints what each part of the search brought.
func printStats(w io.Writer, r *solve.Result) {
	fmt.Fprintf(w, "%-20s %10s %10s %8s %14s\n", "part", "tried", "kept", "best", "gain mils")
	for _, t := range r.Stats {
		fmt.Fprintf(w, "%-20s %10d %10d %8d %14d\n", t.Name, t.Tried, t.Kept, t.Best, t.Gain)
	}
	fmt.Fprintf(w, "work %d units\n", r.Work)
}

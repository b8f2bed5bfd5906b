package main

import (
	"context"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"pourweek/model"
	"pourweek/model/week"
	"pourweek/solve"
)

type planOptions struct {
	dir    string
	demo   bool
	out    string
	give   bool // publish
	week   weekFlag
	search searchFlags
	view   viewFlags
}

func newPlanCommand(s *streams) *cobra.Command {
	var o planOptions
	cmd := &cobra.Command{
		Use:   "plan [DIR]",
		Short: "Plan a shop's week and print it",
		Long: `Reads the shop in the folder DIR (shop.yaml, orders.csv or orders.xlsx, and
floor.csv if there is one; without DIR the folder you are in), plans the week and
prints it: a summary, the work of each day, what leaves late or is carried to a
later week and why, the racks, the hours. Without floor.csv a week begins as the
published week before and log.csv leave it. The files are never changed.

The same files, seed and work give the same plan. Ctrl-C once ends the search
and prints the best plan so far; twice stops at once.`,
		Example: `  pourweek plan my-shop --week 2027-03-01 --out week.json`,
		Args:    atMostOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			o.dir = folder(args)
			if o.demo && len(args) > 0 {
				return failf(exitUsage, "--demo plans the built-in shop: it goes without %q", args[0])
			}
			if o.demo && o.give {
				return failf(exitUsage, "--publish needs a shop's folder: the built-in shop has none")
			}
			if err := firstError(o.search.check(), o.view.check(), o.week.check()); err != nil {
				return err
			}
			return runPlan(cmd.Context(), s, o)
		},
	}
	f := cmd.Flags()
	f.BoolVar(&o.demo, "demo", false, "plan the built-in shop")
	f.StringVar(&o.out, "out", "", "write the planned week to this `file`, for show")
	f.BoolVar(&o.give, "publish", false, "publish the planned week in the folder DIR/plans, for show, log and replan")
	o.week.add(cmd)
	o.search.add(cmd)
	o.view.add(cmd)
	return cmd
}

func runPlan(ctx context.Context, s *streams, o planOptions) error {
	out := weekOutput(o.out)
	if err := out.clear(); err != nil {
		return err
	}
	l, from, err := loadStart(s, o.dir, o.demo, o.week)
	if err != nil {
		return err
	}
	w, err := planWeek(ctx, s, l, o.search)
	if err != nil {
		return err
	}
	w.Log = from.log
	if err := out.write(func(to io.Writer) error { return model.WriteWeek(to, w) }); err != nil {
		return err
	}
	if o.give { // before it is printed: a reader that stops early does not undo it
		if err := give(s, o.dir, w, from.number); err != nil {
			return err
		}
	}
	if err := printWeek(s, w, o.view); err != nil {
		return err
	}
	if o.out != "" && s.errTerm {
		fmt.Fprintf(s.err, "next: pourweek show %s --view mold\n", o.out)
	}
	return nil
}

// planWeek searches for the plan of a loaded shop and gives the week with it.
func planWeek(ctx context.Context, s *streams, l *week.Loaded, o searchFlags) (*model.Week, error) {
	if o.work == 0 && o.time == 0 {
		o.work = planWork(l.Problem)
	}
	r, err := search(ctx, s, l.Problem, o)
	if err != nil {
		return nil, err
	}
	w := l.Week()
	w.Labels.Notes = append(w.Labels.Notes, week.Shortages(l.Problem)...)
	w.Plan, w.Seed, w.Work = r.Plan, o.seed, r.Work
	w.Status, w.BoundSource = string(r.Status), r.BoundSource
	return w, nil
}

// planWork is the counted work of a plan that names no limit: half of that of
// the solver, some eight seconds of two cores for a usual week.
func planWork(p *model.Problem) int64 { return solve.DefaultWork(p) / 2 }

// weekFlag says which week is meant.
type weekFlag struct{ monday string }

func (o *weekFlag) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&o.monday, "week", "", "plan the week that begins on this `Monday`, such as 2027-03-01\n(default: this week on a Monday, the next on other days)")
}

func (o *weekFlag) check() error {
	if o.monday == "" {
		return nil
	}
	t, err := time.Parse(time.DateOnly, o.monday)
	if err != nil {
		return failf(exitUsage, "--week %q: a date such as 2027-03-01 is needed", o.monday)
	}
	if t.Weekday() != time.Monday {
		m := week.MondayOf(t)
		return failf(exitUsage, "--week %s is a %s; name the Monday, %s or %s", o.monday, t.Weekday(), m, m.Add(7))
	}
	return nil
}

// options are those of package week. today counts where no week is named.
func (o *weekFlag) options(today time.Time) week.Options {
	if t, err := time.Parse(time.DateOnly, o.monday); err == nil {
		return week.Options{Monday: week.MondayOf(t)}
	}
	m := week.MondayOf(today)
	if today.Weekday() != time.Monday { // what is left of a week is for replan
		m = m.Add(7)
	}
	return week.Options{Monday: m}
}

func folder(args []string) string {
	if len(args) > 0 {
		return args[0]
	}
	return "."
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

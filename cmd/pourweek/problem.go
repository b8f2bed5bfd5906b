package main

import (
	"github.com/spf13/cobra"

	"pourweek/model"
)

type problemOptions struct {
	dir  string
	demo bool
	week weekFlag
}

func newProblemCommand(s *streams) *cobra.Command {
	var o problemOptions
	cmd := &cobra.Command{
		Use:   "problem [DIR]",
		Short: "Print the planning problem that a shop's files amount to",
		Long: `Prints the week of the shop in the folder DIR (without DIR the folder you are in)
as a problem (pourweek-problem/1): all physics, calendars and arithmetic worked
out, for "solve", "verify" or another program. The week begins as that of "plan"
does: from floor.csv, or else as the published week before and log.csv leave it.`,
		Example: `  pourweek problem my-shop --week 2027-03-01 > week.problem.json`,
		Args:    atMostOne,
		RunE: func(_ *cobra.Command, args []string) error {
			o.dir = folder(args)
			if o.demo && len(args) > 0 {
				return failf(exitUsage, "--demo takes the built-in shop: it goes without %q", args[0])
			}
			if err := o.week.check(); err != nil {
				return err
			}
			return runProblem(s, o)
		},
	}
	cmd.Flags().BoolVar(&o.demo, "demo", false, "take the built-in shop")
	o.week.add(cmd)
	return cmd
}

func runProblem(s *streams, o problemOptions) error {
	l, _, err := loadStart(s, o.dir, o.demo, o.week)
	if err != nil {
		return err
	}
	return model.WriteProblem(s.out, l.Problem)
}

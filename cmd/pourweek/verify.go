package main

import (
	"strconv"

	"github.com/spf13/cobra"

	"pourweek/model"
	"pourweek/model/check"
)

type verifyOptions struct {
	problem, plan string
}

func newVerifyCommand(s *streams) *cobra.Command {
	var o verifyOptions
	return &cobra.Command{
		Use:   "verify PROBLEM.json PLAN.json",
		Short: "Judge a plan: is it allowed, and what does it cost",
		Long: `Judges a plan (pourweek-plan/1) of a problem (pourweek-problem/1) by every rule
of the planning model, and prints the verdict, then the cost and its terms in
mils (thousandths of the currency), or each rule that is broken. One of the two
files may be - for standard input. Exits 0 if the plan is allowed, 4 if not.`,
		Example: `  pourweek verify week.problem.json week.plan.json`,
		Args:    exactly("PROBLEM.json", "PLAN.json"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.problem, o.plan = args[0], args[1]
			return runVerify(s, o)
		},
	}
}

func runVerify(s *streams, o verifyOptions) error {
	p, err := readProblem(s, o.problem)
	if err != nil {
		return err
	}
	plan, err := readPlan(s, o.plan)
	if err != nil {
		return err
	}
	v := check.Check(p, plan)
	facts(s, verdictRows(v)...)
	if !v.Allowed {
		return failf(exitRefused, "%s: the plan is not allowed", o.plan)
	}
	return nil
}

// verdictRows are the verdict, the rules that are broken, and the cost with
// its terms where the plan has one.
func verdictRows(v *check.Verdict) [][]string {
	verdict := "allowed"
	if !v.Allowed {
		verdict = "not allowed"
	}
	l := [][]string{{"verdict", verdict}}
	priced := true
	for _, b := range v.Broken {
		l = append(l, []string{"broken", string(b.Rule), b.Text})
		switch b.Rule {
		case check.Cost, check.Terms, check.Bound:
		default:
			priced = false
		}
	}
	if !priced {
		return l
	}
	l = append(l, []string{"cost", strconv.FormatInt(int64(v.Cost), 10)})
	for _, name := range model.TermNames {
		l = append(l, []string{name, strconv.FormatInt(int64(*v.Terms.Term(name)), 10)})
	}
	return l
}

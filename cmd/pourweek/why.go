package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/logbook"
	"pourweek/model/shop"
	"pourweek/report"
	"pourweek/solve"
	"pourweek/solve/compare"
	"pourweek/solve/why"
)

type whyOptions struct {
	piece string
	path  string
	by    string
	seed  uint64
	work  int64
	json  bool
	table bool
}

func newWhyCommand(s *streams) *cobra.Command {
	var o whyOptions
	cmd := &cobra.Command{
		Use:   "why [PIECE]",
		Short: "Explain when a piece is ready, or what the week is short of",
		Long: fmt.Sprintf(`Says of a planned piece when it could be ready at the soonest, what each of its
steps waited for, and, if it is late or carried, a least set of facts that
together make it so while no other piece may become late, or later than it is,
and the single changes, of those that it lists as tried, after which a plan has
it on time. Of an order that ships whole it asks this of all pieces at once, as
the order leaves with its last, unless --by names a time for the one. PIECE may
be cut to any beginning that only one has. What was not proven in the work that
is given is said to be so.

Without PIECE it lists what the week is short of. Of each thing that work waited
for it plans the week with one more: a person of the skill, a mold, places on
the rack for one more piece, a mixer, a place of the station. At most %d of
these are tried, the first of each kind and then what work waited for longest;
the others are named. "pourweek compare" tries any of them.

The week is the newest published one, or the one that --plan names.`, mostTight),
		Example: `  pourweek why A-104/1 --plan week.json --by "Thu 12:00"`,
		Args:    atMostOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				o.piece = args[0]
			}
			if o.json && o.table {
				return failf(exitUsage, "--json and --table exclude each other")
			}
			if o.by != "" && o.piece == "" {
				return failf(exitUsage, "--by goes with a piece")
			}
			if err := aboveZero(cmd.Flags().Changed, "work", o.work, "a number above 0 is needed"); err != nil {
				return err
			}
			return runWhy(cmd.Context(), s, o)
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.path, "plan", ".", "explain the week in this `file`, or the newest published one of this folder")
	f.StringVar(&o.by, "by", "", "ask why it is not ready by this `time` (default: when it is due, or the last\ntruck before that leaves)")
	f.Uint64Var(&o.seed, "seed", defaultSeed, "seed of the searches")
	f.Int64Var(&o.work, "work", 0, "counted `units` for each question or change (default: by the size of the week,\nabout a second)")
	f.BoolVar(&o.json, "json", false, "print one JSON document (pourweek-why/1 or pourweek-tight/1)")
	f.BoolVar(&o.table, "table", false, "print tables in a pipe too")
	return cmd
}

func runWhy(ctx context.Context, s *streams, o whyOptions) error {
	w, err := weekToShow(s, o.path)
	if err != nil {
		return err
	}
	if _, ok := checked(w.Problem, w.Plan); !ok {
		return failf(exitRefused, "the plan is not allowed, so there is nothing to explain; see \"pourweek verify\"")
	}
	screen := report.Screen{Width: s.width, Unicode: s.unicode, Color: s.color}
	if o.piece == "" {
		t, err := tightness(ctx, s, w, o)
		if err != nil {
			return err
		}
		switch {
		case o.json:
			return report.WriteTightJSON(s.out, t)
		case o.table || s.outTerm:
			return report.WriteTightText(s.out, t, screen)
		}
		return report.WriteTightRows(s.out, t)
	}
	e, err := explained(ctx, s, w, o)
	switch {
	case err != nil:
		return err
	case o.json:
		return report.WriteExplainedJSON(s.out, e)
	case o.table || s.outTerm:
		return report.WriteExplainedText(s.out, e, w.Currency, screen)
	}
	return report.WriteExplainedRows(s.out, e)
}

// explained answers for one pour. Questions are put only where it is not ready
// by its due time, or by the time that was named. What leaves together is asked
// about together, unless a time was named for the one.
func explained(ctx context.Context, s *streams, w *model.Week, o whyOptions) (*report.Explained, error) {
	p, err := pourNamed(w.Problem, o.piece)
	if err != nil {
		return nil, err
	}
	a := &why.Asker{Problem: w.Problem, Plan: w.Plan, Pour: p.ID, With: why.Together(w.Problem, p), Due: why.By(w.Problem, p), Solve: solve.Solve, Seed: o.seed, Work: o.work}
	if a.Work == 0 {
		a.Work = planWork(w.Problem) / 12
	}
	if o.by != "" {
		k, err := logbook.KnownOf(w)
		if err != nil {
			return nil, inputError(fmt.Errorf("%s: %w", o.path, err))
		}
		t, err := k.Time(o.by)
		if err != nil {
			return nil, failf(exitUsage, "--by %w", err)
		}
		a.Due, a.With = ticksTo(w.Problem, t), nil
	}
	if why.InTime(w.Plan, a.Asked(), a.Due) {
		return explain(w, report.Question{Pour: p.ID, By: a.Due})
	}
	if s.errTerm {
		fmt.Fprint(s.err, "asking what makes it late")
		defer fmt.Fprint(s.err, "\r\x1b[K")
	}
	cause := &why.Cause{Impossible: why.No, Least: true, Alone: true, Proof: why.Steps}
	if len(report.Slow(w, a.Asked(), a.Due)) == 0 {
		if cause, err = a.Cause(ctx); err != nil {
			return nil, failf(exitFailed, "%w", err)
		}
	}
	tried := a.Changes(cause.Alone)
	mends, err := a.Mends(ctx, tried, checked)
	if err != nil {
		return nil, failf(exitFailed, "%w", err)
	}
	return explain(w, report.Question{Pour: p.ID, With: a.With, By: a.Due, Cause: cause, Mends: mends, Tried: tried, Work: a.Work})
}

func explain(w *model.Week, ask report.Question) (*report.Explained, error) {
	e, err := report.Explain(w, ask)
	if err != nil {
		return nil, failf(exitFailed, "%w", err)
	}
	return e, nil
}

// pourNamed finds the one pour whose id is, or begins with, the word.
func pourNamed(p *model.Problem, word string) (*model.Pour, error) {
	var hits, all []string
	found := -1
	for i := range p.Pours {
		id := p.Pours[i].ID
		all = append(all, id)
		if id == word {
			return &p.Pours[i], nil
		}
		if strings.HasPrefix(strings.ToLower(id), strings.ToLower(word)) {
			hits, found = append(hits, id), i
		}
	}
	switch len(hits) {
	case 1:
		return &p.Pours[found], nil
	case 0:
		return nil, failf(exitUsage, "%q: the week has no such piece; there are %s", word, diag.Words(all))
	}
	return nil, failf(exitUsage, "%q could be %s; write more of it", word, diag.Words(hits))
}

// mostTight is how many changes of a week are tried, each with two seeds; what
// work waited for beyond that is named as left untried.
const mostTight = 8

// tightness lists the loads and tries one more of what work waited for.
func tightness(ctx context.Context, s *streams, w *model.Week, o whyOptions) (*report.Tightness, error) {
	loads := why.Tight(w.Problem, w.Plan)
	cases, left := why.More(w.Problem, loads, mostTight)
	var more *report.Cases
	if len(cases) > 0 {
		c := compareOptions{seed: o.seed, seeds: 2, work: o.work}
		rows, err := c.run(ctx, s, w.Problem, cases)
		if err != nil {
			return nil, err
		}
		if r := rows[0].Result; r.Plan != nil && r.Plan.Cost > w.Plan.Cost {
			fmt.Fprintf(s.err, "note: this plan costs %.2f %s; the cases, today's week too, are planned anew with less work each: compare them with each other\n",
				float64(w.Plan.Cost)/1000, w.Currency)
		}
		prices := func(r compare.Row) (model.Mils, bool) { return priceOf(r, w.Problem, shop.Prices{}) }
		if more, err = report.BuildCases(w, rows, prices); err != nil {
			return nil, failf(exitFailed, "%w", err)
		}
	}
	t, err := report.BuildTight(w, loads, more, left)
	if err != nil {
		return nil, failf(exitFailed, "%w", err)
	}
	return t, nil
}

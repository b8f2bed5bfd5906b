package main

import (
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/report"
)

// viewFlags say how a week is printed, the same for every command that prints
// one.
type viewFlags struct {
	view  string
	json  bool
	table bool
}

func (o *viewFlags) add(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&o.view, "view", string(report.ByDay), "group the week by `what`: "+viewNames())
	f.BoolVar(&o.json, "json", false, "print one JSON document (pourweek-board/1)")
	f.BoolVar(&o.table, "table", false, "print tables in a pipe too")
}

func viewNames() string {
	var l []string
	for _, v := range report.Views {
		l = append(l, string(v))
	}
	return strings.Join(l, ", ")
}

func (o *viewFlags) check() error {
	for _, v := range report.Views {
		if o.view == string(v) {
			if o.json && o.table {
				return failf(exitUsage, "--json and --table exclude each other")
			}
			return nil
		}
	}
	return failf(exitUsage, "--view %q: one of %s is needed", o.view, viewNames())
}

// printWeek prints a week whose plan the checker allows: tables on a terminal,
// rows in a pipe, or JSON. Of a refused plan it prints nothing.
func printWeek(s *streams, w *model.Week, o viewFlags) error {
	if w.Plan == nil {
		return failf(exitNoPlan, "the week holds no plan")
	}
	v := check.Check(w.Problem, w.Plan)
	if !v.Allowed {
		return failf(exitRefused, "the plan is not allowed, so it is not shown: %s", v.Broken[0].Text)
	}
	if w.Plan.Cost == model.Unstated {
		w.Plan.Cost, w.Plan.Terms = v.Cost, v.Terms
	}
	board, err := report.Build(w)
	if err != nil {
		return inputError(err)
	}
	switch {
	case o.json:
		return report.WriteJSON(s.out, board)
	case o.table || s.outTerm:
		screen := report.Screen{View: report.View(o.view), Width: s.width, Unicode: s.unicode, Color: s.color}
		return report.WriteText(s.out, board, screen)
	}
	return report.WriteRows(s.out, board, report.View(o.view))
}

type showOptions struct {
	path string
	view viewFlags
}

func newShowCommand(s *streams) *cobra.Command {
	var o showOptions
	cmd := &cobra.Command{
		Use:   "show [PLAN]",
		Short: "Show a week that was planned before",
		Long: fmt.Sprintf(`Shows a week that "plan --out" wrote, grouped by %s.
PLAN is the file, or a shop's folder: then its newest published week is shown.
Without PLAN it is the folder you are in. A terminal gets tables, a pipe gets
rows of cells separated by tabs.`, viewNames()),
		Example: `  pourweek show week.json --view mold`,
		Args:    atMostOne,
		RunE: func(_ *cobra.Command, args []string) error {
			o.path = "."
			if len(args) > 0 {
				o.path = args[0]
			}
			if err := o.view.check(); err != nil {
				return err
			}
			return runShow(s, o)
		},
	}
	o.view.add(cmd)
	return cmd
}

func runShow(s *streams, o showOptions) error {
	w, err := weekToShow(s, o.path)
	if err != nil {
		return err
	}
	return printWeek(s, w, o.view)
}

// weekToShow reads a week's file, or the newest published week of a folder.
func weekToShow(s *streams, path string) (*model.Week, error) {
	if !isFolder(path) {
		return readFile(s, path, model.ReadWeek)
	}
	p, err := newest(s, path)
	if err != nil {
		return nil, err
	}
	if p == nil {
		return nil, withHint(failf(exitInput, "%s: no week was published here", path),
			`publish one with "pourweek plan --publish", or name the file that "plan --out" wrote`)
	}
	return p.week, nil
}

func isFolder(path string) bool {
	st, err := os.Stat(path)
	return err == nil && st.IsDir()
}

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"pourweek/model"
	"pourweek/model/week"
)

// goOnFrom has a loaded week begin as the week published for an earlier Monday
// leaves things, with the log, if there is one and the folder has no floor.csv.
// It returns the number of the week that is published for the same Monday, 0
// for none.
func goOnFrom(s *streams, dir string, l *week.Loaded) (number int, err error) {
	h, err := readHistory(s, dir)
	if err != nil || len(h.weeks) == 0 {
		return 0, err
	}
	before := &history{dir: dir}
	for _, p := range h.weeks {
		if p.monday == l.Monday {
			number = max(number, p.number)
		}
		if p.monday < l.Monday {
			before.weeks = append(before.weeks, p)
		}
	}
	if len(before.weeks) == 0 {
		return number, nil
	}
	if _, err := os.Stat(filepath.Join(dir, week.FloorFile)); err == nil {
		fmt.Fprintf(s.err, "note: %s says how the week begins; take it out to go on from the published week of %s\n",
			week.FloorFile, before.weeks[0].monday)
		return number, nil
	}
	if err := before.readLog(); err != nil {
		return 0, err
	}
	var opts week.Options
	if day, err := time.Parse(time.DateOnly, l.Monday); err == nil {
		opts.Monday = week.MondayOf(day)
	}
	again, err := before.inTheAir(l, opts)
	if err != nil {
		return 0, err
	}
	*l = *again
	asked := model.Problem{Pours: slices.Clone(l.Problem.Pours)}
	notes, err := before.goOn(l.Problem, true, false)
	if err != nil {
		return 0, err
	}
	if issues := l.Problem.Validate(); len(issues) > 0 {
		return 0, withHint(failf(exitNoPlan, "the week cannot begin as the one before leaves it: %s", issues[0].Text),
			"write where things stand into %s", week.FloorFile)
	}
	l.Labels = together(l.Labels, before.newest().Labels)
	l.Labels.Notes = withoutOrders(l.Labels.Notes, &asked, l.Problem)
	l.Labels.Notes = append(l.Labels.Notes, "the week begins as "+filepath.Base(before.weeks[0].path)+" and the log leave it")
	for _, n := range notes {
		l.Labels.Notes = append(l.Labels.Notes, n.String())
	}
	return number, nil
}

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

// goneOn is what a week goes on from.
type goneOn struct {
	number int      // of the week that is published for the same Monday, 0 for none
	log    []string // the lines of log.csv that are worked in
}

// goOnFrom has a loaded week begin as the week published for an earlier Monday
// leaves things, with the log, if there is one and the folder has no floor.csv.
func goOnFrom(s *streams, dir string, l *week.Loaded) (goneOn, error) {
	var g goneOn
	h, err := readHistory(s, dir)
	if err != nil || len(h.weeks) == 0 {
		return g, err
	}
	before := &history{dir: dir}
	for _, p := range h.weeks {
		if p.monday == l.Monday {
			g.number = max(g.number, p.number)
		}
		if p.monday < l.Monday {
			before.weeks = append(before.weeks, p)
		}
	}
	if len(before.weeks) == 0 {
		return g, nil
	}
	if _, err := os.Stat(filepath.Join(dir, week.FloorFile)); err == nil {
		fmt.Fprintf(s.err, "note: %s says how the week begins; take it out to go on from the published week of %s\n",
			week.FloorFile, before.weeks[0].monday)
		if before.readLog() == nil { // what it tells stands in floor.csv by now
			if x, err := before.sift(l.Problem, true); err == nil {
				g.log = x.lines
			}
		}
		return g, nil
	}
	if err := before.readLog(); err != nil {
		return g, err
	}
	var opts week.Options
	if day, err := time.Parse(time.DateOnly, l.Monday); err == nil {
		opts.Monday = week.MondayOf(day)
	}
	again, err := before.inTheAir(l, opts)
	if err != nil {
		return g, err
	}
	*l = *again
	x, err := before.sift(l.Problem, true)
	if err != nil {
		return g, inputError(err)
	}
	before.warnLate(s, x)
	g.log = x.lines
	asked := model.Problem{Pours: slices.Clone(l.Problem.Pours)}
	notes, err := before.goOn(l.Problem, true, false)
	if err != nil {
		return g, err
	}
	if issues := l.Problem.Validate(); len(issues) > 0 {
		return g, withHint(failf(exitNoPlan, "the week cannot begin as the one before leaves it: %s",
			stopped(l.Problem, issues[0], before.newest().Zone)),
			"write where things stand into %s", week.FloorFile)
	}
	l.Labels = together(l.Labels, before.newest().Labels)
	l.Labels.Notes = withoutOrders(l.Labels.Notes, &asked, l.Problem)
	l.Labels.Notes = append(l.Labels.Notes, "the week begins as "+filepath.Base(before.weeks[0].path)+" and the log leave it")
	for _, n := range notes {
		l.Labels.Notes = append(l.Labels.Notes, n.String())
	}
	return g, nil
}

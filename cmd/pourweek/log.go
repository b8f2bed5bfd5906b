package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"pourweek/model/logbook"
	"pourweek/model/replan"
)

func newLogCommand(s *streams) *cobra.Command {
	return &cobra.Command{
		Use:   "log [DIR] WHEN WHAT WHICH [DETAIL...]",
		Short: "Write down what went otherwise than planned",
		Long: `Adds a line to log.csv in the shop's folder DIR (without DIR the folder you are
in), from which "replan" goes on. WHEN is now, a day and hour of the published
week (Tue 11:00), or a date and hour (2027-03-02 11:00). Names may be cut to any
beginning that only one has. Only what differs from the plan needs a line. The
file can be written by hand or in a spreadsheet too.

Without WHEN it lists what can be logged.`,
		Example: `  pourweek log my-shop Tue 10:40 longer A-104/1 edge grind 30 min`,
		RunE: func(_ *cobra.Command, args []string) error {
			dir := "."
			if len(args) > 0 && isFolder(args[0]) {
				dir, args = args[0], args[1:]
			}
			if len(args) == 0 {
				return listEvents(s)
			}
			return runLog(s, dir, args)
		},
	}
}

// listEvents prints what can be logged: a table on a terminal, rows in a pipe.
func listEvents(s *streams) error {
	wide := [3]int{4, 5, 6}
	for _, r := range logbook.Reference() {
		for i := range wide {
			wide[i] = max(wide[i], len(r[i]))
		}
	}
	line := func(r [4]string) {
		if s.outTerm {
			fmt.Fprintf(s.out, "%-*s  %-*s  %-*s  %s\n", wide[0], r[0], wide[1], r[1], wide[2], r[2], r[3])
			return
		}
		rows(s.out, r[:])
	}
	line([4]string{"what", "which", "detail", "meaning"})
	for _, r := range logbook.Reference() {
		line(r)
	}
	return nil
}

// runLog adds one entry. Nothing is written unless the entry is right.
func runLog(s *streams, dir string, args []string) error {
	h, err := readHistory(s, dir)
	if err != nil {
		return err
	}
	if err := h.needWeek(); err != nil {
		return err
	}
	k, err := h.known(false)
	if err != nil {
		return err
	}
	f, err := logFields(s, k, args)
	if err != nil {
		return err
	}
	readable := h.readLog() == nil // else it is for replan to tell
	k.Brings(h.log)
	e, err := logbook.Parse(f, k)
	if err != nil {
		e, err = h.parseOld(f, err)
	}
	if err != nil {
		return withHint(failf(exitUsage, "nothing was logged: %w", err), `"pourweek log" lists what can be logged`)
	}
	var notes []replan.Note
	if readable {
		if notes, err = h.try(e); err != nil {
			return err
		}
	}
	if err := addEntry(filepath.Join(dir, logFile), e); err != nil {
		return err
	}
	fmt.Fprint(s.out, e.Line())
	for _, n := range notes {
		fmt.Fprintln(s.err, n)
	}
	since, err := tickTime(h.newest().Problem, h.newest().Problem.Now)
	switch {
	case err != nil:
		return inputError(err)
	case tells(e) && !tellsLater(e) && e.When.Before(since):
		fmt.Fprintf(s.err, "note: %s\n", h.tooLate(e, since))
	}
	return nil
}

// parseOld reads an entry about a piece of an earlier Monday, as the file may have
// one: it can be thrown away while it waits for its truck. What is no such entry
// has the error that it had by the names of the newest.
func (h *history) parseOld(f [4]string, as error) (logbook.Entry, error) {
	k, err := h.known(true)
	if err != nil {
		return logbook.Entry{}, as
	}
	e, err := logbook.Parse(f, k)
	if err != nil || e.What != logbook.Scrapped || e.Which != f[2] {
		return logbook.Entry{}, as
	}
	return e, nil
}

// addEntry adds a line to the log, in the form that the file has. A file that
// could not be read afterwards is left as it is.
func addEntry(name string, e logbook.Entry) error {
	data, err := os.ReadFile(name)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return inputError(plain(err))
	}
	form, bare, bad := logbook.End(logFile, data)
	if bad.Len() > 0 {
		return withHint(inputError(bad), "nothing was logged; mend %s first", logFile)
	}
	head, line := form.Line(logbook.Header), form.Line(e.Row())
	if bare && len(data) > 0 {
		line = head + line
	}
	if err := appendWhole(name, head, line, form.End); err != nil {
		return failf(exitKept, "%s: nothing was logged: %w", name, reason(err))
	}
	return nil
}

// try works an entry in, with those that are in the log, as of its time. It gives
// the notes about an order that it changes and the cautions about a piece that it
// has out of its mold; the error is that it cannot be. What else cannot be is for
// replan to tell.
func (h *history) try(e logbook.Entry) ([]replan.Note, error) {
	h.log = append(h.log, e)
	slices.SortStableFunc(h.log, func(a, b logbook.Entry) int { return a.When.Compare(b.When) })
	pub := h.newest().Problem
	notes, err := h.goOn(replan.Fresh(pub, ticksTo(pub, e.When.Add(time.Minute))), false, false)
	var r replan.Refused
	if errors.As(err, &r) {
		for _, x := range r {
			if x.Names(e) {
				return nil, withHint(failf(exitUsage, "nothing was logged: %s", x.Text), "%s", x.Hint)
			}
		}
	}
	return slices.DeleteFunc(notes, func(n replan.Note) bool {
		return n.Pour != e.Which || tells(e) && !(n.Caution && e.What == logbook.Demolded)
	}), nil
}

// logFields cuts the arguments into the four fields of an entry. WHEN may be
// two arguments, Tue 11:00.
func logFields(s *streams, k *logbook.Known, args []string) ([4]string, error) {
	var f [4]string
	f[0], args = args[0], args[1:]
	if f[0] == "now" {
		f[0] = s.now().In(k.Zone).Format("2006-01-02 15:04")
	} else if len(args) > 0 && isHour(args[0]) {
		f[0], args = f[0]+" "+args[0], args[1:]
	}
	if len(args) < 2 {
		return f, withHint(failf(exitUsage, "%s is missing", []string{"WHAT", "WHICH"}[len(args)]), `"pourweek log" lists what can be logged`)
	}
	what, which, detail := args[0], args[1], args[2:]
	if len(detail) > 0 && (strings.EqualFold(detail[0], "C") || strings.EqualFold(detail[0], "F")) {
		which, detail = which+" "+detail[0], detail[1:] // air 28 C
	}
	f[1], f[2], f[3] = what, which, strings.Join(detail, " ")
	return f, nil
}

func isHour(word string) bool {
	_, err := time.Parse("15:04", word)
	return err == nil
}

package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/logbook"
	"pourweek/model/replan"
)

const logFile = "log.csv"

// history is what a shop published and logged.
type history struct {
	dir   string
	weeks []*published // the one that holds first
	log   []logbook.Entry
}

// readHistory reads all published weeks of a folder. The log is read by readLog.
func readHistory(s *streams, dir string) (*history, error) {
	h := &history{dir: dir}
	entries, err := os.ReadDir(filepath.Join(dir, plansFolder))
	if os.IsNotExist(err) {
		return h, nil
	}
	if err != nil {
		return nil, inputError(plain(err))
	}
	for _, e := range entries {
		m := planName.FindStringSubmatch(e.Name())
		if m == nil {
			continue
		}
		n, _ := strconv.Atoi(m[2]) // at most six digits
		h.weeks = append(h.weeks, &published{path: filepath.Join(dir, plansFolder, e.Name()), monday: m[1], number: n})
	}
	slices.SortFunc(h.weeks, func(a, b *published) int {
		return cmp.Or(cmp.Compare(b.monday, a.monday), cmp.Compare(b.number, a.number))
	})
	for _, p := range h.weeks {
		if p.week, err = readFile(s, p.path, model.ReadWeek); err != nil {
			return nil, err
		}
	}
	return h, nil
}

// needWeek is the error of a command that goes on from a published week where
// there is none.
func (h *history) needWeek() error {
	if len(h.weeks) > 0 {
		return nil
	}
	return withHint(failf(exitInput, "%s: no week was published here", h.dir), `publish one with "pourweek plan %s --publish"`, h.dir)
}

// newest is the week that holds.
func (h *history) newest() *model.Week { return h.weeks[0].week }

// known lists what can be named: in all published weeks, or in those of the
// Monday that holds.
func (h *history) known(all bool) (*logbook.Known, error) {
	var l []*model.Week
	for _, p := range h.weeks {
		if all || p.monday == h.weeks[0].monday {
			l = append(l, p.week)
		}
	}
	k, err := logbook.KnownOf(l...)
	if err != nil {
		return nil, inputError(fmt.Errorf("%s: %w", h.weeks[0].path, err))
	}
	return k, nil
}

// readLog reads the log with the names of all published weeks.
func (h *history) readLog() error {
	name := filepath.Join(h.dir, logFile)
	data, err := os.ReadFile(name)
	if os.IsNotExist(err) {
		return nil
	}
	if err != nil {
		return inputError(plain(err))
	}
	k, err := h.known(true)
	if err != nil {
		return err
	}
	log, bad := logbook.Read(logFile, data, k)
	if bad.Len() > 0 {
		return inputError(bad)
	}
	h.log = log
	return nil
}

// left lists the pours that a published week had and the one that holds has no
// more: they are done, or were dropped.
func (h *history) left() map[string]bool {
	gone := map[string]bool{}
	for _, p := range h.weeks[1:] {
		for i := range p.week.Problem.Pours {
			gone[p.week.Problem.Pours[i].ID] = true
		}
	}
	for i := range h.newest().Problem.Pours {
		delete(gone, h.newest().Problem.Pours[i].ID)
	}
	return gone
}

// goOn lays the state of the week that holds over q at q.Now, as the log tells
// it. made says that q was compiled from the shop's files, so that all of the
// log is still to be worked in; else q is the published problem. For inOrder
// see replan.Facts.
func (h *history) goOn(q *model.Problem, made, inOrder bool) ([]replan.Note, error) {
	pub := h.newest()
	x, err := h.sift(q, made)
	if err != nil {
		return nil, inputError(err)
	}
	var notes []replan.Note
	redone := map[string]bool{}
	for i, e := range x.happened {
		notes = append(notes, replan.Note{Pour: "log", Text: x.told[i]})
		redone[e.Which] = redone[e.Which] || e.What == logbook.Failed || e.What == logbook.Scrapped
	}
	before := slices.Clone(q.Pours)
	more, err := replan.ApplyLog(q, x.holds)
	if err != nil {
		return nil, inputError(err)
	}
	notes = append(notes, more...)
	asks := replan.Quantities{Files: h.recipes(q, before)}
	if made { // what left goes after ApplyLog: the log brings pours too
		gone := h.left()
		q.Pours = slices.DeleteFunc(q.Pours, func(p model.Pour) bool { return gone[p.ID] && !redone[p.ID] })
		asks.Log = x.worked(quantities(x.holds))
		notes = append(notes, asks.KeepQuantities(q, pub.Problem, redone)...)
	}
	if more, err = replan.PastDues(q, x.holds); err != nil {
		return nil, inputError(err)
	}
	notes = append(notes, more...)
	facts, err := replan.FactsOf(pub.Problem, x.happened)
	if err != nil {
		return nil, refused(err, x.happened)
	}
	if facts.Zone, err = time.LoadLocation(pub.Zone); err != nil {
		return nil, inputError(fmt.Errorf("time zone %q is not known", pub.Zone))
	}
	facts.InOrder = inOrder
	facts.Recure = made && slices.ContainsFunc(h.log, func(e logbook.Entry) bool { return e.What == logbook.Air && e.Until.After(x.since) })
	_, more, err = replan.Advance(q, pub.Problem, pub.Plan, facts)
	if err != nil {
		return nil, refused(err, x.happened)
	}
	notes = append(notes, more...)
	asks.Log, asks.Done, asks.Known = quantities(x.happened), h.done(q), h.everKnown()
	if more, err = asks.Apply(q); err != nil {
		return nil, refused(err, x.happened)
	}
	return append(notes, more...), nil
}

// refused is the error of a log that cannot be: entries that are wrong by
// themselves each at its place, else what cannot have gone together.
func refused(err error, log []logbook.Entry) error {
	var r replan.Refused
	if !errors.As(err, &r) {
		return inputError(err)
	}
	if list := r.Problems(log); list.Len() > 0 {
		return &failure{code: exitInput, err: &cannotBe{r, list}}
	}
	return withHint(&failure{code: exitNoPlan, err: fmt.Errorf("the week cannot go on as the log tells it: %w", r)}, "%s", r[0].Hint)
}

// cannotBe prints the refusals of a log, each at its place.
type cannotBe struct {
	replan.Refused
	list *diag.List
}

func (c *cannotBe) Error() string { return c.list.Error() }
func (c *cannotBe) Unwrap() error { return c.Refused }

// withoutOrders takes out the notes on the files that are about orders of which
// nothing is left to plan.
func withoutOrders(notes []string, before, q *model.Problem) []string {
	return slices.DeleteFunc(notes, func(n string) bool {
		for i := range before.Pours {
			id := before.Pours[i].Order
			left := slices.ContainsFunc(q.Pours, func(p model.Pour) bool { return p.Order == id })
			if !left && strings.Contains(n, fmt.Sprintf("order %q", id)) {
				return true
			}
		}
		return false
	})
}

// firstOpen is the first tick from now on in which the shop works: until then
// what is logged belongs to how things stand.
func firstOpen(q *model.Problem) model.Tick {
	for _, iv := range q.Open {
		if iv[1] > q.Now {
			return max(iv[0], q.Now)
		}
	}
	return q.Now
}

// tickTime is the moment at which a tick begins.
func tickTime(p *model.Problem, t model.Tick) (time.Time, error) {
	start, err := time.Parse(time.RFC3339, p.Start)
	if err != nil {
		return start, fmt.Errorf("start %q is no moment in time", p.Start)
	}
	return start.Add(time.Duration(t) * time.Duration(p.TickMinutes) * time.Minute), nil
}

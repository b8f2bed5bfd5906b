package main

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"pourweek/model"
	"pourweek/model/logbook"
)

const logFile = "log.csv"

// history is what a shop published and logged.
type history struct {
	dir   string
	weeks []*published // the one that holds first
	log   []logbook.Entry
}

// readHistory reads all published weeks of a folder and its log. Without a
// published week it is empty, and the log is not read.
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
	if len(h.weeks) == 0 {
		return h, nil
	}
	return h, h.readLog()
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

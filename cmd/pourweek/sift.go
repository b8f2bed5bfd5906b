package main

import (
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"pourweek/model"
	"pourweek/model/logbook"
)

// sifted is the log as it bears on going on from a published week.
type sifted struct {
	since    time.Time       // the published week goes on from here
	happened []logbook.Entry // news: the week was published without them
	told     []string        // the same in words
	holds    []logbook.Entry // what the shop has and what is ordered, for replan.ApplyLog
	late     []logbook.Entry // news of before the week was published, which it cannot take in
	lines    []string        // all that were worked in, news or not
	gone     []string        // lines that the published week was planned with and that the log has no more
}

// sift sorts the log by what the published week was planned with. News of
// before it was published count from that moment on where that tells the same,
// as for a piece that was scrapped; the others are late. For made see goOn.
func (h *history) sift(q *model.Problem, made bool) (*sifted, error) {
	pub := h.newest()
	x := &sifted{}
	var err error
	if x.since, err = tickTime(pub.Problem, pub.Problem.Now); err != nil {
		return nil, err
	}
	until, err := tickTime(q, firstOpen(q)+1)
	if err != nil {
		return nil, err
	}
	worked := map[string]int{}
	for _, line := range pub.Log {
		worked[line]++
	}
	for _, e := range h.log {
		line, now := strings.TrimSuffix(e.Line(), "\n"), e.When.Before(until)
		news := worked[line] <= 0
		worked[line]--
		if now || e.Planned() {
			x.lines = append(x.lines, line)
			if made || news {
				x.holds = append(x.holds, e)
			}
		}
		told := words(e)
		switch {
		case !news || !now && !e.Planned():
			continue
		case tells(e) && e.When.Before(x.since) && !tellsLater(e):
			x.late = append(x.late, e)
			x.lines = x.lines[:len(x.lines)-1] // it is not worked in
			continue
		case tells(e) && e.When.Before(x.since):
			e.When, e.Was = x.since, e.When
		}
		x.happened, x.told = append(x.happened, e), append(x.told, told)
	}
	for _, line := range pub.Log {
		if fields := strings.Split(line, ","); worked[line] > 0 && len(fields) > 1 && tells(logbook.Entry{What: logbook.Kind(fields[1])}) {
			x.gone = append(x.gone, line)
			worked[line]--
		}
	}
	return x, nil
}

// worked are the entries of a log that are no news.
func (x *sifted) worked(log []logbook.Entry) []logbook.Entry {
	news := map[logbook.Entry]bool{}
	for _, e := range x.happened {
		news[e] = true
	}
	var out []logbook.Entry
	for _, e := range log {
		if !news[e] {
			out = append(out, e)
		}
	}
	return out
}

// words is an entry in one line, for people.
func words(e logbook.Entry) string { return strings.TrimSpace(strings.Join(e.Row(), " ")) }

// tells reports whether the entry says how the published plan went.
func tells(e logbook.Entry) bool {
	switch e.What {
	case logbook.Order, logbook.Due, logbook.Quantity, logbook.Cancel:
		return false
	}
	return !e.Planned()
}

// tellsLater reports whether such an entry tells the same if it is taken as of
// a later moment: that something is over, not when it began or how long it takes.
func tellsLater(e logbook.Entry) bool {
	switch e.What {
	case logbook.Failed, logbook.Scrapped, logbook.Demolded, logbook.Finished:
		return true
	}
	return false
}

// warnLate says on the error stream which lines of the log come too late, or
// were taken out too late, and what to do.
func (h *history) warnLate(s *streams, x *sifted) {
	for _, e := range x.late {
		fmt.Fprintf(s.err, "note: %s: %s\n", e.Position, h.tooLate(e, x.since))
	}
	for _, line := range x.gone {
		fmt.Fprintf(s.err, "note: %s has no more %q, with which %s was planned: that stays worked in; log what is so instead\n",
			logFile, line, filepath.Base(h.weeks[0].path))
	}
}

// tooLate says why an entry is left out, and what to do.
func (h *history) tooLate(e logbook.Entry, since time.Time) string {
	from := since.In(e.When.Location()).Format("2006-01-02 15:04")
	return fmt.Sprintf("%q is of before %s, from which %s goes on, and was not known then: it is left out; if it still holds, log it as of %s, else take it out",
		words(e), from, filepath.Base(h.weeks[0].path), from)
}

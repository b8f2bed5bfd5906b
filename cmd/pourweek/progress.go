package main

import (
	"fmt"
	"sync"
	"time"

	"pourweek/solve"
)

// progressEvery is the time between two looks at a search: five a second.
const progressEvery = 200 * time.Millisecond

// progress shows a search on one line of a terminal, at most five times a
// second, and clears the line at the end. Without a terminal it shows nothing.
type progress struct {
	s    *streams
	stop chan struct{}
	gone sync.WaitGroup

	mu    sync.Mutex
	last  solve.Progress
	fresh bool
}

func newProgress(s *streams) *progress {
	p := &progress{s: s, stop: make(chan struct{})}
	if s.errTerm {
		p.gone.Go(p.loop)
	}
	return p
}

// update takes note of a snapshot; the search calls it as often as it likes.
func (p *progress) update(x solve.Progress) {
	p.mu.Lock()
	p.last, p.fresh = x, true
	p.mu.Unlock()
}

func (p *progress) loop() {
	begin := time.Now()
	tick := time.NewTicker(progressEvery)
	defer tick.Stop()
	for {
		select {
		case <-p.stop:
			fmt.Fprint(p.s.err, "\r\x1b[K")
			return
		case <-tick.C:
			p.mu.Lock()
			x, known := p.last, p.fresh
			p.mu.Unlock()
			fmt.Fprint(p.s.err, "\r\x1b[K"+progressLine(x, known, time.Since(begin)))
		}
	}
}

// end clears the line. It waits until nothing more is written.
func (p *progress) end() {
	close(p.stop)
	p.gone.Wait()
}

// progressLine fits a line of 60 columns.
func progressLine(x solve.Progress, known bool, elapsed time.Duration) string {
	line := fmt.Sprintf("%4.0f s  ", elapsed.Seconds())
	if !known || x.Cost < 0 {
		return line + "searching for a first plan"
	}
	line += fmt.Sprintf("cost %.2f", float64(x.Cost)/1000)
	if x.Bound > 0 {
		line += fmt.Sprintf("  bound %.2f", float64(x.Bound)/1000)
		if x.Cost > 0 {
			line += fmt.Sprintf("  gap %.1f %%", 100*float64(x.Cost-x.Bound)/float64(x.Cost))
		}
	}
	return line
}

package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"
)

// interruptible gives a context that the first Ctrl-C ends, so that a search
// hands over the best plan so far. The second Ctrl-C stops the program at once.
// done gives the signals back.
func interruptible(ctx context.Context, s *streams) (inner context.Context, done func()) {
	inner, cancel := context.WithCancel(ctx)
	signals := make(chan os.Signal, 2)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM)
	go func() {
		if _, interrupted := <-signals; !interrupted {
			return
		}
		cancel()
		if s.errTerm {
			fmt.Fprint(s.err, "\r\x1b[K")
		}
		fmt.Fprintln(s.err, "stopping with the best plan so far; Ctrl-C again stops at once")
		if _, again := <-signals; again {
			s.exit(exitStopped)
		}
	}()
	return inner, func() {
		signal.Stop(signals)
		close(signals)
		cancel()
	}
}

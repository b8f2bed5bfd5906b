//go:build unix

package main

import (
	"context"
	"strings"
	"syscall"
	"testing"
	"time"
)

// interrupt sends the signal of Ctrl-C to this process.
func interrupt(t *testing.T) {
	t.Helper()
	if err := syscall.Kill(syscall.Getpid(), syscall.SIGINT); err != nil {
		t.Fatal(err)
	}
}

func waitFor(t *testing.T, what string, done func() bool) {
	t.Helper()
	for range 600 {
		if done() {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatalf("%s did not come about", what)
}

// The first Ctrl-C ends the search, the second the program.
func TestCtrlC(t *testing.T) {
	s, _, errs := terminal(nil)
	code := make(chan int, 1)
	s.exit = func(c int) { code <- c }
	ctx, done := interruptible(context.Background(), s)
	defer done()
	interrupt(t)
	waitFor(t, "the end of the search", func() bool { return ctx.Err() != nil })
	waitFor(t, "the word about it", func() bool { return strings.Contains(errs.String(), "best plan so far; Ctrl-C again stops at once\n") })
	if len(code) > 0 {
		t.Fatal("the first Ctrl-C stops at once")
	}
	interrupt(t)
	waitFor(t, "the end", func() bool { return len(code) == 1 })
	if c := <-code; c != exitStopped {
		t.Errorf("exit code %d, want %d", c, exitStopped)
	}
}

// A search that is over gives the signals back without a word.
func TestNoCtrlC(t *testing.T) {
	s, _, errs := terminal(nil)
	ctx, done := interruptible(context.Background(), s)
	if ctx.Err() != nil {
		t.Error("ended before it began")
	}
	done()
	time.Sleep(50 * time.Millisecond)
	if errs.String() != "" {
		t.Errorf("%q was written", errs)
	}
}

// After Ctrl-C the best plan so far is printed like any other.
func TestCtrlCPrintsTheBestPlanSoFar(t *testing.T) {
	s, out, errs := terminal(nil)
	s.exit = func(int) { t.Error("stopped at once") }
	code := make(chan int, 1)
	go func() { code <- run(s, []string{"plan", "--demo", "--time", "60s"}) }()
	// The line of progress shows that the search has begun and hears signals.
	waitFor(t, "a first plan", func() bool { return strings.Contains(errs.String(), "cost ") })
	interrupt(t)
	waitFor(t, "the end of the search", func() bool { return len(code) == 1 })
	if c := <-code; c != exitOK {
		t.Fatalf("exit code %d: %s", c, errs)
	}
	if !strings.Contains(errs.String(), "stopping with the best plan so far") {
		t.Error("the search went on to its end")
	}
	if !strings.Contains(out.String(), "Monday, March 1, 2027") {
		t.Error("no plan was printed")
	}
}

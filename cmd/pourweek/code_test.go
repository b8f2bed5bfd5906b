package main

import (
	"errors"
	"os/exec"
	"strconv"

	"github.com/rogpeppe/go-internal/testscript"
)

// exitsWith is the script command code N CMD ARGS...: the command must exit
// with N. Its output can be looked at with stdout and stderr as after exec.
func exitsWith(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: code N CMD ARGS...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var x *exec.ExitError
		if !errors.As(err, &x) {
			ts.Fatalf("%s: %v", args[1], err)
		}
		got = x.ExitCode()
	}
	if got != want {
		ts.Fatalf("%v exits with %d, not %d", args[1:], got, want)
	}
}

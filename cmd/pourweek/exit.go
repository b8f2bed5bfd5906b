package main

import (
	"errors"
	"fmt"
	"strings"
)

// The exit codes. They are promised to scripts: none changes its meaning.
const (
	exitOK      = 0   // done
	exitFailed  = 1   // a bug in pourweek, or its output could not be written
	exitUsage   = 2   // flags or arguments make no sense
	exitInput   = 3   // a file cannot be read, or what stands in it is wrong
	exitRefused = 4   // the plan in a file is not allowed
	exitNoPlan  = 5   // no plan exists, or none was found in the time
	exitKept    = 6   // nothing was written: a file is in the way
	exitStopped = 130 // stopped at once by a second Ctrl-C
)

// exitCodes is the table of exit codes for the help text.
const exitCodes = `Exit codes:
  0  done
  1  a bug in pourweek, or its output could not be written
  2  flags or arguments make no sense
  3  a file cannot be read, or what stands in it is wrong
  4  the plan in a file is not allowed (verify, show)
  5  no plan exists, or none was found in the time given
  6  nothing was written: a file is in the way
  130  stopped at once by a second Ctrl-C`

// failure is an error with an exit code. A hint, if there is one, says what to
// do.
type failure struct {
	code int
	err  error
	hint string
}

func (f *failure) Error() string { return f.err.Error() }
func (f *failure) Unwrap() error { return f.err }

// failf makes a failure whose message is made by format and args.
func failf(code int, format string, args ...any) error {
	return &failure{code: code, err: fmt.Errorf(format, args...)}
}

// inputError marks an error as one of the person's files.
func inputError(err error) error { return &failure{code: exitInput, err: err} }

// withHint adds what to do to a failure.
func withHint(err error, format string, args ...any) error {
	code := exitFailed
	var f *failure
	if errors.As(err, &f) {
		code = f.code
	}
	return &failure{code: code, err: err, hint: fmt.Sprintf(format, args...)}
}

// complain prints an error and returns the exit code. Usage errors that have no
// hint of their own get help, which says where to look.
func complain(s *streams, err error, help string) int {
	code, hint := exitFailed, ""
	var f *failure
	if errors.As(err, &f) {
		code, hint = f.code, f.hint
	}
	// Messages about files begin with the file's place and span lines.
	text := strings.TrimRight(err.Error(), "\n")
	if code != exitInput {
		text = "pourweek: " + text
	}
	fmt.Fprintln(s.err, text)
	if hint == "" && code == exitUsage {
		hint = help
	}
	if hint != "" {
		fmt.Fprintln(s.err, "  hint: "+hint)
	}
	return code
}

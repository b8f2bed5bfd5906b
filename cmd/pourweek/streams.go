package main

import (
	"io"
	"os"
	"strconv"
	"strings"
	"time"

	"golang.org/x/term"
)

// streams is the one seam to the outside: nothing else touches os.Stdin,
// os.Stdout, os.Stderr, the environment or the clock on the wall.
type streams struct {
	in       io.Reader
	out, err io.Writer
	outTerm  bool // out is a terminal: tables
	errTerm  bool // err is a terminal: progress
	width    int  // columns of the terminal
	unicode  bool // the terminal is UTF-8
	color    bool // the terminal may be colored
	now      func() time.Time
	exit     func(code int) // ends the program at once
}

// Widths of a table. defaultWidth holds where nothing tells the width.
const (
	defaultWidth = 80
	minWidth     = 60
	maxWidth     = 400
)

func osStreams() *streams {
	s := &streams{
		in: os.Stdin, out: os.Stdout, err: os.Stderr, now: time.Now, exit: os.Exit,
		outTerm: term.IsTerminal(int(os.Stdout.Fd())),
		errTerm: term.IsTerminal(int(os.Stderr.Fd())),
	}
	columns := 0
	if s.outTerm {
		columns, _, _ = term.GetSize(int(os.Stdout.Fd()))
	}
	s.look(os.Getenv, columns)
	return s
}

// look settles width, character set and color. columns is what the terminal
// says, 0 if it says nothing. COLUMNS wins over it, so that a script can ask
// for a width; NO_COLOR and TERM=dumb turn color off.
func (s *streams) look(env func(string) string, columns int) {
	s.width = defaultWidth
	if columns > 0 {
		s.width = columns
	}
	if n, err := strconv.Atoi(env("COLUMNS")); err == nil && n > 0 {
		s.width = n
	}
	s.width = min(max(s.width, minWidth), maxWidth)
	dumb := env("TERM") == "dumb"
	s.unicode = !dumb && utf8Locale(env)
	s.color = s.outTerm && !dumb && env("NO_COLOR") == ""
}

// utf8Locale reports whether the locale's characters are UTF-8. The first of
// the three variables that is set decides, as POSIX says (Base Definitions,
// section 8.2).
func utf8Locale(env func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if v := env(name); v != "" {
			v = strings.ToLower(v)
			return strings.Contains(v, "utf-8") || strings.Contains(v, "utf8")
		}
	}
	return false
}

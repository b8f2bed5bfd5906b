package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"pourweek/model"
	"pourweek/model/week"
	"pourweek/report"
)

// output is a file that a flag names. It is written over what the same flag
// wrote before, and over nothing else: the name may be a slip, and the file
// the shop's only one.
type output struct {
	path string // "" for none
	flag string
	what string                 // what the flag writes
	mine func(head []byte) bool // whether a file that begins so may be such a one
	next string                 // a name that would do, for the hint
}

func weekOutput(path string) output {
	return output{path, "--out", "planned week", func(head []byte) bool { return formatOf(head) == model.WeekFormat }, "week.json"}
}

func planOutput(path string) output {
	return output{path, "--plan", "plan", func(head []byte) bool { return formatOf(head) == model.PlanFormat }, "week.plan.json"}
}

func plotOutput(path string) output {
	return output{path, "--svg", "plot", report.IsCasesSVG, "crew.svg"}
}

// ownFiles are the names of the files that a shop's people write.
var ownFiles = []string{week.ShopFile, week.OrdersCSV, week.OrdersXLSX, week.FloorFile, logFile}

// headBytes is how much of a file is read to see what it is.
const headBytes = 8 << 10

// clear refuses what the file must not be written over, and a folder that is
// not there. It is asked before a search, so that none is in vain.
func (o output) clear() error {
	if o.path == "" {
		return nil
	}
	target := o.path
	if to, err := filepath.EvalSymlinks(o.path); err == nil {
		target = to
	}
	for _, path := range []string{o.path, target} { // the folder may be a link as well
		if what := keptName(path); what != "" {
			return o.refuse(what)
		}
	}
	st, err := os.Stat(target)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if _, err := os.Stat(filepath.Dir(target)); err != nil {
			return failf(exitKept, "%s: nothing was written: %w", o.path, reason(err))
		}
		return nil
	case err != nil:
		return failf(exitKept, "%s: nothing was written: %w", o.path, reason(err))
	case st.IsDir():
		return failf(exitKept, "%s: this is a folder; nothing was written", o.path)
	case !st.Mode().IsRegular() || st.Size() == 0:
		return nil // a device or a pipe; a file that holds nothing
	}
	head, err := headOf(target)
	if err != nil {
		return failf(exitKept, "%s: nothing was written: the file is there already and cannot be looked at: %w", o.path, reason(err))
	}
	if o.mine(head) {
		return nil
	}
	return o.refuse(fmt.Sprintf("this file is there already and is no %s that %s wrote", o.what, o.flag))
}

func (o output) refuse(what string) error {
	return withHint(failf(exitKept, "%s: %s; nothing was written", o.path, what),
		"name a file that is new, such as %s %s", o.flag, o.next)
}

// write writes the file, if there is one to write.
func (o output) write(fill func(io.Writer) error) error {
	if o.path == "" {
		return nil
	}
	if err := o.clear(); err != nil { // somebody may have been there since
		return err
	}
	return writeFile(o.path, fill)
}

// keptName says what a file is by its name alone where it is one that a shop
// or --publish writes, there or not; "" where it is none of them.
func keptName(path string) string {
	name := filepath.Base(path)
	if slices.ContainsFunc(ownFiles, func(own string) bool { return strings.EqualFold(own, name) }) {
		return "this is the place of a shop's own " + strings.ToLower(name)
	}
	full, err := filepath.Abs(path)
	if err != nil {
		full = path
	}
	if planName.MatchString(name) && filepath.Base(filepath.Dir(full)) == plansFolder {
		return "this is the place of a published week, which --publish alone writes, and never over another"
	}
	return ""
}

func headOf(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, headBytes))
}

// formatOf is what a JSON document that pourweek wrote says it is: its first
// key is format. It is "" for all else.
func formatOf(head []byte) string {
	d := json.NewDecoder(bytes.NewReader(head))
	for _, due := range []json.Token{json.Delim('{'), "format"} {
		if t, err := d.Token(); err != nil || t != due {
			return ""
		}
	}
	t, err := d.Token()
	if s, ok := t.(string); ok && err == nil {
		return s
	}
	return ""
}

package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"pourweek/cmd/pourweek/starter"
	"pourweek/model/shop"
)

type startOptions struct {
	dir  string
	week weekFlag
}

func newStartCommand(s *streams) *cobra.Command {
	var o startOptions
	cmd := &cobra.Command{
		Use:   "start DIR",
		Short: "Write a commented starter shop into a folder",
		Long: `Writes ` + list(starter.Names()) + ` into the folder DIR, which is made
if it is not there: an invented shop with comments, to be changed into your own.
Its orders are due in the week that would be planned today. A file that is there
already is never written over.`,
		Example: `  pourweek start my-shop`,
		Args:    exactly("DIR"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.dir = args[0]
			if err := o.week.check(); err != nil {
				return err
			}
			return runStart(s, o)
		},
	}
	o.week.add(cmd)
	return cmd
}

// list joins names: a, b and c.
func list(names []string) string {
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

func runStart(s *streams, o startOptions) error {
	if err := nothingInTheWay(o.dir); err != nil {
		return err
	}
	if err := os.MkdirAll(o.dir, 0o755); err != nil {
		return failf(exitKept, "%s: nothing was written: %w", o.dir, reason(err))
	}
	monday := o.week.options(s.now()).Monday
	for _, name := range starter.Names() {
		data, err := starter.File(name, monday.At(shop.Clock(0), s.now().Location()))
		if err != nil {
			return failf(exitFailed, "%w", err)
		}
		path := filepath.Join(o.dir, name)
		switch err := createWhole(path, data); {
		case errors.Is(err, fs.ErrExist):
			return inTheWay(path)
		case err != nil:
			return failf(exitKept, "%s: nothing was written: %w", path, reason(err))
		}
		fmt.Fprintln(s.out, path)
	}
	fmt.Fprintf(s.err, "next: pourweek plan %s --week %s\n", o.dir, monday)
	return nil
}

// nothingInTheWay makes sure before the first file is written that none of them
// is there.
func nothingInTheWay(dir string) error {
	if st, err := os.Stat(dir); err == nil && !st.IsDir() {
		return inTheWay(dir)
	}
	for _, name := range starter.Names() {
		path := filepath.Join(dir, name)
		if _, err := os.Lstat(path); err == nil {
			return inTheWay(path)
		}
	}
	return nil
}

func inTheWay(path string) error {
	return withHint(failf(exitKept, "%s: this file is there already; nothing was written over it", path), "name a folder that is new or empty")
}

package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"pourweek/cmd/pourweek/demo"
	"pourweek/model"
	"pourweek/model/week"
)

type checkOptions struct {
	dir  string
	week weekFlag
}

func newCheckCommand(s *streams) *cobra.Command {
	var o checkOptions
	cmd := &cobra.Command{
		Use:   "check [DIR]",
		Short: "Check a shop's files without planning",
		Long: `Reads the shop in the folder DIR (without DIR the folder you are in) and prints
what it holds, or every mistake in its files, each at its place. The week begins
as that of "plan" does: from floor.csv, or else as the published week before and
log.csv leave it. It also says where the week has too few hours, molds or rack
places for all that is ordered; that is no mistake.`,
		Example: `  pourweek check my-shop --week 2027-03-01`,
		Args:    atMostOne,
		RunE: func(_ *cobra.Command, args []string) error {
			o.dir = folder(args)
			if err := o.week.check(); err != nil {
				return err
			}
			return runCheck(s, o)
		},
	}
	o.week.add(cmd)
	return cmd
}

func runCheck(s *streams, o checkOptions) error {
	l, _, err := loadStart(s, o.dir, false, o.week)
	if err != nil {
		return err
	}
	p := l.Problem
	fmt.Fprintf(s.out, "%s: no mistakes found, week of %s\n", l.Shop.Name, l.Monday)
	fresh := 0
	for i := range p.Pours {
		if p.Pours[i].Stage == model.New {
			fresh++
		}
	}
	fmt.Fprintf(s.out, "%s, %s, %s, %s\n", many(len(p.People), "person", "people"), many(len(p.Molds), "mold", "molds"),
		many(fresh, "piece to pour", "pieces to pour"), many(len(p.Pours)-fresh, "piece under way", "pieces under way"))
	for _, n := range l.Labels.Notes {
		fmt.Fprintln(s.out, "note: "+n)
	}
	for _, n := range week.Shortages(p) {
		fmt.Fprintln(s.out, "short: "+n)
	}
	return nil
}

func many(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}

// loadShop reads and compiles a shop's folder, or the built-in shop.
func loadShop(s *streams, dir string, builtIn bool, w weekFlag) (*week.Loaded, error) {
	opts := w.options(s.now())
	var fsys fs.FS = os.DirFS(dir)
	if builtIn {
		fsys, opts = demoShop(w, opts)
	} else if err := isShop(dir); err != nil {
		return nil, err
	}
	l, errs := week.Load(fsys, opts)
	if errs.Len() > 0 {
		return nil, inputError(errs)
	}
	return l, nil
}

// loadStart is loadShop with the start of the week that is planned: without
// floor.csv it goes on from the week that was published before.
func loadStart(s *streams, dir string, builtIn bool, w weekFlag) (*week.Loaded, goneOn, error) {
	l, err := loadShop(s, dir, builtIn, w)
	if err != nil || builtIn {
		return l, goneOn{}, err
	}
	from, err := goOnFrom(s, dir, l)
	return l, from, err
}

// isShop tells a wrong folder from a shop whose file is missing.
func isShop(dir string) error {
	st, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return withHint(failf(exitInput, "%s: there is no such folder", dir), `"pourweek start %s" writes a starter shop there`, dir)
	case err != nil:
		return inputError(plain(err))
	case !st.IsDir():
		hint := "name the folder that holds shop.yaml"
		if strings.HasSuffix(dir, ".json") {
			hint = fmt.Sprintf(`"pourweek show %s" shows a planned week, "pourweek solve %s" plans a problem`, dir, dir)
		}
		return withHint(failf(exitInput, "%s: this is a file; a shop is a folder", dir), "%s", hint)
	}
	return nil
}

// demoShop gives the built-in shop; its week is its own unless one is named.
func demoShop(w weekFlag, opts week.Options) (fs.FS, week.Options) {
	if w.monday == "" {
		w.monday = demo.Monday
		opts = w.options(time.Time{})
	}
	return demo.Files, opts
}

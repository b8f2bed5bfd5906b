package main

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/model/diag"
	"pourweek/model/shop"
	"pourweek/model/whatif"
	"pourweek/report"
	"pourweek/solve"
	"pourweek/solve/compare"
)

type compareOptions struct {
	dir   string
	demo  bool
	week  weekFlag
	asked map[whatif.Kind]*[]string
	file  string
	svg   string
	keep  string
	json  bool
	table bool
	seed  uint64
	seeds int
	work  int64
	given given
}

func newCompareCommand(s *streams) *cobra.Command {
	o := compareOptions{asked: map[whatif.Kind]*[]string{}}
	cmd := &cobra.Command{
		Use:   "compare [DIR]",
		Short: "Set the week under several changes side by side",
		Long: `Plans the week of the shop in the folder DIR (without DIR the folder you are in;
or of a week's file) as it is and under one change at a time, with equal work
and the same seeds, and prints a row for each: what is late, carried and waited
for, the cost, the bound, the saving, and how sure it is; where the week as it is
has no plan, why, and which changes give it one. Without a change named it tries
the steps that a lead asks about first: a person more and less of each skill, a
mold of each busy piece, rack places, overtime, a mixer.

The table is the same on any number of cores.`,
		Example: `  pourweek compare my-shop --people +1:finisher --people 4..6 --overtime none`,
		Args:    atMostOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			o.dir = folder(args)
			if o.demo && len(args) > 0 {
				return failf(exitUsage, "--demo compares the built-in shop: it goes without %q", args[0])
			}
			if err := o.check(); err != nil {
				return err
			}
			return runCompare(cmd.Context(), s, o)
		},
	}
	f := cmd.Flags()
	o.given = f.Changed
	for _, k := range whatif.Kinds {
		o.asked[k] = f.StringArray(string(k), nil, caseHelp[k])
	}
	f.StringVar(&o.file, "cases", "", "read cases from this `file`, one a line: people +1:finisher")
	f.StringVar(&o.svg, "svg", "", "draw cost and late hours by crew size into this `file`")
	f.StringVar(&o.keep, "keep", "", "write the planned week of each case into this `folder`, for show")
	f.BoolVar(&o.json, "json", false, "print one JSON document (pourweek-cases/1)")
	f.BoolVar(&o.table, "table", false, "print tables in a pipe too")
	f.Uint64Var(&o.seed, "seed", defaultSeed, "first seed of the searches")
	f.IntVar(&o.seeds, "seeds", 2, "answer each case with so many `seeds`, 1 to 9")
	f.Int64Var(&o.work, "work", 0, "counted `units` of each search (default: by the size of the week\nand the number of searches, a second or two)")
	f.BoolVar(&o.demo, "demo", false, "compare the built-in shop")
	o.week.add(cmd)
	return cmd
}

// caseHelp is the help of the flag of each kind of case.
var caseHelp = map[whatif.Kind]string{
	whatif.People:   "`change` the people: +1:SKILL, -1:SKILL, -NAME, or crew sizes 3..6",
	whatif.Overtime: "`hours` past regular: none, daily or saturday",
	whatif.Molds:    "`change` the molds that cast a piece: +1:PIECE or -1:PIECE",
	whatif.Racks:    "`change` the places of a rack: +4:RACK or -2:RACK",
	whatif.Stations: "`change` the places of a station: +1:STATION or -1:STATION",
	whatif.Mixer:    "`more` mixers: +1, or +1:MIXER for one like it",
}

func (o *compareOptions) check() error {
	switch {
	case o.json && o.table:
		return failf(exitUsage, "--json and --table exclude each other")
	case o.seeds < 1 || o.seeds > 9:
		return failf(exitUsage, "--seeds %d: a number from 1 to 9 is needed", o.seeds)
	}
	return firstError(aboveZero(o.given, "work", o.work, "a number above 0 is needed"), o.week.check())
}

func runCompare(ctx context.Context, s *streams, o compareOptions) error {
	w, prices, err := weekToCompare(s, o)
	if err != nil {
		return err
	}
	cases, err := o.cases(w.Problem)
	if err != nil {
		return err
	}
	sized := slices.ContainsFunc(cases, func(c whatif.Case) bool { return strings.HasPrefix(c.Name(), "people=") })
	if o.svg != "" && !sized {
		return failf(exitUsage, "--svg draws a plot by crew size: it needs two crew sizes, such as --people 3..6")
	}
	if err := o.clear(cases); err != nil {
		return err
	}
	found, err := o.run(ctx, s, w.Problem, cases)
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(found, func(r compare.Row) bool { return r.Result.Plan != nil }) {
		return withHint(noPlan(found[0].Result), "none of the cases has a plan either; name others, or give the searches more --work")
	}
	w.Plan = found[0].Result.Plan
	table, err := report.BuildCases(w, found, func(r compare.Row) (model.Mils, bool) { return priceOf(r, w.Problem, prices) })
	if err != nil {
		return failf(exitFailed, "%w", err)
	}
	if err := o.write(w, table, found); err != nil {
		return err
	}
	switch {
	case o.json:
		return report.WriteCasesJSON(s.out, table)
	case o.table || s.outTerm:
		return report.WriteCasesText(s.out, table, report.Screen{Width: s.width, Unicode: s.unicode, Color: s.color})
	}
	return report.WriteCasesRows(s.out, table)
}

// weekToCompare compiles the shop, or reads a week's file. Prices are those of
// the shop; a week's file has none.
func weekToCompare(s *streams, o compareOptions) (*model.Week, shop.Prices, error) {
	if !o.demo && !isFolder(o.dir) && strings.HasSuffix(o.dir, ".json") {
		w, err := readFile(s, o.dir, model.ReadWeek)
		return w, shop.Prices{}, err
	}
	l, _, err := loadStart(s, o.dir, o.demo, o.week)
	if err != nil {
		return nil, shop.Prices{}, err
	}
	return l.Week(), l.Shop.Prices, nil
}

// cases are those of the flags, then those of the file; without any, the steps
// that a lead asks about first.
func (o *compareOptions) cases(p *model.Problem) ([]whatif.Case, error) {
	var l []whatif.Case
	for _, k := range whatif.Kinds {
		for _, spec := range *o.asked[k] {
			more, err := whatif.Parse(p, k, spec)
			if err != nil {
				return nil, failf(exitUsage, "--%s: %w", k, err)
			}
			l = append(l, more...)
		}
	}
	if o.file != "" {
		more, err := casesOf(p, o.file)
		if err != nil {
			return nil, err
		}
		l = append(l, more...)
	}
	if len(l) == 0 {
		l = whatif.Defaults(p)
	}
	return l, nil
}

// casesOf reads a file of cases: a kind and a change on each line, # before a
// remark. All mistakes are told at once.
func casesOf(p *model.Problem, name string) ([]whatif.Case, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, inputError(plain(err))
	}
	src, bad := diag.NewSource(name, data), &diag.List{}
	var l []whatif.Case
	in := bufio.NewScanner(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff"))))
	for n := 1; in.Scan(); n++ {
		text, _, _ := strings.Cut(in.Text(), "#")
		kind, spec, _ := strings.Cut(strings.TrimSpace(text), " ")
		if kind == "" {
			continue
		}
		more, err := whatif.Parse(p, whatif.Kind(kind), spec)
		if err != nil {
			bad.Add(src.At(n, 1).Problem(err.Error(), ""))
		}
		l = append(l, more...)
	}
	if err := in.Err(); err != nil {
		bad.Add(src.At(0, 0).Problem(err.Error(), ""))
	}
	if bad.Len() > 0 {
		return nil, inputError(bad)
	}
	return l, nil
}

// run answers all cases, two at a time.
func (o *compareOptions) run(ctx context.Context, s *streams, p *model.Problem, cases []whatif.Case) ([]compare.Row, error) {
	c := compare.Options{Work: o.work, Parallel: 2, Solve: solve.Solve, Cost: checked}
	if c.Work == 0 {
		c.Work = caseWork(p, (len(cases)+1)*o.seeds)
	}
	for i := range o.seeds {
		c.Seeds = append(c.Seeds, o.seed+uint64(i))
	}
	if s.errTerm {
		c.Progress = func(done, of int) { fmt.Fprintf(s.err, "\r\x1b[K%d of %d searches", done, of) }
		defer fmt.Fprint(s.err, "\r\x1b[K")
	}
	rows, err := compare.Run(ctx, p, cases, c)
	if err != nil {
		return nil, failf(exitFailed, "%w", err)
	}
	return rows, nil
}

// caseWork is the counted work of each of so many searches: about half a minute
// of two cores for all of them, but a second each at least and two at most.
func caseWork(p *model.Problem, searches int) int64 {
	work := planWork(p)
	return min(max(work*5/int64(searches), work/8), work/6)
}

// checked is the checker: the cost of a plan, and whether it is allowed.
func checked(p *model.Problem, plan *model.Plan) (model.Mils, bool) {
	v := check.Check(p, plan)
	if v.Allowed {
		plan.Terms = v.Terms
	}
	return v.Cost, v.Allowed
}

// clear makes the folder for the weeks and makes sure, before the first search,
// that nothing is in the way of the files that were asked for.
func (o *compareOptions) clear(cases []whatif.Case) error {
	if err := plotOutput(o.svg).clear(); err != nil || o.keep == "" {
		return err
	}
	if err := os.MkdirAll(o.keep, 0o755); err != nil {
		return failf(exitKept, "%s: nothing was written: %w", o.keep, reason(err))
	}
	for _, name := range keptAs(append([]whatif.Case{{Kind: whatif.Today}}, cases...)) {
		path := filepath.Join(o.keep, name)
		if _, err := os.Lstat(path); err == nil {
			return inTheWay(path)
		}
	}
	return nil
}

// keptAs names the file that holds the week of each case: the same for the same
// case, and others for others, on file systems too that take no notice of case.
func keptAs(cases []whatif.Case) []string {
	var names []string
	taken := map[string]bool{}
	for i, c := range cases {
		if at := slices.Index(cases[:i], c); at >= 0 {
			names = append(names, names[at])
			continue
		}
		base := fileName(c.Name())
		name := base
		for n := 2; taken[strings.ToLower(name)]; n++ {
			name = fmt.Sprintf("%s_%d", base, n)
		}
		taken[strings.ToLower(name)] = true
		names = append(names, name)
	}
	for i := range names {
		names[i] += ".week.json"
	}
	return names
}

// write writes the plot and the weeks that were asked for.
func (o *compareOptions) write(w *model.Week, table *report.Cases, found []compare.Row) error {
	if err := plotOutput(o.svg).write(func(to io.Writer) error { return report.WriteCasesSVG(to, table) }); err != nil {
		return err
	}
	if o.keep == "" {
		return nil
	}
	var cases []whatif.Case
	for _, r := range found {
		cases = append(cases, r.Case)
	}
	names := keptAs(cases)
	for i, r := range found {
		if r.Result.Plan == nil || slices.Contains(names[:i], names[i]) { // the same case twice
			continue
		}
		v := *w
		v.Problem, v.Plan, v.Seed, v.Work = r.Problem, r.Result.Plan, o.seed, r.Result.Work
		v.Status, v.BoundSource = string(r.Result.Status), r.Result.BoundSource
		var b bytes.Buffer
		if err := model.WriteWeek(&b, &v); err != nil {
			return failf(exitFailed, "%w", err)
		}
		path := filepath.Join(o.keep, names[i])
		switch err := createWhole(path, b.Bytes()); {
		case errors.Is(err, fs.ErrExist):
			return inTheWay(path)
		case err != nil:
			return failf(exitKept, "%s: nothing was written: %w", path, reason(err))
		}
	}
	return nil
}

// fileName is a case's name as a file's: letters, digits, + and - stay.
func fileName(name string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '+' || r == '-' || r == '.' {
			return r
		}
		return '_'
	}, name)
}

// weeksOfUse spreads the price of a mold or a rack place over a year.
// (Common practice for small tools; the file has no life of a mold.)
const weeksOfUse = 52

// priceOf is what a case costs a week by the prices of the shop: wages for the
// regular hours that people are there more, molds and places spread over a
// year. Overtime is paid in the cost of the plan and costs nothing more. ok is
// false where the shop gives no price.
func priceOf(r compare.Row, today *model.Problem, prices shop.Prices) (m model.Mils, ok bool) {
	switch r.Case.Kind {
	case whatif.People:
		if prices.Wage != nil {
			more := regularTicks(r.Problem) - regularTicks(today)
			return model.Mils(int64(more) * int64(today.TickMinutes) * int64(*prices.Wage) / 60), true
		}
	case whatif.Molds:
		if prices.Mold != nil {
			return *prices.Mold * model.Mils(len(r.Problem.Molds)-len(today.Molds)) / weeksOfUse, true
		}
	case whatif.Racks:
		if prices.Place != nil {
			more := int64(0)
			for i := range today.Racks {
				more += r.Problem.Racks[i].Places[0][1] - today.Racks[i].Places[0][1]
			}
			return *prices.Place * model.Mils(more) / weeksOfUse, true
		}
	case whatif.Overtime:
		return 0, true
	}
	return 0, false
}

// regularTicks sums the regular ticks in which people are there, in the first
// seven days from tick 0.
func regularTicks(p *model.Problem) model.Tick {
	week := min(model.Tick(7*model.MinutesPerDay/p.TickMinutes), p.Horizon)
	over := make([]bool, week)
	for _, iv := range p.Overtime {
		for t := max(iv[0], 0); t < min(iv[1], week); t++ {
			over[t] = true
		}
	}
	n := model.Tick(0)
	for _, x := range p.People {
		for _, iv := range x.On {
			for t := max(iv[0], 0); t < min(iv[1], week); t++ {
				if !over[t] {
					n++
				}
			}
		}
	}
	return n
}

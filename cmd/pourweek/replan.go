package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/model/orders"
	"pourweek/model/replan"
	"pourweek/model/week"
	"pourweek/report"
)

type replanOptions struct {
	dir        string
	now        string
	freeze     time.Duration
	touchLeast bool
	best       bool
	publish    bool
	out        string
	search     searchFlags
	view       viewFlags
	given      given
}

func newReplanCommand(s *streams) *cobra.Command {
	var o replanOptions
	cmd := &cobra.Command{
		Use:   "replan [DIR]",
		Short: "Plan the rest of a published week anew, from what happened",
		Long: `Takes the newest published week of the shop in the folder DIR (without DIR the
folder you are in) and log.csv, works out how things stand, and plans the rest.
What was planned before now is taken as done as planned unless the log says
otherwise; work under way stays. It prints what changes and why, then the week.

Moving a pour that people prepare for costs what shop.yaml says (costs: move).
--touch-least moves as few as can be, --best as many as pay. All choose among the
same plans, made under each of the three prices.`,
		Example: `  pourweek replan my-shop --now "Tue 11:00" --freeze 4h --publish`,
		Args:    atMostOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			o.dir = folder(args)
			for _, check := range []func() error{o.search.check, o.view.check, o.check} {
				if err := check(); err != nil {
					return err
				}
			}
			return runReplan(cmd.Context(), s, o)
		},
	}
	f := cmd.Flags()
	o.given = f.Changed
	f.StringVar(&o.now, "now", "", "the `moment` to go on from, such as \"Tue 11:00\" or \"2027-03-02 11:00\"\n(default: now)")
	f.DurationVar(&o.freeze, "freeze", 0, "leave pours as they are that start within this `time`, such as 4h")
	f.BoolVar(&o.touchLeast, "touch-least", false, "move as few pours as can be, whatever it costs")
	f.BoolVar(&o.best, "best", false, "move whatever pays, as if moving cost nothing")
	f.BoolVar(&o.publish, "publish", false, "publish the new week in the folder DIR/plans")
	f.StringVar(&o.out, "out", "", "write the new week to this `file`, for show")
	o.search.add(cmd)
	o.view.add(cmd)
	return cmd
}

func (o *replanOptions) check() error {
	if o.touchLeast && o.best {
		return failf(exitUsage, "--touch-least and --best exclude each other; without both, moving costs what shop.yaml says")
	}
	return aboveZero(o.given, "freeze", o.freeze, "a time above 0 is needed, such as 4h")
}

func runReplan(ctx context.Context, s *streams, o replanOptions) error {
	out := weekOutput(o.out)
	if err := out.clear(); err != nil {
		return err
	}
	h, err := readHistory(s, o.dir)
	if err != nil {
		return err
	}
	if err := h.needWeek(); err != nil {
		return err
	}
	if err := h.readLog(); err != nil {
		return err
	}
	r := &replanning{h: h, o: o}
	if err := r.lay(s); err != nil {
		return err
	}
	if err := r.answer(ctx, s); err != nil {
		return err
	}
	if err := out.write(func(to io.Writer) error { return model.WriteWeek(to, r.week) }); err != nil {
		return err
	}
	if o.publish { // before it is printed: a reader that stops early does not undo it
		if err := give(s, o.dir, r.week, h.weeks[0].number); err != nil {
			return err
		}
	}
	return r.print(s)
}

// give publishes a week and says where it stands.
func give(s *streams, dir string, w *model.Week, after int) error {
	path, err := publish(dir, w, after)
	if err == nil {
		fmt.Fprintln(s.err, "published:", path)
	}
	return err
}

// replanning is one run of the command.
type replanning struct {
	h       *history
	o       replanOptions
	week    *model.Week // the rest of the published week, with its new plan
	pinned  []string
	notes   []replan.Note
	choices []choice
}

// lay works out the problem at the moment of replanning.
func (r *replanning) lay(s *streams) error {
	l, err := r.laid(s, false)
	if err != nil {
		return err
	}
	x, err := r.h.sift(l.Problem, false)
	if err != nil {
		return inputError(err)
	}
	r.h.warnLate(s, x)
	pub := r.h.newest()
	w := *pub
	w.Log = x.lines
	w.Problem, w.Labels, w.Plan = l.Problem, together(l.Labels, pub.Labels), nil
	r.week, r.notes, r.pinned = &w, l.notes, l.pinned
	return nil
}

// state is how things stand at the moment of replanning.
type state struct {
	*week.Loaded
	notes  []replan.Note
	pinned []string
}

// laid lays the state out. For inOrder see replan.Facts.
func (r *replanning) laid(s *streams, inOrder bool) (*state, error) {
	pub := r.h.newest()
	now, err := r.moment(s)
	if err != nil {
		return nil, err
	}
	made := true
	l, err := r.h.load(s, pub.Monday, now)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		made = false
		l = &week.Loaded{Monday: pub.Monday, Labels: pub.Labels, Problem: replan.Fresh(pub.Problem, ticksTo(pub.Problem, now))}
	case err != nil:
		return nil, err
	}
	q, st := l.Problem, &state{Loaded: l}
	asked := model.Problem{Pours: slices.Clone(q.Pours)}
	if st.notes, err = r.h.goOn(q, made, inOrder); err != nil {
		return nil, err
	}
	if r.o.freeze > 0 {
		st.pinned = replan.Freeze(q, q.Now+model.Tick(r.o.freeze/(time.Duration(q.TickMinutes)*time.Minute)))
	}
	if issues := q.Validate(); len(issues) > 0 {
		return nil, withHint(failf(exitNoPlan, "the week cannot go on as the log tells it: %s", stopped(q, issues[0], pub.Zone)),
			"look at the entries of %s around it, or log what people do instead: a casting that has to stop is failed", logFile)
	}
	l.Labels.Notes = withoutOrders(slices.Clone(l.Labels.Notes), &asked, q)
	return st, nil
}

// moment reads --now. It lies after the moment from which the published week
// goes on, and within the week.
func (r *replanning) moment(s *streams) (time.Time, error) {
	pub := r.h.newest()
	k, err := r.h.known(false)
	if err != nil {
		return time.Time{}, err
	}
	now := s.now().In(k.Zone)
	if r.o.now != "" {
		if now, err = k.Time(r.o.now); err != nil {
			return now, failf(exitUsage, "--now %w", err)
		}
	}
	from, err := tickTime(pub.Problem, pub.Problem.Now)
	if err != nil {
		return now, inputError(err)
	}
	to, _ := tickTime(pub.Problem, pub.Problem.Horizon)
	const form = "Mon 2006-01-02 15:04"
	switch {
	case now.Before(from):
		return now, withHint(failf(exitUsage, "%s is before the published week goes on, %s", now.Format(form), from.In(k.Zone).Format(form)),
			`name a later moment: --now "Tue 11:00"`)
	case !now.Before(to):
		return now, withHint(failf(exitUsage, "%s is after the weeks that were laid out, which end %s", now.Format(form), to.In(k.Zone).Format(form)),
			`name a moment of the week with --now, or plan the next week with "pourweek plan"`)
	}
	return now, nil
}

// ticksTo is the first tick that does not begin before t, within the problem.
func ticksTo(p *model.Problem, t time.Time) model.Tick {
	start, err := tickTime(p, 0)
	if err != nil {
		return p.Now
	}
	tick := time.Duration(p.TickMinutes) * time.Minute
	return min(max(p.Now, model.Tick((t.Sub(start)+tick-1)/tick)), p.Horizon)
}

// load compiles the shop's files for the week that begins on monday, to go on
// at now. Where things stand is for the published week to say: floor.csv is
// not read. The error is fs.ErrNotExist where the folder has no shop.yaml.
func (h *history) load(s *streams, monday string, now time.Time) (*week.Loaded, error) {
	fsys := os.DirFS(h.dir)
	if _, err := fs.Stat(fsys, week.ShopFile); err != nil {
		return nil, fs.ErrNotExist
	}
	w := weekFlag{monday: monday}
	opts := w.options(s.now())
	opts.Now = now
	l, errs := week.Load(withoutFloor{fsys}, opts)
	if errs.Len() > 0 {
		return nil, inputError(errs)
	}
	return h.inTheAir(l, opts)
}

// inTheAir compiles the week anew where the log has it warmer or colder than
// shop.yaml says.
func (h *history) inTheAir(l *week.Loaded, opts week.Options) (*week.Loaded, error) {
	air, changed := replan.ChangeAir(l.Shop.Air, l.Shop.Zone, h.log)
	if !changed {
		return l, nil
	}
	l.Shop.Air = air
	name := week.OrdersCSV
	if _, err := os.Stat(filepath.Join(h.dir, name)); err != nil {
		name = week.OrdersXLSX
	}
	data, err := os.ReadFile(filepath.Join(h.dir, name))
	if err != nil {
		return nil, inputError(plain(err))
	}
	book, errs := orders.ReadOrders(name, data)
	if errs.Len() > 0 {
		return nil, inputError(errs)
	}
	again, errs := week.Compile(l.Shop, book, nil, opts)
	if errs.Len() > 0 {
		return nil, inputError(errs)
	}
	return again, nil
}

// withoutFloor is a folder in which nobody finds floor.csv.
type withoutFloor struct{ fs.FS }

func (f withoutFloor) Open(name string) (fs.File, error) {
	if name == week.FloorFile {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return f.FS.Open(name)
}

// together adds to the labels those of the published week that they lack.
func together(l, pub model.Labels) model.Labels {
	l.Pieces, l.Mixes = union(l.Pieces, pub.Pieces), union(l.Mixes, pub.Mixes)
	l.Orders, l.Steps = union(l.Orders, pub.Orders), union(l.Steps, pub.Steps)
	return l
}

func union[V any](a, b map[string]V) map[string]V {
	m := map[string]V{}
	for k, v := range b {
		m[k] = v
	}
	for k, v := range a {
		m[k] = v
	}
	return m
}

// print prints what changes and why, then the week.
func (r *replanning) print(s *streams) error {
	q := r.week.Problem
	now, err := tickTime(q, q.Now)
	if err != nil {
		return inputError(err)
	}
	zone, err := time.LoadLocation(r.week.Zone)
	if err != nil {
		return inputError(fmt.Errorf("time zone %q is not known", r.week.Zone))
	}
	y, m, d := now.In(zone).Date()
	pub := r.h.newest()
	changes, err := replan.Diff(replan.Published{Problem: pub.Problem, Plan: pub.Plan}, q, r.week.Plan,
		ticksTo(q, time.Date(y, m, d+1, 0, 0, 0, 0, zone)))
	if err != nil {
		return inputError(err)
	}
	changes.Gone = r.gone()
	why, more := r.reasons(changes)
	changed, err := report.BuildChanged(r.week, changes, why, append(r.notes, more...), r.options())
	if err != nil {
		return inputError(err)
	}
	switch {
	case r.o.view.json:
		if v := check.Check(q, r.week.Plan); !v.Allowed {
			return failf(exitRefused, "the plan is not allowed, so it is not shown: %s", v.Broken[0].Text)
		}
		board, err := report.Build(r.week)
		if err != nil {
			return inputError(err)
		}
		return report.WriteReplannedJSON(s.out, changed, board)
	case r.o.view.table || s.outTerm:
		screen := report.Screen{View: report.View(r.o.view.view), Width: s.width, Unicode: s.unicode, Color: s.color}
		err = report.WriteChangedText(s.out, changed, screen)
	default:
		err = report.WriteChangedRows(s.out, changed)
	}
	if err != nil {
		return err
	}
	return printWeek(s, r.week, r.o.view)
}

package replan

import (
	"context"
	"errors"
	"os"
	"slices"
	"testing"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/model/modeltest"
	"pourweek/solve/inst"
	"pourweek/solve/search"
)

// From any moment of a plan of a random week, with every optional rule on and
// off, the week laid out anew is sound, and the search finds a plan of it that
// the checker allows.
func TestRandomWeeksCanBeGoneOnWith(t *testing.T) {
	seeds, moments, kept, inOrder := uint64(50), 0, 0, 0
	switch {
	case os.Getenv("POURWEEK_LONG") != "":
		seeds = 400
	case testing.Short():
		seeds = 6
	}
	for seed := uint64(1); seed <= seeds; seed++ {
		p := modeltest.Random(seed, modeltest.Options{MaxPours: 10})
		r := searched(t, p)
		if r.Plan == nil {
			continue
		}
		for _, now := range busyMoments(p, r.Plan) {
			q, notes, err := Advance(Fresh(p, now), p, r.Plan, Facts{})
			if err != nil {
				t.Fatal(err)
			}
			if len(q.Pours) == 0 {
				continue
			}
			if is := q.Validate(); len(is) > 0 {
				t.Fatalf("seed %d at %d: %v", seed, now, is)
			}
			next, laid := searched(t, q), q
			moments++
			if keeps(q, Published{p, r.Plan}) {
				kept++
			} else if q, _, err = Advance(Fresh(p, now), p, r.Plan, Facts{InOrder: true}); err != nil {
				t.Fatal(err)
			} else if keeps(q, Published{p, r.Plan}) {
				kept++
				inOrder++
			}
			if next.Plan == nil {
				t.Errorf("seed %d: from tick %d on no plan was found: %s (%v)", seed, now, next.Reason, notes)
				continue
			}
			if v := check.Check(laid, next.Plan); !v.Allowed {
				t.Errorf("seed %d at %d: %s", seed, now, v.Broken[0].Text)
			}
		}
	}
	if moments < int(seeds) {
		t.Fatalf("only %d moments were tried", moments)
	}
	if kept < moments*99/100 {
		t.Errorf("the published plan could be kept at %d of %d moments", kept, moments)
	}
	t.Logf("%d moments, %d kept, %d of them with clean-ups in order", moments, kept, inOrder)
}

// keeps reports whether what is left of the published plan is allowed.
func keeps(q *model.Problem, pub Published) bool {
	plan := Kept(q, pub)
	return plan != nil && check.Check(q, plan).Allowed
}

// searched looks for a plan of a week, without a bound.
func searched(t *testing.T, p *model.Problem) *search.Result {
	t.Helper()
	in, err := inst.Compile(p)
	if err != nil {
		t.Fatal(err)
	}
	r, err := search.Run(context.Background(), in, search.Options{Seed: 1, Work: 300, Workers: 1})
	if err != nil {
		t.Fatal(err)
	}
	if r.Plan != nil {
		r.Plan.Cost = model.Unstated
	}
	return r
}

// busyMoments are those at which much is under way: a tick after batches and
// coats are begun and demolds too, the ends of the coats, and six evenly spread
// ones.
func busyMoments(p *model.Problem, plan *model.Plan) []model.Tick {
	var out []model.Tick
	last := p.Now
	for _, b := range plan.Batches {
		out = append(out, b.Start+1)
	}
	for _, x := range plan.Pours {
		last = max(last, x.Ready)
		if len(x.Layers) > 0 {
			out = append(out, x.Layers[0][0]+1, x.Cover[0])
		}
		if x.Demold != nil {
			out = append(out, x.Demold[0]+1)
		}
	}
	for k := range model.Tick(6) {
		out = append(out, p.Now+1+(last-p.Now-1)*k/6)
	}
	slices.Sort(out)
	return slices.DeleteFunc(slices.Compact(out), func(t model.Tick) bool { return t <= p.Now || t >= p.PourUntil })
}

// A replanned week can be gone on with too, from the shop's files: they know
// nothing of what is under way or done, and the published week tells it.
func TestReplannedWeeksCanBeGoneOnWith(t *testing.T) {
	seeds, moments, kept := uint64(25), 0, 0
	switch {
	case os.Getenv("POURWEEK_LONG") != "":
		seeds = 300
	case testing.Short():
		seeds = 5
	}
	run := func(q *model.Problem) *model.Plan {
		if is := q.Validate(); len(is) > 0 {
			t.Fatalf("%s at %d: %v", q.Name, q.Now, is)
		}
		return searched(t, q).Plan
	}
	for seed := uint64(1); seed <= seeds; seed++ {
		p := modeltest.Random(seed, modeltest.Options{MaxPours: 8})
		plan := run(p)
		if plan == nil {
			continue
		}
		for i, now := range busyMoments(p, plan) {
			if i%3 != 0 {
				continue
			}
			q, _, err := Advance(Fresh(p, now), p, plan, Facts{})
			if err != nil {
				t.Fatal(err)
			}
			next := run(q)
			if next == nil || len(q.Pours) == 0 {
				continue // the test before tells
			}
			for _, d := range []model.Tick{1, 3, 9} {
				files := Fresh(p, now+d)
				files.Pours = slices.DeleteFunc(files.Pours, func(x model.Pour) bool { return pourOf(q, x.ID) == nil })
				again, notes, err := Advance(files, q, next, Facts{})
				if err != nil {
					t.Fatal(err)
				}
				if len(again.Pours) == 0 {
					continue
				}
				moments++
				if run(again) == nil {
					t.Errorf("seed %d: from tick %d and then %d on no plan was found (%v)", seed, now, now+d, notes)
				}
				if k := Kept(again, Published{q, next}); k != nil && check.Check(again, k).Allowed {
					kept++
				}
			}
		}
	}
	if moments < int(seeds) || kept < moments*99/100 {
		t.Fatalf("%d moments, %d kept", moments, kept)
	}
	t.Logf("%d moments, %d kept", moments, kept)
}

// A pour that begins up to two hours before or after its time, in its own mold,
// leaves a week that can be gone on with: its batches go with it.
func TestPouredAtAnotherTime(t *testing.T) {
	seeds, moments, early, broken := uint64(60), 0, 0, 0
	if testing.Short() {
		seeds = 8
	}
	for seed := uint64(1); seed <= seeds; seed++ {
		p := modeltest.Random(seed, modeltest.Options{MaxPours: 8})
		plan := searched(t, p).Plan
		if plan == nil {
			continue
		}
		hour := model.Tick(60 / p.TickMinutes)
		for _, x := range plan.Pours {
			if len(x.Layers) == 0 {
				continue
			}
			for _, d := range []model.Tick{-2 * hour, -hour / 2, hour / 2, 2 * hour} {
				at := x.Layers[0][0] + d
				if at < x.Prep[1] || at <= p.Now || at+1 >= p.PourUntil || !newCalendar(p).open[at] {
					continue
				}
				q, notes, err := Advance(Fresh(p, at+1), p, plan, Facts{Poured: map[string]Poured{x.ID: {At: at}}})
				if errors.As(err, new(Refused)) {
					broken++
					continue // the mold is not empty by the plan
				}
				if err != nil {
					t.Fatal(err)
				}
				if len(q.Validate()) > 0 {
					broken++
					continue // people, a station or the mold are elsewhere by the plan: it cannot be so
				}
				moments++
				if d < 0 {
					early++
				}
				if r := searched(t, q); r.Plan == nil {
					t.Errorf("seed %d, %s at %d, not %d: %s (%v)", seed, x.ID, at, x.Layers[0][0], r.Reason, notes)
				}
			}
		}
	}
	t.Logf("%d moments, %d early; %d more cannot be", moments, early, broken)
	if early == 0 || broken > moments/4 {
		t.Errorf("%d moments, %d early; %d more cannot be", moments, early, broken)
	}
}

package replan

import (
	"errors"
	"strings"
	"testing"

	"pourweek/model"
)

// refusals are those of the facts at now; the example's A101/1 is cast in m1 from
// 35 to 39, covered to 40, cured at 104, and A102/1 is cast at 53.
func refusals(t *testing.T, now model.Tick, f Facts) string {
	t.Helper()
	p, plan := example(t)
	_, _, err := Advance(Fresh(p, now), p, plan, f)
	var r Refused
	if err != nil && !errors.As(err, &r) {
		t.Fatal(err)
	}
	return r.Error()
}

func TestFactsThatCannotBeAreRefused(t *testing.T) {
	done := func(step string, at model.Tick) Facts {
		return Facts{Done: map[string]map[string]model.Tick{"A101/1": {step: at}}}
	}
	for _, c := range []struct {
		name  string
		now   model.Tick
		facts Facts
		want  string // "" where it can be
	}{
		{"out before it is cast", 60, Facts{Demolded: map[string]Demolded{"A101/1": {At: 35}}}, "A101/1 cannot have been out of its mold"},
		{"out while it is cast", 60, Facts{Demolded: map[string]Demolded{"A101/1": {At: 39}}}, "it is covered only"},
		{"out when it was given up", 60, Facts{Demolded: map[string]Demolded{"A101/1": {At: 39}}, Failed: map[string]Failed{"A101/1": {At: 38}}}, ""},
		{"out when it is covered", 60, Facts{Demolded: map[string]Demolded{"A101/1": {At: 40}}}, ""},
		{"carried and out", 60, Facts{Demolded: map[string]Demolded{"A101/2": {At: 36}}}, "the published plan carries it"},
		{"finished before it is cast", 60, done("polish", 35), "polish of A101/1 cannot have ended"},
		{"finished before it is cured", 200, done("polish", 104), "it is cured only"},
		{"finished before the step before", 200, done("seal", 120), "comes before it"},
		{"finished after it", 200, done("seal", 140), ""},
		{"failed before any work for it", 60, Facts{Failed: map[string]Failed{"A102/1": {At: 38}}}, "A102/1 cannot have been given up while casting"},
		{"failed while it is prepared", 60, Facts{Failed: map[string]Failed{"A102/1": {At: 46}}}, ""},
		{"scrapped before it is cast", 60, Facts{Scrapped: map[string]model.Tick{"A102/1": 46}}, "A102/1 cannot have been thrown away"},
		{"lost before it is mixed", 60, Facts{Lost: map[string]model.Tick{"b1": 20}}, "batch b1 cannot have been thrown away"},
		{"lost, and its pour cast later", 60, Facts{Lost: map[string]model.Tick{"b1": 33}, Poured: map[string]Poured{"A101/1": {At: 50}}}, ""},
		{"lost when it is mixed early", 60, Facts{Lost: map[string]model.Tick{"b1": 30}}, ""},
	} {
		got := refusals(t, c.now, c.facts)
		if (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
}

func TestFailedAfterItsCoverCountsAsScrapped(t *testing.T) {
	const scrapped = "it counts as scrapped"
	for _, c := range []struct {
		name string
		at   Failed
		want []string // none where it is as the word says
	}{
		{"while it is covered", Failed{At: 39}, nil},
		{"told when the week had gone on", Failed{At: 50, Was: 39}, nil},
		{"covered", Failed{At: 40}, []string{scrapped, "covered Mon", "m1 as empty"}},
		{"covered, told when the week had gone on", Failed{At: 50, Was: 40}, []string{scrapped, "m1 as empty"}},
		{"out of its mold", Failed{At: 130}, []string{scrapped, "out of its mold"}},
	} {
		q, notes := advanced(t, 140, Facts{Failed: map[string]Failed{"A101/1": c.at}})
		if p := pourOf(q, "A101/1"); p == nil || p.Stage != model.New || p.Release != c.at.At {
			t.Errorf("%s: it is not to be poured again from tick %d on: %+v", c.name, c.at.At, p)
		}
		var said string
		for _, n := range notes {
			if n.Pour == "A101/1" {
				said += n.Text
			}
		}
		if len(c.want) == 0 && said != "" {
			t.Errorf("%s: got %q, want nothing said", c.name, said)
		}
		for _, w := range c.want {
			if !strings.Contains(said, w) {
				t.Errorf("%s: got %q, want %q in it", c.name, said, w)
			}
		}
		if c.at.At == 130 && strings.Contains(said, "empty") {
			t.Errorf("%s: its mold is long empty: %q", c.name, said)
		}
	}
}

func TestADemoldBeforeTheCureEndHasNotHappened(t *testing.T) {
	_, plan := example(t)
	demold := byID(plan)["A101/1"].Demold[0]
	late := Facts{Poured: map[string]Poured{"A101/1": {At: demold - 68}}} // 69 ticks from the face coat to the cure end
	q, notes := advanced(t, demold+1, late)
	x := pourOf(q, "A101/1")
	if x == nil || x.Stage != model.Curing || x.CureEnd != demold+1 || len(notes) == 0 || !notes[0].Caution {
		t.Errorf("a tick before its cure end it was taken as stripped: %+v, %v", x, notes)
	}
	late.Poured["A101/1"] = Poured{At: demold - 69}
	if q, notes = advanced(t, demold+1, late); pourOf(q, "A101/1").Stage != model.Racked || len(notes) > 0 {
		t.Errorf("cured in time it was not stripped as planned: %+v, %v", pourOf(q, "A101/1"), notes)
	}
}

func TestStrippedEarlyCountsWithACaution(t *testing.T) {
	caution := func(x Demolded) string {
		q, notes := advanced(t, 120, Facts{Demolded: map[string]Demolded{"A101/1": x}})
		if p := pourOf(q, "A101/1"); p == nil || p.Stage != model.Racked {
			t.Errorf("it is out and stands as %+v", p)
		}
		for _, n := range notes {
			if n.Caution {
				return n.Text
			}
		}
		return ""
	}
	if got := caution(Demolded{At: 60}); !strings.Contains(got, "with 5.0 h of cure, and 16.0 h are the least") || !strings.Contains(got, "hurt people") {
		t.Errorf("got %q", got)
	}
	if got := caution(Demolded{At: 110, Was: 60}); !strings.Contains(got, "with 5.0 h of cure") {
		t.Errorf("logged late: got %q", got)
	}
	if got := caution(Demolded{At: 104}); got != "" {
		t.Errorf("cured: got %q", got)
	}
	if got := caution(Demolded{At: 103}); got == "" {
		t.Error("no caution a tick before the cure end")
	}
}

// A piece that was cured only after its planned demold was taken out when it was
// cured, where its mold was used again after that; it is still in where it could
// not be out by then.
func TestAMoldUsedAgainWasEmptied(t *testing.T) {
	stage := func(poured model.Tick) (model.Stage, error) {
		p, plan := example(t)
		next := byID(plan)["A102/1"] // cast in m1 as well, a day later
		by := func(iv *model.Interval) { *iv = model.Interval{iv[0] + 90, iv[1] + 90} }
		next.Mold = "m1"
		for _, iv := range []*model.Interval{next.Prep, &next.Layers[0], &next.Layers[1], next.Cover, next.Demold} {
			by(iv)
		}
		for _, iv := range next.Finish {
			by(iv)
		}
		next.Ready += 90
		plan.Batches[1].Start += 90
		by(&plan.Batches[1].Wash)
		q := Fresh(p, 150)
		if _, _, err := Advance(q, p, plan, Facts{Poured: map[string]Poured{"A101/1": {At: poured}}}); err != nil {
			return "", err
		}
		return pourOf(q, "A101/1").Stage, nil
	}
	// It cures 69 ticks after its face coat is begun; the demold takes 2, and the mold is prepared again at 135.
	for _, poured := range []model.Tick{60, 64} {
		if s, err := stage(poured); err != nil || s != model.Racked {
			t.Errorf("cast at %d: %s, %v", poured, s, err)
		}
	}
	if s, err := stage(65); err == nil || !strings.Contains(err.Error(), `two pieces cannot be in the mold "m1"`) {
		t.Errorf("not out by the time the mold is prepared again: %s, %v", s, err)
	}
}

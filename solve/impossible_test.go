package solve

import (
	"context"
	"slices"
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
)

// A step that is a tick longer than any stretch of hours of its crew is named, with
// its length and the longest stretch, and exhaustive search has no plan with it
// either; one that is just as long, or that may be put down, is not named.
func TestStepsLongerThanAnyStretchAreNamed(t *testing.T) {
	impossible, carried := 0, 0
	for seed := uint64(1); seed <= 40; seed++ {
		p := modeltest.Toy(seed)
		if n := len(model.FindTooLong(p)); n != 0 {
			continue
		}
		for i := range p.Pours {
			x := &p.Pours[i]
			if len(x.Finish) == 0 || x.Finish[len(x.Finish)-1].Pausable {
				continue
			}
			f := &x.Finish[len(x.Finish)-1]
			was := f.Work
			for len(model.FindTooLong(p)) == 0 {
				f.Work++
			}
			long := model.FindTooLong(p)[0]
			if long.Pour != x.ID || long.Step != f.ID || long.Work != f.Work || long.Longest != f.Work-1 || !strings.Contains(long.Mend(), "put down") {
				t.Fatalf("seed %d: %+v is named for %s of %s, %d ticks", seed, long, f.ID, x.ID, f.Work)
			}
			best, _, ok := oracle.Best(p)
			switch {
			case !ok:
			case x.Stage == model.New && x.Pin == nil:
				if carried++; best != nil && !slices.Contains(best.Carried, x.ID) {
					t.Errorf("seed %d: a plan has %s", seed, x.ID)
				}
			default:
				impossible++
				r, err := Solve(context.Background(), p, Options{Work: 50})
				if err != nil {
					t.Fatal(err)
				}
				if best != nil || r.Status != Infeasible || !strings.Contains(r.Reason, long.Sentence()) {
					t.Errorf("seed %d: %s %q, want %q; the best plan is %v", seed, r.Status, r.Reason, long.Sentence(), best)
				}
			}
			if f.Pausable = true; len(model.FindTooLong(p)) != 0 {
				t.Errorf("seed %d: %s may be put down and is named", seed, f.ID)
			}
			f.Pausable, f.Work = false, was
		}
	}
	if impossible < 5 || carried < 5 {
		t.Errorf("%d impossible, %d carried are too few to tell", impossible, carried)
	}
	t.Logf("%d impossible, %d carried", impossible, carried)
}

// Proofs that a week is impossible name what is lacking.
func TestImpossibleWeeksSayWhatIsLacking(t *testing.T) {
	for _, c := range []struct {
		name string
		edit func(*model.Problem)
		want string
	}{
		{"fixed work asks for too many people", func(p *model.Problem) {
			p.Fixed = append(p.Fixed, model.Fixed{ID: "extra", Start: p.Open[0][0], End: p.Open[0][0] + 1,
				Crew: model.Crew{p.People[0].Skills[0]: len(p.People) + 1}})
		}, "fixed work asks for"},
		{"fixed work overfills a station", func(p *model.Problem) {
			s := p.Stations[0]
			for range s.Places + 1 {
				p.Fixed = append(p.Fixed, model.Fixed{ID: "extra" + string(rune('a'+len(p.Fixed))), Start: p.Open[0][0], End: p.Open[0][0] + 1, Station: model.OptID(s.ID)})
			}
		}, "fixed work holds"},
		{"a pin lies in a closed shop", func(p *model.Problem) {
			for i := range p.Pours {
				if x := &p.Pours[i]; x.Stage == model.New {
					x.Pin = &model.Spot{Mold: x.Molds[0].Mold, Start: p.Open[0][1]}
					p.Now = min(p.Now, p.Open[0][1])
					return
				}
			}
		}, "no start"},
		{"a pin lies in a mold that is down all week", func(p *model.Problem) {
			for i := range p.Pours {
				if x := &p.Pours[i]; x.Stage == model.New {
					x.Pin = &model.Spot{Mold: x.Molds[0].Mold, Start: p.Open[1][0]}
					x.Release, p.Now = 0, min(p.Now, p.Open[1][0])
					for m := range p.Molds {
						if p.Molds[m].ID == x.Pin.Mold {
							p.Molds[m].Down = []model.Interval{{0, p.Horizon}}
						}
					}
					return
				}
			}
		}, "cannot be cast where it is pinned"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := modeltest.Random(8, modeltest.Options{MinPours: 4, Plain: true})
			c.edit(p)
			r, err := Solve(context.Background(), p, Options{Work: 200})
			if err != nil {
				t.Fatal(err)
			}
			if r.Status != Infeasible || !strings.Contains(r.Reason, c.want) {
				t.Errorf("status %s, reason %q; want infeasible, %q", r.Status, r.Reason, c.want)
			}
		})
	}
}

// What is called impossible has no allowed plan: exhaustive search agrees.
func TestNoToyWithAPlanIsCalledImpossible(t *testing.T) {
	n := uint64(60)
	if testing.Short() {
		n = 20
	}
	for seed := range n {
		p := modeltest.Toy(seed)
		plan, _, ok := oracle.Best(p)
		if !ok || plan == nil {
			continue
		}
		r, err := Solve(context.Background(), p, Options{Seed: seed, Work: 50})
		if err != nil {
			t.Fatal(err)
		}
		if r.Status == Infeasible {
			t.Errorf("seed %d: called impossible: %s", seed, r.Reason)
		}
	}
}

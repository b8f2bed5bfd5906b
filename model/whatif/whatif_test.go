package whatif

import (
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
)

// Adding a person, a place, a mixer or a mold never makes the best plan dearer,
// taking overtime away never makes it cheaper: the optima are exhaustive.
func TestAddingNeverCostsAndTakingNeverSaves(t *testing.T) {
	told := 0
	seeds := uint64(25)
	if testing.Short() {
		seeds = 15
	}
	for seed := uint64(1); seed <= seeds; seed++ {
		p := modeltest.Toy(seed)
		plan, base, ok := oracle.Best(p)
		if !ok || plan == nil {
			continue
		}
		skill := p.People[0].Skills[0]
		cases := []Case{{People, "+1:" + skill}, {Racks, "+1:" + p.Racks[0].ID}, {Stations, "+1:rig"}, {Stations, "-1:booth"}, {Mixer, "+1"}, {Overtime, "none"}}
		for _, x := range p.Pours {
			if x.Stage == model.New {
				cases = append(cases, Case{Molds, "+1:" + x.Piece})
				break
			}
		}
		for _, c := range cases {
			q, err := Apply(p, c)
			if err != nil {
				t.Fatalf("seed %d %s: %v", seed, c.Name(), err)
			}
			if is := q.Validate(); len(is) > 0 {
				t.Fatalf("seed %d %s: %v", seed, c.Name(), is)
			}
			plan, cost, ok := oracle.Best(q)
			if !ok {
				continue
			}
			told++
			switch {
			case c.Adds() && (plan == nil || cost > base):
				t.Errorf("seed %d: %s costs %d, today %d", seed, c.Name(), cost, base)
			case c.Takes() && plan != nil && cost < base:
				t.Errorf("seed %d: %s costs %d, today %d", seed, c.Name(), cost, base)
			}
		}
	}
	if told < 10 {
		t.Fatalf("only %d cases were told", told)
	}
	t.Logf("%d cases", told)
}

func TestApplyLeavesTheWeekAlone(t *testing.T) {
	p := modeltest.Toy(3)
	people, mixers, open := len(p.People), len(p.Mixers), len(p.Open)
	for _, c := range []Case{{People, "4"}, {Overtime, "daily"}, {Overtime, "saturday"}, {Mixer, "+2"}} {
		q, err := Apply(p, c)
		if err != nil {
			t.Fatal(err)
		}
		if len(p.People) != people || len(p.Mixers) != mixers || len(p.Open) != open {
			t.Fatalf("%s changed the week that it was given", c.Name())
		}
		if c.Spec == "4" && len(q.People) != 4 || c.Spec == "+2" && len(q.Mixers) != mixers+2 {
			t.Errorf("%s: %d people, %d mixers", c.Name(), len(q.People), len(q.Mixers))
		}
		if c.Spec == "daily" && len(q.Overtime) == 0 {
			t.Error("daily overtime adds no hours")
		}
	}
}

func TestStationPlaces(t *testing.T) {
	p := modeltest.Toy(3)
	before := p.Stations[0].Places
	for spec, want := range map[string]int{"+2:rig": before + 2, "-1:rig": before - 1, "-9:rig": 0} {
		cs, err := Parse(p, Stations, spec)
		if err != nil || len(cs) != 1 || cs[0].Name() != "stations"+spec {
			t.Fatalf("%s gives %v, %v", spec, cs, err)
		}
		q, err := Apply(p, cs[0])
		if err != nil || q.Stations[0].Places != want || p.Stations[0].Places != before {
			t.Errorf("%s: %d places, of the week given %d (%v); want %d", spec, q.Stations[0].Places, p.Stations[0].Places, err, want)
		}
	}
}

func TestParse(t *testing.T) {
	p := modeltest.Toy(1)
	if cs, err := Parse(p, People, "2..5"); err != nil || len(cs) != 4 || cs[3].Name() != "people=5" {
		t.Errorf("2..5 gives %v, %v", cs, err)
	}
	for _, bad := range []struct {
		kind       Kind
		spec, want string
	}{
		{People, "5..3", "the smaller first"},
		{People, "1..52", "at most 50 apart"},
		{People, "+1:juggling", "nobody has it; skills are"},
		{People, "-nobody", "write -NAME for one of"},
		{Overtime, "always", "allowed are none, daily, saturday"},
		{Racks, "+1:attic", "racks are"},
		{Racks, "1", "write a sign"},
		{Stations, "+1:attic", "station \"attic\" is not in the shop; stations are rig"},
		{Stations, "2:rig", "write a sign and a whole number, such as +1, then the station: +1:rig"},
		{Molds, "+1:castle", "pieces are"},
		{Mixer, "-1", "write +1"},
		{"weather", "+1", "kinds are"},
	} {
		_, err := Parse(p, bad.kind, bad.spec)
		if err == nil || !strings.Contains(err.Error(), bad.want) {
			t.Errorf("%s %s: got %v, want %q", bad.kind, bad.spec, err, bad.want)
		}
	}
}

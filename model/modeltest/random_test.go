package modeltest

import (
	"reflect"
	"testing"

	"pourweek/model"
)

func TestRandomProblemsAreValidAndRepeat(t *testing.T) {
	for seed := range uint64(500) {
		o := Options{Plain: seed%7 == 0}
		p := Random(seed, o)
		if is := p.Validate(); len(is) > 0 {
			t.Fatalf("seed %d: %d issues, first %+v", seed, len(is), is[0])
		}
		if !reflect.DeepEqual(p, Random(seed, o)) {
			t.Fatalf("seed %d: two draws differ", seed)
		}
	}
}

// Every optional rule must be drawn now and then, or tests on random weeks
// would show nothing about it.
func TestRandomDrawsEveryOptionalRule(t *testing.T) {
	seen := map[string]int{}
	see := func(name string, b bool) {
		if b {
			seen[name]++
		}
	}
	for seed := range uint64(400) {
		p := Random(seed, Options{})
		see("overtime", len(p.Overtime) > 0)
		see("callin", len(p.Callins) > 0)
		see("fixed", len(p.Fixed) > 0)
		see("now", p.Now > 0)
		see("tick 15", p.TickMinutes == 15)
		see("one pour", len(p.Pours) == 1)
		see("forty pours", len(p.Pours) > 35)
		see("one person", len(p.People) == 1)
		for _, s := range p.Shipments {
			see("ship", true)
			see("trucks", len(s.Trucks) > 0)
			see("hold", s.Hold)
		}
		for _, m := range p.Mixers {
			see("keep", m.Keep != nil)
			see("mixer down", len(m.Down) > 0)
		}
		for _, m := range p.Mixes {
			see("wash before", len(m.WashBefore) > 0)
			see("pot life steps", len(m.PotLife) > 1)
			see("no wash", m.Wash == 0)
		}
		for _, m := range p.Molds {
			see("mold down", len(m.Down) > 0)
		}
		for _, x := range p.Pours {
			seePour(see, &x)
		}
	}
	for _, name := range []string{"overtime", "callin", "fixed", "now", "tick 15", "one pour", "forty pours", "one person", "ship", "trucks",
		"hold", "keep", "mixer down", "wash before", "pot life steps", "mold down", "new", "curing", "racked", "pin", "base",
		"prep max", "mold max", "mold until", "from max", "span", "rest max", "when layer", "when finish", "when demold", "when prep",
		"two heads", "layer without draw", "draw for two layers"} {
		if seen[name] == 0 {
			t.Errorf("%q was never drawn", name)
		}
	}
}

func seePour(see func(string, bool), x *model.Pour) {
	see(string(x.Stage), true)
	see("pin", x.Pin != nil)
	see("base", x.Base != nil)
	see("prep max", x.PrepMax != nil)
	see("mold max", x.MoldMax != nil)
	see("mold until", x.MoldUntil != nil)
	see("from max", x.FromMax != nil)
	see("span", len(x.Spans) > 0)
	see("when prep", x.Prep.When != nil)
	see("when demold", x.Demold.When != nil)
	fed := map[int]bool{}
	for _, d := range x.Draws {
		see("draw for two layers", len(d.Layers) > 1)
		for _, j := range d.Layers {
			fed[j] = true
		}
	}
	for j, l := range x.Layers {
		see("when layer", l.When != nil)
		see("layer without draw", !fed[j])
	}
	for _, f := range x.Finish {
		see("rest max", f.RestMax != nil)
		see("when finish", f.When != nil)
		n := 0
		for _, k := range f.Crew {
			n += k
		}
		see("two heads", n > 1)
	}
}

func TestToysAreValidAndRepeat(t *testing.T) {
	for seed := range uint64(2000) {
		p := Toy(seed)
		if is := p.Validate(); len(is) > 0 {
			t.Fatalf("seed %d: %d issues, first %+v", seed, len(is), is[0])
		}
		if n := len(p.Pours); n < 2 || n > 3 {
			t.Fatalf("seed %d: %d pours", seed, n)
		}
		if !reflect.DeepEqual(p, Toy(seed)) {
			t.Fatalf("seed %d: two draws differ", seed)
		}
	}
}

func TestPlantsAreValidAndRepeat(t *testing.T) {
	for seed := range uint64(20) {
		for _, n := range []int{1, 10, 40, 250, 400} {
			p := Plant(seed, n)
			if is := p.Validate(); len(is) > 0 {
				t.Fatalf("seed %d, %d pours: %d issues, first %+v", seed, n, len(is), is[0])
			}
			news := 0
			for i := range p.Pours {
				if p.Pours[i].Stage == model.New {
					news++
				}
			}
			if news != n {
				t.Fatalf("seed %d: %d new pours, want %d", seed, news, n)
			}
			if !reflect.DeepEqual(p, Plant(seed, n)) {
				t.Fatalf("seed %d, %d pours: two draws differ", seed, n)
			}
		}
	}
}

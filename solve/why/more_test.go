package why

import (
	"slices"
	"testing"

	"pourweek/model"
	"pourweek/model/whatif"
)

// One more is tried of each kind of thing that work waited for, of what it waited
// for longest before others, and what is left untried is said.
func TestOneMoreOfEachKindIsTried(t *testing.T) {
	p := smallShop()
	p.Pours[1].Piece, p.Pours[1].Places = "other", 2
	slices.Reverse(p.Pours[1].Molds)
	loads := []Load{
		{Name: "mold m2", Waited: 9}, {Name: "mold m1", Waited: 8}, {Name: "crew hand", Waited: 7}, {Name: "crew hone", Waited: 6},
		{Name: "rack r1", Waited: 5}, {Name: "mixer mx1", Waited: 4}, {Name: "station bench", Waited: 3}, {Name: "crew mix", Waited: 0},
	}
	one := func(k whatif.Kind, spec string) whatif.Case { return whatif.Case{Kind: k, Spec: spec} }
	all := []whatif.Case{one(whatif.Molds, "+1:other"), one(whatif.Molds, "+1:piece"), one(whatif.People, "+1:hand"), one(whatif.People, "+1:hone"),
		one(whatif.Racks, "+2:r1"), one(whatif.Mixer, "+1:mx1"), one(whatif.Stations, "+1:bench")}
	if cases, left := More(p, loads, 9); !slices.Equal(cases, all) || len(left) > 0 {
		t.Errorf("all: %v, left %v", cases, left)
	}
	cases, left := More(p, loads, 6)
	if want := slices.Delete(slices.Clone(all), 3, 4); !slices.Equal(cases, want) || !slices.Equal(left, all[3:4]) {
		t.Errorf("six: %v, left %v; want %v", cases, left, want)
	}
	if cases, left := More(p, loads, 2); !slices.Equal(cases, []whatif.Case{all[0], all[2]}) || len(left) != 5 {
		t.Errorf("two: %v, left %v", cases, left)
	}
	// A mold in which nothing new is cast, and a shop with nothing to wait for.
	p.Molds = append(p.Molds, model.Mold{ID: "m3", Down: []model.Interval{}})
	if cases, left := More(p, []Load{{Name: "mold m3", Waited: 9}, {Name: "crew hand"}}, 9); len(cases)+len(left) > 0 {
		t.Errorf("%v, left %v", cases, left)
	}
}

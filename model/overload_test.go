package model_test

import (
	"slices"
	"testing"

	"pourweek/model"
)

// Too much fixed work is told as data too: what, when, and which of it takes part.
func TestTooMuchFixedWorkIsNamed(t *testing.T) {
	work := func(id string, from, to model.Tick, skill, station string) model.Fixed {
		f := model.Fixed{ID: id, Start: from, End: to, Crew: model.Crew{}, Station: model.OptID(station)}
		if skill != "" {
			f.Crew[skill] = 1
		}
		return f
	}
	rig := "rig"
	for _, c := range []struct {
		name  string
		fixed []model.Fixed
		want  model.Overload
		says  string
		takes []string
	}{
		{"a station", []model.Fixed{work("a", 2, 6, "", rig), work("b", 4, 8, "hand", rig), work("c", 4, 8, "", "booth"), work("d", 6, 8, "", rig)},
			model.Overload{At: 4, Asked: 2, There: 1, Station: rig}, `fixed work holds 2 places of station "rig" at noon; it has 1`, []string{"a", "b"}},
		{"a skill", []model.Fixed{work("a", 2, 6, "hand", ""), work("b", 5, 8, "hand", ""), work("c", 5, 8, "", rig), work("d", 5, 6, "mix", "")},
			model.Overload{At: 5, Asked: 2, There: 1, Skill: "hand"}, `fixed work asks 2 heads of the skill "hand" at noon, with 1 present`, []string{"a", "b"}},
		{"all skills", []model.Fixed{work("a", 2, 6, "hand", ""), work("b", 3, 8, "mix", ""), work("c", 3, 8, "", rig)},
			model.Overload{At: 3, Asked: 2, There: 1}, `fixed work asks 2 heads of the skills that it needs at noon, with 1 present`, []string{"a", "b"}},
	} {
		day := []model.Interval{{0, 20}}
		p := &model.Problem{Format: model.ProblemFormat, Start: "2027-03-01T07:00:00Z", TickMinutes: 5, Horizon: 20, PourUntil: 20,
			Open: day, Fixed: c.fixed, Stations: []model.Station{{ID: rig, Places: 1}, {ID: "booth", Places: 1}},
			People: []model.Person{{ID: "Ann", Skills: []string{"hand", "mix"}, On: day}}}
		var got *model.Overload
		for _, x := range p.Validate() {
			if got == nil {
				got = x.Overload
			}
		}
		if got == nil || *got != c.want {
			t.Errorf("%s: got %+v, want %+v", c.name, got, c.want)
			continue
		}
		if s := got.Sentence("at noon"); s != c.says {
			t.Errorf("%s: got %q, want %q", c.name, s, c.says)
		}
		var takes []string
		for i := range c.fixed {
			if got.Takes(&c.fixed[i]) {
				takes = append(takes, c.fixed[i].ID)
			}
		}
		if !slices.Equal(takes, c.takes) {
			t.Errorf("%s: %q take part, want %q", c.name, takes, c.takes)
		}
	}
	if list := new(model.Problem).Validate(); len(list) == 0 || slices.ContainsFunc(list, func(x model.Issue) bool { return x.Overload != nil }) {
		t.Errorf("an empty problem is faulty, and no work is too much: %v", list)
	}
}

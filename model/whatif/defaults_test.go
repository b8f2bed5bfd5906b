package whatif

import (
	"slices"
	"testing"

	"pourweek/model"
)

// A mold that casts two pieces is busy with the pours of both, and with what
// cures in it.
func TestAMoldMoreIsADefaultWhereMoldsAreShared(t *testing.T) {
	week := func(stage model.Stage, molds ...string) *model.Problem {
		p := &model.Problem{Racks: []model.Rack{{ID: "r"}}, Mixers: []model.Mixer{{ID: "m"}}, Molds: []model.Mold{{ID: "a"}, {ID: "b"}}}
		x := model.Pour{ID: "x", Piece: "pot", Stage: model.New, Molds: []model.MoldChoice{{Mold: "a"}}}
		y := model.Pour{ID: "y", Piece: "top", Stage: stage}
		for _, m := range molds {
			if y.Stage == model.New {
				y.Molds = append(y.Molds, model.MoldChoice{Mold: m})
			} else {
				y.Mold = m
			}
		}
		p.Pours = []model.Pour{x, y}
		return p
	}
	for _, c := range []struct {
		name string
		p    *model.Problem
		want bool
	}{
		{"another piece may be cast in it", week(model.New, "b", "a"), true},
		{"another piece is in it", week(model.Curing, "a"), true},
		{"the others have their own", week(model.New, "b"), false},
		{"another mold is in use", week(model.Curing, "b"), false},
	} {
		if got := slices.Contains(Defaults(c.p), Case{Molds, "+1:pot"}); got != c.want {
			t.Errorf("%s: tried %t", c.name, got)
		}
	}
}

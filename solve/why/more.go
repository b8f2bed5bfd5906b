package why

import (
	"fmt"
	"slices"
	"strings"

	"pourweek/model"
	"pourweek/model/whatif"
)

// More lists the cases that add one more of each thing that work waited for, in
// the order of the loads: a person of the skill, a mold like it, places for one
// more piece on the rack, a mixer, a place of the station. Of more than most, the
// first of each kind are taken, then the first of the rest; left are the others.
func More(p *model.Problem, loads []Load, most int) (cases, left []whatif.Case) {
	var all []whatif.Case
	for _, l := range loads {
		if c, ok := oneMore(p, l); ok && !slices.Contains(all, c) {
			all = append(all, c)
		}
	}
	take := map[whatif.Case]bool{}
	kinds := map[whatif.Kind]bool{}
	for _, c := range all {
		if !kinds[c.Kind] && len(take) < most {
			kinds[c.Kind], take[c] = true, true
		}
	}
	for _, c := range all {
		if len(take) < most {
			take[c] = true
		}
		if take[c] {
			cases = append(cases, c)
		} else {
			left = append(left, c)
		}
	}
	return cases, left
}

// oneMore is the case that adds to what a load is of, if work waited for it and
// the week can have more of it.
func oneMore(p *model.Problem, l Load) (whatif.Case, bool) {
	kind, name, _ := strings.Cut(l.Name, " ")
	var c whatif.Case
	switch kind {
	case "crew":
		c = whatif.Case{Kind: whatif.People, Spec: "+1:" + name}
	case "rack":
		places := 1
		for _, x := range p.Pours {
			if slices.Contains(x.Racks, name) || x.Rack == name {
				places = max(places, x.Places)
			}
		}
		c = whatif.Case{Kind: whatif.Racks, Spec: fmt.Sprintf("+%d:%s", places, name)}
	case "mixer":
		c = whatif.Case{Kind: whatif.Mixer, Spec: "+1:" + name}
	case "station":
		c = whatif.Case{Kind: whatif.Stations, Spec: "+1:" + name}
	case "mold":
		c = whatif.Case{Kind: whatif.Molds, Spec: "+1:" + castIn(p, name)}
	}
	if l.Waited == 0 {
		return c, false
	}
	_, err := whatif.Apply(p, c)
	return c, err == nil
}

// castIn is a piece that may be cast in the mold, one whose first choice it is
// before others, so that a mold more for the piece is one like it.
func castIn(p *model.Problem, mold string) string {
	piece := ""
	for _, x := range p.Pours {
		switch i := slices.IndexFunc(x.Molds, func(m model.MoldChoice) bool { return m.Mold == mold }); {
		case i == 0:
			return x.Piece
		case i > 0 && piece == "":
			piece = x.Piece
		}
	}
	return piece
}

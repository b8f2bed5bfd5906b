package whatif

import (
	"slices"

	"pourweek/model"
)

// Defaults lists the one-step changes that a lead would ask about first: a
// person more and less of each skill, a mold more of each piece that has few
// for its pours, more places on each rack, overtime, a second mixer.
func Defaults(p *model.Problem) []Case {
	var out []Case
	for _, s := range skills(p) {
		out = append(out, Case{People, "+1:" + s}, Case{People, "-1:" + s})
	}
	for _, piece := range pieces(p) {
		pours, choice := 0, []string{}
		for _, x := range p.Pours {
			if x.Piece == piece && x.Stage == model.New {
				pours++
				for _, m := range x.Molds {
					if !slices.Contains(choice, m.Mold) {
						choice = append(choice, m.Mold)
					}
				}
			}
		}
		if pours > len(choice) {
			out = append(out, Case{Molds, "+1:" + piece})
		}
	}
	for _, r := range p.Racks {
		out = append(out, Case{Racks, "+4:" + r.ID})
	}
	for _, s := range []string{"none", "daily", "saturday"} {
		out = append(out, Case{Overtime, s})
	}
	out = append(out, Case{Mixer, "+1"})
	return slices.DeleteFunc(out, func(c Case) bool {
		_, err := Apply(p, c)
		return err != nil
	})
}

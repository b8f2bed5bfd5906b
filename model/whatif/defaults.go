package whatif

import (
	"slices"

	"pourweek/model"
)

// Defaults lists the one-step changes that a lead would ask about first: a
// person more and less of each skill, a mold more of each piece whose molds
// are fewer than the pours that are, or may be, cast in them, more places on each rack, overtime, a second mixer.
func Defaults(p *model.Problem) []Case {
	var out []Case
	for _, s := range skills(p) {
		out = append(out, Case{People, "+1:" + s}, Case{People, "-1:" + s})
	}
	for _, piece := range pieces(p) {
		pours, choice := 0, castIn(p, piece)
		for _, x := range p.Pours {
			if x.Stage == model.New && slices.ContainsFunc(x.Molds, func(m model.MoldChoice) bool { return slices.Contains(choice, m.Mold) }) ||
				x.Stage == model.Curing && slices.Contains(choice, x.Mold) {
				pours++
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

// castIn lists the molds that new pours of a piece may be cast in.
func castIn(p *model.Problem, piece string) []string {
	var out []string
	for _, x := range p.Pours {
		if x.Piece != piece || x.Stage != model.New {
			continue
		}
		for _, m := range x.Molds {
			if !slices.Contains(out, m.Mold) {
				out = append(out, m.Mold)
			}
		}
	}
	return out
}

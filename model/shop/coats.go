package shop

import (
	"sort"

	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/unit"
)

// coats reads the coats of a piece type; a name stands for a coat set.
func (r *reader) coats(p *rawPiece, n *node) {
	if n.kind == scalar {
		set, ok := r.sets.coats[n.text]
		if !ok {
			r.bad(n, r.nearSet(n.text, "coat sets", sortedKeys(r.sets.coats)), "which no coat set is called")
			return
		}
		n = set
	}
	if n.kind != list || len(n.items) == 0 {
		r.bad(n, "write a list of coats, each a line that begins with -", "and a list of coats is needed")
		return
	}
	if len(n.items) > maxSteps {
		r.bad(n, "put together what is laid in one go", "and there are %d coats, at most %d are allowed", len(n.items), maxSteps)
	}
	for i, item := range n.items[:min(len(n.items), maxSteps)] {
		c := rawCoat{Coat: Coat{Pos: item.pos}}
		before := r.own
		coatTable.read(r, &c, item)
		if r.own == before {
			r.measure(p, &c, item)
		}
		switch {
		case i == 0 && c.gap:
			r.fail(item.get("gap").pos, "take it out", "the first coat has a gap, and there is no coat before it")
			c.GapMin, c.GapMax = 0, 0
		case i > 0 && !c.gap && item.kind == mapping:
			r.fail(item.pos, "write gap: 15 min to 45 min, the window after the coat before", "a coat after the first has no %q", "gap")
		case i == 0 && c.SameBatch:
			r.fail(item.get("same batch").pos, "take it out", "the first coat has no coat before it to share a batch with")
		}
		p.Coats = append(p.Coats, c.Coat)
	}
}

// measure works out what a coat takes and how long.
func (r *reader) measure(p *rawPiece, c *rawCoat, n *node) {
	area := c.area
	if !area.Is(unit.Area) {
		area = p.area
	}
	if c.mix == "" {
		c.mix = p.mix
	}
	if !area.Is(unit.Area) && r.ownDoubt("area", "like") || c.mix == "" && r.ownDoubt("mix", "like") {
		return // the mistake there says it
	}
	mass := r.mass(c, n, area)
	q := c.work
	switch {
	case q.Is(unit.TimePerArea):
		if !area.Is(unit.Area) {
			r.fail(c.workAt.pos, "give the piece type an area, or write a length of time", "%q is %s, and neither the coat nor the piece type has an area",
				"work", c.workAt.show())
			return
		}
		q = q.Mul(area)
	case q.Is(unit.MassPerTime):
		if !mass.Is(unit.Mass) && (c.massed || c.thin) {
			return // why there is none is told
		}
		if !mass.Is(unit.Mass) {
			r.fail(c.workAt.pos, "give the coat a mass or a thickness, or write a length of time", "%q is %s, and the coat takes no mix",
				"work", c.workAt.show())
			return
		}
		if q.Sign() == 0 {
			r.fail(c.workAt.pos, "write a rate such as 10 kg/min", "%q is %s, and nothing is ever laid at that rate", "work", c.workAt.show())
			return
		}
		q = mass.Quo(q)
	}
	r.at("work", c.workAt, func() { c.Work = r.aboveZero(c.workAt, q, true) })
}

// mass is what a coat takes of its mix, overspray included; no quantity if it
// takes none, or several.
func (r *reader) mass(c *rawCoat, n *node, area unit.Quantity) unit.Quantity {
	switch {
	case len(c.mixes) > 0:
		if c.massed || c.thin || n.get("mix") != nil {
			r.fail(n.pos, "give mixes alone, or mix with mass or thick", "coat %s has %q and also mix, mass or thick", diag.Quote(c.Name), "mixes")
		}
		c.Draws = c.mixes
		return unit.Quantity{}
	case c.massed && c.thin:
		r.fail(n.pos, "give one of them", "coat %s has both %q and %q", diag.Quote(c.Name), "mass", "thick")
		return unit.Quantity{}
	case !c.massed && !c.thin:
		if n.get("mix") != nil {
			r.fail(n.pos, "give it a mass or a thickness", "coat %s has a mix, and neither mass nor thick", diag.Quote(c.Name))
		}
		return unit.Quantity{}
	case c.mix == "":
		r.fail(n.pos, "give the coat, or its piece type, a mix", "coat %s takes a mass and has no mix", diag.Quote(c.Name))
		return unit.Quantity{}
	}
	m := c.mass
	if c.thin {
		if !area.Is(unit.Area) {
			r.fail(c.thickAt.pos, "give the piece type an area, or the coat a mass", "%q is %s, and neither the coat nor the piece type has an area",
				"thick", c.thickAt.show())
			return unit.Quantity{}
		}
		mix := r.rawMix(c.mix)
		if mix == nil {
			return unit.Quantity{} // the name is reported as unknown
		}
		if r.doubt("mixes/"+c.mix+"/density", "mixes/"+c.mix+"/like") {
			return unit.Quantity{}
		}
		if !mix.density.Is(unit.Dense) {
			r.fail(c.thickAt.pos, "give mix "+c.mix+" a density, such as 130 lb/ft3, or the coat a mass",
				"%q is %s, and mix %s has no density", "thick", c.thickAt.show(), diag.Quote(c.mix))
			return unit.Quantity{}
		}
		m = area.Mul(c.thick).Mul(mix.density)
	}
	m = m.More(c.overspray)
	grams, ok := m.Up()
	if !ok || grams > maxAmount {
		r.fail(n.pos, "look at the mass, the thickness, the area and the density with their units", "coat %s takes far too much", diag.Quote(c.Name))
		return unit.Quantity{}
	}
	c.Draws = []Draw{{c.mix, model.Grams(grams)}}
	return m
}

func (r *reader) rawMix(name string) *rawMix {
	for i := range r.sets.mixes {
		if r.sets.mixes[i].Name == name {
			return &r.sets.mixes[i]
		}
	}
	return nil
}

func sortedKeys(m map[string]*node) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

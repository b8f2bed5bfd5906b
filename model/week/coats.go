package week

import (
	"fmt"
	"slices"

	"pourweek/model"
	"pourweek/model/shop"
	"pourweek/model/unit"
)

// maxLifts is the number of lifts into which a coat may be split.
const maxLifts = 12

// maxSteps is the number of layers and finish steps of a pour.
const maxSteps = 50

// liftWindow is the longest time between two lifts of a coat: fresh on fresh
// holds 15 to 30 min at 20 C (common practice).
const liftWindow = unit.Minutes(30)

// coats are the layers and draws of a piece type.
type coats struct {
	layers []model.Layer
	draws  []model.Draw
	first  map[string]string // id of the first layer of each coat
	last   map[string]string // and of its last
}

// chain is what has to come from one batch: a mix and the neighboring coats
// that take it.
type chain struct {
	mix    *shop.Mix
	coats  []int
	masses []model.Grams
}

func (c *chain) sum() model.Grams {
	var g model.Grams
	for _, m := range c.masses {
		g += m
	}
	return g
}

// coatsOf lays out the coats of a piece type. A coat that does not fit a load
// of any mixer of its mix becomes equal lifts; one that cannot is a mistake.
func (w *compiler) coatsOf(p *shop.Piece) coats {
	chains := w.chains(p)
	lifts := make([]int, len(p.Coats))
	for i := range lifts {
		lifts[i] = 1
	}
	for _, c := range chains {
		if n := w.liftsOf(p, c); n > 1 {
			lifts[c.coats[0]] = max(lifts[c.coats[0]], n)
		}
	}
	out := coats{first: map[string]string{}, last: map[string]string{}}
	begin := make([]int, len(p.Coats)) // index of the first layer of each coat
	for i := range p.Coats {
		begin[i] = len(out.layers)
		w.layers(p, i, lifts[i], &out)
	}
	if n := len(out.layers) + len(p.Finish); n > maxSteps {
		w.errs.At(p.Pos, "write fewer coats, or give the mixes larger mixers", "%q has %d coats, lifts and finish steps, at most %d are allowed", p.Name, n, maxSteps)
	}
	for _, c := range chains {
		out.draws = append(out.draws, drawsOf(c, lifts, begin)...)
	}
	for _, d := range out.draws {
		w.checkPotLife(p, &out, d)
	}
	return out
}

// chains groups what the coats take: a coat that is to come from the batch of
// the coat before is chained to it, mix by mix.
func (w *compiler) chains(p *shop.Piece) []*chain {
	var out []*chain
	var before map[string]*chain
	for i := range p.Coats {
		coat := &p.Coats[i]
		now := map[string]*chain{}
		for _, d := range coat.Draws {
			mix := w.shop.Mix(d.Mix)
			if mix == nil || d.Mass <= 0 {
				continue
			}
			c := before[d.Mix]
			if c == nil || !coat.SameBatch {
				c = &chain{mix: mix}
				out = append(out, c)
			}
			c.coats = append(c.coats, i)
			c.masses = append(c.masses, d.Mass)
			now[d.Mix] = c
		}
		before = now
	}
	return out
}

// load is the most that one batch of the mix can give to draws, in the mixer
// that gives most; mixer is its name, "" if no mixer can hold the smallest batch.
func (w *compiler) load(m *shop.Mix) (most model.Grams, mixer string) {
	for _, name := range m.Mixers {
		x := w.shop.Mixer(name)
		if x == nil || m.Smallest > x.Capacity {
			continue
		}
		step := max(1, m.Step)
		if net := x.Capacity/step*step - m.Loss; net > most || mixer == "" {
			most, mixer = net, name
		}
	}
	return most, mixer
}

// liftsOf is the number of lifts that a chain needs; more than one is possible
// for a coat by itself alone.
func (w *compiler) liftsOf(p *shop.Piece, c *chain) int {
	most, mixer := w.load(c.mix)
	coat, sum := &p.Coats[c.coats[0]], c.sum()
	switch {
	case mixer == "" || most <= 0:
		w.errs.At(c.mix.Pos, "give the mix a larger mixer, or make its smallest batch, rounding step or loss smaller",
			"mix %q cannot be made: no mixer of it (%s) holds a smallest batch and what stays in pail and hose", c.mix.Name, w.holds(c.mix))
		return 1
	case sum <= most:
		return 1
	case len(c.coats) > 1:
		w.errs.At(p.Coats[c.coats[len(c.coats)-1]].Pos,
			fmt.Sprintf("let the coats come from batches of their own, or give mix %q a mixer that holds more", c.mix.Name),
			"coats %s of %q take %s of mix %q from one batch, and a load of %q gives %s at most",
			coatNames(p, c.coats), p.Name, kg(sum), c.mix.Name, mixer, kg(most))
		return 1
	}
	n := int((sum + most - 1) / most)
	ticks := int(w.up(coat.Work))
	if n > maxLifts || n > ticks {
		w.errs.At(coat.Pos, fmt.Sprintf("give mix %q a mixer that holds more, or write the coat as several coats", c.mix.Name),
			"coat %q of %q takes %s of mix %q, a load of %q gives %s at most, and %d lifts are too many (at most %d, and %d min each)",
			coat.Name, p.Name, kg(sum), c.mix.Name, mixer, kg(most), n, maxLifts, w.shop.TickMinutes)
		return 1
	}
	w.note("coat %q of %q takes %s of mix %q and a load of %q gives %s at most: it is laid in %d equal lifts, %d min apart at most",
		coat.Name, p.Name, kg(sum), c.mix.Name, mixer, kg(most), n, w.liftGap(p, c.coats[0]))
	return n
}

// holds lists the mixers of a mix with their capacities.
func (w *compiler) holds(m *shop.Mix) string {
	var out []string
	for _, name := range m.Mixers {
		if x := w.shop.Mixer(name); x != nil {
			out = append(out, fmt.Sprintf("%s holds %s", name, kg(x.Capacity)))
		}
	}
	if len(out) == 0 {
		return "none is given"
	}
	return listed(out)
}

func coatNames(p *shop.Piece, idx []int) string {
	var out []string
	for _, i := range idx {
		out = append(out, fmt.Sprintf("%q", p.Coats[i].Name))
	}
	return listed(out)
}

// liftGap is the longest time between lifts of a coat: the window of the coat
// onto the one before, or, for the first coat, of the next coat or the cover
// onto it, and never more than liftWindow.
func (w *compiler) liftGap(p *shop.Piece, i int) unit.Minutes {
	window := p.Cover.GapMax
	if i > 0 {
		window = p.Coats[i].GapMax
	} else if i+1 < len(p.Coats) {
		window = p.Coats[i+1].GapMax
	}
	if window <= 0 || window > liftWindow {
		window = liftWindow
	}
	return window
}

// layers appends the layers of a coat, n equal lifts.
func (w *compiler) layers(p *shop.Piece, i, n int, out *coats) {
	c := &p.Coats[i]
	gap := w.window(c.GapMin, c.GapMax)
	if i == 0 {
		gap = model.Interval{}
	} else if gap.Len() < 0 {
		w.noTick(c.Pos, fmt.Sprintf("coat %q of %q", c.Name, p.Name), c.GapMin, c.GapMax)
	}
	when := w.starts(c.Task, c.Pos, fmt.Sprintf("coat %q of %q", c.Name, p.Name))
	for k := range n {
		id := c.Name
		if n > 1 {
			id = w.freeID(p, fmt.Sprintf("%s-%d", c.Name, k+1))
			if k > 0 {
				gap = w.window(0, w.liftGap(p, i))
			}
		}
		if k == 0 {
			out.first[c.Name] = id
		}
		out.last[c.Name] = id
		work := max(1, w.up((c.Work+unit.Minutes(n)-1)/unit.Minutes(n)))
		out.layers = append(out.layers, model.Layer{
			ID: id, Work: work, Crew: crewOf(c.Crew), Station: model.OptID(c.Station), Gap: gap, When: slices.Clone(when),
		})
	}
}

// freeID is the id with as many primes as make it differ from all step names of
// the piece.
func (w *compiler) freeID(p *shop.Piece, id string) string {
	taken := func(id string) bool {
		return slices.ContainsFunc(p.Coats, func(c shop.Coat) bool { return c.Name == id }) ||
			slices.ContainsFunc(p.Finish, func(f shop.Finish) bool { return f.Name == id })
	}
	for taken(id) {
		id += "'"
	}
	return id
}

// drawsOf is the draws of a chain: one for coats from one batch, or one for each
// lift of a coat by itself, rounded up to the gram.
func drawsOf(c *chain, lifts, begin []int) []model.Draw {
	if len(c.coats) == 1 {
		i := c.coats[0]
		n := lifts[i]
		grams := (c.masses[0] + model.Grams(n) - 1) / model.Grams(n)
		var out []model.Draw
		for k := range n {
			out = append(out, model.Draw{Mix: c.mix.Name, Grams: grams, Layers: []int{begin[i] + k}})
		}
		return out
	}
	d := model.Draw{Mix: c.mix.Name, Grams: c.sum()}
	for _, i := range c.coats {
		for k := range lifts[i] {
			d.Layers = append(d.Layers, begin[i]+k)
		}
	}
	return []model.Draw{d}
}

// checkPotLife reports a draw whose layers cannot be laid within the pot life
// of the mix at any hour.
func (w *compiler) checkPotLife(p *shop.Piece, c *coats, d model.Draw) {
	m := w.shop.Mix(d.Mix)
	ready := w.up(m.Mix) + w.up(m.Rest) + w.up(m.Remix)
	need := model.Tick(0)
	from, to := d.Layers[0], d.Layers[len(d.Layers)-1]
	for k := from; k <= to; k++ {
		if k > from {
			need += c.layers[k].Gap[0]
		}
		need += c.layers[k].Work
	}
	var most model.Tick
	for _, s := range w.life[d.Mix] {
		most = max(most, model.Tick(s[1]))
	}
	if ready+need <= most {
		return
	}
	coat := w.coatAt(p, c, to)
	w.errs.At(coat.Pos, fmt.Sprintf("make the coat shorter, or let it come from more than one batch, or mend the pot life of mix %q", d.Mix),
		"coat %q of %q cannot be laid within the pot life of mix %q: mixing takes %s, laying %s, and the pot life is %s at most",
		coat.Name, p.Name, d.Mix, w.span(ready), w.span(need), w.span(most))
}

// coatAt is the coat to which a layer belongs.
func (w *compiler) coatAt(p *shop.Piece, c *coats, layer int) *shop.Coat {
	n := 0
	for i := range p.Coats {
		for k := n; k < len(c.layers); k++ {
			if c.layers[k].ID == c.last[p.Coats[i].Name] {
				n = k + 1
				break
			}
		}
		if layer < n {
			return &p.Coats[i]
		}
	}
	return &p.Coats[len(p.Coats)-1]
}

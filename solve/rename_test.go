package solve

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pourweek/model"
)

// names gives every id of one kind a new one, and knows the way back. New ids
// sort in another order than the old ones.
type names struct {
	r         *rand.Rand
	kind      string
	new, back map[string]string
}

func newNames(r *rand.Rand, kind string) *names {
	return &names{r, kind, map[string]string{}, map[string]string{}}
}

func (n *names) of(id string) string {
	if id == "" {
		return ""
	}
	if n.new[id] == "" {
		s := ""
		for s == "" || n.back[s] != "" {
			s = fmt.Sprintf("%s-%04d", n.kind, n.r.IntN(10000))
		}
		n.new[id], n.back[s] = s, id
	}
	return n.new[id]
}

func (n *names) all(l []string) {
	for i := range l {
		l[i] = n.of(l[i])
	}
}

// renamer renames and reorders a problem.
type renamer struct {
	r                                                             *rand.Rand
	skill, person, mixer, mix, mold, rack, station, cure, pour, x *names
	step                                                          map[string]*names // by pour: ids of its layers and finish steps
}

func newRenamer(seed uint64) *renamer {
	r := rand.New(rand.NewPCG(seed, 11))
	return &renamer{
		r: r, skill: newNames(r, "s"), person: newNames(r, "p"), mixer: newNames(r, "x"), mix: newNames(r, "m"), mold: newNames(r, "o"),
		rack: newNames(r, "r"), station: newNames(r, "t"), cure: newNames(r, "c"), pour: newNames(r, "u"), x: newNames(r, "z"),
		step: map[string]*names{},
	}
}

func shuffle[T any](n *renamer, l []T) {
	n.r.Shuffle(len(l), func(i, j int) { l[i], l[j] = l[j], l[i] })
}

func (n *renamer) crew(c *model.Crew) {
	d := model.Crew{}
	for _, s := range slices.Sorted(maps.Keys(*c)) {
		d[n.skill.of(s)] = (*c)[s]
	}
	*c = d
}

func (n *renamer) task(c *model.Crew, station *model.OptID) {
	n.crew(c)
	*station = model.OptID(n.station.of(string(*station)))
}

// problem renames all ids and shuffles all lists whose order says nothing.
func (n *renamer) problem(p *model.Problem) {
	n.shop(p)
	for i := range p.Fixed {
		f := &p.Fixed[i]
		f.ID = n.x.of(f.ID)
		n.task(&f.Crew, &f.Station)
	}
	for i := range p.Shipments {
		s := &p.Shipments[i]
		s.ID = n.x.of(s.ID)
		n.pour.all(s.Pours)
		shuffle(n, s.Pours)
	}
	for i := range p.Pours {
		n.onePour(&p.Pours[i])
	}
	shuffle(n, p.People)
	shuffle(n, p.Mixers)
	shuffle(n, p.Mixes)
	shuffle(n, p.Molds)
	shuffle(n, p.Racks)
	shuffle(n, p.Stations)
	shuffle(n, p.Cures)
	shuffle(n, p.Fixed)
	shuffle(n, p.Callins)
	shuffle(n, p.Shipments)
	shuffle(n, p.Pours)
}

func (n *renamer) shop(p *model.Problem) {
	for i := range p.People {
		x := &p.People[i]
		x.ID = n.person.of(x.ID)
		n.skill.all(x.Skills)
		shuffle(n, x.Skills)
	}
	for i := range p.Mixers {
		p.Mixers[i].ID = n.mixer.of(p.Mixers[i].ID)
	}
	for i := range p.Mixes {
		m := &p.Mixes[i]
		m.ID = n.mix.of(m.ID)
		n.crew(&m.Crew)
		n.mixer.all(m.Mixers)
		shuffle(n, m.Mixers)
		if m.WashBefore != nil {
			d := map[string]model.Tick{}
			for _, id := range slices.Sorted(maps.Keys(m.WashBefore)) {
				d[n.mix.of(id)] = m.WashBefore[id]
			}
			m.WashBefore = d
		}
	}
	for i := range p.Molds {
		p.Molds[i].ID = n.mold.of(p.Molds[i].ID)
	}
	for i := range p.Racks {
		p.Racks[i].ID = n.rack.of(p.Racks[i].ID)
	}
	for i := range p.Stations {
		p.Stations[i].ID = n.station.of(p.Stations[i].ID)
	}
	for i := range p.Cures {
		p.Cures[i].ID = n.cure.of(p.Cures[i].ID)
	}
}

func (n *renamer) onePour(x *model.Pour) {
	steps := newNames(n.r, "step")
	for _, s := range []string{"prep", "cover", "demold"} {
		steps.new[s], steps.back[s] = s, s
	}
	x.ID = n.pour.of(x.ID)
	n.step[x.ID] = steps
	x.Order, x.Piece = n.x.of(x.Order), n.x.of(x.Piece)
	for k := range x.Molds {
		x.Molds[k].Mold = n.mold.of(x.Molds[k].Mold)
	}
	shuffle(n, x.Molds)
	n.rack.all(x.Racks)
	shuffle(n, x.Racks)
	n.task(&x.Prep.Crew, &x.Prep.Station)
	n.task(&x.Cover.Crew, &x.Cover.Station)
	n.task(&x.Demold.Crew, &x.Demold.Station)
	for j := range x.Layers {
		x.Layers[j].ID = steps.of(x.Layers[j].ID)
		n.task(&x.Layers[j].Crew, &x.Layers[j].Station)
	}
	for j := range x.Finish {
		x.Finish[j].ID = steps.of(x.Finish[j].ID)
		n.task(&x.Finish[j].Crew, &x.Finish[j].Station)
	}
	for k := range x.Draws {
		x.Draws[k].Mix = n.mix.of(x.Draws[k].Mix)
	}
	for k := range x.Spans {
		s := &x.Spans[k]
		s.Station = n.station.of(s.Station)
		s.From, s.To = moment(steps, s.From), moment(steps, s.To)
	}
	shuffle(n, x.Spans)
	x.Mold, x.Rack, x.Cure = n.mold.of(x.Mold), n.rack.of(x.Rack), n.cure.of(x.Cure)
	for _, s := range []*model.Spot{x.Pin, x.Base} {
		if s != nil {
			s.Mold = n.mold.of(s.Mold)
		}
	}
}

// moment renames the step of a moment such as face.start.
func moment(steps *names, m string) string {
	k := strings.LastIndexByte(m, '.')
	return steps.of(m[:k]) + m[k:]
}

// plan tells a plan of the renamed problem in the old names.
func (n *renamer) plan(plan *model.Plan) {
	for i := range plan.Batches {
		b := &plan.Batches[i]
		b.Mixer, b.Mix = n.mixer.back[b.Mixer], n.mix.back[b.Mix]
		n.who(&b.Who.Mix)
		n.who(&b.Who.Remix)
		n.who(&b.Who.Wash)
	}
	for i := range plan.Pours {
		x := &plan.Pours[i]
		x.ID = n.pour.back[x.ID]
		x.Mold, x.Rack = model.OptID(n.mold.back[string(x.Mold)]), n.rack.back[x.Rack]
		n.who(&x.Who.Prep)
		n.who(&x.Who.Cover)
		n.who(&x.Who.Demold)
		for k := range x.Who.Layers {
			n.who(&x.Who.Layers[k])
		}
		for k := range x.Who.Finish {
			n.who(&x.Who.Finish[k])
		}
	}
	for i := range plan.Carried {
		plan.Carried[i] = n.pour.back[plan.Carried[i]]
	}
	fixed := map[string]model.Who{}
	for id, w := range plan.Fixed {
		n.who(&w)
		fixed[n.x.back[id]] = w
	}
	plan.Fixed = fixed
}

func (n *renamer) who(w *model.Who) {
	if *w == nil {
		return
	}
	d := model.Who{}
	for s, l := range *w {
		for _, id := range l {
			d[n.skill.back[s]] = append(d[n.skill.back[s]], n.person.back[id])
		}
	}
	*w = d
}

func (c *tally) rename(t *testing.T, w smallWeek, seed uint64) {
	t.Helper()
	q, n := copyOf(t, w.p), newRenamer(seed)
	n.problem(q)
	t.Run(w.p.Name, func(t *testing.T) {
		c.same(t, w, q, func(plan *model.Plan) *model.Plan {
			n.plan(plan)
			return plan
		})
	})
}

// Other ids, and lists in another order, change nothing.
func TestRenamingAndReorderingChangeNothing(t *testing.T) {
	toys, randoms := sizes()
	var c tally
	for i, w := range smallWeeks(t, toys, randoms) {
		c.rename(t, w, uint64(i))
	}
	c.judge(t, int(toys)/4)
}

func TestRenamingATinyWeekChangesNothing(t *testing.T) {
	var c tally
	for i, w := range tinyWeeks(t) {
		c.rename(t, w, uint64(i))
	}
	c.judge(t, 1)
}

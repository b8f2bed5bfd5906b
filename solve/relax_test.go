package solve

import (
	"maps"
	"math/rand/v2"
	"slices"

	"pourweek/model"
)

// A relaxation gives a problem one rule less, or one thing more. Any plan that
// was allowed before is allowed after, as it stands, and costs no more: that is
// checked before the solver is asked. What is not listed here is no relaxation
// by the planning model: work or a cure that is shorter lets a mold stand idle
// or a piece held for longer (section 6), a shorter rest starts the wait on the
// rack sooner, a mold free sooner is idle for longer, an overtime window turned
// regular counts in the idle, held and waiting ticks and takes away that work
// may be put down for it, a later horizon is what no truck left costs.
type relaxation struct {
	name string
	// edit relaxes the problem at random; false when there is nothing to relax.
	edit func(r *rand.Rand, p *model.Problem) bool
}

// oneOf draws an element of a list that holds; nil if none does.
func oneOf[T any](r *rand.Rand, l []T, holds func(*T) bool) *T {
	var fit []*T
	for i := range l {
		if holds(&l[i]) {
			fit = append(fit, &l[i])
		}
	}
	if len(fit) == 0 {
		return nil
	}
	return fit[r.IntN(len(fit))]
}

// change relaxes one element of a list that holds.
func change[T any](list func(*model.Problem) []T, holds func(*T) bool, edit func(*T)) func(*rand.Rand, *model.Problem) bool {
	return func(r *rand.Rand, p *model.Problem) bool {
		x := oneOf(r, list(p), holds)
		if x == nil {
			return false
		}
		edit(x)
		return true
	}
}

func any0[T any](*T) bool { return true }

func pours(p *model.Problem) []model.Pour         { return p.Pours }
func mixers(p *model.Problem) []model.Mixer       { return p.Mixers }
func mixes(p *model.Problem) []model.Mix          { return p.Mixes }
func molds(p *model.Problem) []model.Mold         { return p.Molds }
func racks(p *model.Problem) []model.Rack         { return p.Racks }
func shipments(p *model.Problem) []model.Shipment { return p.Shipments }

func layers(p *model.Problem) (l []*model.Layer) {
	for i := range p.Pours {
		for j := range p.Pours[i].Layers {
			l = append(l, &p.Pours[i].Layers[j])
		}
	}
	return l
}

// laterLayers are the layers with a gap.
func laterLayers(p *model.Problem) (l []*model.Layer) {
	for i := range p.Pours {
		for j := range p.Pours[i].Layers[min(1, len(p.Pours[i].Layers)):] {
			l = append(l, &p.Pours[i].Layers[j+1])
		}
	}
	return l
}

func finishes(p *model.Problem) (l []*model.Finish) {
	for i := range p.Pours {
		for j := range p.Pours[i].Finish {
			l = append(l, &p.Pours[i].Finish[j])
		}
	}
	return l
}

// relaxations are all that are tried.
var relaxations = slices.Concat(more, longer, fewer, cheaper)

// more are relaxations that add to what there is.
var more = []relaxation{
	{"one more person", func(r *rand.Rand, p *model.Problem) bool {
		x := *oneOf(r, p.People, any0)
		x.ID = "another"
		p.People = append(p.People, x)
		return true
	}},
	{"one more skill of a person", func(r *rand.Rand, p *model.Problem) bool {
		all := map[string]bool{}
		for _, x := range p.People {
			for _, s := range x.Skills {
				all[s] = true
			}
		}
		x := oneOf(r, p.People, func(x *model.Person) bool { return len(x.Skills) < len(all) })
		if x == nil {
			return false
		}
		for _, s := range slices.Sorted(maps.Keys(all)) {
			if !slices.Contains(x.Skills, s) {
				x.Skills = append(x.Skills, s)
				return true
			}
		}
		return false
	}},
	{"one more copy of a mold", func(r *rand.Rand, p *model.Problem) bool {
		m := *oneOf(r, p.Molds, any0)
		for i := range p.Pours {
			x := &p.Pours[i]
			if k := slices.IndexFunc(x.Molds, func(c model.MoldChoice) bool { return c.Mold == m.ID }); k >= 0 {
				x.Molds = append(x.Molds, model.MoldChoice{Mold: "another", Work: x.Molds[k].Work})
			}
		}
		m.ID = "another"
		p.Molds = append(p.Molds, m)
		return true
	}},
	{"one more mold to choose", func(r *rand.Rand, p *model.Problem) bool {
		x := oneOf(r, p.Pours, func(x *model.Pour) bool {
			return x.Stage == model.New && len(x.Molds) < len(p.Molds) && len(x.Molds) > 0
		})
		if x == nil {
			return false
		}
		m := oneOf(r, p.Molds, func(m *model.Mold) bool {
			return !slices.ContainsFunc(x.Molds, func(c model.MoldChoice) bool { return c.Mold == m.ID })
		})
		x.Molds = append(x.Molds, model.MoldChoice{Mold: m.ID, Work: x.Molds[0].Work})
		return true
	}},
	{"one more rack place", change(racks, any0, func(x *model.Rack) {
		for i := range x.Places {
			x.Places[i][1]++
		}
	})},
	{"one more rack to choose", func(r *rand.Rand, p *model.Problem) bool {
		x := oneOf(r, p.Pours, func(x *model.Pour) bool { return x.Stage != model.Racked && len(x.Racks) < len(p.Racks) })
		if x == nil {
			return false
		}
		k := oneOf(r, p.Racks, func(k *model.Rack) bool { return !slices.Contains(x.Racks, k.ID) })
		x.Racks = append(x.Racks, k.ID)
		return true
	}},
	{"one more station place", change(func(p *model.Problem) []model.Station { return p.Stations }, any0,
		func(x *model.Station) { x.Places++ })},
	{"one more mixer", func(r *rand.Rand, p *model.Problem) bool {
		m := *oneOf(r, p.Mixers, any0)
		for i := range p.Mixes {
			if x := &p.Mixes[i]; slices.Contains(x.Mixers, m.ID) {
				x.Mixers = append(x.Mixers, "another")
			}
		}
		m.ID = "another"
		p.Mixers = append(p.Mixers, m)
		return true
	}},
	{"one more mixer for a mix", func(r *rand.Rand, p *model.Problem) bool {
		x := oneOf(r, p.Mixes, func(x *model.Mix) bool { return len(x.Mixers) < len(p.Mixers) })
		if x == nil {
			return false
		}
		m := oneOf(r, p.Mixers, func(m *model.Mixer) bool { return !slices.Contains(x.Mixers, m.ID) })
		x.Mixers = append(x.Mixers, m.ID)
		return true
	}},
	{"a larger mixer", change(mixers, any0, func(x *model.Mixer) { x.Capacity += 30_000 })},
	{"one more truck", func(r *rand.Rand, p *model.Problem) bool {
		x := oneOf(r, p.Shipments, func(x *model.Shipment) bool { return len(x.Trucks) > 0 })
		if x == nil {
			return false
		}
		x.Trucks = append(x.Trucks, model.Tick(r.IntN(int(p.Horizon))))
		slices.Sort(x.Trucks)
		return true
	}},
	{"an overtime window", addOvertime},
	{"overtime for all", func(_ *rand.Rand, p *model.Problem) bool {
		for i := range p.People {
			for _, o := range p.Overtime {
				p.People[i].On = with(p.People[i].On, o)
			}
		}
		return len(p.Overtime) > 0
	}},
}

// addOvertime opens the shop for longer on one day of a week that knows no
// overtime: all work can be put down for the new ticks, and so stay where it
// was. Fixed work would take them, so there is none then.
func addOvertime(r *rand.Rand, p *model.Problem) bool {
	if len(p.Overtime) > 0 || len(p.Open) == 0 {
		return false
	}
	k := r.IntN(len(p.Open))
	o := model.Interval{p.Open[k].To(), p.Open[k].To() + model.Tick(max(1, 120/p.TickMinutes))}
	if k+1 < len(p.Open) {
		o[1] = min(o[1], p.Open[k+1].From())
	}
	if o[1] = min(o[1], p.Horizon); o.Len() <= 0 {
		return false
	}
	for _, f := range p.Fixed {
		if f.Start < o.To() && o.From() < f.End {
			return false
		}
	}
	for i := range p.People {
		if x := &p.People[i]; slices.ContainsFunc(x.On, func(iv model.Interval) bool { return iv.To() == o.From() }) {
			x.On = with(x.On, o)
		}
	}
	p.Open = with(p.Open, o)
	p.Overtime = []model.Interval{o}
	return len(p.Validate()) == 0 // a cure may not go on from a later cover
}

// with is the union of ascending intervals and one more.
func with(l []model.Interval, o model.Interval) []model.Interval {
	var u []model.Interval
	for _, iv := range l {
		if iv.To() < o.From() || o.To() < iv.From() {
			u = append(u, iv)
			continue
		}
		o = model.Interval{min(o.From(), iv.From()), max(o.To(), iv.To())}
	}
	u = append(u, o)
	slices.SortFunc(u, func(a, b model.Interval) int { return int(a.From() - b.From()) })
	return u
}

// longer are relaxations that give more time.
var longer = []relaxation{
	{"a later due", change(pours, any0, func(x *model.Pour) { x.Due += 5 })},
	{"a later due of a shipment", change(shipments, any0, func(x *model.Shipment) { x.Due += 5 })},
	{"an earlier release", change(pours, func(x *model.Pour) bool { return x.Release > 0 }, func(x *model.Pour) { x.Release = 0 })},
	{"pouring for longer", func(_ *rand.Rand, p *model.Problem) bool {
		p.PourUntil = min(p.Horizon, p.PourUntil+model.Tick(model.MinutesPerDay/p.TickMinutes))
		return true
	}},
	{"a longer gap", change(laterLayers, any0, func(x **model.Layer) { (*x).Gap[1] += 2 })},
	{"a gap that may be shorter", change(laterLayers, func(x **model.Layer) bool { return (*x).Gap[0] > 0 }, func(x **model.Layer) { (*x).Gap[0] = 0 })},
	{"a longer gap before the cover", change(pours, func(x *model.Pour) bool { return x.Stage == model.New }, func(x *model.Pour) { x.Cover.Gap[1] += 2 })},
	{"a longer gap before washing", change(mixes, any0, func(x *model.Mix) { x.WashGap[1] += 2 })},
	{"washing at once", change(mixes, func(x *model.Mix) bool { return x.WashGap[0] > 0 }, func(x *model.Mix) { x.WashGap[0] = 0 })},
	{"a longer pot life", change(mixes, any0, func(x *model.Mix) {
		for i := range x.PotLife {
			x.PotLife[i][1] += 2
		}
	})},
	{"no limit on an open mold", change(pours, func(x *model.Pour) bool { return x.PrepMax != nil }, func(x *model.Pour) { x.PrepMax = nil })},
	{"no limit in the mold", change(pours, func(x *model.Pour) bool { return x.MoldMax != nil }, func(x *model.Pour) { x.MoldMax = nil })},
	{"no last demold", change(pours, func(x *model.Pour) bool { return x.MoldUntil != nil }, func(x *model.Pour) { x.MoldUntil = nil })},
	{"no last next step", change(pours, func(x *model.Pour) bool { return x.FromMax != nil }, func(x *model.Pour) { x.FromMax = nil })},
	{"no longest rest", change(finishes, func(x **model.Finish) bool { return (*x).RestMax != nil }, func(x **model.Finish) { (*x).RestMax = nil })},
	{"a mixer free sooner", change(mixers, func(x *model.Mixer) bool { return x.FreeFrom > 0 }, func(x *model.Mixer) { x.FreeFrom = 0 })},
	{"a mixer not down", change(mixers, func(x *model.Mixer) bool { return len(x.Down) > 0 }, func(x *model.Mixer) { x.Down = nil })},
	{"a mold not down", change(molds, func(x *model.Mold) bool { return len(x.Down) > 0 }, func(x *model.Mold) { x.Down = nil })},
	{"a wider tolerance", func(_ *rand.Rand, p *model.Problem) bool {
		p.MoveTolerance += 2
		return true
	}},
}

package why

import (
	"slices"

	"pourweek/model"
)

// plenty is more than a week can use of anything.
const plenty = 1000

// By is the latest at which a pour can be ready and still leave when it is due:
// that itself, or, where it goes by truck, when the last truck before leaves. It
// is due where no truck leaves in time.
func By(p *model.Problem, q *model.Pour) model.Tick {
	for i := range p.Shipments {
		s := &p.Shipments[i]
		if !slices.Contains(s.Pours, q.ID) {
			continue
		}
		by := s.Due
		for _, t := range s.Trucks {
			if t <= s.Due {
				by = t // they ascend
			}
		}
		return by
	}
	return q.Due
}

// Together lists the other pours of the shipment that a pour leaves with, if it is
// the shipment that pays for being late; nil for a pour that leaves by itself or
// has a price of its own.
func Together(p *model.Problem, q *model.Pour) []string {
	for i := range p.Shipments {
		if s := &p.Shipments[i]; q.LatePerTick == 0 && slices.Contains(s.Pours, q.ID) {
			return slices.DeleteFunc(slices.Clone(s.Pours), func(id string) bool { return id == q.ID })
		}
	}
	return nil
}

// question makes the week in which only lateness counts.
func (a *Asker) question(facts []Fact) *model.Problem {
	holds := func(k FactKind, name string) bool { return slices.Contains(facts, Fact{k, name}) }
	all := a.facts()
	lifted := func(k FactKind, name string) bool { return slices.Contains(all, Fact{k, name}) && !holds(k, name) }
	q := *a.Problem
	q.Costs = model.Costs{}
	q.Callins = slices.Clone(q.Callins)
	for i := range q.Callins {
		q.Callins[i].Cost = 0
	}
	a.price(&q, lifted(Others, ""))
	if lifted(Hours, "") {
		q.People = slices.Clone(q.People)
		for i := range q.People {
			q.People[i].On = q.Open
		}
	}
	for _, f := range all {
		if lifted(f.Kind, f.Name) {
			a.lift(&q, f)
		}
	}
	return &q
}

// price sets due times and costs: 1 for each tick that a pour asked about is late or
// another later than both planned and due, and far more for one that was planned
// and is carried.
func (a *Asker) price(q *model.Problem, alone bool) {
	ready := map[string]model.Tick{}
	for _, x := range a.Plan.Pours {
		ready[x.ID] = x.Ready
	}
	q.Pours = slices.Clone(q.Pours)
	if alone {
		q.Pours = slices.DeleteFunc(q.Pours, func(x model.Pour) bool { return !a.asks(x.ID) && x.Stage == model.New && x.Pin == nil })
	}
	for i := range q.Pours {
		x := &q.Pours[i]
		planned, was := ready[x.ID]
		x.LatePerTick, x.Carry, x.Base = 1, 1, nil
		switch {
		case a.asks(x.ID):
			x.Due = a.Due
			x.Carry = 1_000_000
		case alone || !was:
			x.LatePerTick, x.Carry = 0, 0
		default:
			x.Due = max(By(a.Problem, x), planned)
			x.Carry = 1_000_000
		}
	}
	a.ships(q, ready)
}

// ships keeps the trucks and the holding of shipments, and lets each leave no
// later than its due time or what was planned.
func (a *Asker) ships(q *model.Problem, ready map[string]model.Tick) {
	var out []model.Shipment
	for _, s := range q.Shipments {
		s.Pours = slices.DeleteFunc(slices.Clone(s.Pours), func(id string) bool {
			return !slices.ContainsFunc(q.Pours, func(x model.Pour) bool { return x.ID == id })
		})
		if len(s.Pours) > 0 {
			s.LatePerTick = 0 // each pour carries its own
			out = append(out, s)
		}
	}
	q.Shipments = out
}

// lift makes one thing plentiful.
func (a *Asker) lift(q *model.Problem, f Fact) {
	switch f.Kind {
	case Crew:
		heads := crewNeeded(q, f.Name) * (1 + len(a.With))
		q.People = slices.Clone(q.People)
		for n := range heads {
			q.People = append(q.People, model.Person{ID: freshID("more-"+f.Name, n), Skills: []string{f.Name}, On: allOn(q)})
		}
	case Places:
		q.Racks = slices.Clone(q.Racks)
		for i := range q.Racks {
			if q.Racks[i].ID == f.Name {
				q.Racks[i].Places = model.Steps{{0, plenty}}
			}
		}
	case Rigs:
		q.Stations = slices.Clone(q.Stations)
		for i := range q.Stations {
			if q.Stations[i].ID == f.Name {
				q.Stations[i].Places = plenty
			}
		}
	case Down:
		q.Molds = slices.Clone(q.Molds)
		for i := range q.Molds {
			if q.Molds[i].ID == f.Name {
				q.Molds[i].Down = []model.Interval{}
			}
		}
	case Molds:
		q.Molds = slices.Clone(q.Molds)
		for i, n := 0, 0; i < len(q.Pours); i++ {
			if x := &q.Pours[i]; a.asks(x.ID) && len(x.Molds) > 0 {
				id := freshID("another-mold", n)
				q.Molds, n = append(q.Molds, model.Mold{ID: id, Down: []model.Interval{}}), n+1
				work := x.Molds[0].Work
				for _, m := range x.Molds {
					work = min(work, m.Work)
				}
				x.Molds = append(slices.Clone(x.Molds), model.MoldChoice{Mold: id, Work: work})
			}
		}
	case Mixers:
		largest := q.Mixers[0]
		for _, m := range q.Mixers {
			if m.Capacity > largest.Capacity {
				largest = m
			}
		}
		q.Mixers, q.Mixes = slices.Clone(q.Mixers), slices.Clone(q.Mixes)
		for n := range 1 + len(a.With) {
			id := freshID("another-mixer", n)
			q.Mixers = append(q.Mixers, model.Mixer{ID: id, Capacity: largest.Capacity, Down: []model.Interval{}, Keep: largest.Keep})
			for i := range q.Mixes {
				q.Mixes[i].Mixers = append(slices.Clone(q.Mixes[i].Mixers), id)
			}
		}
	}
}

// allOn are the ticks in which anybody works.
func allOn(q *model.Problem) []model.Interval {
	var on []model.Interval
	for _, x := range q.People {
		on = append(on, x.On...)
	}
	return model.Union(on)
}

// crewNeeded is the most heads of a skill that any one task asks, twice.
func crewNeeded(q *model.Problem, skill string) int {
	most := 1
	see := func(c model.Crew) { most = max(most, c[skill]) }
	for _, m := range q.Mixes {
		see(m.Crew)
	}
	for _, x := range q.Pours {
		see(x.Prep.Crew)
		see(x.Cover.Crew)
		see(x.Demold.Crew)
		for _, y := range x.Layers {
			see(y.Crew)
		}
		for _, y := range x.Finish {
			see(y.Crew)
		}
	}
	return 2 * most
}

func freshID(base string, n int) string { return base + "+" + string(rune('1'+n)) }

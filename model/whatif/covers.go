package whatif

import (
	"reflect"
	"slices"

	"pourweek/model"
)

// Covers reports whether every plan that is allowed in the narrow week is
// allowed in the wide one too and costs the same there, as far as that can be
// told from what the weeks have: more people, hours, skills, molds, mixers and
// places in the wide one, and all else the same. Then no bound of the wide week
// exceeds the cost of any plan of the narrow one. False does not say that it is
// not so. (Planning model, sections 1 to 6: more of these lifts no rule but
// those that limit them, and prices nothing that is not used.)
func Covers(wide, narrow *model.Problem) bool {
	return sameBut(wide, narrow) && hours(wide, narrow) &&
		each(narrow.People, wide.People, func(n, w *model.Person) bool {
			return n.ID == w.ID && subset(n.Skills, w.Skills) && len(model.Subtract(n.On, w.On)) == 0
		}) &&
		each(narrow.Mixers, wide.Mixers, func(n, w *model.Mixer) bool { return reflect.DeepEqual(n, w) }) &&
		each(narrow.Mixes, wide.Mixes, func(n, w *model.Mix) bool {
			x := *w
			x.Mixers = n.Mixers
			return reflect.DeepEqual(n, &x) && subset(n.Mixers, w.Mixers)
		}) &&
		each(narrow.Molds, wide.Molds, func(n, w *model.Mold) bool { return reflect.DeepEqual(n, w) }) &&
		each(narrow.Racks, wide.Racks, func(n, w *model.Rack) bool { return n.ID == w.ID && atLeast(w.Places, n.Places) }) &&
		each(narrow.Stations, wide.Stations, func(n, w *model.Station) bool { return n.ID == w.ID && w.Places >= n.Places }) &&
		len(narrow.Pours) == len(wide.Pours) && each(narrow.Pours, wide.Pours, func(n, w *model.Pour) bool {
		x := *w
		x.Molds, x.Racks = n.Molds, n.Racks
		return n.ID == w.ID && reflect.DeepEqual(n, &x) && subset(n.Molds, w.Molds) && subset(n.Racks, w.Racks)
	})
}

// sameBut compares what the wide week may not have more of.
func sameBut(wide, narrow *model.Problem) bool {
	x := *wide
	x.Name = narrow.Name
	x.Open, x.Overtime, x.People, x.Pours = narrow.Open, narrow.Overtime, narrow.People, narrow.Pours
	x.Mixers, x.Mixes, x.Molds, x.Racks, x.Stations = narrow.Mixers, narrow.Mixes, narrow.Molds, narrow.Racks, narrow.Stations
	return reflect.DeepEqual(&x, narrow)
}

// hours reports whether the wide week is open when the narrow one is, with the
// same regular hours. Where it has more overtime, the narrow one may have none,
// or work that goes straight on through some would have to go through all; and
// no fixed work may lie in what is added, since it takes what is open.
func hours(wide, narrow *model.Problem) bool {
	if reflect.DeepEqual(wide.Open, narrow.Open) && reflect.DeepEqual(wide.Overtime, narrow.Overtime) {
		return true
	}
	regular := func(p *model.Problem) []model.Interval { return model.Subtract(p.Open, p.Overtime) }
	added := model.Subtract(wide.Overtime, narrow.Overtime)
	return len(narrow.Overtime) == 0 && slices.Equal(model.Union(regular(wide)), model.Union(regular(narrow))) &&
		!slices.ContainsFunc(narrow.Fixed, func(f model.Fixed) bool { return model.TicksIn(added, f.Start, f.End) > 0 })
}

// each reports whether every one of the list is like some one of the other.
func each[T any](list, other []T, like func(n, w *T) bool) bool {
	for i := range list {
		if named(other, func(w *T) bool { return like(&list[i], w) }) == nil {
			return false
		}
	}
	return true
}

func named[T any](list []T, is func(*T) bool) *T {
	for i := range list {
		if is(&list[i]) {
			return &list[i]
		}
	}
	return nil
}

func subset[T comparable](a, b []T) bool {
	return !slices.ContainsFunc(a, func(x T) bool { return !slices.Contains(b, x) })
}

// atLeast reports whether a step function is nowhere below another.
func atLeast(a, b model.Steps) bool {
	for _, e := range slices.Concat(a, b) {
		if a.At(model.Tick(e[0])) < b.At(model.Tick(e[0])) {
			return false
		}
	}
	return true
}

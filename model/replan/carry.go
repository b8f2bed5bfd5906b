package replan

import (
	"slices"
	"strings"

	"pourweek/model"
)

// carryOver takes from the published problem what an earlier replanning worked
// out and the shop's files do not know: work under way, mixers and molds that
// are kept for it, rack places of pieces that are done and wait for their
// truck. Where q was made from the published problem it changes nothing.
func (a *advance) carryOver() {
	for _, x := range a.pub.Fixed {
		known := slices.ContainsFunc(a.q.Fixed, func(y model.Fixed) bool { return y.ID == x.ID })
		if known || x.End <= a.now || x.Start >= a.now && !a.workedOut(x.ID) {
			continue
		}
		x.Start, x.End = a.toQ(x.Start), a.toQ(x.End)
		a.q.Fixed = append(a.q.Fixed, x)
	}
	for i := range a.q.Mixers {
		if m := named(a.pub.Mixers, func(m *model.Mixer) bool { return m.ID == a.q.Mixers[i].ID }); m != nil {
			a.carryMixer(&a.q.Mixers[i], m)
		}
	}
	for i := range a.q.Molds {
		if m := named(a.pub.Molds, func(m *model.Mold) bool { return m.ID == a.q.Molds[i].ID }); m != nil && m.FreeFrom > a.now {
			a.q.Molds[i].FreeFrom = max(a.q.Molds[i].FreeFrom, a.toQ(m.FreeFrom))
		}
	}
	for i := range a.q.Racks {
		if r := named(a.pub.Racks, func(r *model.Rack) bool { return r.ID == a.q.Racks[i].ID }); r != nil {
			a.q.Racks[i].Places = a.fewer(a.q.Racks[i].Places, r.Places)
		}
	}
}

func named[T any](list []T, is func(*T) bool) *T {
	for i := range list {
		if is(&list[i]) {
			return &list[i]
		}
	}
	return nil
}

// ofBatch reports whether the fixed work is mixing or washing.
func ofBatch(id string) bool {
	return slices.ContainsFunc([]string{".mix", ".remix", ".wash"}, func(end string) bool {
		return strings.HasSuffix(strings.TrimRight(id, "+"), end)
	})
}

// workedOut reports whether the fixed work is a step of a pour or a batch.
func (a *advance) workedOut(id string) bool {
	return ofBatch(id) || slices.ContainsFunc(a.pub.Pours, func(p model.Pour) bool { return strings.HasPrefix(id, p.ID+".") })
}

// carryMixer keeps the mixer for batches that were under way when the week was
// published: until it is free, and in the times down that begin as one of them.
func (a *advance) carryMixer(q, pub *model.Mixer) {
	if pub.FreeFrom > a.now {
		q.FreeFrom = max(q.FreeFrom, a.toQ(pub.FreeFrom))
	}
	for _, iv := range pub.Down {
		batch := slices.ContainsFunc(a.pub.Fixed, func(x model.Fixed) bool {
			return x.Start == iv[0] && strings.HasSuffix(x.ID, ".mix")
		})
		if batch && iv[1] > a.now {
			q.Down = model.Union(q.Down, []model.Interval{{a.toQ(iv[0]), a.toQ(iv[1])}})
		}
	}
}

// fewer is the smaller of two step functions at each tick from now on, the
// second in ticks of the published problem.
func (a *advance) fewer(q, pub model.Steps) model.Steps {
	cuts := []int64{0, int64(a.q.Now)}
	for _, e := range q {
		cuts = append(cuts, e[0])
	}
	for _, e := range pub {
		cuts = append(cuts, e[0]-int64(a.shift))
	}
	slices.Sort(cuts)
	var out model.Steps
	for _, t := range slices.Compact(cuts) {
		if t < 0 {
			continue
		}
		v := q.At(model.Tick(t))
		if t >= int64(a.q.Now) {
			v = min(v, pub.At(model.Tick(t)+a.shift))
		}
		out.Put(model.Tick(t), v)
	}
	return out
}

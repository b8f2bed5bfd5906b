package why

import (
	"slices"

	"pourweek/solve/inst"
	"pourweek/solve/sat"
)

// Starts that stand for any after the time that is asked for.
const (
	laterBatch = faraway
	laterPart  = faraway + faraway/2
)

// load is the batch of a draw. The own loads are in batches of their own each.
type load struct {
	draw *inst.Draw
	mix  *inst.Mix
	on   sat.Lit
	mixV variant // its mixing, from the batch's start
	own  bool
	hold int // ticks for which it keeps its mixer at least
}

// batches says of the draws of the pour that is asked about, and of those of
// others that cannot come from the same batch as one already counted, that their
// batch is mixed in time. Which draws share a batch is left out, and with it
// what a shared batch holds.
func (k *kernel) batches() {
	for i := range k.cast {
		c := &k.cast[i]
		for d := range c.pour.Draws {
			draw := &c.pour.Draws[d]
			own := !k.mayShare(draw)
			if c.asked || own {
				k.load(c, draw, own)
			}
		}
	}
	k.mixers()
}

// mayShare reports whether the draw could come from the batch of a load.
func (k *kernel) mayShare(d *inst.Draw) bool {
	most := int64(0)
	for i := range k.in.Mixers {
		most = max(most, k.in.Mixers[i].Capacity)
	}
	for _, l := range k.loads {
		if l.own && l.draw.Mix == d.Mix && l.mix.Mixed(l.draw.Grams+d.Grams) <= most {
			return true
		}
	}
	return false
}

func (k *kernel) load(c *casting, d *inst.Draw, own bool) {
	m := &k.in.Mixes[d.Mix]
	first, last := &c.steps[1+d.Layers[0]][0], &c.steps[1+d.Layers[len(d.Layers)-1]][0]
	v := variant{on: c.on, work: m.Mix}
	for s := k.in.Now; s <= c.nodes[1+d.Layers[0]].hi-m.Ready; s++ {
		if k.in.SteadyEnd(s, m.Ready) < 0 {
			continue
		}
		if int(s) > k.by {
			v.starts, v.ends = append(v.starts, laterBatch), append(v.ends, laterBatch)
			break
		}
		v.starts, v.ends = append(v.starts, int(s)), append(v.ends, int(s+m.Mix))
	}
	if len(v.starts) == 0 {
		k.m.Add(sat.Clause{c.on.Not()})
		return
	}
	v.task = k.m.AddTask(sat.Task{Name: "mixing", Starts: v.starts, Ends: v.ends, Presence: v.on})
	k.size += len(v.starts)
	k.m.Add(sat.Lag{From: sat.Start(v.task), To: sat.Start(first.task), Min: int(m.Ready)})
	k.fresh(&v, m, last)
	l := load{d, m, c.on, v, own, int(m.Ready)}
	if own {
		k.mixCrew(&l)
	}
	k.loads = append(k.loads, l)
}

// fresh demands that the last layer ends within the batch's pot life.
func (k *kernel) fresh(v *variant, m *inst.Mix, last *variant) {
	most := int32(0)
	for _, s := range v.starts {
		if s >= faraway {
			break
		}
		t := int(m.PotEnd[s] - last.work)
		before := k.m.StartLE(v.task, s-1)
		if m.PotEnd[s] >= most { // no start before gives more
			most, before = m.PotEnd[s], sat.False
		}
		if t <= k.by || last.last() < faraway {
			k.m.Add(sat.Clause{v.on.Not(), before, k.m.StartLE(v.task, s).Not(), k.m.StartLE(last.task, t)})
		}
	}
}

// mixCrew hires for the mixing, the remixing and the least wash of a batch.
func (k *kernel) mixCrew(l *load) {
	m, who := l.mix, &actor{on: l.on}
	if m.Mix > 0 {
		k.hire(who, &l.mixV, m.Crew)
	}
	if m.Remix > 0 {
		k.part(who, l, m.Ready-m.Remix, m.Remix)
	}
	wash := m.Wash
	for _, w := range m.Before {
		if w >= 0 {
			wash = min(wash, w)
		}
	}
	if wash > 0 {
		l.hold = int(m.Ready + m.GapMin + wash)
		k.part(who, l, m.Ready+m.GapMin, wash)
	}
	k.actors = append(k.actors, *who)
}

// part adds work of a batch that starts so many ticks after its start: its
// remixing just then, its wash within its gap.
func (k *kernel) part(who *actor, l *load, least, work int32) {
	most := least
	if least >= l.mix.Ready {
		most = l.mix.Ready + l.mix.GapMax
	}
	v := variant{on: l.on, work: work}
	lo, hi := int32(l.mixV.starts[0])+least, k.in.H
	if last := l.mixV.last(); last < faraway {
		hi = min(hi, int32(last)+most)
	}
	for s := min(lo, k.in.H); s <= hi; s++ {
		if k.in.SteadyEnd(s, work) < 0 {
			continue
		}
		if int(s) > k.by {
			v.starts, v.ends = append(v.starts, laterPart), append(v.ends, laterPart)
			break
		}
		v.starts, v.ends = append(v.starts, int(s)), append(v.ends, int(s+work))
	}
	if len(v.starts) == 0 {
		k.m.Add(sat.Clause{l.on.Not()})
		return
	}
	v.task = k.m.AddTask(sat.Task{Name: "batch", Starts: v.starts, Ends: v.ends, Presence: v.on})
	k.size += len(v.starts)
	k.m.Add(sat.Lag{From: sat.Start(l.mixV.task), To: sat.Start(v.task), Min: int(least)})
	start := l.mixV // a part starts at most so long after the batch
	start.ends = start.starts
	k.noLater(&start, &v, int(most))
	k.hire(who, &v, l.mix.Crew)
}

// mixers demands of the pour's batches that some mixer can take them, and of all
// that no more are mixed at a time than there are mixers.
func (k *kernel) mixers() {
	gate := k.rules.holds(Fact{Mixers, ""})
	var sets [][]int32
	add := func(set []int32) {
		set = slices.Sorted(slices.Values(set))
		if !slices.ContainsFunc(sets, func(o []int32) bool { return slices.Equal(o, set) }) {
			sets = append(sets, set)
		}
	}
	for i := range k.loads {
		l := &k.loads[i]
		from := -1
		for n, s := range l.mixV.starts {
			none := s < faraway && !k.mixable(l, int32(s))
			if none && from < 0 {
				from = n
			}
			if !none && from >= 0 {
				k.forbid(&l.mixV, from, n-1, gate)
				from = -1
			}
		}
		if from >= 0 {
			k.forbid(&l.mixV, from, len(l.mixV.starts)-1, gate)
		}
		add(l.mix.Mixers)
	}
	all := []int32{}
	for i := range k.in.Mixers {
		all = append(all, int32(i))
	}
	add(all)
	for _, set := range sets {
		k.mixerSet(set, gate)
	}
}

// mixable reports whether a mixer is free for the load from s on, other batches
// aside.
func (k *kernel) mixable(l *load, s int32) bool {
	for _, i := range l.mix.Mixers {
		x := &k.in.Mixers[i]
		free := true
		for _, b := range away(x.FreeFrom, x.Down) {
			free = free && (s >= b.to || s+int32(l.hold) <= b.from)
		}
		if free && l.mix.Mixed(l.draw.Grams) <= x.Capacity {
			return true
		}
	}
	return false
}

// mixerSet limits the batches that can be in no mixer outside of a set.
func (k *kernel) mixerSet(set []int32, gate sat.Lit) {
	r := resource{gate: gate, places: func(int32) int { return len(set) }}
	for i := range k.loads {
		l := &k.loads[i]
		outside := func(m int32) bool { return !slices.Contains(set, m) }
		if l.own && !slices.ContainsFunc(l.mix.Mixers, outside) {
			at := []variant{l.mixV}
			r.holders = append(r.holders, holder{point{vs: at}, point{vs: at, plus: l.hold}, l.on, sat.False, 1})
		}
	}
	for _, i := range set {
		r.blocks = append(r.blocks, away(k.in.Mixers[i].FreeFrom, k.in.Mixers[i].Down)...)
	}
	k.limit(&r)
}

package exact

import (
	"cmp"
	"math/bits"
	"slices"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/solve/inst"
)

// built is a way through the sweep with its times.
type built struct {
	*sweep
	steps   [][][2]int32 // by pour and step
	links   []int        // batch by draw number
	batches []builtBatch
	tasks   []builtTask
	out     *model.Plan
	ids     []string // of the batches
	where   []int    // place in out.Pours by pour
}

type builtBatch struct {
	mix, mixer int
	s, z, wash int32
}

// builtTask is a task with the place that its people go to.
type builtTask struct {
	crew   []inst.Head
	ticks  []int32
	who    *model.Who
	people []int // in the order in which they are tried
}

// plan writes down the cheapest way that the sweep found, with racks and named
// people, and has it judged. It is nil when that way cannot be staffed or
// breaks a rule that the sweep leaves out.
func (x *sweep) plan() *model.Plan {
	b := &built{sweep: x, links: slices.Repeat([]int{-1}, maxDraws), where: make([]int, len(x.pours))}
	b.replay()
	b.write()
	if !b.chooseRacks() || !b.tellOff() {
		return nil
	}
	b.out.Cost = model.Unstated
	v := check.Check(x.in.P, b.out)
	if !v.Allowed {
		return nil
	}
	b.out.Cost, b.out.Terms = v.Cost, v.Terms
	return b.out
}

// replay collects the starts along the way, from its end back.
func (b *built) replay() {
	for i := range b.pours {
		b.steps = append(b.steps, make([][2]int32, b.pours[i].count()))
	}
	type start struct {
		t    int32
		acts []uint16
	}
	var path []start
	for n := b.end; n >= 0; n = b.nodes[n].before {
		at := b.nodes[n].acts
		acts := b.acts[at+1 : at+1+uint32(b.acts[at])]
		if n := b.nodes[n].before; n >= 0 {
			path = append(path, start{b.nodes[n].t, acts})
		}
	}
	slices.Reverse(path)
	open := map[int]int{} // last batch by mixer
	for _, p := range path {
		for k := 0; k < len(p.acts); k++ {
			switch a := p.acts[k]; {
			case a >= actBatch:
				mixer := int(a >> 8 & 0x3f)
				open[mixer] = len(b.batches)
				for n := range setWords {
					for v := p.acts[k+1+n]; v != 0; v &= v - 1 {
						b.links[16*n+bits.TrailingZeros16(v)] = len(b.batches)
					}
				}
				k += setWords
				m := &b.mixes[a&0xff]
				b.batches = append(b.batches, builtBatch{int(a & 0xff), mixer, p.t, p.t + m.Ready, 0})
			case a >= actWash:
				x := &b.batches[open[int(a&0x3f)]]
				x.z, x.wash = p.t, b.mixes[x.mix].lengths[a>>8&0x3f]
			default:
				i, step := int(a>>7), int(a>>1&63)
				t := b.taskOf(i, step)
				e := t.end[p.t]
				if a&1 != 0 {
					e = t.putEnd[p.t]
				}
				b.steps[i][step] = [2]int32{p.t, e}
			}
		}
	}
}

func interval(v [2]int32) model.Interval { return model.Interval{model.Tick(v[0]), model.Tick(v[1])} }

// write fills the plan but for racks and people.
func (b *built) write() {
	p := b.in.P
	b.out = &model.Plan{Format: model.PlanFormat, Problem: p.Name, Batches: []model.BatchPlan{}, Pours: []model.PourPlan{},
		Carried: []string{}, Fixed: map[string]model.Who{}}
	for _, i := range b.st.carried {
		b.out.Carried = append(b.out.Carried, b.pours[i].ID)
	}
	b.ids = b.in.BatchIDs(len(b.batches))
	for k, x := range b.batches {
		m := &b.mixes[x.mix]
		b.out.Batches = append(b.out.Batches, model.BatchPlan{ID: b.ids[k], Mixer: b.in.Mixers[x.mixer].ID, Mix: m.ID,
			Start: model.Tick(x.s), Wash: interval([2]int32{x.z, x.z + x.wash}), Who: model.BatchWho{Mix: model.Who{}, Remix: model.Who{}, Wash: model.Who{}}})
	}
	for i := range b.pours {
		if b.tables[i] != nil {
			b.where[i] = len(b.out.Pours)
			b.out.Pours = append(b.out.Pours, b.pour(i))
		}
	}
	b.collect()
}

func (b *built) pour(i int) model.PourPlan {
	p := &b.pours[i]
	x := model.PourPlan{ID: p.ID}
	iv := func(step int) *model.Interval {
		v := interval(b.steps[i][step])
		return &v
	}
	if p.Stage != inst.Racked {
		cured := model.Tick(p.CuredAt)
		x.Mold = model.OptID(b.in.Molds[b.tables[i].mold].ID)
		if p.isNew() {
			cured = model.Tick(p.CureEnd[b.steps[i][p.cov()][1]])
			x.Prep, x.Cover = iv(0), iv(p.cov())
			x.Draws = []string{}
			for j := range p.layers {
				x.Layers = append(x.Layers, *iv(j + 1))
			}
			for d := range p.draws {
				x.Draws = append(x.Draws, b.ids[b.links[p.draws[d].at]])
			}
			x.Who.Layers = make([]model.Who, len(p.layers))
		}
		x.CureEnd, x.Demold = &cured, iv(p.dem())
	}
	x.Finish, x.Who.Finish = make([]*model.Interval, len(p.finish)), make([]model.Who, len(p.finish))
	for k := range p.finish {
		if p.Stage != inst.Racked || k >= int(p.Next) {
			x.Finish[k] = iv(p.dem() + 1 + k)
		}
	}
	x.Ready = model.Tick(b.steps[i][p.count()-1][1])
	return x
}

// collect lists all tasks with their ticks. The plan's slices do not grow any
// more, so that pointers into them hold.
func (b *built) collect() {
	for i := range b.in.P.Fixed {
		f := &b.in.Fixed[i]
		w := model.Who{}
		b.out.Fixed[f.ID] = w
		b.add(f.Crew, f.Start, f.End, false, &w, b.near.fixedWho(f.ID))
	}
	for k, x := range b.batches {
		m, w := &b.mixes[x.mix], &b.out.Batches[k].Who
		ready := x.s + m.Ready
		was := b.near.batchWho(b.drawOf(k))
		b.add(m.Crew, x.s, x.s+m.Mix.Mix, false, &w.Mix, was.Mix)
		b.add(m.Crew, ready-m.Remix, ready, false, &w.Remix, was.Remix)
		b.add(m.Crew, x.z, x.z+x.wash, false, &w.Wash, was.Wash)
	}
	for i := range b.pours {
		if b.tables[i] == nil {
			continue
		}
		p, w := &b.pours[i], &b.out.Pours[b.where[i]].Who
		for step, v := range b.steps[i] {
			if v[1] == 0 {
				continue
			}
			who := p.whoOf(w, step)
			*who = model.Who{}
			t := b.taskOf(i, step)
			b.add(b.crewOf(i, step), v[0], v[1], v[1] != t.end[v[0]], who, b.near.stepWho(p, i, step))
		}
	}
}

// whoOf is the place for the people of a step.
func (p *pour) whoOf(w *model.PourWho, step int) *model.Who {
	switch {
	case step == 0:
		return &w.Prep
	case step < p.cov():
		return &w.Layers[step-1]
	case step == p.cov():
		return &w.Cover
	case step == p.dem():
		return &w.Demold
	}
	return &w.Finish[step-p.dem()-1]
}

// drawOf is the number of a draw that the k-th batch feeds.
func (b *built) drawOf(k int) int { return slices.Index(b.links, k) }

func (b *built) crewOf(i, step int) []inst.Head {
	p := b.pours[i].Pour
	x := &b.pours[i]
	switch {
	case step == 0:
		return p.Molds[0].Prep.Crew
	case step < x.cov():
		return p.Layers[step-1].Crew
	case step == x.cov():
		return p.Cover.Crew
	case step == x.dem():
		return p.Demold.Crew
	}
	return p.Finish[step-x.dem()-1].Crew
}

// add adds a task; those who do it in the plan in hand are tried first.
func (b *built) add(crew []inst.Head, from, to int32, regular bool, who *model.Who, was model.Who) {
	if from == to || len(crew) == 0 {
		return
	}
	t := builtTask{crew: crew, who: who}
	for _, first := range [2]bool{true, false} {
		for i := range b.in.People {
			if was.Has(b.in.People[i].ID) == first {
				t.people = append(t.people, i)
			}
		}
	}
	for u := from; u < to; u++ {
		if b.in.Open[u] && !(regular && b.in.Overtime[u]) {
			t.ticks = append(t.ticks, u)
		}
	}
	b.tasks = append(b.tasks, t)
}

// maxTries ends telling off and racking.
const maxTries = 200_000

// tellOff names people for every task, in the order of their first ticks, and
// goes back where nobody is left.
func (b *built) tellOff() bool {
	slices.SortStableFunc(b.tasks, func(x, y builtTask) int {
		if len(x.ticks) == 0 || len(y.ticks) == 0 {
			return len(x.ticks) - len(y.ticks)
		}
		return cmp.Compare(x.ticks[0], y.ticks[0])
	})
	type head struct {
		task  int
		skill int32
	}
	var heads []head
	for k := range b.tasks {
		for _, h := range b.tasks[k].crew {
			for range h.N {
				heads = append(heads, head{k, h.Skill})
			}
		}
	}
	busy := make([][]int, len(b.in.People)) // task+1 by tick
	for i := range busy {
		busy[i] = make([]int, b.in.H)
	}
	tries := 0
	var rec func(n int) bool
	rec = func(n int) bool {
		if n == len(heads) {
			return true
		}
		h := heads[n]
		t := &b.tasks[h.task]
		for _, i := range t.people {
			x := &b.in.People[i]
			if tries++; tries > maxTries {
				return false
			}
			if x.Mask>>h.skill&1 == 0 || slices.ContainsFunc(t.ticks, func(u int32) bool { return !x.On[u] || busy[i][u] != 0 }) {
				continue
			}
			for _, u := range t.ticks {
				busy[i][u] = h.task + 1
			}
			name := b.in.Skills[h.skill]
			(*t.who)[name] = append((*t.who)[name], x.ID)
			if rec(n + 1) {
				return true
			}
			(*t.who)[name] = (*t.who)[name][:len((*t.who)[name])-1]
			for _, u := range t.ticks {
				busy[i][u] = 0
			}
		}
		return false
	}
	return rec(0)
}

// chooseRacks finds a rack for every pour, in the order of their demolds.
func (b *built) chooseRacks() bool {
	held := make([][]int32, len(b.in.Racks))
	for k := range held {
		held[k] = make([]int32, b.in.H)
	}
	var order []int
	from := make([]int32, len(b.pours))
	for i := range b.pours {
		if b.tables[i] != nil {
			order = append(order, i)
			if b.pours[i].Stage != inst.Racked {
				from[i] = b.steps[i][b.pours[i].dem()][0]
			}
		}
	}
	slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(from[x], from[y]) })
	tries := 0
	var rec func(n int) bool
	rec = func(n int) bool {
		if n == len(order) {
			return true
		}
		i := order[n]
		p := &b.pours[i]
		x := &b.out.Pours[b.where[i]]
		racks := p.Racks
		if p.Stage == inst.Racked {
			racks = []int32{p.Rack}
		}
		if was := b.near.rackOf(b.shop, i); slices.Contains(racks, was) {
			racks = append([]int32{was}, racks...) // the same as before, if it can
		}
		for _, k := range racks {
			if tries++; tries > maxTries {
				return false
			}
			ok := true
			for u := from[i]; u < int32(x.Ready); u++ {
				held[k][u] += p.Places
				ok = ok && held[k][u] <= b.in.Racks[k].Places[u]
			}
			x.Rack = b.in.Racks[k].ID
			if ok && rec(n+1) {
				return true
			}
			for u := from[i]; u < int32(x.Ready); u++ {
				held[k][u] -= p.Places
			}
		}
		return false
	}
	return rec(0)
}

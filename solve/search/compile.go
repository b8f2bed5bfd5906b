package search

import (
	"fmt"

	"pourweek/model"
	"pourweek/solve/inst"
)

// task compiles a task of the instance.
func (q *prob) task(t *inst.Task) task {
	r := task{work: t.Work, heads: t.Heads, crew: t.Crew, station: t.Station, pausable: t.Pausable}
	r.anyOf = q.union(t.Crew)
	key := fmt.Sprint(t.Crew, t.Work)
	k, ok := q.kinds[key]
	if !ok {
		k = int32(len(q.kinds))
		q.kinds[key] = k
	}
	r.kind = k
	m := q.starts(t.Work, t.Pausable, t.When)
	r.plain, r.calm, r.late = m[0], m[1], m[2]
	return r
}

// starts gives the allowed starts of a task: straight on, straight on without
// overtime, and put down.
func (q *prob) starts(w int32, pausable bool, when []model.Interval) [3][]uint64 {
	key := fmt.Sprint(w, pausable, when)
	if m, ok := q.masks[key]; ok {
		return m
	}
	m := [3][]uint64{make([]uint64, q.words), make([]uint64, q.words), nil}
	if pausable && q.ot[q.n] > 0 {
		m[2] = make([]uint64, q.words)
	}
	probe := inst.Task{When: when}
	for i := q.oi[q.now]; i < q.n; i++ {
		if !probe.Starts(q.clock[i]) {
			continue
		}
		if (pausable && i+w <= q.n) || (!pausable && q.run[i] >= w) {
			set64(m[0], i, i+1)
			if q.ot[i+w] == q.ot[i] {
				set64(m[1], i, i+1)
			}
		}
		if m[2] != nil && q.nextOT[i] > i && q.nextOT[i] < i+w {
			if g, _ := q.putDown(i, w); g.n > 0 {
				set64(m[2], i, i+1)
			}
		}
	}
	q.masks[key] = m
	return m
}

func (q *prob) mixWork(x *inst.Mix) mixWork {
	m := mixWork{potEnd: x.PotEnd, mixers: x.Mixers, washes: map[int32]*task{}}
	part := func(w int32) task {
		return q.task(&inst.Task{Work: w, Crew: x.Crew, Heads: x.Heads, Station: none})
	}
	m.tasks = [3]task{part(x.Mix), part(x.Remix), part(x.Wash)}
	m.start = q.starts(x.Ready, false, nil)[0]
	for _, n := range append([]int32{x.Wash}, x.Before...) {
		if n > 0 {
			t := part(n)
			m.washes[n] = &t
		}
	}
	for _, n := range x.Before {
		m.anyBefore = m.anyBefore || n >= 0
	}
	for t, e := range x.PotEnd {
		m.longest = max(m.longest, e-int32(t))
	}
	return m
}

// windows works out when layers and cover can start after layer 1.
func (p *pour) windows() {
	lo, hi := int32(0), int32(0)
	for j := range p.coat {
		if j > 0 {
			lo += p.coat[j-1].work + p.Layers[j].GapMin
			hi += p.coat[j-1].work + p.Layers[j].GapMax
		}
		p.earliest, p.latest = append(p.earliest, lo), append(p.latest, hi)
	}
	if p.layers > 0 {
		n := p.coat[p.layers-1].work
		p.earliest, p.latest = append(p.earliest, lo+n+p.CoverGapMin), append(p.latest, hi+n+p.CoverGapMax)
	}
	for d := range p.Draws {
		a, z := p.Draws[d].Layers[0], p.lastOf[d]
		p.lasts = append(p.lasts, p.earliest[z]+p.coat[z].work-p.earliest[a])
	}
}

func (q *prob) pour(i int32) pour {
	x := &q.Pours[i]
	p := pour{Pour: x, id: i, layers: int32(len(x.Layers)), latestD: none}
	p.must = x.Stage != inst.New || x.PinMold != inst.None
	p.out = x.Carry
	if x.BaseMold != inst.None {
		p.out += int64(q.Costs.Move)
	}
	if x.Stage == inst.New {
		for j := range x.Molds {
			p.prep = append(p.prep, q.task(&x.Molds[j].Prep))
		}
		for j := range x.Layers {
			p.coat = append(p.coat, q.task(&x.Layers[j].Task))
		}
		p.cover = q.task(&x.Cover)
		p.first = make([][]int32, p.layers)
		for d := range x.Draws {
			l := x.Draws[d].Layers
			p.first[l[0]] = append(p.first[l[0]], int32(d))
			p.lastOf = append(p.lastOf, l[len(l)-1])
		}
		p.minBody = x.CoverGapMin + x.Cover.Work
		for j := range x.Layers {
			p.minBody += x.Layers[j].Work
			if j > 0 {
				p.minBody += x.Layers[j].GapMin
			}
		}
	}
	p.windows()
	q.tailOf(&p)
	p.rem = make([]int32, len(p.tail)+1)
	for k := len(p.tail) - 1; k >= 0; k-- {
		p.rem[k] = p.rem[k+1] + p.tail[k].work
		if k+1 < len(p.tail) {
			p.rem[k] += p.tail[k+1].rest
		}
	}
	q.spansOf(&p)
	return p
}

// tailOf lists demolding, if it is still to do, and the finish steps.
func (q *prob) tailOf(p *pour) {
	x := p.Pour
	at := 2 + p.layers // place of demold in the pour's tasks
	if x.Stage != inst.Racked {
		s := tailStep{task: q.task(&x.Demold), tid: at, restMax: none, demold: true, wait: int64(q.Costs.Held)}
		if x.Stage == inst.Curing {
			p.latestD = x.MoldUntil
		}
		p.tail = append(p.tail, s)
		p.rackList = x.Racks
	} else {
		p.rackList = []int32{x.Rack}
	}
	for j := range x.Finish {
		if x.Stage == inst.Racked && int32(j) < x.Next {
			continue
		}
		f := &x.Finish[j]
		s := tailStep{task: q.task(&f.Task), tid: at + 1 + int32(j), rest: f.Rest, restMax: f.RestMax, wait: int64(q.Costs.RackWait)}
		p.tail = append(p.tail, s)
	}
}

// spansOf drops spans that are over and puts those that have begun to tick 0.
func (q *prob) spansOf(p *pour) {
	done := int32(0) // tasks of the pour before this one are done
	switch p.Stage {
	case inst.Curing:
		done = 2 + p.layers
	case inst.Racked:
		done = 3 + p.layers + p.Next
	}
	for _, s := range p.Spans {
		r := span{station: s.Station, from: p.place(s.From), to: p.place(s.To), fromEnd: s.From.End, toEnd: s.To.End}
		if p.Stage != inst.New && s.From.Step < inst.AtDemold {
			r.from = none
		} else if r.from < done {
			r.from = none
		}
		if p.Stage != inst.New && s.To.Step < inst.AtDemold {
			continue
		}
		if r.to < done {
			continue
		}
		p.spans = append(p.spans, r)
	}
}

// place is the number of a moment's step among the pour's tasks.
func (p *pour) place(m inst.Moment) int32 {
	switch m.Step {
	case inst.AtPrep:
		return 0
	case inst.AtLayer:
		return 1 + m.At
	case inst.AtCover:
		return 1 + p.layers
	case inst.AtDemold:
		return 2 + p.layers
	}
	return 3 + p.layers + m.At
}

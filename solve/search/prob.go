package search

import (
	"cmp"
	"fmt"
	"slices"

	"pourweek/solve/inst"
)

// none marks an index that is missing.
const none = -1

// task is a piece of work as the search sees it.
type task struct {
	work, heads int32
	crew        []inst.Head
	kind        int32   // tasks of one kind have the same crew and work
	anyOf       []int16 // people with a skill that the crew asks for
	station     int32
	pausable    bool
	// Starts by open index. plain: straight on; calm: straight on without an
	// overtime tick; late: put down for overtime (nil where that is the same
	// as straight on everywhere).
	plain, calm, late []uint64
}

// tailStep is demolding or a finish step: it starts rest to restMax ticks
// after the end of the step before (restMax < 0: no limit).
type tailStep struct {
	task
	tid           int32
	rest, restMax int32
	demold        bool
	wait          int64 // mils per regular tick that it waits
}

// span is a place of a station between two moments of a pour.
type span struct {
	station        int32
	from, to       int32 // task of the pour by its place in the pour's tasks, none: tick 0
	fromEnd, toEnd bool
}

// pour is a pour as the search sees it. Its tasks are numbered from t0: prep,
// layers, cover, demold, finish steps; those done already never get a start.
type pour struct {
	*inst.Pour
	id      int32
	t0      int32
	layers  int32
	d0      int32 // first draw
	must    bool  // never carried
	out     int64 // cost of leaving it out
	prep    []task
	coat    []task
	first   [][]int32 // by layer: draws that begin there
	lastOf  []int32   // by draw: its last layer
	cover   task
	tail    []tailStep
	latestD int32 // curing: last tick at which demold may start, none: no limit
	spans   []span
	// By layer, the cover being the one after the last: its earliest and latest
	// start after that of layer 1.
	earliest, latest []int32
	lasts            []int32 // by draw: ticks from its first layer to the end of its last at least
	minBody          int32   // ticks from layer 1 to the end of the cover with least gaps
	rem              []int32 // by tail step: ticks from its start until the piece is ready at least
	rackList         []int32
}

// mixWork is what a batch of a mix asks for.
type mixWork struct {
	tasks     [3]task // mix, remix, wash (its longest)
	start     []uint64
	washes    map[int32]*task // by length
	anyBefore bool
	potEnd    []int32
	mixers    []int32
	longest   int32 // longest pot life
}

// prob is a compiled problem with the tables of the search. It is read-only
// after newProb and shared by the workers.
type prob struct {
	*inst.Inst
	axis
	pours   []pour
	mixes   []mixWork
	tasks   int32 // of pours and batches
	batch0  int32 // first task of a batch; batch b has batch0+3b ..
	batches int32 // at most
	draws   int32
	drawOf  []int32 // by draw: its pour
	fix0    int32   // first task of fixed work
	whoOff  []int32 // by task
	whos    int32
	bySkill [][]int16 // people by skill, those least asked for otherwise first
	on      [][]uint64
	fixed   []task
	calls   [][2]int32 // call-ins on the open axis
	masks   map[string][3][]uint64
	kinds   map[string]int32
	mixHead int32
	free0   [][]int16 // racks by cell
	mixer0  [][]uint64
	nearby  int32     // a third of a day
	like    [][]int32 // by pour: pours alike that may change places with it, nil: none
	hard    []int32   // by pour: less goes in earlier
	heat    float64   // scale of temperatures: 1 where an hour late costs 5 in currency
}

func newProb(in *inst.Inst) (*prob, error) {
	q := &prob{Inst: in, axis: newAxis(in), masks: map[string][3][]uint64{}, kinds: map[string]int32{}}
	q.people()
	for i := range in.Mixes {
		q.mixes = append(q.mixes, q.mixWork(&in.Mixes[i]))
		q.mixHead = max(q.mixHead, in.Mixes[i].Heads)
	}
	for i := range in.Pours {
		q.pours = append(q.pours, q.pour(int32(i)))
	}
	for i := range in.Fixed {
		f := &in.Fixed[i]
		t := task{work: q.oi[f.End] - q.oi[f.Start], crew: f.Crew, station: f.Station}
		for _, h := range f.Crew {
			t.heads += h.N
		}
		t.anyOf = q.union(t.crew)
		q.fixed = append(q.fixed, t)
	}
	q.number()
	for i := range in.Callins {
		c := &in.Callins[i]
		q.calls = append(q.calls, [2]int32{in.OpenIndex(c.From), in.OpenIndex(c.To)})
	}
	q.places()
	q.like = q.alike()
	q.scales()
	if q.tasks > 1<<24 {
		return nil, fmt.Errorf("%d tasks are too many", q.tasks)
	}
	return q, nil
}

// number lays out tasks, draws and the places for names.
func (q *prob) number() {
	add := func(heads int32) {
		q.whoOff = append(q.whoOff, q.whos)
		q.whos += heads
		q.tasks++
	}
	for i := range q.pours {
		p := &q.pours[i]
		p.t0, p.d0 = q.tasks, q.draws
		var prep int32
		for _, c := range p.prep {
			prep = max(prep, c.heads)
		}
		add(prep)
		for _, l := range p.coat {
			add(l.heads)
		}
		add(p.cover.heads)
		add(p.Demold.Heads)
		for _, f := range p.Finish {
			add(f.Heads)
		}
		for range p.Draws {
			q.drawOf = append(q.drawOf, int32(i))
			q.draws++
		}
		for j := range p.tail {
			p.tail[j].tid += p.t0
		}
	}
	q.batch0, q.batches = q.tasks, q.draws
	for range q.batches {
		for range 3 {
			add(q.mixHead)
		}
	}
	q.fix0 = q.tasks
	for i := range q.fixed {
		add(q.fixed[i].heads)
	}
}

func (q *prob) places() {
	for i := range q.Racks {
		v := make([]int16, q.cells+1)
		for c := range v {
			v[c] = 30000
		}
		for t := int32(0); t < q.h; t++ {
			c := q.cell[t]
			v[c] = min(v[c], int16(min(q.Racks[i].Places[t], 30000)))
		}
		q.free0 = append(q.free0, v)
	}
	for i := range q.Mixers {
		m := &q.Mixers[i]
		w := make([]uint64, q.cwords)
		a, b := q.span(0, m.FreeFrom)
		set64(w, a, b)
		for _, d := range m.Down {
			a, b = q.span(int32(d[0]), int32(d[1]))
			set64(w, a, b)
		}
		q.mixer0 = append(q.mixer0, w)
	}
}

// people lists the people of each skill, those whose other skills are asked
// for least first, and the ticks in which they are there.
func (q *prob) people() {
	need := q.asked()
	have := make([]float64, len(q.Skills))
	for i := range q.People {
		w := make([]uint64, q.words)
		n := float64(0)
		for t, on := range q.People[i].On {
			if on {
				set64(w, q.oi[t], q.oi[t]+1)
				n++
			}
		}
		q.on = append(q.on, w)
		for k := range q.Skills {
			if q.People[i].Mask>>k&1 != 0 {
				have[k] += n
			}
		}
	}
	worth := make([]float64, len(q.People))
	for i := range q.People {
		for k := range q.Skills {
			if q.People[i].Mask>>k&1 != 0 {
				worth[i] += need[k] / max(have[k], 1)
			}
		}
	}
	for k := range q.Skills {
		var l []int16
		for i := range q.People {
			if q.People[i].Mask>>k&1 != 0 {
				l = append(l, int16(i))
			}
		}
		slices.SortStableFunc(l, func(a, b int16) int { return cmp.Compare(worth[a], worth[b]) })
		q.bySkill = append(q.bySkill, l)
	}
}

// asked estimates the head ticks that are asked for by skill.
func (q *prob) asked() []float64 {
	need := make([]float64, len(q.Skills))
	ask := func(crew []inst.Head, w int32) {
		for _, h := range crew {
			need[h.Skill] += float64(h.N * w)
		}
	}
	for i := range q.Pours {
		p := &q.Pours[i]
		if len(p.Molds) > 0 {
			ask(p.Molds[0].Prep.Crew, p.Molds[0].Prep.Work)
		}
		for j := range p.Layers {
			ask(p.Layers[j].Crew, p.Layers[j].Work)
		}
		ask(p.Cover.Crew, p.Cover.Work)
		ask(p.Demold.Crew, p.Demold.Work)
		for j := range p.Finish {
			ask(p.Finish[j].Crew, p.Finish[j].Work)
		}
		for _, d := range p.Draws {
			m := &q.Mixes[d.Mix]
			ask(m.Crew, (m.Mix+m.Remix+m.Wash)/2)
		}
	}
	return need
}

// union lists the people with any skill of the crew.
func (q *prob) union(crew []inst.Head) []int16 {
	var mask uint64
	for _, h := range crew {
		mask |= 1 << h.Skill
	}
	var l []int16
	for i := range q.People {
		if q.People[i].Mask&mask != 0 {
			l = append(l, int16(i))
		}
	}
	return l
}

// scales works out the scale of costs and the order in which pours are built.
func (q *prob) scales() {
	q.nearby = max(int32(24*60/3/max(q.P.TickMinutes, 1)), 1)
	var sum float64
	for i := range q.pours {
		p := &q.pours[i]
		c := p.LatePerTick
		if p.Ship >= 0 {
			x := &q.Ships[p.Ship]
			c += x.LatePerTick / int64(max(len(x.Pours), 1))
		}
		sum += float64(c) * 60 / float64(max(q.P.TickMinutes, 1))
		h := int32(4)
		switch {
		case p.Stage == inst.Racked && p.FromMax >= 0, p.Stage == inst.Curing && p.MoldUntil >= 0:
			h = 0
		case p.PinMold != inst.None:
			h = 1
		case p.Stage == inst.Racked:
			h = 2
		case p.Stage == inst.Curing:
			h = 3
		}
		q.hard = append(q.hard, h)
	}
	q.heat = 1
	if sum > 0 {
		q.heat = sum / float64(len(q.pours)) / 5000
	} else if q.Costs.Batch > 0 {
		q.heat = float64(q.Costs.Batch) / 9000
	}
}

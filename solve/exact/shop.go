package exact

import (
	"fmt"
	"math"
	"slices"

	"pourweek/model"
	"pourweek/solve/inst"
)

// inf marks what cannot be done. Sums of two stay inside an int32.
const inf = int32(1) << 29

// shop is the problem as the proof sees it: crews as demands on rows (sets of
// people), tasks with their ends by start, and prices on rows by open tick.
//
// What it leaves out of the planning model can only make plans cheaper, so that
// a bound here is a bound there: people are counted by sets of skills and not
// named, racks count their places by sets, spans, shipments and call-ins are
// free, and a clean-up takes the least time that any next batch allows.
type shop struct {
	in     *inst.Inst
	open   int       // number of open ticks
	have   [][]int32 // by row and open tick: people less fixed work
	most   []int32   // by row: at any tick
	crews  []*crew
	byCrew map[string]*crew
	tasks  []*task
	byTask map[string]*task
	pours  []pour
	mixes  []mix
	y      [][]int32 // price by row and open tick
	yMost  float64   // highest price
	round  int32     // of prices
	lazy   bool      // tables are worked out where they are asked for
	yLeft  []int64   // by open tick index i: sum of price x have from i on
	unit   int64     // every cost of a plan is a multiple of it
	rows   []uint64  // skills of each row of people
	halls  []hall
	twins  []twin // rows after those of people; they bind no plan beyond them
}

// crew is a demand, shared by all tasks that ask the same.
type crew struct {
	need  []int32 // by row
	heads int32
	price []int32 // sums of prices over open ticks before index i
	reg   []int32 // the same over regular ticks
	over  []int32 // sums of overtime cost over open ticks before index i
}

// task is a piece of work; ends and costs are by start tick, -1 and inf where
// it cannot start. Put-down ways are nil where there is none that differs.
type task struct {
	*crew
	work     int32
	station  int32
	pausable bool
	end      []int32
	cost     []int32
	putEnd   []int32
	putCost  []int32
}

// draw is a draw with its number among all draws.
type draw struct {
	at          int // among all draws of the shop's new pours, -1 beyond the limit
	mix         int32
	grams       int64
	first, last int   // layers it feeds, from and to
	span        int32 // least ticks from the start of the first to the end of the last
	share       int32 // it never shares a batch with more than share-1 others
	layers      []int32
}

type pour struct {
	*inst.Pour
	prep   map[int32]*task // by mold
	layers []*task
	cover  *task
	demold *task
	finish []*task
	draws  []draw
}

type mix struct {
	*inst.Mix
	crew         *crew
	wash         int32   // least length of a clean-up
	washer       *crew   // of the clean-up
	hold         *crew   // binds twin rows while the batch is mixed
	holdA, holdB int32   // from its start and to its start
	price        []int32 // by start, see batchPrice
	known        []int32 // by start: the round of prices that holds in price
	longest      int32   // pot life
	lengths      []int32 // of clean-ups, see inst.Mix.WashLengths
}

func newShop(in *inst.Inst) (*shop, error) {
	s := &shop{in: in, open: len(in.OpenAt), byCrew: map[string]*crew{}, byTask: map[string]*task{}}
	if err := tooBig(in); err != nil {
		return nil, err
	}
	s.peopleRows()
	s.addTwins()
	for i := range in.Mixes {
		m := &in.Mixes[i]
		x := mix{Mix: m, crew: s.crew(m.Crew, 0), wash: m.LeastWash()}
		x.price, x.known = make([]int32, in.H), make([]int32, in.H)
		x.washer, x.lengths = s.crew(m.Crew, x.wash), m.WashLengths()
		x.hold, x.holdA, x.holdB = s.holder(x.crew, m), 0, m.Ready
		if m.Remix == 0 {
			x.holdB = m.Mix
		}
		if m.Mix == 0 {
			x.holdA = m.Ready - m.Remix
		}
		s.mixes = append(s.mixes, x)
	}
	at := 0
	for i := range in.Pours {
		s.pours = append(s.pours, s.pour(&in.Pours[i], &at))
	}
	for _, row := range s.have {
		s.most = append(s.most, slices.Max(append(row, 0)))
	}
	s.costUnit()
	s.findHalls()
	s.y = make([][]int32, len(s.have))
	for r := range s.y {
		s.y[r] = make([]int32, s.open)
	}
	return s, nil
}

// peopleRows makes one row for every set of people that is just the holders of
// some set of skills; the row's skills are all that only they have.
func (s *shop) peopleRows() {
	in := s.in
	holders := make([]uint64, len(in.Skills))
	for k := range in.Skills {
		for i := range in.People {
			if in.People[i].Mask>>k&1 != 0 {
				holders[k] |= 1 << i
			}
		}
	}
	for _, w := range unions(nil, holders, math.MaxInt) {
		row, skills := make([]int32, s.open), uint64(0)
		for k, h := range holders {
			if h&^w == 0 {
				skills |= 1 << k
			}
		}
		for i, t := range in.OpenAt {
			for p := range in.People {
				if w>>p&1 != 0 && in.People[p].On[t] {
					row[i]++
				}
			}
		}
		for _, f := range in.Fixed {
			n := headsIn(f.Crew, skills)
			for i := in.OpenIndex(f.Start); i < in.OpenIndex(f.End); i++ {
				row[i] = max(0, row[i]-n)
			}
		}
		s.have, s.rows = append(s.have, row), append(s.rows, skills)
	}
}

// unions adds sets, and what they make together, to a list, each once, as long as
// there are fewer than most.
func unions(list, sets []uint64, most int) []uint64 {
	add := func(m uint64) {
		if len(list) < most && !slices.Contains(list, m) {
			list = append(list, m)
		}
	}
	for _, m := range sets {
		for _, o := range list[:len(list):len(list)] {
			add(o | m)
		}
		add(m)
	}
	return list
}

func headsIn(c []inst.Head, skills uint64) (n int32) {
	for _, h := range c {
		if skills>>h.Skill&1 != 0 {
			n += h.N
		}
	}
	return n
}

// crew is the demand of tasks of so much work; work 0 is for what twins never
// count.
func (s *shop) crew(c []inst.Head, work int32) *crew {
	long := 0
	for k, w := range s.twins {
		if work > w.rest {
			long |= 1 << k
		}
	}
	key := fmt.Sprint(c, long)
	if x := s.byCrew[key]; x != nil {
		return x
	}
	x := s.newCrew(key)
	for r, skills := range s.rows {
		x.need[r] = headsIn(c, skills)
	}
	for k, w := range s.twins {
		if long>>k&1 != 0 {
			x.need[len(s.rows)+k] = x.need[w.of]
		}
	}
	for _, h := range c {
		x.heads += h.N
	}
	for i, t := range s.in.OpenAt {
		x.over[i+1] = x.over[i]
		if s.in.Overtime[t] {
			x.over[i+1] += x.heads * int32(s.in.Costs.Overtime)
		}
	}
	return x
}

func (s *shop) newCrew(key string) *crew {
	x := &crew{need: make([]int32, len(s.have)), price: make([]int32, s.open+1),
		reg: make([]int32, len(s.in.RegAt)+1), over: make([]int32, s.open+1)}
	s.byCrew[key] = x
	s.crews = append(s.crews, x)
	return x
}

// twin is a row beside that of one person. While a batch rests its crew is free,
// but only for a task no longer than the rest: a longer one would run into the
// mixing or the remixing. So at every tick at most one task longer than the
// longest rest, or one batch from its start to ready, is under way. Tasks that
// are put down are not counted.
type twin struct {
	of   int
	rest int32
}

// addTwins adds a twin to each row of at most one head if there is one mixer, so
// that no batch is mixed while another rests.
func (s *shop) addTwins() {
	if len(s.in.Mixers) != 1 {
		return
	}
	for r, skills := range s.rows {
		if slices.Max(s.have[r]) != 1 {
			continue
		}
		w := twin{r, 0}
		for i := range s.in.Mixes {
			if m := &s.in.Mixes[i]; headsIn(m.Crew, skills) > 0 {
				w.rest = max(w.rest, m.Rest)
			}
		}
		if w.rest == 0 {
			continue
		}
		row := make([]int32, s.open) // fixed work may be as short as a rest
		for i := range row {
			row[i] = 1
		}
		s.twins = append(s.twins, w)
		s.have = append(s.have, row)
	}
}

// holder is the demand of a batch on the twins of the rows its crew needs.
func (s *shop) holder(c *crew, m *inst.Mix) *crew {
	key := fmt.Sprint("hold", m.Crew)
	if x := s.byCrew[key]; x != nil {
		return x
	}
	x := s.newCrew(key)
	for k, w := range s.twins {
		x.need[len(s.rows)+k] = c.need[w.of]
	}
	return x
}

func (s *shop) task(t *inst.Task) *task {
	key := fmt.Sprint(t.Crew, t.Work, t.Station, t.Pausable, t.When)
	if x := s.byTask[key]; x != nil {
		return x
	}
	h := s.in.H
	x := &task{crew: s.crew(t.Crew, t.Work), work: t.Work, station: t.Station, pausable: t.Pausable,
		end: make([]int32, h), cost: make([]int32, h)}
	differs := false
	put := make([]int32, h)
	for at := range h {
		x.end[at], put[at] = -1, -1
		if at < s.in.Now || !t.Starts(at) {
			continue
		}
		if !t.Pausable {
			x.end[at] = s.in.SteadyEnd(at, t.Work)
			continue
		}
		x.end[at] = s.in.StraightEnd(at, t.Work)
		if e := s.in.PutDownEnd(at, t.Work); e >= 0 && e != x.end[at] {
			put[at], differs = e, true
		}
	}
	if differs {
		x.putEnd, x.putCost = put, make([]int32, h)
	}
	s.byTask[key] = x
	s.tasks = append(s.tasks, x)
	return x
}

func (s *shop) pour(q *inst.Pour, at *int) pour {
	x := pour{Pour: q, prep: map[int32]*task{}}
	if q.Stage == inst.New {
		for i := range q.Molds {
			x.prep[q.Molds[i].Mold] = s.task(&q.Molds[i].Prep)
		}
		for i := range q.Layers {
			x.layers = append(x.layers, s.task(&q.Layers[i].Task))
		}
		x.cover = s.task(&q.Cover)
		for _, d := range q.Draws {
			e := draw{at: *at, mix: d.Mix, grams: d.Grams, first: int(d.Layers[0]), last: int(d.Layers[len(d.Layers)-1]), layers: d.Layers}
			for j := e.first; j <= e.last; j++ {
				e.span += q.Layers[j].Work
				if j > e.first {
					e.span += q.Layers[j].GapMin
				}
			}
			*at++
			x.draws = append(x.draws, e)
		}
	}
	if q.Stage != inst.Racked {
		x.demold = s.task(&q.Demold)
	}
	for i := range q.Finish {
		x.finish = append(x.finish, s.task(&q.Finish[i].Task))
	}
	return x
}

// costUnit finds the greatest number that divides every cost rate.
func (s *shop) costUnit() {
	c := &s.in.Costs
	u := int64(0)
	for _, v := range []model.Mils{c.Idle, c.Held, c.RackWait, c.Overtime, c.Batch, c.Move} {
		u = gcd(u, int64(v))
	}
	for i := range s.in.Pours {
		u = gcd(gcd(u, s.in.Pours[i].LatePerTick), s.in.Pours[i].Carry)
		for _, d := range s.in.Pours[i].Draws {
			u = gcd(u, int64(c.Waste)*d.Grams)
		}
	}
	for i := range s.in.Mixes {
		m := &s.in.Mixes[i]
		u = gcd(u, int64(c.Waste)*max(m.Step, 1))
		u = gcd(u, int64(c.Waste)*m.Min)
	}
	for i := range s.in.Ships {
		u = gcd(u, s.in.Ships[i].LatePerTick)
	}
	for _, x := range s.in.Callins {
		u = gcd(u, x.Cost)
	}
	s.unit = max(u, 1)
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// top is the highest cost below the limit that a plan can have.
func (s *shop) top(limit int64) int64 { return (limit - 1) / s.unit * s.unit }

// roundUp is the least cost at or above a bound that a plan can have.
func (s *shop) roundUp(bound int64) int64 { return (max(bound, 0) + s.unit - 1) / s.unit * s.unit }

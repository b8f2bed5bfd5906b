package benchset

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// Horizon is a makespan that a feasible project can always keep: the sum over
// activities of the longest duration or lag out (B. Franck, K. Neumann,
// C. Schwindt 2001).
func (p *Project) Horizon() int {
	sum := 0
	for i, a := range p.Activities {
		m := 0
		for _, o := range a.Modes {
			m = max(m, o.Duration)
		}
		for _, l := range p.Lags {
			if l.From == i && !l.End {
				m = max(m, l.Min)
			}
		}
		sum += m
	}
	return sum
}

// EnergyBound is the greatest work over capacity of a resource, rounded up,
// each activity in its mode of least work.
func (p *Project) EnergyBound() int {
	bound := 0
	for r, c := range p.Capacity {
		work := 0
		for _, a := range p.Activities {
			least := -1
			for _, m := range a.Modes {
				if w := m.Duration * m.Demand[r]; least < 0 || w < least {
					least = w
				}
			}
			work += least
		}
		if c > 0 {
			bound = max(bound, (work+c-1)/c)
		}
	}
	return bound
}

// Schedule is a start and mode for each activity.
type Schedule struct {
	Start, Mode []int
	Makespan    int // the greatest end
}

// sgs is a serial schedule generator for projects without maximum lags.
type sgs struct {
	p          *Project
	pred, succ [][]Lag
	load       [][]int
}

// Schedule builds a good schedule by passes of serial generation, each with
// priorities drawn near the latest finishes, and of justification to the right
// and back to the left (V. Valls, F. Ballestin, S. Quintanilla 2005). It
// stops at a makespan that the critical path or the energy bound shows to be
// the least, and returns nil for a project with maximum lags or a mode that
// never fits.
func (p *Project) Schedule(passes int, seed uint64) *Schedule {
	for _, l := range p.Lags {
		if l.Min < 0 {
			return nil
		}
	}
	for _, a := range p.Activities {
		for _, m := range a.Modes {
			if !p.fits(m) {
				return nil
			}
		}
	}
	g := &sgs{p: p, pred: make([][]Lag, len(p.Activities)), succ: make([][]Lag, len(p.Activities))}
	for _, l := range p.Lags {
		g.succ[l.From] = append(g.succ[l.From], l)
		g.pred[l.To] = append(g.pred[l.To], l)
	}
	tail, ok := g.tails()
	if !ok {
		return nil
	}
	r := rand.New(rand.NewPCG(seed, 7))
	var best *Schedule
	least := max(p.EnergyBound(), slices.Max(tail))
	for pass := range passes {
		if best != nil && best.Makespan <= least {
			break
		}
		key := make([]float64, len(tail))
		for i, t := range tail {
			key[i] = -float64(t)
			if pass > 0 {
				key[i] *= 1 + float64(r.Float64()*0.5)
			}
		}
		s := g.forward(key)
		for range 2 {
			s = g.justify(s)
		}
		if best == nil || s.Makespan < best.Makespan {
			best = s
		}
	}
	return best
}

func (p *Project) fits(m Mode) bool {
	for r, d := range m.Demand {
		if d > p.Capacity[r] {
			return false
		}
	}
	return true
}

// tails gives the longest way from each start to the end by least durations;
// not ok when lags of 0 run in a circle, which is a maximum lag in disguise.
func (g *sgs) tails() (tail []int, ok bool) {
	n := len(g.p.Activities)
	tail = make([]int, n)
	open, done := make([]int, n), 0
	var ready []int
	for i := range n {
		if open[i] = len(g.succ[i]); open[i] == 0 {
			ready = append(ready, i)
		}
	}
	for len(ready) > 0 {
		i := ready[0]
		ready = ready[1:]
		done++
		d := g.p.Activities[i].least()
		tail[i] = max(tail[i], d)
		for _, l := range g.pred[i] {
			w := l.Min
			if l.End {
				w += g.p.Activities[l.From].least()
			}
			tail[l.From] = max(tail[l.From], w+tail[i])
			if open[l.From]--; open[l.From] == 0 {
				ready = append(ready, l.From)
			}
		}
	}
	return tail, done == n
}

func (a Activity) least() int {
	d := a.Modes[0].Duration
	for _, m := range a.Modes {
		d = min(d, m.Duration)
	}
	return d
}

// forward places activities by smallest key first, each as early as it ends.
func (g *sgs) forward(key []float64) *Schedule {
	n := len(key)
	s := &Schedule{Start: make([]int, n), Mode: make([]int, n)}
	open := make([]int, n)
	var ready []int
	for i := range n {
		if open[i] = len(g.pred[i]); open[i] == 0 {
			ready = append(ready, i)
		}
	}
	g.load = make([][]int, len(g.p.Capacity))
	for len(ready) > 0 {
		at := 0
		for k := range ready {
			if key[ready[k]] < key[ready[at]] {
				at = k
			}
		}
		i := ready[at]
		ready = slices.Delete(ready, at, at+1)
		g.place(i, s)
		for _, l := range g.succ[i] {
			if open[l.To]--; open[l.To] == 0 {
				ready = append(ready, l.To)
			}
		}
	}
	return s
}

func (g *sgs) place(i int, s *Schedule) {
	from := 0
	for _, l := range g.pred[i] {
		t := s.Start[l.From] + l.Min
		if l.End {
			t += g.p.Activities[l.From].Modes[s.Mode[l.From]].Duration
		}
		from = max(from, t)
	}
	end := -1
	for k, m := range g.p.Activities[i].Modes {
		if t := g.fit(m, from); end < 0 || t+m.Duration < end {
			s.Start[i], s.Mode[i], end = t, k, t+m.Duration
		}
	}
	m := g.p.Activities[i].Modes[s.Mode[i]]
	for r, d := range m.Demand {
		for len(g.load[r]) < end {
			g.load[r] = append(g.load[r], 0)
		}
		for t := s.Start[i]; t < end && d > 0; t++ {
			g.load[r][t] += d
		}
	}
	s.Makespan = max(s.Makespan, end)
}

// fit is the first tick from which m finds room.
func (g *sgs) fit(m Mode, from int) int {
	for t := from; t < from+m.Duration; t++ {
		for r, d := range m.Demand {
			if d > 0 && t < len(g.load[r]) && g.load[r][t]+d > g.p.Capacity[r] {
				from = t + 1
			}
		}
	}
	return from
}

// justify shifts a schedule to the right, last end first, then back to the
// left, first start first, in the modes it has.
func (g *sgs) justify(s *Schedule) *Schedule {
	n := len(s.Start)
	back := &sgs{p: &Project{Capacity: g.p.Capacity}, pred: make([][]Lag, n), succ: make([][]Lag, n)}
	for i := range n {
		back.p.Activities = append(back.p.Activities, Activity{Modes: g.p.Activities[i].Modes[s.Mode[i] : s.Mode[i]+1]})
	}
	key := make([]float64, n)
	for i := range n {
		d := back.p.Activities[i].Modes[0].Duration
		key[i] = -float64(s.Start[i] + d)
		for _, l := range g.pred[i] {
			// Mirrored: the start of From must be left of the end of To by this.
			m := Lag{From: i, To: l.From, Min: l.Min + d - back.p.Activities[l.From].Modes[0].Duration}
			if l.End {
				m.Min = l.Min + d
			}
			back.succ[i] = append(back.succ[i], m)
			back.pred[l.From] = append(back.pred[l.From], m)
		}
	}
	right := back.forward(key)
	for i := range n {
		key[i] = float64(right.Makespan - right.Start[i] - back.p.Activities[i].Modes[0].Duration)
	}
	left := &sgs{p: back.p, pred: g.pred, succ: g.succ}
	r := left.forward(key)
	r.Mode = s.Mode
	return r
}

// Check returns whether a schedule keeps all lags and capacities.
func (p *Project) Check(s *Schedule) bool {
	end := func(i int) int { return s.Start[i] + p.Activities[i].Modes[s.Mode[i]].Duration }
	for _, l := range p.Lags {
		from := s.Start[l.From]
		if l.End {
			from = end(l.From)
		}
		if s.Start[l.To] < from+l.Min {
			return false
		}
	}
	order := make([]int, len(s.Start))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(s.Start[a], s.Start[b]) })
	for r, c := range p.Capacity {
		for _, i := range order {
			load := 0
			for _, j := range order {
				if s.Start[j] <= s.Start[i] && s.Start[i] < end(j) {
					load += p.Activities[j].Modes[s.Mode[j]].Demand[r]
				}
			}
			if load > c {
				return false
			}
		}
	}
	return true
}

package sat

import (
	"fmt"
	"sort"
)

// Solution gives every task a start and every literal a truth value.
type Solution struct {
	m      *Model
	values []bool // by variable
	Cost   int64
}

// Start is the start of t; it means nothing when t is absent.
func (s *Solution) Start(t TaskID) int { return s.m.tasks[t].Starts[s.index(t)] }

// End is the end of t; it means nothing when t is absent.
func (s *Solution) End(t TaskID) int {
	k := &s.m.tasks[t]
	if k.Slack == 0 {
		return k.end(s.index(t))
	}
	return k.ends[sort.Search(len(k.ends)-1, func(i int) bool { return s.True(k.endLE(i)) })]
}

// Present says whether t is done.
func (s *Solution) Present(t TaskID) bool { return s.True(s.m.tasks[t].Presence) }

// True says whether l holds.
func (s *Solution) True(l Lit) bool {
	switch {
	case l == 0 || l == True:
		return true
	case l == False:
		return false
	case l < 0:
		return !s.values[-l]
	}
	return s.values[l]
}

func (s *Solution) at(p Point) int {
	if p.End {
		return s.End(p.Task)
	}
	return s.Start(p.Task)
}

// index finds the first i with "start <= Starts[i]".
func (s *Solution) index(t TaskID) int {
	k := &s.m.tasks[t]
	return sort.Search(len(k.Starts)-1, func(i int) bool { return s.True(k.startLE(i)) })
}

// Solution builds a solution by hand, as a hint or to be checked: starts by
// task (all must be in the tasks' domains, those of absent tasks too) and the
// literals of Bool that are true.
func (m *Model) Solution(starts []int, trueBools ...Lit) (*Solution, error) {
	if len(starts) != len(m.tasks) {
		return nil, fmt.Errorf("sat: %d starts for %d tasks", len(starts), len(m.tasks))
	}
	s := &Solution{m: m, values: make([]bool, m.vars+1)}
	s.values[True] = true
	for t := range m.tasks {
		k := &m.tasks[t]
		i := sort.SearchInts(k.Starts, starts[t])
		if i == len(k.Starts) || k.Starts[i] != starts[t] {
			return nil, fmt.Errorf("sat: task %d %q cannot start at %d", t, k.Name, starts[t])
		}
		for ; i < len(k.Starts)-1; i++ {
			s.values[k.startLE(i)] = true
		}
	}
	for _, l := range trueBools {
		if e := m.knowsLits(l); e != nil || l < 0 {
			return nil, fmt.Errorf("sat: literal %d is no truth value of this model", l)
		}
		s.values[l.norm()] = true
	}
	for t := range m.tasks {
		s.SetEnd(TaskID(t), m.tasks[t].end(s.index(TaskID(t))))
	}
	s.Cost = m.cost(s)
	return s, nil
}

// SetEnd moves the end of a task with slack; other tasks stay as they are.
func (s *Solution) SetEnd(t TaskID, end int) {
	k := &s.m.tasks[t]
	for i := 0; i < len(k.ends)-1; i++ {
		s.values[k.endLE(i)] = k.ends[i] >= end
	}
}

// Check returns the first constraint that s breaks, or nil. It reads the
// model's data alone.
func (m *Model) Check(s *Solution) error {
	for _, c := range m.cons {
		if e := c.c.check(s); e != nil {
			return e
		}
	}
	for t := range m.tasks {
		if e := m.checkTask(TaskID(t), s); e != nil {
			return e
		}
	}
	if c := m.cost(s); c != s.Cost {
		return fmt.Errorf("cost is %d, not %d", c, s.Cost)
	}
	return nil
}

// checkTask looks at the literals of one task: one start, and an end that goes
// with it.
func (m *Model) checkTask(t TaskID, s *Solution) error {
	k := &m.tasks[t]
	for i := s.index(t); i < len(k.Starts); i++ {
		if !s.True(k.startLE(i)) {
			return fmt.Errorf("task %d %q has no single start", t, k.Name)
		}
	}
	if k.Slack == 0 || !s.Present(t) {
		return nil
	}
	end, least := s.End(t), k.end(s.index(t))
	for i, v := range k.ends {
		if v >= end && !s.True(k.endLE(i)) {
			return fmt.Errorf("task %d %q has no single end", t, k.Name)
		}
	}
	if end < least || end > least+k.Slack {
		return fmt.Errorf("task %d %q ends at %d, not in [%d,%d]", t, k.Name, end, least, least+k.Slack)
	}
	return nil
}

func (m *Model) cost(s *Solution) int64 {
	var sum int64
	for t := range m.tasks {
		if k := &m.tasks[t]; k.cost != nil && s.True(k.Presence) {
			sum += k.cost[s.index(TaskID(t))]
		}
	}
	for _, c := range m.costs {
		if s.True(c.lit) {
			sum += c.cost
		}
	}
	return sum
}

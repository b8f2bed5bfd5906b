package sat

import "fmt"

// Constraint is one of the types of this file: it knows how to check itself
// against a solution and how to encode itself.
type Constraint interface {
	valid(m *Model) error
	check(s *Solution) error
	encode(e *encoder)
}

// Point is the start or the end of a task.
type Point struct {
	Task TaskID
	End  bool
}

// Start is the start of t.
func Start(t TaskID) Point { return Point{Task: t} }

// End is the end of t.
func End(t TaskID) Point { return Point{Task: t, End: true} }

// Lag demands To >= From + Min, in ticks, when both tasks are present and all
// of When are true. A maximum lag "To <= From + d" is Lag{From: To, To: From,
// Min: -d}.
type Lag struct {
	From, To Point
	Min      int
	When     []Lit
}

// Clause demands that at least one of its literals is true.
type Clause []Lit

// AtMost demands sum of Weights[i] over the true Lits[i] <= Max. Nil Weights
// are all 1; weights are >= 0.
type AtMost struct {
	Lits    []Lit
	Weights []int
	Max     int
}

// ExactlyOne demands that just one of its literals is true.
type ExactlyOne []Lit

// Alternative demands that just one of Options is present when Task is, and
// none when it is not, and that the one present starts and ends with Task.
type Alternative struct {
	Task    TaskID
	Options []TaskID
}

// Use says that a task takes something of a resource from its start to its
// end (half-open) when it is present and When is true (zero value: always).
type Use struct {
	Task   TaskID
	Demand int // of a cumulative resource, >= 0
	When   Lit
}

// Cumulative demands that at no tick the uses that run take more than Capacity
// together. Encoded per tick or per task start, whichever is smaller.
type Cumulative struct {
	Uses     []Use
	Capacity int

	way decomposition
}

// decomposition is how a cumulative resource is taken apart.
type decomposition int

const (
	byEstimate decomposition = iota
	byTick
	byTask
)

// Unary demands that its uses run one at a time (Demand is not read): of two
// uses i, j that both take place, start(j) >= end(i) + Setup[i][j] or
// start(i) >= end(j) + Setup[j][i]. Nil Setup is all 0. The rule holds for
// every pair, neighbors or not. A task of length 0 must not lie inside another.
type Unary struct {
	Uses  []Use
	Setup [][]int
}

func (c Lag) valid(m *Model) error {
	if e := m.knows(c.From.Task); e != nil {
		return e
	}
	if e := m.knows(c.To.Task); e != nil {
		return e
	}
	return m.knowsLits(c.When...)
}

func (c Lag) check(s *Solution) error {
	for _, w := range c.When {
		if !s.True(w) {
			return nil
		}
	}
	if !s.Present(c.From.Task) || !s.Present(c.To.Task) {
		return nil
	}
	if a, b := s.at(c.From), s.at(c.To); b < a+c.Min {
		return fmt.Errorf("lag: %+v at %d, %+v at %d, less than %d apart", c.From, a, c.To, b, c.Min)
	}
	return nil
}

func (c Clause) valid(m *Model) error { return m.knowsLits(c...) }

func (c Clause) check(s *Solution) error {
	for _, l := range c {
		if s.True(l) {
			return nil
		}
	}
	return fmt.Errorf("clause %v: none is true", []Lit(c))
}

func (c AtMost) valid(m *Model) error {
	if c.Weights != nil && len(c.Weights) != len(c.Lits) {
		return fmt.Errorf("%d weights for %d literals", len(c.Weights), len(c.Lits))
	}
	for _, w := range c.Weights {
		if w < 0 {
			return fmt.Errorf("weight %d is below 0", w)
		}
	}
	return m.knowsLits(c.Lits...)
}

func (c AtMost) weight(i int) int {
	if c.Weights == nil {
		return 1
	}
	return c.Weights[i]
}

func (c AtMost) check(s *Solution) error {
	sum := 0
	for i, l := range c.Lits {
		if s.True(l) {
			sum += c.weight(i)
		}
	}
	if sum > c.Max {
		return fmt.Errorf("at most %d: have %d", c.Max, sum)
	}
	return nil
}

func (c ExactlyOne) valid(m *Model) error { return m.knowsLits(c...) }

func (c ExactlyOne) check(s *Solution) error {
	n := 0
	for _, l := range c {
		if s.True(l) {
			n++
		}
	}
	if n != 1 {
		return fmt.Errorf("exactly one of %v: have %d", []Lit(c), n)
	}
	return nil
}

func (c Alternative) valid(m *Model) error {
	for _, t := range append([]TaskID{c.Task}, c.Options...) {
		if e := m.knows(t); e != nil {
			return e
		}
	}
	return nil
}

func (c Alternative) check(s *Solution) error {
	n := 0
	for _, t := range c.Options {
		if !s.Present(t) {
			continue
		}
		n++
		if s.Present(c.Task) && (s.Start(t) != s.Start(c.Task) || s.End(t) != s.End(c.Task)) {
			return fmt.Errorf("alternative: task %d at [%d,%d) but %d at [%d,%d)", t, s.Start(t), s.End(t),
				c.Task, s.Start(c.Task), s.End(c.Task))
		}
	}
	if n > 1 || (n == 1) != s.Present(c.Task) {
		return fmt.Errorf("alternative: %d options of task %d present", n, c.Task)
	}
	return nil
}

func validUses(m *Model, uses []Use) error {
	for _, u := range uses {
		if e := m.knows(u.Task); e != nil {
			return e
		}
		if e := m.knowsLits(u.When); e != nil {
			return e
		}
		if u.Demand < 0 {
			return fmt.Errorf("demand %d is below 0", u.Demand)
		}
	}
	return nil
}

func (u Use) active(s *Solution) bool { return s.Present(u.Task) && s.True(u.When) }

func (c Cumulative) valid(m *Model) error { return validUses(m, c.Uses) }

func (c Cumulative) check(s *Solution) error {
	for _, u := range c.Uses { // a load is highest at some start
		if !u.active(s) {
			continue
		}
		at, load := s.Start(u.Task), 0
		for _, v := range c.Uses {
			if v.active(s) && s.Start(v.Task) <= at && at < s.End(v.Task) {
				load += v.Demand
			}
		}
		if load > c.Capacity {
			return fmt.Errorf("cumulative: load %d of %d at tick %d", load, c.Capacity, at)
		}
	}
	return nil
}

func (c Unary) valid(m *Model) error {
	if c.Setup != nil && len(c.Setup) != len(c.Uses) {
		return fmt.Errorf("%d rows of setups for %d uses", len(c.Setup), len(c.Uses))
	}
	for _, r := range c.Setup {
		if len(r) != len(c.Uses) {
			return fmt.Errorf("%d setups in a row for %d uses", len(r), len(c.Uses))
		}
	}
	return validUses(m, c.Uses)
}

func (c Unary) setup(i, j int) int {
	if c.Setup == nil {
		return 0
	}
	return c.Setup[i][j]
}

func (c Unary) check(s *Solution) error {
	for i, u := range c.Uses {
		for j := 0; j < i; j++ {
			v := c.Uses[j]
			if !u.active(s) || !v.active(s) {
				continue
			}
			if s.Start(v.Task) < s.End(u.Task)+c.setup(i, j) && s.Start(u.Task) < s.End(v.Task)+c.setup(j, i) {
				return fmt.Errorf("unary: tasks %d and %d run together", u.Task, v.Task)
			}
		}
	}
	return nil
}

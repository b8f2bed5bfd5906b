package sat

import (
	"fmt"
	"sort"
)

// Lit is a truth value of a model: a variable or the negation of one. The zero
// value stands for True wherever a condition is asked for.
type Lit int32

// The constant literals.
const (
	True  Lit = 1
	False Lit = -1
)

// Not returns the negation of l; the zero value counts as True.
func (l Lit) Not() Lit { return -l.norm() }

func (l Lit) norm() Lit {
	if l == 0 {
		return True
	}
	return l
}

// TaskID names a task of one model.
type TaskID int

// Rule names a group of constraints that Core can drop as one. The zero value
// is the group of what always holds.
type Rule int

// Task is a piece of work with a start to choose.
type Task struct {
	Name string
	// Starts are the allowed starts, ascending, at least one (Range helps).
	// The model keeps the slice.
	Starts []int
	// Duration is end - start in ticks, >= 0, when Ends is nil.
	Duration int
	// Ends gives the end for each of Starts, each >= its start. Nil means
	// start + Duration. Ends that never fall as the start grows are cheapest.
	Ends []int
	// Slack, if > 0, lets the end lie up to so many ticks later than Duration
	// or Ends say: a span, such as a place kept, tied to other tasks by lags or
	// the master of an Alternative.
	Slack int
	// Presence says whether the task is done at all; the zero value means
	// always. The start of an absent task means nothing.
	Presence Lit
	// Cost is what a start costs when the task is present, >= 0; nil is free.
	// It is asked once per start, at AddTask.
	Cost func(start int) int64
}

type task struct {
	Task
	base Lit     // literal of "start <= Starts[0]"; the next follow
	cost []int64 // per start, nil when free

	ends    []int // all ends that can be, when Slack > 0
	endBase Lit   // literal of "end <= ends[0]"; the next follow
}

// end is the end that goes with Starts[i], the earliest when there is slack.
func (t *task) end(i int) int {
	if t.Ends == nil {
		return t.Starts[i] + t.Duration
	}
	return t.Ends[i]
}

// Model is a window to solve. Build it with NewModel.
type Model struct {
	vars  int // variables handed out, numbered from 1 (1 is True)
	tasks []task
	bools []boolVar
	cons  []ruled
	rules []string
	costs []litCost
	err   error
}

type boolVar struct {
	name string
	lit  Lit
}

type ruled struct {
	rule Rule
	c    Constraint
}

type litCost struct {
	lit  Lit
	cost int64
}

// NewModel returns an empty model.
func NewModel() *Model { return &Model{vars: 1, rules: []string{""}} }

// Range lists the ticks from lo to hi, both included.
func Range(lo, hi int) []int {
	r := make([]int, 0, max(0, hi-lo+1))
	for t := lo; t <= hi; t++ {
		r = append(r, t)
	}
	return r
}

// AddTask adds a task and returns its name in the model. A mistake in t is
// kept and returned by Minimize.
func (m *Model) AddTask(t Task) TaskID {
	id := TaskID(len(m.tasks))
	t.Presence = t.Presence.norm()
	k := task{Task: t, base: Lit(m.vars + 1)}
	if e := badTask(&t); e != nil {
		m.fail("task %d %q: %v", id, t.Name, e)
		k.Starts, k.Ends = []int{0}, nil
	}
	m.vars += len(k.Starts) - 1
	if k.Slack > 0 {
		lo, hi := k.end(0), k.end(0)
		for i := range k.Starts {
			lo, hi = min(lo, k.end(i)), max(hi, k.end(i)+k.Slack)
		}
		k.ends, k.endBase = Range(lo, hi), Lit(m.vars+1)
		m.vars += len(k.ends) - 1
	}
	if t.Cost != nil && m.err == nil {
		k.cost = make([]int64, len(t.Starts))
		for i, s := range t.Starts {
			if k.cost[i] = t.Cost(s); k.cost[i] < 0 {
				m.fail("task %d %q: cost %d at start %d is below 0", id, t.Name, k.cost[i], s)
			}
		}
	}
	m.tasks = append(m.tasks, k)
	return id
}

func badTask(t *Task) error {
	if len(t.Starts) == 0 {
		return fmt.Errorf("no starts")
	}
	if t.Ends != nil && len(t.Ends) != len(t.Starts) {
		return fmt.Errorf("%d ends for %d starts", len(t.Ends), len(t.Starts))
	}
	if t.Duration < 0 || t.Slack < 0 {
		return fmt.Errorf("duration %d or slack %d is below 0", t.Duration, t.Slack)
	}
	for i, s := range t.Starts {
		if i > 0 && s <= t.Starts[i-1] {
			return fmt.Errorf("start %d follows start %d", s, t.Starts[i-1])
		}
		if t.Ends != nil && t.Ends[i] < s {
			return fmt.Errorf("end %d before start %d", t.Ends[i], s)
		}
	}
	return nil
}

// Bool adds a truth value to decide.
func (m *Model) Bool(name string) Lit {
	m.vars++
	l := Lit(m.vars)
	m.bools = append(m.bools, boolVar{name, l})
	return l
}

// NewRule adds a named group of constraints, for AddRule and Core.
func (m *Model) NewRule(name string) Rule {
	m.rules = append(m.rules, name)
	return Rule(len(m.rules) - 1)
}

// RuleName returns the name a rule was made with.
func (m *Model) RuleName(r Rule) string { return m.rules[r] }

// Add demands a constraint.
func (m *Model) Add(c Constraint) { m.AddRule(0, c) }

// AddRule demands a constraint as a part of rule r.
func (m *Model) AddRule(r Rule, c Constraint) {
	if r < 0 || int(r) >= len(m.rules) {
		m.fail("rule %d is not of this model", r)
		return
	}
	if e := c.valid(m); e != nil {
		m.fail("%T: %v", c, e)
		return
	}
	m.cons = append(m.cons, ruled{r, c})
}

// AddCost adds cost >= 0 to the objective when l is true.
func (m *Model) AddCost(l Lit, cost int64) {
	if cost < 0 {
		m.fail("cost %d of a literal is below 0", cost)
		return
	}
	if cost > 0 {
		m.costs = append(m.costs, litCost{l.norm(), cost})
	}
}

// StartLE returns the literal of "task t starts at tick or earlier", which is
// True or False outside the task's domain. The start of an absent task is
// whatever the solver likes: where the task is optional, use the literal only
// together with the task's presence.
func (m *Model) StartLE(t TaskID, tick int) Lit {
	k := &m.tasks[t]
	return k.startLE(sort.SearchInts(k.Starts, tick+1) - 1)
}

// startLE is the literal of "start <= Starts[i]".
func (k *task) startLE(i int) Lit {
	switch {
	case i < 0:
		return False
	case i >= len(k.Starts)-1:
		return True
	}
	return k.base + Lit(i)
}

// endLE is the literal of "end <= ends[i]" of a task with slack.
func (k *task) endLE(i int) Lit {
	switch {
	case i < 0:
		return False
	case i >= len(k.ends)-1:
		return True
	}
	return k.endBase + Lit(i)
}

// fail keeps the first mistake of the builder.
func (m *Model) fail(format string, args ...any) {
	if m.err == nil {
		m.err = fmt.Errorf("sat: "+format, args...)
	}
}

func (m *Model) knows(t TaskID) error {
	if t < 0 || int(t) >= len(m.tasks) {
		return fmt.Errorf("task %d is not of this model", t)
	}
	return nil
}

func (m *Model) knowsLits(ls ...Lit) error {
	for _, l := range ls {
		if l > Lit(m.vars) || -l > Lit(m.vars) {
			return fmt.Errorf("literal %d is not of this model", l)
		}
	}
	return nil
}

package sat

import (
	"math"
	"slices"
	"sort"
)

// encoder turns a model into clauses. Clauses are collected first, so that the
// solver can be sized, then moved over.
type encoder struct {
	m      *Model
	vars   int
	flat   []Lit // clauses, each ended by 0
	count  int
	lo, hi []int
	dist   [][]int // least start-to-start lags that always hold; nil when too many tasks
	starts []*ladder
	ends   []*ladder
	endOf  [][]int // ends that go with starts[t].vals
	runs   map[runKey]Lit
	pairs  map[[2]TaskID]bool
	sel    []Lit // by rule: true switches the rule on
	off    Lit   // negated selector of the rule being encoded, False for none
	clause []Lit // scratch
}

type runKey struct {
	t    TaskID
	tick int
	when Lit
}

// encode turns the whole model into clauses. With selectors, each rule but 0
// holds only while its selector is assumed.
func (m *Model) encode(selectors bool) *encoder {
	e := &encoder{m: m, vars: m.vars, runs: map[runKey]Lit{}, pairs: map[[2]TaskID]bool{}, off: False,
		sel: make([]Lit, len(m.rules)), starts: make([]*ladder, len(m.tasks)), ends: make([]*ladder, len(m.tasks)),
		endOf: make([][]int, len(m.tasks))}
	for r := range e.sel {
		e.sel[r] = True
		if selectors && r > 0 {
			e.sel[r] = e.fresh()
		}
	}
	e.flat, e.count = append(e.flat, True, 0), 1
	e.tighten()
	e.windows()
	for _, c := range m.cons {
		e.off = -e.sel[c.rule]
		c.c.encode(e)
	}
	e.off = False
	return e
}

func (e *encoder) fresh() Lit {
	e.vars++
	return Lit(e.vars)
}

// add adds a clause that is part of the rule being encoded.
func (e *encoder) add(lits ...Lit) {
	c := e.clause[:0]
	for _, l := range lits {
		switch l {
		case True:
			return
		case False:
			continue
		}
		c = append(c, l)
	}
	if e.off != False {
		c = append(c, e.off)
	}
	e.clause = c
	e.flat = append(append(e.flat, c...), 0)
	e.count++
}

// solver moves the clauses into a fresh solver.
func (e *encoder) solver() *solver {
	s := newSolver(e.vars, e.count)
	e.flush(s)
	return s
}

// flush moves clauses collected since the last flush into s.
func (e *encoder) flush(s *solver) {
	s.grow(e.vars)
	from := 0
	for i, l := range e.flat {
		if l == 0 {
			s.add(e.flat[from:i]...)
			from = i + 1
		}
	}
	e.flat, e.count = e.flat[:0], 0
}

const never = math.MinInt / 4 // no lag known

// tighten works out lo, hi (bounds of each start under the lags that always
// hold) and dist (their closure).
func (e *encoder) tighten() {
	n := len(e.m.tasks)
	e.lo, e.hi = make([]int, n), make([]int, n)
	for t := range e.m.tasks {
		k := &e.m.tasks[t]
		e.lo[t], e.hi[t] = k.Starts[0], k.Starts[len(k.Starts)-1]
	}
	var lags []Lag
	for _, c := range e.m.cons {
		if l, ok := c.c.(Lag); ok && c.rule == 0 && len(l.When) == 0 {
			lags = append(lags, l)
		}
	}
	for changed, round := true, 0; changed && round <= n+1; round++ {
		changed = false
		for _, l := range lags {
			changed = e.tightenLag(l) || changed
		}
	}
	e.close(lags)
}

// tightenLag moves the bounds of one lag's tasks. A source that may be absent
// moves nothing.
func (e *encoder) tightenLag(l Lag) bool {
	a, b := l.From.Task, l.To.Task
	changed := false
	if e.m.tasks[a].Presence == True {
		if at := e.first(b, func(i int) bool { return e.latest(l.To, i) >= e.least(l.From)+l.Min }); at > e.lo[b] {
			e.lo[b], changed = at, true
		}
	}
	if e.m.tasks[b].Presence == True {
		if at := e.last(a, func(i int) bool { return e.earliest(l.From, i)+l.Min <= e.most(l.To) }); at < e.hi[a] {
			e.hi[a], changed = at, true
		}
	}
	return changed
}

// earliest and latest bound a point when its task starts at Starts[i].
func (e *encoder) earliest(p Point, i int) int {
	k := &e.m.tasks[p.Task]
	if p.End {
		return k.end(i)
	}
	return k.Starts[i]
}

func (e *encoder) latest(p Point, i int) int {
	v := e.earliest(p, i)
	if p.End {
		v += e.m.tasks[p.Task].Slack
	}
	return v
}

// span gives the indices of the starts of t within its bounds, half-open.
func (e *encoder) span(t TaskID) (from, to int) {
	k := &e.m.tasks[t]
	return sort.SearchInts(k.Starts, e.lo[t]), sort.SearchInts(k.Starts, e.hi[t]+1)
}

// first is the first start of t within bounds that ok accepts, one past hi if none.
func (e *encoder) first(t TaskID, ok func(i int) bool) int {
	from, to := e.span(t)
	for i := from; i < to; i++ {
		if ok(i) {
			return e.m.tasks[t].Starts[i]
		}
	}
	return e.hi[t] + 1
}

func (e *encoder) last(t TaskID, ok func(i int) bool) int {
	from, to := e.span(t)
	for i := to - 1; i >= from; i-- {
		if ok(i) {
			return e.m.tasks[t].Starts[i]
		}
	}
	return e.lo[t] - 1
}

// least and most bound a point over the starts left to its task.
func (e *encoder) least(p Point) int {
	from, to := e.span(p.Task)
	v := math.MaxInt / 4
	for i := from; i < to; i++ {
		v = min(v, e.earliest(p, i))
	}
	return v
}

func (e *encoder) most(p Point) int {
	from, to := e.span(p.Task)
	v := math.MinInt / 4
	for i := from; i < to; i++ {
		v = max(v, e.latest(p, i))
	}
	return v
}

// maxClosure bounds the tasks for which the closure of lags is worked out.
const maxClosure = 250

// close fills dist by the closure of the lags between starts. A lag through a
// task that may be absent counts only as a first or last step.
func (e *encoder) close(lags []Lag) {
	n := len(e.m.tasks)
	if n > maxClosure {
		return
	}
	e.dist = make([][]int, n)
	for i := range e.dist {
		e.dist[i] = slices.Repeat([]int{never}, n)
		e.dist[i][i] = 0
	}
	for _, l := range lags { // start(to) >= start(from) + least length before - most length after + min
		w := l.Min
		if l.From.End {
			w += e.length(l.From.Task, false)
		}
		if l.To.End {
			w -= e.length(l.To.Task, true)
		}
		a, b := l.From.Task, l.To.Task
		e.dist[a][b] = max(e.dist[a][b], w)
	}
	for k := range n {
		if e.m.tasks[k].Presence != True {
			continue
		}
		for i := range n {
			if e.dist[i][k] == never {
				continue
			}
			for j := range n {
				if d := e.dist[k][j]; d != never && i != j {
					e.dist[i][j] = max(e.dist[i][j], e.dist[i][k]+d)
				}
			}
		}
	}
}

// length is the least or most of end - start over the starts within bounds.
func (e *encoder) length(t TaskID, most bool) int {
	k := &e.m.tasks[t]
	slack := 0
	if most {
		slack = k.Slack
	}
	if k.Ends == nil {
		return k.Duration + slack
	}
	from, to := e.span(t)
	v := -1
	for i := from; i < to; i++ {
		if d := k.Ends[i] - k.Starts[i]; v < 0 || most && d > v || !most && d < v {
			v = d
		}
	}
	return max(v, 0) + slack
}

// windows encodes the order of the start literals, the bounds, and that an
// absent task starts at its first tick.
func (e *encoder) windows() {
	for t := range e.m.tasks {
		k := &e.m.tasks[t]
		for i := 0; i+2 < len(k.Starts); i++ {
			e.add(-k.startLE(i), k.startLE(i+1))
		}
		from, to := e.span(TaskID(t))
		if from >= to {
			e.add(-k.Presence)
			from, to = 0, len(k.Starts)
			e.lo[t], e.hi[t] = k.Starts[0], k.Starts[len(k.Starts)-1]
		}
		e.add(-k.startLE(from - 1))
		e.add(k.startLE(to - 1))
		e.starts[t] = &ladder{vals: k.Starts[from:to]}
		for i := from; i < to; i++ {
			l := k.startLE(i)
			if i == to-1 {
				l = True
			}
			e.starts[t].lits = append(e.starts[t].lits, l)
		}
		if k.Presence != True {
			e.add(k.Presence, e.starts[t].lits[0])
		}
		if k.Slack > 0 {
			e.ends[t] = e.slackLadder(TaskID(t))
		}
	}
}

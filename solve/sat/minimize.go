package sat

import (
	"fmt"
	"time"
)

// Status says what is known after a run.
type Status int

// The states of a run.
const (
	Unknown    Status = iota // no solution found and none excluded
	Feasible                 // a solution, and a lower bound below its cost
	Optimal                  // no solution costs less than the one known
	Infeasible               // proven: there is no solution
)

func (s Status) String() string {
	return [...]string{"unknown", "feasible", "optimal", "infeasible"}[s]
}

// Strategy is the order in which bounds on the cost are tried.
type Strategy int

// The strategies.
const (
	Descend Strategy = iota // one below the best known: good when the first solution is good
	Bisect                  // halfway between the proven bound and the best known
	Ascend                  // the proven bound itself: for bounds alone
)

// Options steers Minimize. The zero value solves to the end.
type Options struct {
	// Solves is the most solver calls, 0 for no limit. A run that it ends is
	// reproducible.
	Solves int
	// Time is the outer safety in wall time, 0 for none. A run that it ends is
	// not reproducible.
	Time time.Duration
	// Below, if > 0, is the cost of a solution known elsewhere: only cheaper
	// ones are looked for.
	Below int64
	// Lower is a bound proven elsewhere: no solution costs less.
	Lower int64
	// Hint is a solution to start from. It is checked first; a wrong one is an
	// error.
	Hint *Solution
	// Strategy is the order of bounds.
	Strategy Strategy

	binary bool // tests: add costs up in binary whatever their number
}

// Result is what a run found.
type Result struct {
	// Status is Optimal also without Best when nothing is cheaper than
	// Options.Below.
	Status  Status
	Best    *Solution // nil when none was found
	Lower   int64     // proven: no solution costs less
	Solves  int       // solver calls
	Vars    int       // size of the encoding
	Clauses int
}

// run is one call of Minimize.
type run struct {
	m     *Model
	o     Options
	s     *solver
	e     *encoder
	r     *Result
	until time.Time
	err   error
}

// Minimize looks for the cheapest solution. The error tells of a mistake in
// the model, a wrong hint, or a solution that Check refuses (a bug).
func (m *Model) Minimize(o Options) (*Result, error) {
	if m.err != nil {
		return nil, m.err
	}
	if o.Hint != nil {
		if o.Hint.m != m {
			return nil, fmt.Errorf("sat: hint: a solution of another model")
		}
		if e := m.Check(o.Hint); e != nil {
			return nil, fmt.Errorf("sat: hint: %w", e)
		}
	}
	if o.Time <= 0 {
		o.Time = 24 * time.Hour
	}
	x := &run{m: m, o: o, r: &Result{Lower: max(o.Lower, 0)}, until: time.Now().Add(o.Time)}
	x.e = m.encode(false)
	base, groups := x.e.terms()
	x.r.Lower = max(x.r.Lower, base)
	x.s = x.e.solver()
	if x.start(len(groups) == 0) {
		x.optimize(base, groups)
	}
	x.r.Vars, x.r.Clauses = x.s.vars, x.s.clauses
	x.finish()
	return x.r, x.err
}

// upper is the cost that a new solution has to undercut, -1 when any will do.
func (x *run) upper() int64 {
	switch {
	case x.r.Best != nil && (x.o.Below <= 0 || x.r.Best.Cost < x.o.Below):
		return x.r.Best.Cost
	case x.o.Below > 0:
		return x.o.Below
	}
	return -1
}

// start looks for a first solution; false ends the run.
func (x *run) start(free bool) bool {
	if x.o.Hint != nil {
		x.r.Best = x.o.Hint
		return !free
	}
	if x.o.Below > 0 && x.r.Lower >= x.o.Below {
		return false
	}
	if x.o.Below > 0 && !free {
		return true
	}
	switch x.solve(nil) {
	case satisfiable:
		return x.err == nil && !free
	case unsatisfiable:
		x.r.Status = Infeasible
	}
	return false
}

// optimize moves the bounds towards each other.
func (x *run) optimize(base int64, groups []*steps) {
	limit := maxTotalizer
	if x.o.binary {
		limit = -1
	}
	obj := x.e.objective(base, groups, x.upper(), limit)
	x.e.flush(x.s)
	if x.r.Best != nil && x.r.Lower < x.upper() {
		x.solve(x.hint(x.r.Best)) // only to remember the literals of the best
	}
	way := x.o.Strategy
	for x.err == nil && x.r.Lower < x.upper() {
		target := x.upper() - 1
		switch way {
		case Bisect:
			target = x.r.Lower + (x.upper()-1-x.r.Lower)/2
		case Ascend:
			target = x.r.Lower
		}
		switch x.solve(obj.atMost(target)) {
		case unsatisfiable:
			x.r.Lower = min(obj.above(target), x.upper())
		case undecided:
			return
		}
	}
}

// hint lists the literals that fix a solution.
func (x *run) hint(s *Solution) []Lit {
	var a []Lit
	set := func(l Lit) {
		if l == True || l == False {
			return
		}
		if !s.True(l) {
			l = -l
		}
		a = append(a, l)
	}
	for t := range x.m.tasks {
		k := &x.m.tasks[t]
		if !s.True(k.Presence) {
			continue
		}
		for i := range k.Starts {
			set(k.startLE(i))
		}
		for i := range k.ends {
			set(k.endLE(i))
		}
	}
	for _, b := range x.m.bools {
		set(b.lit)
	}
	return a
}

// solve counts and makes one solver call and keeps a better solution.
func (x *run) solve(assume []Lit) answer {
	if x.o.Solves > 0 && x.r.Solves >= x.o.Solves {
		return undecided
	}
	x.r.Solves++
	a := x.s.solve(time.Until(x.until), assume)
	if a != satisfiable {
		return a
	}
	sol := &Solution{m: x.m, values: x.s.model[:x.m.vars+1]}
	sol.values[True] = true
	sol.Cost = x.m.cost(sol)
	if e := x.m.Check(sol); e != nil {
		x.err = fmt.Errorf("sat: the encoding let through a wrong solution: %w", e)
		return undecided
	}
	if x.r.Best == nil || sol.Cost < x.r.Best.Cost {
		x.r.Best = sol
	}
	return a
}

// finish names the state.
func (x *run) finish() {
	if x.r.Status == Infeasible {
		return
	}
	up := x.upper()
	switch {
	case up >= 0 && x.r.Lower >= up:
		x.r.Lower, x.r.Status = up, Optimal
	case x.r.Best != nil && len(x.e.m.costs) == 0 && !x.m.priced():
		x.r.Status = Optimal
	case x.r.Best != nil:
		x.r.Status = Feasible
	}
}

func (m *Model) priced() bool {
	for t := range m.tasks {
		if m.tasks[t].cost != nil {
			return true
		}
	}
	return false
}

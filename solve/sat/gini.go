package sat

import (
	"slices"
	"time"

	"github.com/irifrance/gini"
	"github.com/irifrance/gini/z"
)

// answer is what a solver call returns.
type answer int8

const (
	unsatisfiable answer = -1
	undecided     answer = 0
	satisfiable   answer = 1
)

// solver is the only user of gini. It owns the numbering of variables, copies
// models and cores out at once (gini loses both at the next clause), never
// solves again after a refutation without assumptions (gini may end the
// process then), and always sets a deadline above 0 (gini would leak the
// assumptions of a call without time into the next one). After a refutation
// under assumptions it adds a clause that always holds: gini would else go on
// from the conflict that it keeps and may take a refuted formula for a
// satisfiable one, which ends the process.
type solver struct {
	g       *gini.Gini
	vars    int
	clauses int
	dead    bool    // refuted without assumptions
	added   []bool  // by variable: gini knows it
	fixed   []int8  // by variable: set by a unit clause
	model   []bool  // of the last satisfiable answer, by variable
	core    []Lit   // of the last unsatisfiable answer: assumptions that clash
	buf     []Lit   // scratch
	why     []z.Lit // scratch
}

// newSolver sizes gini for the given number of variables and clauses; gini
// slows down when it has to grow.
func newSolver(vars, clauses int) *solver {
	s := &solver{g: gini.NewVc(vars+2, clauses+2)}
	s.grow(vars)
	return s
}

func (s *solver) grow(vars int) {
	s.vars = max(s.vars, vars)
	if n := s.vars + 1 - len(s.added); n > 0 {
		s.added = append(s.added, make([]bool, n)...)
		s.fixed = append(s.fixed, make([]int8, n)...)
	}
}

func toGini(l Lit) z.Lit { return z.Dimacs2Lit(int(l)) }

// add adds a clause. Repeated literals and clauses that always hold are dropped.
func (s *solver) add(lits ...Lit) {
	if s.dead {
		return
	}
	b := s.buf[:0]
	for _, l := range lits {
		v := max(l, -l)
		s.grow(int(v))
		f := s.fixed[v]
		switch {
		case f > 0 && l > 0 || f < 0 && l < 0 || slices.Contains(b, -l):
			return
		case f != 0 || slices.Contains(b, l):
			continue
		}
		b = append(b, l)
	}
	s.buf = b
	switch len(b) {
	case 0:
		s.dead = true
		return
	case 1:
		s.fixed[max(b[0], -b[0])] = int8(1)
		if b[0] < 0 {
			s.fixed[-b[0]] = -1
		}
	}
	s.clauses++
	for _, l := range b {
		s.added[max(l, -l)] = true
		s.g.Add(toGini(l))
	}
	s.g.Add(0)
}

// solve decides the clauses under assumptions. The model or the core is kept
// until the next call. Limit is wall time, the outer safety; at or below 0 the
// answer is undecided.
func (s *solver) solve(limit time.Duration, assume []Lit) answer {
	s.model, s.core = nil, nil
	if s.dead {
		return unsatisfiable
	}
	if limit <= 0 {
		return undecided
	}
	for _, l := range assume {
		if f := s.known(l); f < 0 {
			s.core = []Lit{l}
			return unsatisfiable
		}
	}
	for _, l := range assume {
		s.added[max(l, -l)] = true
		s.g.Assume(toGini(l))
	}
	switch s.g.Try(limit) {
	case 1:
		s.readModel()
		return satisfiable
	case -1:
		s.readCore(assume)
		return unsatisfiable
	}
	return undecided
}

// known is 1 or -1 for a literal set by a unit clause, else 0.
func (s *solver) known(l Lit) int8 {
	s.grow(int(max(l, -l)))
	if l < 0 {
		return -s.fixed[-l]
	}
	return s.fixed[l]
}

func (s *solver) readModel() {
	s.model = make([]bool, s.vars+1)
	for v := 1; v <= s.vars; v++ {
		if s.added[v] { // gini panics on a variable that it never saw
			s.model[v] = s.g.Value(toGini(Lit(v)))
		}
	}
}

func (s *solver) readCore(assume []Lit) {
	s.why = s.g.Why(s.why[:0])
	for _, w := range s.why {
		if l := Lit(w.Dimacs()); slices.Contains(assume, l) && !slices.Contains(s.core, l) {
			s.core = append(s.core, l)
		}
	}
	if len(s.core) == 0 {
		s.dead = true
		return
	}
	l := toGini(s.core[0])
	s.g.Add(l)
	s.g.Add(l.Not())
	s.g.Add(0)
}

package sat

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

func randomClause(r *rand.Rand, vars int) []Lit {
	c := make([]Lit, 1+r.IntN(4))
	if len(c) == 1 && r.IntN(4) > 0 {
		c = make([]Lit, 3)
	}
	for i := range c {
		c[i] = Lit(1 + r.IntN(vars))
		if r.IntN(2) == 0 {
			c[i] = -c[i]
		}
	}
	return c
}

// truth decides clauses and units by trying every assignment.
func truth(vars int, clauses [][]Lit, units []Lit) answer {
next:
	for a := range 1 << vars {
		holds := func(l Lit) bool { return (l > 0) == (a>>(max(l, -l)-1)&1 == 1) }
		for _, u := range units {
			if !holds(u) {
				continue next
			}
		}
		for _, c := range clauses {
			if !slices.ContainsFunc(c, holds) {
				continue next
			}
		}
		return satisfiable
	}
	return unsatisfiable
}

func fresh(vars int, clauses [][]Lit, units []Lit) answer {
	s := newSolver(vars, len(clauses))
	for _, c := range clauses {
		s.add(c...)
	}
	for _, u := range units {
		s.add(u)
	}
	return s.solve(time.Minute, nil)
}

// TestSolverAgainstFreshOnes adds clauses and solves under assumptions in
// turns; each answer is held against a fresh solver without assumptions, small
// ones against the truth table, each model against the clauses, each core
// against a fresh solver.
func TestSolverAgainstFreshOnes(t *testing.T) {
	count := map[answer]int{}
	for seed := range seeds(300) {
		r := rand.New(rand.NewPCG(seed, 6))
		vars := 4 + r.IntN(30)
		if seed%2 == 0 {
			vars = 3 + r.IntN(7)
		}
		s := newSolver(vars*r.IntN(2), 0) // some have to grow
		var clauses [][]Lit
		for range 25 {
			for range r.IntN(1 + vars/2) {
				c := randomClause(r, vars)
				clauses = append(clauses, c)
				s.add(c...)
			}
			var assume []Lit
			for range r.IntN(5) {
				l := Lit(1 + r.IntN(vars))
				assume = append(assume, []Lit{l, -l}[r.IntN(2)])
			}
			got := s.solve(time.Minute, assume)
			count[got]++
			want := fresh(vars, clauses, assume)
			if vars < 10 {
				want = truth(vars, clauses, assume)
			}
			if got != want {
				t.Fatalf("seed %d: answer %d, want %d, for %v under %v", seed, got, want, clauses, assume)
			}
			checkAnswer(t, seed, s, vars, clauses, assume)
			if r.IntN(4) == 0 && s.solve(0, assume) == satisfiable {
				t.Fatalf("seed %d: an answer in no time", seed)
			}
		}
	}
	if count[satisfiable] < 1000 || count[unsatisfiable] < 1000 {
		t.Errorf("the answers are lopsided: %v", count)
	}
}

func checkAnswer(t *testing.T, seed uint64, s *solver, vars int, clauses [][]Lit, assume []Lit) {
	t.Helper()
	if s.model != nil {
		holds := func(l Lit) bool { return s.model[max(l, -l)] == (l > 0) }
		for _, c := range append(clauses[:len(clauses):len(clauses)], units(assume)...) {
			if !slices.ContainsFunc(c, holds) {
				t.Fatalf("seed %d: model breaks %v", seed, c)
			}
		}
		return
	}
	for _, l := range s.core {
		if !slices.Contains(assume, l) {
			t.Fatalf("seed %d: core %v is not of %v", seed, s.core, assume)
		}
	}
	if fresh(vars, clauses, s.core) != unsatisfiable {
		t.Fatalf("seed %d: core %v does not clash", seed, s.core)
	}
	if len(s.core) == 0 && !s.dead {
		t.Fatalf("seed %d: no core, yet not refuted", seed)
	}
}

func units(ls []Lit) [][]Lit {
	var r [][]Lit
	for _, l := range ls {
		r = append(r, []Lit{l})
	}
	return r
}

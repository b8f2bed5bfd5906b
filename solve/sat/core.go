package sat

import (
	"fmt"
	"slices"
	"time"
)

// CoreResult answers why a model has no solution.
type CoreResult struct {
	// Status is Infeasible with Rules set, Feasible with Solution set, or
	// Unknown when a limit ended the run before anything was proven.
	Status Status
	// Rules clash together with what always holds, in the order of the model.
	// Empty when what always holds is infeasible by itself.
	Rules []Rule
	// Minimal says that the model without any one of Rules was shown to have a
	// solution; false only when a limit was reached.
	Minimal  bool
	Solution *Solution // of the whole model; its cost is not the least
	Solves   int
}

// explain is one call of Core.
type explain struct {
	m      *Model
	o      Options
	until  time.Time
	solves int
}

// Core finds a minimal set of rules that cannot hold together. Costs play no
// part. The set that the solver names is shrunk by leaving out one rule after
// the other, the last ones of the model first, so that rules which the user
// cannot change should be made first. The result is checked again by fresh
// solvers: the set has no solution, and loses that with any one rule left out.
// Only Solves and Time of o are read.
func (m *Model) Core(o Options) (*CoreResult, error) {
	if m.err != nil {
		return nil, m.err
	}
	if o.Time <= 0 {
		o.Time = 24 * time.Hour
	}
	x := &explain{m: m, o: o, until: time.Now().Add(o.Time)}
	e := m.encode(true)
	s := e.solver()
	all := make([]Rule, 0, len(m.rules))
	for r := 1; r < len(m.rules); r++ {
		all = append(all, Rule(r))
	}
	res := &CoreResult{}
	switch x.call(s, e, all) {
	case satisfiable:
		res.Status, res.Solution = Feasible, x.solution(s)
		res.Solves = x.solves
		if err := m.Check(res.Solution); err != nil {
			return nil, fmt.Errorf("sat: the encoding let through a wrong solution: %w", err)
		}
		return res, nil
	case undecided:
		res.Solves = x.solves
		return res, nil
	}
	res.Status = Infeasible
	res.Rules, res.Minimal = x.shrink(s, e, core(s, e, all))
	err := x.recheck(res)
	res.Solves = x.solves
	return res, err
}

// call solves with the given rules switched on.
func (x *explain) call(s *solver, e *encoder, rules []Rule) answer {
	if x.o.Solves > 0 && x.solves >= x.o.Solves {
		return undecided
	}
	x.solves++
	var a []Lit
	for _, r := range rules {
		a = append(a, e.sel[r])
	}
	return s.solve(time.Until(x.until), a)
}

// core maps the last core of s back to rules.
func core(s *solver, e *encoder, of []Rule) []Rule {
	var c []Rule
	for _, r := range of {
		if slices.Contains(s.core, e.sel[r]) {
			c = append(c, r)
		}
	}
	return c
}

// shrink leaves out rules until none can go.
func (x *explain) shrink(s *solver, e *encoder, rules []Rule) ([]Rule, bool) {
	minimal := true
	for i := len(rules) - 1; i >= 0 && i < len(rules); {
		rest := slices.Delete(slices.Clone(rules), i, i+1)
		switch x.call(s, e, rest) {
		case unsatisfiable: // those from i on are known to be needed, so they stay
			rules = core(s, e, rest)
			i = min(i, len(rules)) - 1
			continue
		case undecided:
			minimal = false
		}
		i--
	}
	return rules, minimal
}

// recheck asks fresh solvers whether the set clashes and whether each member
// is needed.
func (x *explain) recheck(res *CoreResult) error {
	switch x.fresh(res.Rules) {
	case satisfiable:
		return fmt.Errorf("sat: rules %v were said to clash, a fresh solver finds a solution", res.Rules)
	case undecided:
		res.Minimal = false
		return nil
	}
	for i := range res.Rules {
		if !res.Minimal {
			return nil
		}
		switch x.fresh(slices.Delete(slices.Clone(res.Rules), i, i+1)) {
		case unsatisfiable:
			return fmt.Errorf("sat: rule %d of %v was said to be needed, a fresh solver refutes the others", res.Rules[i], res.Rules)
		case undecided:
			res.Minimal = false
		}
	}
	return nil
}

// fresh solves the model with the given rules alone, encoded anew without
// selectors.
func (x *explain) fresh(rules []Rule) answer {
	if x.o.Solves > 0 && x.solves >= x.o.Solves {
		return undecided
	}
	x.solves++
	part := *x.m
	part.cons = nil
	for _, c := range x.m.cons {
		if c.rule == 0 || slices.Contains(rules, c.rule) {
			part.cons = append(part.cons, ruled{0, c.c})
		}
	}
	return part.encode(false).solver().solve(time.Until(x.until), nil)
}

func (x *explain) solution(s *solver) *Solution {
	sol := &Solution{m: x.m, values: s.model[:x.m.vars+1]}
	sol.values[True] = true
	sol.Cost = x.m.cost(sol)
	return sol
}

package why

import (
	"fmt"
	"slices"

	"pourweek/solve/sat"
)

// rules are the facts of a question as named rules of a kernel model. Each fact
// has a literal that its rule alone makes true, so that a demand that needs
// several facts at once can be tied to all of them.
type rules struct {
	m     *sat.Model
	facts []Fact
	lits  map[Fact]sat.Lit
	gates map[string]sat.Lit
	of    map[sat.Rule]Fact
}

// newRules makes the literals of facts, which nothing makes true yet.
func newRules(m *sat.Model, facts []Fact) *rules {
	r := &rules{m: m, facts: facts, lits: map[Fact]sat.Lit{}, gates: map[string]sat.Lit{}, of: map[sat.Rule]Fact{}}
	for _, f := range facts {
		r.lits[f] = m.Bool(f.Sentence())
	}
	return r
}

// name makes a rule of each fact. The kernel leaves out its last rules first, so
// that they come in backward order: facts begin with those that are to go first.
func (r *rules) name() {
	for _, f := range slices.Backward(r.facts) {
		rule := r.m.NewRule(f.Sentence())
		r.of[rule] = f
		r.m.AddRule(rule, sat.Clause{r.lits[f]})
	}
}

// holds is a literal that is true while all of the facts hold. What is no fact
// of the question cannot be lifted and always holds.
func (r *rules) holds(facts ...Fact) sat.Lit {
	var need []sat.Lit
	for _, f := range facts {
		if l, ok := r.lits[f]; ok {
			need = append(need, l)
		}
	}
	slices.Sort(need)
	need = slices.Compact(need)
	switch len(need) {
	case 0:
		return sat.True
	case 1:
		return need[0]
	}
	key := fmt.Sprint(need)
	if l, ok := r.gates[key]; ok {
		return l
	}
	all := r.m.Bool("all of " + key)
	c := sat.Clause{all}
	for _, l := range need {
		c = append(c, l.Not())
	}
	r.m.Add(c)
	r.gates[key] = all
	return all
}

// named maps rules of the model back to facts, in the order of the question.
func (r *rules) named(core []sat.Rule) []Fact {
	facts := []Fact{}
	for _, f := range r.facts {
		if slices.ContainsFunc(core, func(c sat.Rule) bool { return r.of[c] == f }) {
			facts = append(facts, f)
		}
	}
	return facts
}

// atMost demands that the weights of the true literals are at most most, while
// gate holds.
func (r *rules) atMost(lits []sat.Lit, weights []int, most int, gate sat.Lit) {
	total := 0
	for _, w := range weights {
		total += w
	}
	switch {
	case total <= most:
		return
	case most < 0:
		r.m.Add(sat.Clause{gate.Not()})
		return
	case gate != sat.True: // the gate takes all but most
		lits, weights = append(slices.Clone(lits), gate), append(slices.Clone(weights), total-most)
		most = total
	}
	r.m.Add(sat.AtMost{Lits: lits, Weights: weights, Max: most})
}

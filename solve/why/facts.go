// Package why explains a plan: what a pour waits for, which facts together
// make it late, and what single change would mend it.
package why

import (
	"context"
	"slices"

	"pourweek/model"
	"pourweek/solve"
)

// Fact is one thing about the shop that can stand in the way of a pour.
type Fact struct {
	Kind FactKind
	Name string // the skill, mold, rack or station; "" for the others
}

// FactKind says what a fact is about.
type FactKind string

// The kinds of fact, each with what it means to lift it.
const (
	Crew   FactKind = "crew"    // so many people have the skill; lifted: as many as could ever be asked
	Down   FactKind = "down"    // the mold is down for a time; lifted: it is not
	Molds  FactKind = "molds"   // so many molds cast the piece; lifted: one of its own
	Places FactKind = "rack"    // the rack has so many places; lifted: no end of places
	Rigs   FactKind = "station" // the station has so many places; lifted: no end of places
	Mixers FactKind = "mixers"  // so many mixers; lifted: one of its own, as large as any
	Others FactKind = "others"  // no other piece may become late, or later than planned if it is; lifted: the others are left out
	Hours  FactKind = "hours"   // the hours people work; lifted: everyone works whenever the shop is open
)

// Sentence says the fact in words, without its period.
func (f Fact) Sentence() string {
	switch f.Kind {
	case Crew:
		return "the people with the skill " + f.Name
	case Down:
		return "mold " + f.Name + " is down"
	case Molds:
		return "the molds that cast it"
	case Places:
		return "the places of rack " + f.Name
	case Rigs:
		return "the places of " + f.Name
	case Mixers:
		return "the mixers"
	case Others:
		return "no other piece may become late, or later than it is"
	case Hours:
		return "the hours people work"
	}
	return string(f.Kind)
}

// Answer is what is known about a question of yes or no.
type Answer int

// The answers.
const (
	NotProven Answer = iota // the work ran out
	No                      // proven impossible
	Yes                     // a plan shows it
)

// Cause is a set of facts that together make "ready by its due time"
// impossible.
type Cause struct {
	Facts []Fact
	// Impossible is No when it is proven that the pour cannot be on time while
	// the facts hold, with the rest of the week no worse than planned.
	Impossible Answer
	// Least is true when for each fact a plan shows that without it, and with
	// the others, the pour can be on time.
	Least bool
	// Alone is true when the pour is late even if every fact is lifted: its own
	// steps, rests and cure take too long.
	Alone bool
	// Proof says what proved No; "" for another answer.
	Proof Proof
}

// Proof says what proved that a pour cannot be on time.
type Proof string

// The sources of a proof.
const (
	Kernel Proof = "kernel core"  // the facts are a least clash of rules in the exact kernel
	Search Proof = "search bound" // a bound of the solver
	Steps  Proof = "own steps"    // its steps, rests and cure added up
)

// Asker puts questions about one pour, or a shipment, to the solver.
type Asker struct {
	Problem *model.Problem
	Plan    *model.Plan
	Pour    string
	With    []string   // pours that are asked about with it: all are to be ready by Due
	Due     model.Tick // the time to be met
	Solve   solve.Solver
	Seed    uint64
	Work    int64 // counted work for each question
}

// Cause finds a least set of facts that makes the pour late. Where the solver
// finds no plan that has it on time with all facts, the exact kernel is asked for
// a core of the facts as named rules (core), which needs no word of the solver.
// Where it has none, as its model leaves out much, all facts are taken if the
// solver proves that they clash. Then one fact after the other is dropped, and
// those are kept without which a plan is found that has the pour on time
// (deletion filter; each question is put to a fresh run of the solver). Cost: the
// kernel's models, and a run of the solver for each fact of the core and one
// more, or for each fact and two more.
func (a *Asker) Cause(ctx context.Context) (*Cause, error) {
	all := a.facts()
	ans, err := a.Possible(ctx, all)
	if err != nil || ans == Yes {
		return &Cause{Facts: all, Impossible: ans, Least: true}, err
	}
	core, proven, err := a.core(ctx)
	switch {
	case err != nil:
		return nil, err
	case proven:
		return a.filter(ctx, core, Kernel)
	case ans == NotProven:
		return &Cause{Facts: all, Impossible: ans, Least: true}, nil
	}
	if ans, err = a.Possible(ctx, nil); err != nil {
		return nil, err
	}
	if ans == No {
		return a.filter(ctx, nil, Search)
	}
	return a.filter(ctx, all, Search)
}

// filter drops from facts that are proven to make the pour late those that can
// go. What is dropped by the solver's word is no longer the kernel's proof.
func (a *Asker) filter(ctx context.Context, facts []Fact, proof Proof) (*Cause, error) {
	c := &Cause{Impossible: No, Least: true, Proof: proof}
	kept := slices.Clone(facts)
	for _, f := range facts {
		rest := slices.DeleteFunc(slices.Clone(kept), func(x Fact) bool { return x == f })
		ans, err := a.Possible(ctx, rest)
		if err != nil {
			return nil, err
		}
		switch ans {
		case No:
			kept, c.Proof = rest, Search
		case NotProven:
			c.Least = false
		}
	}
	c.Facts, c.Alone = kept, len(kept) == 0
	return c, nil
}

// facts lists what can stand in the way, what a lead can change least first, so
// that the deletion filter keeps what can be changed last.
func (a *Asker) facts() []Fact {
	p := a.Problem
	skills := map[string]bool{}
	stations := map[string]bool{}
	need := func(c model.Crew, st model.OptID) {
		for s := range c {
			skills[s] = true
		}
		if st != "" {
			stations[string(st)] = true
		}
	}
	targets := a.targets()
	if len(targets) == 0 {
		return nil
	}
	pour := []Fact{} // of pours that are still to be poured
	var racks []Fact
	add := func(list []Fact, more ...Fact) []Fact {
		for _, f := range more {
			if !slices.Contains(list, f) {
				list = append(list, f)
			}
		}
		return list
	}
	for _, x := range targets {
		need(x.Prep.Crew, x.Prep.Station)
		for _, y := range x.Layers {
			need(y.Crew, y.Station)
		}
		need(x.Cover.Crew, x.Cover.Station)
		need(x.Demold.Crew, x.Demold.Station)
		for _, y := range x.Finish {
			need(y.Crew, y.Station)
		}
		for _, s := range x.Spans {
			stations[s.Station] = true
		}
		for _, id := range x.Racks {
			racks = add(racks, Fact{Places, id})
		}
		if x.Stage != model.New {
			continue
		}
		for _, d := range x.Draws {
			for _, m := range p.Mixes {
				if m.ID == d.Mix {
					need(m.Crew, "")
				}
			}
		}
		pour = add(pour, Fact{Mixers, ""})
		pour = add(pour, a.down(x)...)
	}
	facts := append([]Fact{{Others, ""}, {Hours, ""}}, pour...)
	if len(pour) > 0 {
		facts = append(facts, Fact{Molds, ""})
	}
	for _, s := range sorted(stations) {
		facts = append(facts, Fact{Rigs, s})
	}
	facts = append(facts, racks...)
	for _, s := range sorted(skills) {
		facts = append(facts, Fact{Crew, s})
	}
	return facts
}

// Asked lists the pours that are asked about, Pour first.
func (a *Asker) Asked() []string { return append([]string{a.Pour}, a.With...) }

// asks reports whether a pour is asked about.
func (a *Asker) asks(id string) bool { return id == a.Pour || slices.Contains(a.With, id) }

// targets are the pours that are asked about, in the order of the week.
func (a *Asker) targets() []*model.Pour {
	var list []*model.Pour
	for i := range a.Problem.Pours {
		if x := &a.Problem.Pours[i]; a.asks(x.ID) {
			list = append(list, x)
		}
	}
	return list
}

// down lists the molds of a new pour that are down after now, before the pour
// could be late.
func (a *Asker) down(x *model.Pour) []Fact {
	var facts []Fact
	for _, c := range x.Molds {
		for _, m := range a.Problem.Molds {
			if m.ID == c.Mold && slices.ContainsFunc(m.Down, func(iv model.Interval) bool { return iv[1] > a.Problem.Now && iv[0] < a.Due }) {
				facts = append(facts, Fact{Down, m.ID})
			}
		}
	}
	return facts
}

func sorted(m map[string]bool) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// Possible answers whether the pour can be ready by its due time while the
// facts hold and all others are lifted. The question is a week of its own:
// each tick of the pour after its due time costs 1, each tick of another pour
// after what was planned for it costs 1, and nothing else costs anything; a
// plan of cost 0 says yes, a bound above 0 says no.
func (a *Asker) Possible(ctx context.Context, facts []Fact) (Answer, error) {
	q := a.question(facts)
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	r, err := a.Solve(ctx, q, solve.Options{Seed: a.Seed, Work: a.Work, Progress: func(p solve.Progress) {
		if p.Cost == 0 || p.Bound > 0 {
			stop()
		}
	}})
	switch {
	case err != nil:
		return NotProven, err
	case r.Plan != nil && r.Plan.Cost == 0:
		return Yes, nil
	case r.Bound > 0 || r.Status == solve.Infeasible:
		return No, nil
	}
	return NotProven, nil
}

package why

import (
	"fmt"
	"math/bits"

	"pourweek/solve/inst"
	"pourweek/solve/sat"
)

// actor is a pour or a batch as it asks for people: for one of its jobs at a
// time.
type actor struct {
	on   sat.Lit
	jobs []job
}

// job is work of people: one way of a step or a part of a batch.
type job struct {
	v    variant
	crew []inst.Head
}

// hire notes the work of people of a step and keeps it to the starts at which
// enough people are there from its start to its end (the same hands stay).
func (k *kernel) hire(who *actor, v *variant, crew []inst.Head) {
	if len(crew) > 0 {
		k.hands(v, crew)
		who.jobs = append(who.jobs, job{*v, crew})
	}
}

// hands forbids the starts for which, for some set of the skills asked, fewer
// people are there all along than are asked.
func (k *kernel) hands(v *variant, crew []inst.Head) {
	var asked uint64
	for _, h := range crew {
		asked |= 1 << h.Skill
	}
	for set := asked; set != 0; set = (set - 1) & asked {
		need := heads(crew, set)
		if k.have(set) < need {
			k.m.Add(sat.Clause{k.crewHolds(set).Not(), v.on.Not()})
			continue
		}
		gate := k.rules.holds(append(k.crewFacts(set), Fact{Hours, ""})...)
		from := -1
		for i, s := range v.starts {
			lacks := s < faraway && k.present(set, int32(s), int32(v.ends[i]), v.calm) < need
			if lacks && from < 0 {
				from = i
			}
			if !lacks && from >= 0 {
				k.forbid(v, from, i-1, gate)
				from = -1
			}
		}
		if from >= 0 {
			k.forbid(v, from, len(v.starts)-1, gate)
		}
	}
}

// forbid keeps the start out of starts[from] .. starts[to] while gate holds.
func (k *kernel) forbid(v *variant, from, to int, gate sat.Lit) {
	k.m.Add(sat.Clause{gate.Not(), v.on.Not(), k.m.StartLE(v.task, v.starts[from]-1), k.m.StartLE(v.task, v.starts[to]).Not()})
}

func heads(crew []inst.Head, set uint64) int {
	n := 0
	for _, h := range crew {
		if set>>h.Skill&1 == 1 {
			n += int(h.N)
		}
	}
	return n
}

// have is the number of people with a skill of the set.
func (k *kernel) have(set uint64) int {
	n := 0
	for i := range k.in.People {
		if k.in.People[i].Mask&set != 0 {
			n++
		}
	}
	return n
}

// present is the number of people with a skill of the set who are there in every
// tick that a task takes.
func (k *kernel) present(set uint64, s, e int32, calm bool) int {
	n := 0
	for i := range k.in.People {
		missed := k.missed[i]
		if calm {
			missed = k.missedRegular[i]
		}
		if k.in.People[i].Mask&set != 0 && missed[e] == missed[s] {
			n++
		}
	}
	return n
}

// countMissed sums up, by person, the open and the regular ticks in which they
// are not there.
func (k *kernel) countMissed() {
	for i := range k.in.People {
		open, regular := make([]int32, k.in.H+1), make([]int32, k.in.H+1)
		for t := range k.in.H {
			open[t+1], regular[t+1] = open[t], regular[t]
			if k.in.Open[t] && !k.in.People[i].On[t] {
				open[t+1]++
				if !k.in.Overtime[t] {
					regular[t+1]++
				}
			}
		}
		k.missed, k.missedRegular = append(k.missed, open), append(k.missedRegular, regular)
	}
}

func (k *kernel) crewFacts(set uint64) []Fact {
	var fs []Fact
	for s, name := range k.in.Skills {
		if set>>s&1 == 1 {
			fs = append(fs, Fact{Crew, name})
		}
	}
	return fs
}

// crewHolds is a literal that is true while no skill of the set is plentiful.
func (k *kernel) crewHolds(set uint64) sat.Lit { return k.rules.holds(k.crewFacts(set)...) }

// maxSkills is the number of asked skills up to which every set of them is
// counted; above, single skills, pairs and all.
const maxSkills = 5

// crews limits the heads at work: at every open tick and for each set of skills,
// at most as many as people are there who have one of them. That is necessary,
// and not sufficient.
func (k *kernel) crews() {
	var asked uint64
	for _, w := range k.actors {
		for _, j := range w.jobs {
			for _, h := range j.crew {
				asked |= 1 << h.Skill
			}
		}
	}
	shared := map[string]sat.Lit{}
	for _, set := range skillSets(asked) {
		if bits.OnesCount64(set) == 1 || k.closed(asked, set) && k.joined(set) {
			k.countCrew(set)
			k.crew(set, shared)
		}
	}
}

// skillSets lists the sets of asked skills to look at.
func skillSets(asked uint64) []uint64 {
	var sets []uint64
	if bits.OnesCount64(asked) <= maxSkills {
		for set := asked; set != 0; set = (set - 1) & asked {
			sets = append(sets, set)
		}
		return sets
	}
	for a := asked; a != 0; a &= a - 1 {
		one := a & -a
		sets = append(sets, one)
		for b := a &^ one; b != 0; b &= b - 1 {
			sets = append(sets, one|b&-b)
		}
	}
	return append(sets, asked)
}

// closed reports whether each asked skill outside of the set is one that somebody
// has who has none of the set: with any other it would say more.
func (k *kernel) closed(asked, set uint64) bool {
	outside := uint64(0)
	for i := range k.in.People {
		if m := k.in.People[i].Mask; m&set == 0 {
			outside |= m
		}
	}
	return asked&^set&^outside == 0
}

// joined reports whether the people of a set cannot be parted by its skills: the
// parts would say as much.
func (k *kernel) joined(set uint64) bool {
	in := set & -set
	for grown := true; grown; {
		grown = false
		for i := range k.in.People {
			if m := k.in.People[i].Mask & set; m&in != 0 && m&^in != 0 {
				in |= m
				grown = true
			}
		}
	}
	return in == set
}

// crew limits the heads of one set of skills: by the people at all, and by those
// who are there.
func (k *kernel) crew(set uint64, shared map[string]sat.Lit) {
	most := k.have(set)
	gate := k.crewHolds(set)
	hours := k.rules.holds(append(k.crewFacts(set), Fact{Hours, ""})...)
	for t := max(k.in.Now, 0); t < k.in.H && int(t) < k.by && !k.tooBig(); t++ {
		if !k.in.Open[t] {
			continue
		}
		fixed, here := k.fixedHeads(set, t), k.here(set, t)
		total := 0
		for i := range k.actors {
			total += k.ask(&k.actors[i], set, t)
		}
		if total <= here-fixed {
			continue
		}
		lits, weights := k.atWork(set, t, shared)
		k.rules.atMost(lits, weights, max(most-fixed, 0), gate)
		if here < most {
			k.rules.atMost(lits, weights, max(here-fixed, 0), hours)
		}
	}
}

// fixedHeads is what fixed work takes of a set of skills in an open tick.
func (k *kernel) fixedHeads(set uint64, t int32) int {
	n := 0
	for i := range k.in.Fixed {
		if f := &k.in.Fixed[i]; f.Start <= t && t < f.End {
			n += heads(f.Crew, set)
		}
	}
	return n
}

// here is the number of people with a skill of the set who are there at t.
func (k *kernel) here(set uint64, t int32) int {
	n := 0
	for i := range k.in.People {
		if k.in.People[i].Mask&set != 0 && k.in.People[i].On[t] {
			n++
		}
	}
	return n
}

// ask is the most heads of the set that an actor may have at work at t.
func (k *kernel) ask(w *actor, set uint64, t int32) int {
	most := 0
	for i := range w.jobs {
		if n := heads(w.jobs[i].crew, set); n > most && len(k.works(&w.jobs[i], t)) > 0 {
			most = n
		}
	}
	return most
}

// works lists the reasons for which a job may be at work at t.
func (k *kernel) works(j *job, t int32) []reason {
	if j.v.calm && k.in.Overtime[t] {
		return nil
	}
	at := []variant{j.v}
	return k.reasons(&holder{from: point{vs: at}, to: point{vs: at, end: true}}, int(t))
}

// atWork lists literals and weights that add up to the heads of the set at work
// at t: by actor, one for at least so many heads and the next for more.
func (k *kernel) atWork(set uint64, t int32, shared map[string]sat.Lit) (lits []sat.Lit, weights []int) {
	for i := range k.actors {
		w := &k.actors[i]
		for from, most := 0, k.ask(w, set, t); from < most; {
			next := most // the least number of heads above from
			for _, j := range w.jobs {
				if n := heads(j.crew, set); n > from {
					next = min(next, n)
				}
			}
			lits = append(lits, k.busy(i, set, next, t, shared))
			weights = append(weights, next-from)
			from = next
		}
	}
	return lits, weights
}

// busy is a literal that is true if an actor has at least so many heads of the
// set at work at t. Sets that ask for the same jobs share it.
func (k *kernel) busy(actor int, set uint64, least int, t int32, shared map[string]sat.Lit) sat.Lit {
	w := &k.actors[actor]
	var rs []reason
	key := fmt.Sprint(actor, " ", t)
	for i := range w.jobs {
		if heads(w.jobs[i].crew, set) < least {
			continue
		}
		if why := k.works(&w.jobs[i], t); len(why) > 0 {
			rs = append(rs, why...)
			key += fmt.Sprint(" ", i)
		}
	}
	l, ok := shared[key]
	if !ok {
		l = k.held(&holder{on: w.on, off: sat.False}, rs)
		shared[key] = l
	}
	return l
}

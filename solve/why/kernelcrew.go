package why

import (
	"math/bits"

	"pourweek/solve/inst"
	"pourweek/solve/sat"
)

// job is work of people: one way of a step or a part of a batch.
type job struct {
	v    variant // its starts and ends in the kernel
	crew []inst.Head
}

// hire notes the work of people of a step and keeps it to the starts at which
// enough people are there from its start to its end (the same hands stay).
func (k *kernel) hire(v *variant, crew []inst.Head) {
	if len(crew) == 0 {
		return
	}
	k.hands(v, crew)
	j := job{*v, crew}
	if v.calm { // its people may leave in overtime: only what is before counts
		j.v.ends = nil
		for _, s := range v.starts {
			e := int32(s)
			for e < k.in.H && !k.in.Overtime[e] {
				e++
			}
			j.v.ends = append(j.v.ends, int(e))
		}
		j.v.task = k.m.AddTask(sat.Task{Name: "before overtime", Starts: v.starts, Ends: j.v.ends, Presence: v.on})
		k.m.Add(sat.Lag{From: sat.Start(v.task), To: sat.Start(j.v.task)})
		k.m.Add(sat.Lag{From: sat.Start(j.v.task), To: sat.Start(v.task)})
		k.size += len(v.starts)
	}
	k.jobs = append(k.jobs, j)
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

// crews limits the heads at work: at every tick and for each set of skills, at
// most as many as people are there who have one of them. That is necessary, and
// not sufficient.
func (k *kernel) crews() {
	var asked uint64
	for _, j := range k.jobs {
		for _, h := range j.crew {
			asked |= 1 << h.Skill
		}
	}
	for set := asked; set != 0; set = (set - 1) & asked {
		n := bits.OnesCount64(set)
		if (n <= 2 || set == asked || bits.OnesCount64(asked) <= maxSkills) && k.joined(set) {
			k.crew(set)
		}
	}
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

func (k *kernel) crew(set uint64) {
	c := sat.Cumulative{Capacity: k.have(set)}
	gate := k.crewHolds(set)
	for _, j := range k.jobs {
		if n := heads(j.crew, set); n > 0 {
			c.Uses = append(c.Uses, sat.Use{Task: j.v.task, Demand: n, When: gate})
		}
	}
	hours := k.rules.holds(append(k.crewFacts(set), Fact{Hours, ""})...)
	k.always(&c, gate, func(t int32) int {
		n := 0
		for i := range k.in.Fixed {
			if f := &k.in.Fixed[i]; f.Start <= t && t < f.End {
				n += heads(f.Crew, set)
			}
		}
		return n
	})
	k.always(&c, hours, func(t int32) int {
		n := 0
		for i := range k.in.People {
			if k.in.People[i].Mask&set != 0 && !k.in.People[i].On[t] {
				n++
			}
		}
		return n
	})
	k.m.Add(c)
}

// always adds what is taken of a crew in the open ticks whatever the plan, as
// tasks with one start each.
func (k *kernel) always(c *sat.Cumulative, gate sat.Lit, taken func(t int32) int) {
	for t := int32(0); t < k.in.H && int(t) <= k.by; {
		n, e := 0, t+1
		if k.in.Open[t] {
			n = taken(t)
		}
		for e < k.in.H && k.in.Open[e] == k.in.Open[t] && (!k.in.Open[e] || taken(e) == n) {
			e++
		}
		if n > 0 {
			b := k.m.AddTask(sat.Task{Name: "taken", Starts: []int{int(t)}, Duration: int(e - t)})
			c.Uses = append(c.Uses, sat.Use{Task: b, Demand: n, When: gate})
		}
		t = e
	}
}

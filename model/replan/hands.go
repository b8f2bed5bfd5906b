package replan

import (
	"slices"

	"pourweek/model"
)

// hands finds people for fixed work: those that the published plan names if
// they are there and free, others if not. What it finds shows that the fixed
// work of the new problem can be done.
type hands struct {
	q    *model.Problem
	open []bool
	on   map[string][]bool // by person
	busy map[string][]bool
	who  map[string]model.Who // by fixed id, as published
}

func newHands(q *model.Problem, plan *model.Plan) *hands {
	h := &hands{q: q, open: make([]bool, q.Horizon), on: map[string][]bool{}, busy: map[string][]bool{}, who: map[string]model.Who{}}
	fill(h.open, q.Open)
	for _, x := range q.People {
		h.on[x.ID], h.busy[x.ID] = make([]bool, q.Horizon), make([]bool, q.Horizon)
		fill(h.on[x.ID], x.On)
	}
	for id, w := range plan.Fixed {
		h.who[id] = w
	}
	for _, b := range plan.Batches {
		h.who[b.ID+".mix"], h.who[b.ID+".remix"], h.who[b.ID+".wash"] = b.Who.Mix, b.Who.Remix, b.Who.Wash
	}
	return h
}

// pour adds the names of a pour's steps that the plan still had to do; what was
// under way stands among the fixed work.
func (h *hands) pour(p *model.Pour, x *model.PourPlan) {
	add := func(step string, who model.Who) {
		if len(who) > 0 {
			h.who[p.ID+"."+step] = who
		}
	}
	add("prep", x.Who.Prep)
	add("cover", x.Who.Cover)
	add("demold", x.Who.Demold)
	for j, w := range x.Who.Layers {
		if j < len(p.Layers) {
			add(p.Layers[j].ID, w)
		}
	}
	for j, w := range x.Who.Finish {
		if j < len(p.Finish) {
			add(p.Finish[j].ID, w)
		}
	}
}

// free reports whether a person can do the whole of the work.
func (h *hands) free(person string, x *model.Fixed) bool {
	on, busy := h.on[person], h.busy[person]
	for t := max(x.Start, 0); t < min(x.End, h.q.Horizon); t++ {
		if h.open[t] && (on == nil || !on[t] || busy[t]) {
			return false
		}
	}
	return on != nil
}

// find picks different free people for the work, nil if it cannot: the named
// ones where they are free, then those with the fewest skills. The skill that
// the fewest have is served first.
func (h *hands) find(x *model.Fixed) model.Who {
	skills := make([]string, 0, len(x.Crew))
	for s := range x.Crew {
		skills = append(skills, s)
	}
	slices.Sort(skills)
	have := func(s string) int {
		n := 0
		for _, p := range h.q.People {
			if slices.Contains(p.Skills, s) {
				n++
			}
		}
		return n
	}
	slices.SortStableFunc(skills, func(a, b string) int { return have(a) - have(b) })
	people := slices.Clone(h.q.People)
	slices.SortStableFunc(people, func(a, b model.Person) int { return len(a.Skills) - len(b.Skills) })
	who, picked := model.Who{}, []string{}
	for _, s := range skills {
		need := x.Crew[s]
		take := func(id string) {
			if need > 0 && !slices.Contains(picked, id) && h.free(id, x) {
				picked = append(picked, id)
				who[s] = append(who[s], id)
				need--
			}
		}
		for _, id := range h.who[x.ID][s] {
			take(id)
		}
		for _, p := range people {
			if slices.Contains(p.Skills, s) {
				take(p.ID)
			}
		}
		if need > 0 {
			return nil
		}
	}
	return who
}

// man finds people for the work and keeps them busy with it; nil if it cannot.
func (h *hands) man(x *model.Fixed) model.Who {
	who := h.find(x)
	h.keep(who, model.Interval{x.Start, x.End})
	return who
}

// keep has people busy over the interval.
func (h *hands) keep(who model.Who, iv model.Interval) { h.set(who, iv, true) }

// set has people busy, or free, over the interval.
func (h *hands) set(who model.Who, iv model.Interval, busy bool) {
	for _, ids := range who {
		for _, id := range ids {
			for t := max(iv[0], 0); t < min(iv[1], h.q.Horizon) && h.busy[id] != nil; t++ {
				h.busy[id][t] = busy
			}
		}
	}
}

// handsOf are the hands of a problem with all names of a plan.
func handsOf(q *model.Problem, pub Published) *hands {
	h := newHands(q, pub.Plan)
	at := byID(pub.Plan)
	for i := range pub.Problem.Pours {
		if x := at[pub.Problem.Pours[i].ID]; x != nil {
			h.pour(&pub.Problem.Pours[i], x)
		}
	}
	return h
}

// man sees that there are people for all fixed work, and fixes the washes.
// Where people are short (someone is away who was planned for work under way),
// the work is kept without its crew, and a note says so: the rest of the week
// can then be planned, and the lead decides who does it.
func (a *advance) man(plan *model.Plan) {
	h := handsOf(a.q, Published{a.pub, plan})
	for i := range a.q.Fixed {
		x := &a.q.Fixed[i]
		if h.man(x) == nil {
			x.Crew = model.Crew{}
			a.note(x.ID, "too few of the people that it needs are there and free; see to it by hand, it is planned without them")
		}
	}
	a.wash(h)
	a.q.Fixed = slices.DeleteFunc(a.q.Fixed, func(x model.Fixed) bool { return len(x.Crew) == 0 && x.Station == "" })
}

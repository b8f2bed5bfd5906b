package replan

import (
	"cmp"
	"slices"

	"pourweek/model"
)

// Changes is what a new plan does otherwise than the published one. All times
// are ticks of the new problem.
type Changes struct {
	Moved   []Moved
	New     []string // pours that the published plan did not have, carried, or had cast before it began, now planned
	Carried []string // pours that it planned, now carried
	NoRoom  []string // pours that the published week did not have, carried
	Dropped []string // pours that it was still to cast and nobody asks for any more
	Gone    []string // pieces that the log has thrown away and that no order has cast again; Diff leaves it empty
	Batches []BatchChange
	People  []string // whose work on the first day differs, sorted
	Dates   []Date
}

// Moved is a pour that is cast at another time or in another mold.
type Moved struct {
	Pour     string
	From, To model.Spot
}

// Slight reports whether the pour moves no further than the tolerance.
func (m Moved) Slight(tolerance model.Tick) bool {
	d := m.To.Start - m.From.Start
	return m.From.Mold == m.To.Mold && d <= tolerance && -d <= tolerance
}

// BatchChange is a batch that comes or goes, or that keeps its mixer and its time
// and feeds other pours.
type BatchChange struct {
	Mix, Mixer string
	Start      model.Tick
	Pours      []string
	Was        []string // the pours that it fed as published, where it keeps its time; else nil
	Dropped    bool
	id         string
}

// Date is a pour whose ready time moved.
type Date struct {
	Pour     string
	From, To model.Tick
	Due      model.Tick
}

// Worse reports whether the pour is ready later than published.
func (d Date) Worse() bool { return d.To > d.From }

// Count is the number of pours that people prepare for and that change: moved
// further than the tolerance, in another mold, or carried.
func (c *Changes) Count(tolerance model.Tick) int {
	n := len(c.Carried)
	for _, m := range c.Moved {
		if !m.Slight(tolerance) {
			n++
		}
	}
	return n
}

// Published is a plan as it was given out.
type Published struct {
	Problem *model.Problem
	Plan    *model.Plan
}

// Diff compares the new plan of q with the published one. firstDay ends the
// day of q.Now, in ticks of q.
func Diff(pub Published, q *model.Problem, next *model.Plan, firstDay model.Tick) (*Changes, error) {
	shift, err := shiftOf(q, pub.Problem)
	if err != nil {
		return nil, err
	}
	c := &Changes{}
	old := byID(pub.Plan)
	now := byID(next)
	for i := range q.Pours {
		p := &q.Pours[i]
		a, b := old[p.ID], now[p.ID]
		switch {
		case p.Stage != model.New:
		case b != nil && (a == nil || len(a.Layers) == 0): // one in its mold by then is cast again
			c.New = append(c.New, p.ID)
		case b == nil && a != nil:
			c.Carried = append(c.Carried, p.ID)
		case b == nil && !has(pub.Problem, p.ID):
			c.NoRoom = append(c.NoRoom, p.ID)
		}
		if a == nil || b == nil {
			continue
		}
		if len(a.Layers) > 0 && len(b.Layers) > 0 {
			from := model.Spot{Mold: string(a.Mold), Start: a.Layers[0][0] - shift}
			to := model.Spot{Mold: string(b.Mold), Start: b.Layers[0][0]}
			if from != to {
				c.Moved = append(c.Moved, Moved{p.ID, from, to})
			}
		}
		if r := a.Ready - shift; r != b.Ready {
			c.Dates = append(c.Dates, Date{p.ID, r, b.Ready, p.Due})
		}
	}
	c.Dropped = dropped(pub.Plan, shift, q)
	planned := slices.DeleteFunc(loads(pub.Plan, shift, q.Now), func(b BatchChange) bool { return underWay(q, b.id) })
	c.Batches = batchChanges(planned, loads(next, 0, q.Now))
	today, prepared := model.Interval{q.Now, firstDay}, map[string]bool{}
	for id, x := range old {
		prepared[id] = x.Prep != nil && x.Prep[0]-shift < q.Now
	}
	c.People = affected(doing(pub, shift, today, prepared), doing(Published{q, next}, 0, today, prepared))
	slices.SortFunc(c.Moved, func(a, b Moved) int { return cmp.Or(cmp.Compare(a.To.Start, b.To.Start), cmp.Compare(a.Pour, b.Pour)) })
	return c, nil
}

// has reports whether a pour stands in the problem.
func has(q *model.Problem, id string) bool {
	return slices.ContainsFunc(q.Pours, func(p model.Pour) bool { return p.ID == id })
}

// dropped lists the pours of a plan that begin at or after now and are not in the
// problem any more. shift is taken from the plan's ticks.
func dropped(plan *model.Plan, shift model.Tick, q *model.Problem) []string {
	var l []string
	for i := range plan.Pours {
		x := &plan.Pours[i]
		if !has(q, x.ID) && x.Prep != nil && x.Prep[0]-shift >= q.Now {
			l = append(l, x.ID)
		}
	}
	slices.Sort(l)
	return l
}

// underWay reports whether a published batch stands as fixed work, since what
// it feeds is under way.
func underWay(q *model.Problem, batch string) bool {
	return slices.ContainsFunc(q.Fixed, func(x model.Fixed) bool { return x.ID == batch+".mix" || x.ID == batch+".wash" })
}

func byID(plan *model.Plan) map[string]*model.PourPlan {
	m := map[string]*model.PourPlan{}
	for i := range plan.Pours {
		m[plan.Pours[i].ID] = &plan.Pours[i]
	}
	return m
}

// loads lists the batches of a plan that start at or after now, with the pours
// they feed; shift is taken from its ticks.
func loads(plan *model.Plan, shift, now model.Tick) []BatchChange {
	feeds := map[string][]string{}
	for _, p := range plan.Pours {
		for _, b := range p.Draws {
			if !slices.Contains(feeds[b], p.ID) {
				feeds[b] = append(feeds[b], p.ID)
			}
		}
	}
	var out []BatchChange
	for _, b := range plan.Batches {
		if b.Start-shift >= now {
			pours := feeds[b.ID]
			slices.Sort(pours)
			out = append(out, BatchChange{Mix: b.Mix, Mixer: b.Mixer, Start: b.Start - shift, Pours: pours, id: b.ID})
		}
	}
	return out
}

// batchChanges pairs batches of one mix that feed the same pours, first those that
// keep their time, and then what is left of those that keep it and feed others.
// What has no partner was dropped or is new.
func batchChanges(old, now []BatchChange) []BatchChange {
	type pair func(a, b *BatchChange) bool
	var same pair = func(a, b *BatchChange) bool { return a.Mix == b.Mix && slices.Equal(a.Pours, b.Pours) }
	var stays pair = func(a, b *BatchChange) bool { return a.Mix == b.Mix && a.Mixer == b.Mixer && a.Start == b.Start }
	partner, taken := make([]int, len(now)), make([]bool, len(old))
	for i := range partner {
		partner[i] = -1
	}
	match := func(fits pair) {
		for i := range now {
			for j := 0; j < len(old) && partner[i] < 0; j++ {
				if !taken[j] && fits(&old[j], &now[i]) {
					partner[i], taken[j] = j, true
				}
			}
		}
	}
	match(func(a, b *BatchChange) bool { return same(a, b) && stays(a, b) })
	match(func(a, b *BatchChange) bool {
		for i := range now { // one whose time goes to another batch is no sooner taken than it must be
			if partner[i] < 0 && stays(a, &now[i]) {
				return false
			}
		}
		return same(a, b)
	})
	match(same)
	match(stays)
	var out []BatchChange
	for i, b := range now {
		if partner[i] >= 0 {
			b.Was = old[partner[i]].Pours
		}
		if partner[i] < 0 || !slices.Equal(b.Pours, b.Was) {
			out = append(out, b)
		}
	}
	for j, b := range old {
		if b.Dropped = !taken[j]; b.Dropped {
			out = append(out, b)
		}
	}
	slices.SortStableFunc(out, func(a, b BatchChange) int { return cmp.Compare(a.Start, b.Start) })
	return out
}

// doing lists by person the steps of pours and the fixed work that they begin
// within the ticks of today, shift taken from those of the plan. Mixing and
// washing are left out, and so is the prep of pours that were being prepared.
func doing(p Published, shift model.Tick, today model.Interval, prepared map[string]bool) map[string][]string {
	m := map[string][]string{}
	add := func(what string, iv *model.Interval, who model.Who) {
		if iv == nil || iv[0]-shift < today[0] || iv[0]-shift >= today[1] {
			return
		}
		for _, ids := range who {
			for _, id := range ids {
				m[id] = append(m[id], what)
			}
		}
	}
	pours := map[string]*model.Pour{}
	for i := range p.Problem.Pours {
		pours[p.Problem.Pours[i].ID] = &p.Problem.Pours[i]
	}
	for i := range p.Plan.Pours {
		x := &p.Plan.Pours[i]
		q := pours[x.ID]
		if q == nil {
			continue
		}
		if !prepared[x.ID] {
			add(x.ID+".prep", x.Prep, x.Who.Prep)
		}
		for j := range x.Layers {
			add(x.ID+"."+q.Layers[j].ID, &x.Layers[j], x.Who.Layers[j])
		}
		add(x.ID+".cover", x.Cover, x.Who.Cover)
		add(x.ID+".demold", x.Demold, x.Who.Demold)
		for j := range x.Finish {
			add(x.ID+"."+q.Finish[j].ID, x.Finish[j], x.Who.Finish[j])
		}
	}
	for _, f := range p.Problem.Fixed {
		if !ofBatch(f.ID) && f.Start-shift > today[0] { // else it is under way
			add(f.ID, &model.Interval{f.Start, f.End}, p.Plan.Fixed[f.ID])
		}
	}
	for id := range m {
		slices.Sort(m[id])
	}
	return m
}

// affected lists who does other work than published.
func affected(a, b map[string][]string) []string {
	var out []string
	for id := range a {
		if !slices.Equal(a[id], b[id]) {
			out = append(out, id)
		}
	}
	for id := range b {
		if a[id] == nil {
			out = append(out, id)
		}
	}
	slices.Sort(out)
	return out
}

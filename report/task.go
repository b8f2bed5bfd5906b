package report

import (
	"cmp"
	"slices"
	"strings"

	"pourweek/model"
)

// task is one task of the plan, before it is cut into days.
type task struct {
	iv    model.Interval
	takes func(model.Tick) bool
	crew  model.Crew
	row   Work // all but date, from, to and part
	rank  int  // place of its kind among those at the same tick
}

// kinds is the order of work at the same tick: a mold must be ready before the
// batch, the batch before the coat.
var kinds = []Kind{Strip, Prep, Mixing, Remix, Coat, Cover, Wash, Finish, Fixed}

func (b *builder) add(t task) {
	if t.iv.Len() <= 0 {
		return
	}
	if t.takes == nil {
		t.takes = b.isOpen
	}
	for _, n := range t.crew {
		t.row.Heads += n
	}
	t.rank = slices.Index(kinds, t.row.Kind)
	if t.row.Who == nil {
		t.row.Who = model.Who{}
	}
	if t.row.Pours == nil {
		t.row.Pours = []string{}
	}
	if t.row.Batch == nil {
		t.row.Batch = []string{}
	}
	b.tasks = append(b.tasks, t)
}

// collect lists every task of the plan in the order of the clock.
func (b *builder) collect() {
	for i := range b.p.Fixed {
		f := &b.p.Fixed[i]
		// Fixed work of every day has the date in its id; the day says it already.
		name := strings.TrimSuffix(b.stepName(f.ID), " "+b.date(f.Start))
		b.add(task{iv: model.Interval{f.Start, f.End}, crew: f.Crew,
			row: Work{Kind: Fixed, Step: f.ID, Name: name, Who: b.w.Plan.Fixed[f.ID]}})
	}
	for i := range b.w.Plan.Batches {
		b.collectBatch(&b.w.Plan.Batches[i])
	}
	for i := range b.w.Plan.Pours {
		x := &b.w.Plan.Pours[i]
		q := b.pours[x.ID]
		if q.Stage == model.New {
			b.collectPour(q, x)
		}
		b.collectTail(q, x)
	}
	slices.SortStableFunc(b.tasks, func(x, y task) int {
		return cmp.Or(cmp.Compare(x.iv[0], y.iv[0]), cmp.Compare(x.rank, y.rank))
	})
	b.trim()
}

func (b *builder) collectBatch(x *model.BatchPlan) {
	m := b.mixes[x.Mix]
	_, mixed := b.masses(x)
	row := func(k Kind, who model.Who) Work {
		return Work{Kind: k, Step: string(k), Name: string(k), Pours: b.fed[x.ID], Batch: []string{x.ID},
			Mixer: x.Mixer, Mix: x.Mix, Who: who}
	}
	mixing := row(Mixing, x.Who.Mix)
	mixing.Grams = int64(mixed)
	b.add(task{iv: model.Interval{x.Start, x.Start + m.Mix}, crew: m.Crew, row: mixing})
	remix := x.Start + m.Mix + m.Rest
	b.add(task{iv: model.Interval{remix, remix + m.Remix}, crew: m.Crew, row: row(Remix, x.Who.Remix)})
	b.add(task{iv: x.Wash, crew: m.Crew, row: row(Wash, x.Who.Wash)})
}

// masses are the net and the mixed grams of a batch. (Section 4.)
func (b *builder) masses(x *model.BatchPlan) (net, mixed model.Grams) {
	for _, id := range b.fed[x.ID] {
		q, y := b.pours[id], b.planned[id]
		for j, batch := range y.Draws {
			if batch == x.ID {
				net += q.Draws[j].Grams
			}
		}
	}
	m := b.mixes[x.Mix]
	mixed = net + m.Loss
	if m.Step > 0 {
		mixed = (mixed + m.Step - 1) / m.Step * m.Step
	}
	return net, max(m.Min, mixed)
}

func (b *builder) pourRow(q *model.Pour, x *model.PourPlan, k Kind) Work {
	return Work{Kind: k, Step: string(k), Name: string(k), Pours: []string{q.ID}, Piece: b.pieceName(q), Mold: b.moldOf(q, x)}
}

// collectPour lists prep, coats and cover.
func (b *builder) collectPour(q *model.Pour, x *model.PourPlan) {
	row := b.pourRow(q, x, Prep)
	row.Who = x.Who.Prep
	b.add(task{iv: *x.Prep, takes: b.taken(*x.Prep, prepWork(q, string(x.Mold))), crew: q.Prep.Crew, row: row})
	for j := range q.Layers {
		l := &q.Layers[j]
		row := b.pourRow(q, x, Coat)
		row.Step, row.Name, row.Who = l.ID, b.stepName(l.ID), x.Who.Layers[j]
		for k, d := range q.Draws {
			if slices.Contains(d.Layers, j) {
				row.Batch = append(row.Batch, x.Draws[k])
			}
		}
		b.add(task{iv: x.Layers[j], crew: l.Crew, row: row})
	}
	row = b.pourRow(q, x, Cover)
	row.Who = x.Who.Cover
	b.add(task{iv: *x.Cover, crew: q.Cover.Crew, row: row})
}

func prepWork(q *model.Pour, mold string) model.Tick {
	for _, c := range q.Molds {
		if c.Mold == mold {
			return c.Work
		}
	}
	return 0
}

// collectTail lists demold and the finish steps that are still to do.
func (b *builder) collectTail(q *model.Pour, x *model.PourPlan) {
	if q.Stage != model.Racked {
		row := b.pourRow(q, x, Strip)
		row.Step, row.Who, row.Grams = "demold", x.Who.Demold, int64(b.w.Labels.Pieces[q.Piece].Grams)
		b.add(task{iv: *x.Demold, crew: q.Demold.Crew, row: row})
	}
	for j := range q.Finish {
		if x.Finish[j] == nil {
			continue
		}
		f := &q.Finish[j]
		row := b.pourRow(q, x, Finish)
		row.Mold = ""
		row.Step, row.Name, row.Who = f.ID, b.stepName(f.ID), x.Who.Finish[j]
		t := task{iv: *x.Finish[j], crew: f.Crew, row: row}
		if f.Pausable {
			t.takes = b.taken(t.iv, f.Work)
		}
		b.add(t)
	}
}

// trim drops what the shop's calendar has after the last day of other work: the
// calendar goes on, the plan does not. Work under way is no calendar's.
func (b *builder) trim() {
	var last model.Tick
	for i := range b.tasks {
		if t := &b.tasks[i]; !b.daily(t) {
			last = max(last, t.iv.To())
		}
	}
	if last == 0 {
		return
	}
	end := b.nextDay(last - 1)
	b.tasks = slices.DeleteFunc(b.tasks, func(t task) bool { return b.daily(&t) && t.iv.From() >= end })
}

// daily reports whether a task is fixed work of the shop's calendar, which has its
// date in its id and, if there are several of a day, a number behind it.
func (b *builder) daily(t *task) bool {
	day := " " + b.date(t.iv.From())
	return t.row.Kind == Fixed && (strings.HasSuffix(t.row.Step, day) || strings.Contains(t.row.Step, day+" #"))
}

// work cuts the tasks into days.
func (b *builder) work() []Work {
	l := []Work{}
	type keyed struct {
		Work
		rank int
	}
	var all []keyed
	for i := range b.tasks {
		t := &b.tasks[i]
		parts := b.parts(t.iv, t.takes)
		for n, iv := range parts {
			row := t.row
			row.Date, row.From, row.To = b.date(iv.From()), b.moment(iv.From()), b.moment(iv.To())
			switch {
			case len(parts) == 1:
				row.Part = Whole
			case n == 0:
				row.Part = Begins
			case n == len(parts)-1:
				row.Part = Ends
			default:
				row.Part = GoesOn
			}
			for k := iv.From(); k < iv.To() && !row.Over; k++ {
				row.Over = t.takes(k) && b.isOvertime(k)
			}
			all = append(all, keyed{row, t.rank})
		}
	}
	slices.SortStableFunc(all, func(x, y keyed) int {
		return cmp.Or(cmp.Compare(x.From.Tick, y.From.Tick), cmp.Compare(x.rank, y.rank))
	})
	for i := range all {
		l = append(l, all[i].Work)
	}
	return l
}

// names lists the people of a task, each skill's in the order of the plan.
func names(who model.Who) []string {
	var l []string
	for _, skill := range skills(who) {
		l = append(l, who[skill]...)
	}
	return l
}

// skills are the skills that a task asks for, in alphabetic order.
func skills(who model.Who) []string {
	var l []string
	for skill := range who {
		l = append(l, skill)
	}
	slices.Sort(l)
	return l
}

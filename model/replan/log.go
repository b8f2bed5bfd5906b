package replan

import (
	"fmt"
	"slices"
	"time"

	"pourweek/model"
	"pourweek/model/logbook"
)

// clock turns times into ticks of a problem.
type clock struct {
	start time.Time
	tick  time.Duration
}

func clockOf(p *model.Problem) (clock, error) {
	t, err := time.Parse(time.RFC3339, p.Start)
	if err != nil {
		return clock{}, fmt.Errorf("start of the week: %w", err)
	}
	return clock{t, time.Duration(p.TickMinutes) * time.Minute}, nil
}

// down is the tick in which t lies.
func (c clock) down(t time.Time) model.Tick {
	d := t.Sub(c.start)
	n := d / c.tick
	if d%c.tick < 0 {
		n--
	}
	return model.Tick(n)
}

// up is the first tick that does not begin before t.
func (c clock) up(t time.Time) model.Tick {
	n := c.down(t)
	if c.start.Add(time.Duration(n) * c.tick).Before(t) {
		n++
	}
	return n
}

// FactsOf takes from the log what says how the published week went. Entries
// about what the shop has (molds, mixers, people, racks, orders) are for
// ApplyLog. The error is Refused where two entries contradict each other.
func FactsOf(pub *model.Problem, log []logbook.Entry) (Facts, error) {
	c, err := clockOf(pub)
	if err != nil {
		return Facts{}, err
	}
	if r := poursOnce(log); len(r) > 0 {
		return Facts{}, r
	}
	f := Facts{
		Poured: map[string]Poured{}, Waiting: map[string]string{}, Failed: map[string]Failed{},
		Lost: map[string]model.Tick{}, Scrapped: map[string]model.Tick{}, Demolded: map[string]Demolded{},
		Done: map[string]map[string]model.Tick{}, Longer: map[string]map[string]model.Tick{},
	}
	for _, e := range log {
		at := c.down(e.When)
		switch e.What {
		case logbook.Poured:
			f.Poured[e.Which] = Poured{at, e.Mold}
			delete(f.Waiting, e.Which)
			f.anew(e.Which)
		case logbook.Waiting:
			f.Waiting[e.Which] = e.Step
		case logbook.Failed:
			x := Failed{At: at}
			if !e.Was.IsZero() {
				x.Was = c.down(e.Was)
			}
			f.Failed[e.Which] = x
		case logbook.BatchLost:
			f.Lost[e.Which] = at
		case logbook.Scrapped:
			f.Scrapped[e.Which] = at
		case logbook.Demolded:
			x := Demolded{At: c.up(e.When), Rack: e.Rack}
			if !e.Was.IsZero() {
				x.Was = c.up(e.Was)
			}
			f.Demolded[e.Which] = x
			f.cameBy(pub, e.Which)
		case logbook.Finished:
			inner(f.Done, e.Which)[e.Step] = c.up(e.When)
			f.cameBy(pub, e.Which)
		case logbook.Longer:
			inner(f.Longer, e.Which)[e.Step] += model.Tick((e.Minutes + pub.TickMinutes - 1) / pub.TickMinutes)
		}
	}
	return f, nil
}

// cameBy forgets that the demold or a finish step of a pour waits, as a later entry
// has it further on. A casting that waits is over only when the pour is poured:
// else it would count as cast at a time at which the log says that it was not.
func (f *Facts) cameBy(pub *model.Problem, id string) {
	step := f.Waiting[id]
	p := named(pub.Pours, func(p *model.Pour) bool { return p.ID == id })
	if p == nil || p.Stage != model.New || step == "demold" || slices.ContainsFunc(p.Finish, func(x model.Finish) bool { return x.ID == step }) {
		delete(f.Waiting, id)
	}
}

// givenUp reports whether the log has a pour failed or scrapped.
func (f *Facts) givenUp(id string) bool {
	_, failed := f.Failed[id]
	_, scrapped := f.Scrapped[id]
	return failed || scrapped
}

// anew forgets what became of a pour that was given up and is poured again.
func (f *Facts) anew(id string) {
	if !f.givenUp(id) {
		return
	}
	delete(f.Failed, id)
	delete(f.Scrapped, id)
	delete(f.Demolded, id)
	delete(f.Done, id)
	delete(f.Longer, id)
}

func inner(m map[string]map[string]model.Tick, k string) map[string]model.Tick {
	if m[k] == nil {
		m[k] = map[string]model.Tick{}
	}
	return m[k]
}

// ApplyLog changes the problem by what the log says of molds, mixers, people,
// racks and orders. It is called before Advance, on the fresh problem.
func ApplyLog(q *model.Problem, log []logbook.Entry) ([]Note, error) {
	c, err := clockOf(q)
	if err != nil {
		return nil, err
	}
	var notes []Note
	note := func(id, format string, args ...any) {
		notes = append(notes, Note{Pour: id, Text: fmt.Sprintf(format, args...)})
	}
	for _, e := range log {
		iv := model.Interval{max(c.down(e.When), 0), min(c.up(e.Until), q.Horizon)}
		switch e.What {
		case logbook.MoldDown, logbook.MixerDown, logbook.Away, logbook.Places:
			if iv[1] <= q.Now {
				continue
			}
			takeAway(q, e, iv)
		case logbook.Extra:
			// Extra hours count from the first whole tick to the last.
			if iv = (model.Interval{max(c.up(e.When), 0), min(c.down(e.Until), q.Horizon)}); iv[1] > q.Now && iv.Len() > 0 {
				addHours(q, e.Which, iv)
			}
		case logbook.Cancel:
			cancel(q, e.Which)
		case logbook.Due:
			redue(q, e.Which, min(c.down(e.Until), q.Horizon))
		case logbook.Order:
			if !addOrder(q, e, min(c.down(e.Until), q.Horizon)) {
				note(e.Which, "no pour of the week is a %s to copy its recipe from: write the order into orders.csv", e.Piece)
			}
		}
	}
	return notes, nil
}

func takeAway(q *model.Problem, e logbook.Entry, iv model.Interval) {
	during := []model.Interval{iv}
	switch e.What {
	case logbook.MoldDown:
		for i := range q.Molds {
			if q.Molds[i].ID == e.Which {
				q.Molds[i].Down = model.Union(q.Molds[i].Down, during)
			}
		}
	case logbook.MixerDown:
		for i := range q.Mixers {
			if q.Mixers[i].ID == e.Which {
				q.Mixers[i].Down = model.Union(q.Mixers[i].Down, during)
			}
		}
	case logbook.Away:
		q.People = slices.Clone(q.People)
		for i := range q.People {
			if q.People[i].ID == e.Which {
				q.People[i].On = model.Subtract(q.People[i].On, during)
			}
		}
	case logbook.Places:
		for i := range q.Racks {
			if q.Racks[i].ID == e.Which {
				after := lessUntil(q.Racks[i].Places, iv[1], int64(e.Count))
				q.Racks[i].Places = after
			}
		}
	}
}

// addHours lets a person work in the interval; ticks in which the shop was
// closed become overtime.
func addHours(q *model.Problem, person string, iv model.Interval) {
	there := []model.Interval{iv}
	closed := model.Subtract(there, q.Open)
	capCures(q, closed)
	q.Open, q.Overtime = model.Union(q.Open, closed), model.Union(q.Overtime, closed)
	q.People = slices.Clone(q.People)
	for i := range q.People {
		if q.People[i].ID == person {
			q.People[i].On = model.Union(q.People[i].On, there)
		}
	}
}

// capCures keeps cures in order over hours that the log opens: the problem has
// curing times only for covers of its own open hours, and the one that holds on
// through a night could end after that of the first cover in the morning. What is
// covered sooner is cured no later.
func capCures(q *model.Problem, opened []model.Interval) {
	q.Cures = slices.Clone(q.Cures)
	for i := range q.Cures {
		for _, iv := range opened {
			at := slices.IndexFunc(q.Open, func(o model.Interval) bool { return o[0] >= iv[1] })
			if at < 0 {
				continue
			}
			next := q.Open[at][0] + 1 // the first cover after them ends
			q.Cures[i].Lag = capped(q.Cures[i].Lag, iv, int64(next)+q.Cures[i].Lag.At(next))
		}
	}
}

// capped is the curing times with those of covers that end in the interval, or at
// its end, over by the tick latest.
func capped(lag model.Steps, iv model.Interval, latest int64) model.Steps {
	var out model.Steps
	for _, s := range lag {
		if s[0] <= int64(iv[0]) {
			out = append(out, s)
		}
	}
	for t := iv[0] + 1; t <= iv[1]+1; t++ {
		v := lag.At(t)
		if t <= iv[1] {
			v = min(v, latest-int64(t))
		}
		out.Put(t, v)
	}
	for _, s := range lag {
		if s[0] > int64(iv[1])+1 {
			out = append(out, s)
		}
	}
	return out
}

// cancel drops what has not been poured of an order.
func cancel(q *model.Problem, order string) {
	dropNew(q, func(p *model.Pour) bool { return p.Order == order })
}

// redue gives the pours of an order, and its shipment, another due time.
func redue(q *model.Problem, order string, due model.Tick) {
	of := map[string]bool{}
	for i := range q.Pours {
		if q.Pours[i].Order == order {
			q.Pours[i].Due = due
			of[q.Pours[i].ID] = true
		}
	}
	for i := range q.Shipments {
		if slices.ContainsFunc(q.Shipments[i].Pours, func(id string) bool { return of[id] }) {
			q.Shipments[i].Due = due
		}
	}
}

// addOrder adds the pours of a new order, made like another pour of the piece.
// An order that is there already, as in orders.csv by now, is left alone.
func addOrder(q *model.Problem, e logbook.Entry, due model.Tick) bool {
	if slices.ContainsFunc(q.Pours, func(p model.Pour) bool { return p.Order == e.Which }) {
		return true
	}
	like, ok := likeOf(q, e.Piece)
	if !ok {
		return false
	}
	for n := range e.Count {
		p := like
		p.ID, p.Order = fmt.Sprintf("%s/%d", e.Which, n+1), e.Which
		p.Due, p.Release, p.Pin, p.Base = due, 0, nil, nil
		p.Molds = fullPrep(q, like)
		q.Pours = append(q.Pours, p)
	}
	return true
}

// likeOf is a pour of the piece type, with the dearest of their prices.
func likeOf(q *model.Problem, piece string) (model.Pour, bool) {
	at := slices.IndexFunc(q.Pours, func(p model.Pour) bool { return p.Piece == piece && p.Stage == model.New })
	if at < 0 {
		return model.Pour{}, false
	}
	like := q.Pours[at]
	for _, p := range q.Pours {
		if p.Piece == piece && p.Stage == model.New {
			like.LatePerTick = max(like.LatePerTick, p.LatePerTick)
			like.Carry = max(like.Carry, p.Carry)
		}
	}
	for _, s := range q.Shipments {
		if like.LatePerTick == 0 && slices.Contains(s.Pours, like.ID) {
			like.LatePerTick = s.LatePerTick
		}
	}
	return like, true
}

// PastDues notes the orders of q that the log has due before its first tick.
func PastDues(q *model.Problem, log []logbook.Entry) ([]Note, error) {
	c, err := clockOf(q)
	if err != nil {
		return nil, err
	}
	last := map[string]logbook.Entry{}
	var orders []string
	for _, e := range log {
		if e.What == logbook.Due || e.What == logbook.Order {
			if _, ok := last[e.Which]; !ok {
				orders = append(orders, e.Which)
			}
			last[e.Which] = e
		}
	}
	var notes []Note
	for _, id := range orders {
		e := last[id]
		if c.down(e.Until) < 0 && slices.ContainsFunc(q.Pours, func(p model.Pour) bool { return p.Order == id }) {
			notes = append(notes, Note{Pour: id, Text: fmt.Sprintf("the log has it due %s, before the week begins: it is late, and its lateness counts from there on; if that is no mistake, nothing is to be done",
				e.Until.Format("2006-01-02 15:04"))})
		}
	}
	return notes, nil
}

// fullPrep gives the mold choices with the longest prep that any pour of the
// piece needs in each: a mold that stands prepared is so for one pour only.
func fullPrep(q *model.Problem, like model.Pour) []model.MoldChoice {
	out := slices.Clone(like.Molds)
	for _, p := range q.Pours {
		if p.Piece != like.Piece {
			continue
		}
		for _, m := range p.Molds {
			for i := range out {
				if out[i].Mold == m.Mold {
					out[i].Work = max(out[i].Work, m.Work)
				}
			}
		}
	}
	return out
}

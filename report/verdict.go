package report

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"pourweek/model"
	"pourweek/solve/why"
)

// by says what is asked for: on time, or ready by a time that was named; of an
// order that leaves as one, to leave then.
func (e *Explained) by() string {
	if len(e.With) > 0 {
		switch {
		case e.truck:
			return "leave with the truck " + e.By.dayHour()
		case e.By.Tick != e.Due.Tick:
			return "leave by " + e.By.dayHour()
		}
		return "leave on time"
	}
	if e.truck {
		return "ready for the truck " + e.By.dayHour()
	}
	if e.By.Tick != e.Due.Tick {
		return "ready by " + e.By.dayHour()
	}
	return "on time"
}

// truckAt says that a truck of the pour's shipment leaves at a time.
func (b *builder) truckAt(q *model.Pour, t model.Tick) bool {
	s := b.shipment[q.ID]
	return s != nil && slices.Contains(s.Trucks, t)
}

// leavesLater says why a pour that is ready in time leaves late all the same; ""
// where it does not.
func (b *builder) leavesLater(q *model.Pour) string {
	s, out := b.shipment[q.ID], b.out[q.ID]
	last := b.planned[q.ID]
	if s == nil || last == nil || out <= s.Due {
		return ""
	}
	leaves := b.clock.moment(out).dayHour()
	for _, id := range s.Pours {
		if x := b.planned[id]; x != nil && x.Ready > last.Ready {
			last = x
		}
	}
	switch {
	case last.ID != q.ID:
		return " Its order leaves late, " + leaves + ", as " + last.ID + " is ready " + b.clock.moment(last.Ready).dayHour() + "."
	case !slices.Contains(s.Trucks, out):
		return " It leaves late, as no truck of these weeks is left for it."
	}
	return " It leaves late, " + leaves + ", as no truck goes before."
}

// behind says which pieces of an order that leaves as one keep it from leaving by
// a time: the last of those that are late, and those that are carried.
func (b *builder) behind(q *model.Pour, by model.Tick) string {
	last := &model.PourPlan{}
	var carried, parts []string
	for _, id := range b.shipment[q.ID].Pours {
		switch x := b.planned[id]; {
		case x == nil:
			carried = append(carried, id)
		case x.Ready > last.Ready:
			last = x
		}
	}
	if last.Ready > by {
		parts = append(parts, "its last piece "+last.ID+" is ready "+b.clock.moment(last.Ready).dayHour())
	}
	switch {
	case len(carried) > 1:
		parts = append(parts, strings.Join(carried, ", ")+" are carried to a later week")
	case len(carried) == 1:
		parts = append(parts, carried[0]+" is carried to a later week")
	}
	late := "which leaves late: "
	if last.Ready <= by {
		late = "of which not all leaves: "
	}
	return "It ships with its whole order, " + late + strings.Join(parts, ", and ") + ". "
}

// own says why what is asked about takes too long by itself: a step that no stretch
// of hours is long enough for, rather of the piece that is named, or all steps.
func (e *Explained) own(b *builder) string {
	asked, whole := append([]string{e.Pour}, e.With...), len(e.With) > 0
	for _, id := range asked {
		long := b.tooLong(id)
		switch {
		case long != "" && whole:
			return "of " + id + ", " + long
		case long != "":
			return long
		}
	}
	const longer = " take longer, whatever else the shop had in its hours"
	if !whole {
		return "its own steps, rests and cure" + longer
	}
	who := "its pieces"
	if slow := b.slow(asked, e.By.Tick); len(slow) > 0 {
		who = strings.Join(slow, ", ")
	}
	return "the own steps, rests and cure of " + who + longer
}

// judge says what is known of the cause.
func (e *Explained) judge(b *builder, c *why.Cause) {
	it, be, later, could := "It", "be "+e.by(), "has it later", "it could be."
	if len(e.With) > 0 {
		it, be, later, could = "The order", e.by(), "has it leave later", "it could."
	}
	if c != nil {
		e.Proof = string(c.Proof)
	}
	switch {
	case c == nil:
		e.Verdict = "It is " + e.by() + "."
	case c.Impossible == why.Yes:
		e.Proven = true
		e.Verdict = it + " could " + be + " without making another piece late, or later than it is; the plan " + later + " because that is cheaper."
	case c.Impossible == why.NotProven:
		e.Verdict = "Not proven: in the work that was given, no plan was found that has it " + e.by() + " without making another piece late, or later than it is, and none was ruled out."
		for _, f := range c.Facts {
			if f.Kind == why.Down {
				e.Verdict += " Of the molds that could cast it, " + b.fact(f, e.By.Tick).Text + "."
			}
		}
	case c.Alone:
		e.Proven = true
		e.Verdict = it + " cannot " + be + ": " + e.own(b) + "."
	default:
		e.Proven = true
		var names []string
		for _, f := range c.Facts {
			x := b.fact(f, e.By.Tick)
			if f.Kind == why.Molds && len(e.With) > 0 {
				x.Text = "the molds that cast its pieces"
			}
			e.Facts = append(e.Facts, x)
			names = append(names, x.Text)
		}
		because, needed := "these together", " Without any one of them "+could
		if len(names) == 1 {
			because, needed = "this", " Without that "+could
		}
		e.Verdict = it + " cannot " + be + " because of " + because + ": " + strings.Join(names, "; ") + "."
		if !c.Least {
			needed = " Whether each of them is needed is not proven: the work ran out."
		}
		e.Verdict += needed
	}
}

// fact says a fact in words, of a mold that is down until when, as far as that
// is before the time that is asked for.
func (b *builder) fact(f why.Fact, by model.Tick) Fact {
	x := Fact{Kind: string(f.Kind), Name: f.Name, Text: f.Sentence()}
	if f.Kind != why.Down {
		return x
	}
	for _, m := range b.p.Molds {
		var times []string
		for _, iv := range m.Down {
			if m.ID != f.Name || iv[1] <= b.p.Now || iv[0] >= by {
				continue
			}
			until := b.clock.moment(iv[1])
			times, x.Until = append(times, "until "+until.dayHour()), &until
			if iv[0] > b.p.Now {
				times[len(times)-1] = "from " + b.clock.moment(iv[0]).dayHour() + " " + times[len(times)-1]
			}
		}
		if len(times) > 0 {
			x.Text += " " + strings.Join(times, " and ")
		}
	}
	return x
}

// note says what was tried as a mend and what is known of those that are none.
func (e *Explained) note() string {
	if len(e.Tried) == 0 {
		return ""
	}
	var tried []string
	first := false
	for _, c := range e.Tried {
		tried = append(tried, e.plainCase(c))
	}
	for _, m := range e.Mends {
		first = first || m.Case == today
	}
	list := fmt.Sprintf("Tried, with %d units of work each: %s.", e.Work, strings.Join(tried, ", "))
	switch {
	case len(e.Mends) == 0:
		return "None found. " + list + " That none of them would have it " + e.by() + " is not proven."
	case len(e.Mends) == len(e.Tried):
		return list
	case first:
		return list + " The others were not shown to have it " + e.by() + ", or to do so for less than putting it first; that they could is not ruled out."
	}
	return list + " The others were not shown to have it " + e.by() + "; that they could is not ruled out."
}

// today is the name of the case that changes nothing but puts the pour first.
const today = "today"

func (e *Explained) plainCase(name string) string {
	if name == today {
		if len(e.With) > 0 {
			return "put the order first"
		}
		return "put it first"
	}
	return name
}

func (d *drawing) mends(e *Explained, currency string) {
	if len(e.Tried) == 0 {
		return
	}
	d.title("Single changes that have it " + e.by() + ", each shown by a plan")
	indent := 26
	for _, m := range e.Mends {
		indent = max(indent, utf8.RuneCountInString(e.plainCase(m.Case))+4)
	}
	indent = min(indent, d.s.Width/2)
	for _, m := range e.Mends {
		more := "the week then costs as much"
		switch {
		case m.More > 0:
			more = fmt.Sprintf("the week then costs %s more", money(m.More, currency))
		case m.More < 0:
			more = fmt.Sprintf("the week then costs %s less", money(-m.More, currency))
		}
		d.fact("  "+e.plainCase(m.Case), indent, more, "")
	}
	d.paragraph(e.Note)
}

package report

import (
	"fmt"
	"math"

	"pourweek/model"
)

// fact is one line of the summary. bad marks what a lead must see first.
type fact struct {
	name, sentence string
	bad            bool
}

// title names the shop and the week.
func (b *Board) title() string {
	name := b.Shop
	if name == "" {
		name = "The week"
	}
	return name + ": week of " + dayTitle(b.Monday)
}

// facts are the lines of the summary.
func (b *Board) facts() []fact {
	s := &b.Summary
	pieces := fmt.Sprintf("%d of %d planned, %d carried", s.Planned, s.Pieces, s.Carried)
	if s.Underway > 0 {
		pieces += fmt.Sprintf("; %d under way from before", s.Underway)
	}
	if s.Moved > 0 {
		pieces += fmt.Sprintf("; %d moved against the plan before", s.Moved)
	}
	late := "none"
	if s.Late > 0 {
		late = fmt.Sprintf("%s, %s h in all", count(s.Late, "piece"), lateHours(s.LateHours))
	}
	overtime := fmt.Sprintf("%.1f h", s.OvertimeHours)
	if s.CallIns > 0 {
		overtime += ", " + count(s.CallIns, "paid call-in")
	}
	return []fact{
		{"pieces", pieces, false},
		{"late", late, s.Late > 0},
		{"overtime", overtime, false},
		{"molds", fmt.Sprintf("%.1f h empty ahead of a pour, %.1f h with a cured piece in them", s.IdleHours, s.HeldHours), false},
		{"racks", fmt.Sprintf("%.1f h of waiting for the next step", s.RackWaitHours), false},
		{"batches", b.batchFact(), false},
		{"cost", b.costFact(), false},
		{"proven", b.proof(), false},
	}
}

func (b *Board) batchFact() string {
	s := &b.Summary
	if s.Batches == 0 {
		return "none"
	}
	t := fmt.Sprintf("%d, %s mixed, %s of it waste", s.Batches, mass(int64(s.Mixed), b.Currency), mass(int64(s.Waste), b.Currency))
	if s.Mixed > 0 {
		t += fmt.Sprintf(" (%.0f %%)", 100*float64(s.Waste)/float64(s.Mixed))
	}
	return t
}

// costFact is the cost and its terms that are not 0.
func (b *Board) costFact() string {
	t := &b.Summary.Terms
	s := money(b.Summary.Cost, b.Currency)
	words := []struct {
		name string
		m    int64
	}{
		{"late", int64(t.Late + t.Ship)}, {"carried", int64(t.Carry)}, {"empty molds", int64(t.Idle)}, {"cured in molds", int64(t.Held)},
		{"rack wait", int64(t.RackWait)}, {"overtime", int64(t.Overtime)}, {"call-ins", int64(t.Callin)},
		{"batches", int64(t.Batch)}, {"waste", int64(t.Waste)}, {"moved", int64(t.Move)},
	}
	sep := ": "
	for _, w := range words {
		if w.m != 0 {
			s += fmt.Sprintf("%s%s %.2f", sep, w.name, float64(w.m)/1000)
			sep = ", "
		}
	}
	return s
}

// proof says what is proven about the cost, and by what.
func (b *Board) proof() string {
	s := &b.Summary
	source := ""
	if s.BoundSource != "" {
		source = " (" + s.BoundSource + ")"
	}
	switch {
	case s.Bound >= s.Cost:
		return "no allowed plan costs less" + source
	case s.Bound <= 0:
		return "nothing yet: how much cheaper a plan could be is not known"
	}
	// Both are rounded to the side on which what is said stays true: a bound that
	// is below the cost never reads as if it were met.
	gap := math.Ceil(1000*float64(s.Cost-s.Bound)/float64(s.Cost)) / 10
	return fmt.Sprintf("no allowed plan costs less than %s; this one is at most %.1f %% of its cost above the best%s",
		money(proven(s.Bound), b.Currency), gap, source)
}

// proven is a bound as it is printed, in whole hundredths: never above it.
func proven(bound model.Mils) model.Mils { return bound - bound%10 }

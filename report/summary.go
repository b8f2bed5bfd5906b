package report

import "pourweek/model"

func (b *builder) summary(board *Board) Summary {
	s := Summary{
		Batches: len(board.Batches), Cost: b.w.Plan.Cost, Terms: b.w.Plan.Terms, Bound: b.w.Plan.Bound,
		BoundSource: b.w.BoundSource, Status: b.w.Status, Seed: b.w.Seed, SearchWork: b.w.Work,
		Carried: len(b.w.Plan.Carried),
	}
	for i := range b.p.Pours {
		q := &b.p.Pours[i]
		if q.Stage != model.New {
			s.Underway++
			continue
		}
		s.Pieces++
		if x := b.planned[q.ID]; x != nil {
			s.Planned++
		}
		if b.moved(q) {
			s.Moved++
		}
	}
	var late int64
	for _, p := range board.Pieces {
		if n := b.late(p.Pour); n > 0 {
			s.Late, late = s.Late+1, late+n
		}
		s.IdleHours += p.IdleHours
	}
	s.LateHours = b.hours(late) // of whole ticks, as everywhere else: a sum of hours is not exact
	for _, y := range board.Batches {
		s.Mixed += y.Mixed
		s.Waste += y.Waste
	}
	s.OvertimeHours = b.hours(b.overtime())
	s.HeldHours = b.hours(b.inMoldAfterCure())
	s.RackWaitHours = b.hours(b.rackWait())
	s.CallIns = b.callins()
	return s
}

// late is by how many ticks a pour leaves after it is due, 0 for one that is
// carried.
func (b *builder) late(pour string) int64 {
	if b.planned[pour] == nil {
		return 0
	}
	return int64(max(0, b.out[pour]-b.due(b.pours[pour])))
}

// moved says that a pour with a base is carried, or planned otherwise than it.
// (Section 6, move.)
func (b *builder) moved(q *model.Pour) bool {
	if q.Base == nil {
		return false
	}
	x := b.planned[q.ID]
	if x == nil || string(x.Mold) != q.Base.Mold {
		return true
	}
	d := x.Layers[0].From() - q.Base.Start
	return max(d, -d) > b.p.MoveTolerance
}

// overtime is heads at work in overtime ticks, fixed work not counted.
func (b *builder) overtime() (n int64) {
	for i := range b.tasks {
		t := &b.tasks[i]
		if t.row.Kind == Fixed {
			continue
		}
		for k := t.iv.From(); k < t.iv.To(); k++ {
			if b.isOvertime(k) && t.takes(k) {
				n += int64(t.row.Heads)
			}
		}
	}
	return n
}

// inMoldAfterCure is the sum of the term held, in regular ticks.
func (b *builder) inMoldAfterCure() (n int64) {
	for i := range b.w.Plan.Pours {
		x := &b.w.Plan.Pours[i]
		switch q := b.pours[x.ID]; q.Stage {
		case model.New:
			n += b.reg(max(*x.CureEnd, b.p.Now), x.Demold.From())
		case model.Curing:
			n += b.reg(max(q.CureEnd, b.p.Now), x.Demold.From())
		}
	}
	return n
}

// waits lists, for each finish step to do, from when on it could start and when
// it does.
func (b *builder) waits(q *model.Pour, x *model.PourPlan) []model.Interval {
	var l []model.Interval
	var end model.Tick
	if x.Demold != nil && q.Stage != model.Racked {
		end = x.Demold.To()
	}
	for j := range q.Finish {
		if x.Finish[j] == nil {
			l = append(l, model.Interval{})
			continue
		}
		earliest := end + q.Finish[j].Rest
		if q.Stage == model.Racked && j == q.Next {
			earliest = q.From
		}
		l = append(l, model.Interval{max(earliest, b.p.Now), x.Finish[j].From()})
		end = x.Finish[j].To()
	}
	return l
}

// rackWait is the sum of the term rack_wait, in regular ticks.
func (b *builder) rackWait() (n int64) {
	for i := range b.w.Plan.Pours {
		x := &b.w.Plan.Pours[i]
		for _, iv := range b.waits(b.pours[x.ID], x) {
			n += b.reg(iv.From(), iv.To())
		}
	}
	return n
}

// callins counts the call-ins in which a task takes a tick.
func (b *builder) callins() (n int) {
	for _, c := range b.p.Callins {
	tasks:
		for i := range b.tasks {
			t := &b.tasks[i]
			for k := max(c.From, t.iv.From()); k < min(c.To, t.iv.To()); k++ {
				if t.row.Kind != Fixed && t.takes(k) {
					n++
					break tasks
				}
			}
		}
	}
	return n
}

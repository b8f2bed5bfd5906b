package oracle

import (
	"math/bits"

	"pourweek/model"
)

// Steps of a pour by number: 0 prep, then the layers, the cover, the demold and
// the finish steps.

func (s *search) cover(i int) int  { return 1 + len(s.p.Pours[i].Layers) }
func (s *search) demold(i int) int { return 2 + len(s.p.Pours[i].Layers) }
func (s *search) count(i int) int  { return 3 + len(s.p.Pours[i].Layers) + len(s.p.Pours[i].Finish) }

// first is the first step of a pour that is still to do.
func (s *search) first(i int) int {
	switch q := &s.p.Pours[i]; q.Stage {
	case model.Curing:
		return s.demold(i)
	case model.Racked:
		return s.demold(i) + 1 + q.Next
	}
	return 0
}

// free is the tick from which a mold in which nothing stands may be prepared.
func (s *search) free(mold int) int {
	return max(int(s.p.Molds[mold].FreeFrom), int(s.p.Now))
}

// job is the task of a step.
func (s *search) job(i, step, mold int) job {
	q := &s.p.Pours[i]
	switch {
	case step == 0:
		for _, c := range q.Molds {
			if s.moldAt[c.Mold] == mold {
				return job{c.Work, q.Prep.Crew, q.Prep.Station, true, q.Prep.When}
			}
		}
	case step < s.cover(i):
		l := &q.Layers[step-1]
		return job{l.Work, l.Crew, l.Station, false, l.When}
	case step == s.cover(i):
		return job{q.Cover.Work, q.Cover.Crew, q.Cover.Station, false, q.Cover.When}
	case step == s.demold(i):
		return job{q.Demold.Work, q.Demold.Crew, q.Demold.Station, false, q.Demold.When}
	}
	f := &q.Finish[step-s.demold(i)-1]
	return job{f.Work, f.Crew, f.Station, f.Pausable, f.When}
}

// window is the closed range in which a step may start after the end prev of
// the step before (of the mold's pour before for a prep), and the tick from
// which waiting for it costs rate per regular tick.
func (s *search) window(i, step, mold, prev int) (from, to, waits int, rate model.Mils) {
	q := &s.p.Pours[i]
	from, to = int(s.p.Now), s.h-1
	most := func(limit *model.Tick, base int) {
		if limit != nil {
			to = min(to, base+int(*limit))
		}
	}
	switch c := &s.p.Costs; {
	case step == 0:
		from = max(from, prev, int(q.Release), int(s.p.Molds[mold].FreeFrom))
		if prev >= 0 {
			return from, to, prev, c.Idle
		}
		return from, to, 0, 0
	case step == 1:
		most(q.PrepMax, prev)
		to = min(to, int(s.p.PourUntil)-1)
		if q.Pin != nil {
			from, to = max(from, int(q.Pin.Start)), min(to, int(q.Pin.Start))
			if s.moldAt[q.Pin.Mold] != mold {
				to = -1
			}
		}
		return max(from, prev), to, prev, c.Idle
	case step < s.cover(i):
		g := q.Layers[step-1].Gap
		return max(from, prev+int(g[0])), min(to, prev+int(g[1])), 0, 0
	case step == s.cover(i):
		g := q.Cover.Gap
		return max(from, prev+int(g[0])), min(to, prev+int(g[1])), 0, 0
	case step == s.demold(i):
		cured := int(q.CureEnd)
		if q.Stage == model.New {
			cured = s.cure[q.Cure][prev]
			most(q.MoldMax, prev)
		} else {
			most(q.MoldUntil, 0)
		}
		return max(from, cured), to, max(cured, int(s.p.Now)), c.Held
	}
	k := step - s.demold(i) - 1
	f := &q.Finish[k]
	early := prev + int(f.Rest)
	if q.Stage == model.Racked && k == q.Next {
		early = int(q.From)
		most(q.FromMax, 0)
	} else {
		most(f.RestMax, prev)
	}
	return max(from, early), to, max(early, int(s.p.Now)), s.p.Costs.RackWait
}

// ways calls f for every way to do a step: its times, its ticks and its own
// cost, which is waiting, overtime, lateness at the last step, and move at the
// first layer.
func (s *search) ways(i, step, mold, prev int, f func(x placed, ticks uint64, cost int64)) {
	q := &s.p.Pours[i]
	from, to, waits, rate := s.window(i, step, mold, prev)
	j := s.job(i, step, mold)
	heads := 0
	for _, n := range j.crew {
		heads += n
	}
	for t := from; t <= to; t++ {
		if !s.open[t] || j.when != nil && !inSome(j.when, model.Tick(t)) {
			continue
		}
		for put := range 2 {
			end, ticks := s.do(t, int(j.work), j.pausable, put == 1)
			if end < 0 {
				continue
			}
			over := uint64(0)
			for u := t; u < end; u++ {
				if s.over[u] {
					over |= 1 << s.idx[u]
				}
			}
			cost := int64(rate)*s.reg(waits, t) + int64(s.p.Costs.Overtime)*int64(heads*bits.OnesCount64(ticks&over))
			if step == 1 && q.Base != nil {
				off := t - int(q.Base.Start)
				if s.p.Molds[mold].ID != q.Base.Mold || max(off, -off) > int(s.p.MoveTolerance) {
					cost += int64(s.p.Costs.Move)
				}
			}
			if step == s.count(i)-1 {
				cost += int64(q.LatePerTick) * int64(max(0, end-int(q.Due)))
			}
			f(placed{t, end}, ticks, cost)
		}
	}
}

// do is the end and the ticks of a task that starts at the open tick t; end -1
// if it cannot be done so, or if putting it down changes nothing.
func (s *search) do(t, work int, pausable, put bool) (end int, ticks uint64) {
	if put && (!pausable || s.over[t]) {
		return -1, 0
	}
	u, skipped := t, false
	for ; work > 0; u++ {
		if u >= s.h {
			return -1, 0
		}
		if !s.open[u] {
			if !pausable {
				return -1, 0
			}
			continue
		}
		if put && s.over[u] {
			skipped = true
			continue
		}
		ticks |= 1 << s.idx[u]
		work--
	}
	if put && !skipped {
		return -1, 0
	}
	return u, ticks
}

// minFrom is the least own cost of the steps from step on, whatever else is
// going on in the shop; never if they cannot be done.
func (s *search) minFrom(i, step, mold, prev int) int64 {
	if step == s.count(i) {
		return 0
	}
	k := key{i, step, mold, prev}
	if v, ok := s.memo[k]; ok {
		return v
	}
	best := int64(never)
	s.ways(i, step, mold, prev, func(x placed, _ uint64, cost int64) {
		if cost < best {
			best = min(best, cost+s.minFrom(i, step+1, mold, x.e))
		}
	})
	s.memo[k] = best
	return best
}

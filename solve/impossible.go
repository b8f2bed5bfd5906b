package solve

import (
	"fmt"
	"slices"
	"time"

	"pourweek/model"
	"pourweek/solve/inst"
)

// impossible looks for simple proofs that no plan is allowed: fixed work that
// asks for more than there is, racks that lack places for what rests on them,
// steps that are longer than any stretch of time for them, and cast pieces that
// cannot be taken on in time. It gives the reason, "" if it finds none. Cost
// O(H * people * crews + pours).
func impossible(in *inst.Inst) string {
	for _, find := range []func(*inst.Inst) string{lackingHeads, lackingStations, lackingRacks, tooLong, lackingTime} {
		if s := find(in); s != "" {
			return s
		}
	}
	return ""
}

// clockTime writes a tick as the shop's clock shows it.
func clockTime(in *inst.Inst, t int32) string {
	at, err := time.Parse(time.RFC3339, in.P.Start)
	if err != nil {
		return fmt.Sprintf("tick %d", t)
	}
	return at.Add(time.Duration(t) * time.Duration(in.P.TickMinutes) * time.Minute).Format("Mon 2006-01-02 15:04")
}

// lackingHeads compares the heads that fixed work asks of each skill with the
// people who are there and have it.
func lackingHeads(in *inst.Inst) string {
	for k, skill := range in.Skills {
		asked := make([]int32, in.H)
		for i := range in.Fixed {
			f := &in.Fixed[i]
			for _, h := range f.Crew {
				if h.Skill != int32(k) {
					continue
				}
				for t := max(f.Start, 0); t < min(f.End, in.H); t++ {
					asked[t] += h.N
				}
			}
		}
		for t, n := range asked {
			if n == 0 || !in.Open[t] {
				continue
			}
			have := int32(0)
			for i := range in.People {
				if in.People[i].Mask>>k&1 != 0 && in.People[i].On[t] {
					have++
				}
			}
			if n > have {
				return fmt.Sprintf("at %s fixed work asks for %d people with the skill %q, and %d are there", clockTime(in, int32(t)), n, skill, have)
			}
		}
	}
	return ""
}

// lackingStations looks for stations that fixed work alone overfills.
func lackingStations(in *inst.Inst) string {
	for s := range in.Stations {
		held := make([]int32, in.H+1)
		for i := range in.Fixed {
			f := &in.Fixed[i]
			if f.Station == int32(s) && f.Start >= 0 && f.End <= in.H && f.Start < f.End {
				held[f.Start]++
				held[f.End]--
			}
		}
		n := int32(0)
		for t, d := range held {
			if n += d; n > in.Stations[s].Places {
				return fmt.Sprintf("at %s fixed work holds %d places of station %q, which has %d", clockTime(in, int32(t)), n, in.Stations[s].ID, in.Stations[s].Places)
			}
		}
	}
	return ""
}

// lackingRacks looks for racks that cannot hold at the start what rests there.
func lackingRacks(in *inst.Inst) string {
	for r := range in.Racks {
		n := int32(0)
		for i := range in.Pours {
			if p := &in.Pours[i]; p.Stage == inst.Racked && p.Rack == int32(r) {
				n += p.Places
			}
		}
		if n > 0 && in.H > 0 && n > in.Racks[r].Places[0] {
			return fmt.Sprintf("%d places of rack %q are taken at the start, and it has %d", n, in.Racks[r].ID, in.Racks[r].Places[0])
		}
	}
	return ""
}

// tooLong looks for steps of pours that cannot be carried which never can be done,
// as no stretch of hours is as long.
func tooLong(in *inst.Inst) string {
	for _, x := range model.FindTooLong(in.P) {
		i := slices.IndexFunc(in.P.Pours, func(q model.Pour) bool { return q.ID == x.Pour })
		if q := &in.P.Pours[i]; q.Stage != model.New || q.Pin != nil {
			return fmt.Sprintf("pour %q: %s; %s", x.Pour, x.Sentence(), x.Mend())
		}
	}
	return ""
}

// lackingTime looks for curing and racked pours without an open tick in which
// their next step may start, and for pins at which the shop is closed.
func lackingTime(in *inst.Inst) string {
	for i := range in.P.Pours {
		p := &in.P.Pours[i]
		for _, limit := range []*model.Tick{p.MoldUntil, p.FromMax} {
			if limit != nil && *limit < model.Tick(in.Now) {
				return fmt.Sprintf("pour %q has a limit for its next step, tick %d, that is over", p.ID, *limit)
			}
		}
	}
	for i := range in.Pours {
		p := &in.Pours[i]
		from, last, step := int32(0), int32(-1), &p.Demold
		switch p.Stage {
		case inst.Curing:
			from, last = p.CuredAt, p.MoldUntil
		case inst.Racked:
			from, last = p.From, p.FromMax
			step = &p.Finish[p.Next].Task
		case inst.New:
			if p.PinMold == inst.None {
				continue
			}
			from, last, step = p.PinStart, p.PinStart, &p.Layers[0].Task
		}
		if last < 0 || last >= in.H {
			last = in.H - 1
		}
		if !startIn(in, step, max(from, in.Now), last) {
			return fmt.Sprintf("pour %q has no start for its next step, %d ticks of work, from %s to %s",
				p.ID, step.Work, clockTime(in, max(from, in.Now)), clockTime(in, last))
		}
	}
	return ""
}

// startIn reports whether a task may start in [from, last] as far as opening
// hours and its own hours go.
func startIn(in *inst.Inst, t *inst.Task, from, last int32) bool {
	for s := from; s <= last; s++ {
		if t.Starts(s) && (!t.Pausable && in.SteadyEnd(s, t.Work) >= 0 || t.Pausable && in.StraightEnd(s, t.Work) >= 0) {
			return true
		}
	}
	return false
}

package exact

import (
	"slices"

	"pourweek/solve/inst"
)

// A loose tail is the finish steps of a pour after a long rest: the sweep pays
// what the pour's tables say they cost at least, prices included, when the step
// before them starts, and follows them no further. States then differ no more in
// the tick from which such a step may start. In exchange all work is paid for at
// its price when it starts, and what people are worth is paid back tick by tick,
// so that the cheapest way is a Lagrangian bound in which the steps that are
// followed keep all rules.

// loosened is the week with all tails loose that may be, nil if there is none.
func (w *week) loosened() *week {
	v := *w
	w = &v
	w.ends = slices.Clone(w.ends)
	long := w.longestOpen()
	for i := range w.pours {
		p := &w.pours[i]
		if w.tables[i] == nil {
			continue
		}
		first := 1
		if int(p.Next) >= first && p.Stage == inst.Racked {
			first = int(p.Next) + 1
		}
		for k := first; k < len(p.finish); k++ {
			if p.Finish[k].Rest > long && p.Finish[k].RestMax < 0 {
				w.ends[i] = p.dem() + 1 + k
				w.priced = true
				break
			}
		}
	}
	if !w.priced {
		return nil
	}
	return w
}

// longestOpen is the longest stretch of open ticks.
func (s *shop) longestOpen() int32 {
	most, n := int32(0), int32(0)
	for i := 1; i < s.open; i++ {
		n++
		if s.in.OpenAt[i] != s.in.OpenAt[i-1]+1 {
			n = 0
		}
		most = max(most, n+1)
	}
	return most
}

// refund is what people are worth over [a, b), where work is paid for when it
// starts.
func (w *week) refund(a, b int32) int64 {
	if !w.priced {
		return 0
	}
	return w.yLeft[w.in.OpenIndex(a)] - w.yLeft[w.in.OpenIndex(b)]
}

// ownCost is the cost of a task's start at x.t: its overtime, and its price
// where that is paid at once.
func (x *sweep) ownCost(t *task, put bool) int64 {
	switch {
	case x.priced && put:
		return int64(t.putCost[x.t])
	case x.priced:
		return int64(t.cost[x.t])
	case put:
		return 0
	}
	return int64(t.overtime(x.shop, x.t))
}

// washCost is the like for a clean-up of n ticks that starts at x.t.
func (x *sweep) washCost(m *mix, n int32) int64 {
	if x.priced {
		return int64(x.steady(m.washer, x.t, x.t+n))
	}
	i := x.in.OpenIndex(x.t)
	return int64(m.crew.over[i+n] - m.crew.over[i])
}

// mixCost is the like for mixing.
func (x *sweep) mixCost(m *mix) int64 {
	if x.priced {
		return int64(x.mixPrice(m, x.t))
	}
	i := x.in.OpenIndex(x.t)
	j := i + m.Ready
	return int64(m.crew.over[i+m.Mix.Mix] - m.crew.over[i] + m.crew.over[j] - m.crew.over[j-m.Remix])
}

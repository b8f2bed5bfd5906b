package exact

import "pourweek/solve/inst"

// usage is work by row and open tick along the cheapest ways.
type usage struct {
	*week
	rows [][]float64
}

// collect adds the work of the cheapest way of every chain and tail.
func (w *usage) collect() {
	for i, b := range w.tables {
		if b != nil && w.before[i] < 0 {
			switch b.p.Stage {
			case inst.Racked:
				w.finish(b, int(b.p.Next), max(b.p.From, w.in.Now))
			case inst.Curing:
				w.demold(b, w.cured(b.p, 0))
			default:
				w.pour(b, 0)
			}
		}
	}
}

// firstAt is the first start at or after t at which waiting in a from table
// ends. The table falls to the start's value by the waiting rate alone.
func (s *shop) firstAt(from, start []int32, t int32) int32 {
	for ; t < s.in.H; t++ {
		if start[t] < inf && start[t] <= from[t] {
			return t
		}
	}
	return -1
}

// use is work of a crew in some ticks, one part in share of it.
type use struct {
	*crew
	ticks
	share int32
}

func (w *usage) add(u use) {
	f := 1 / float64(u.share)
	for i := w.in.OpenIndex(u.from); i < w.in.OpenIndex(u.to); i++ {
		if u.regular && w.in.Overtime[w.in.OpenAt[i]] {
			continue
		}
		for r, n := range u.need {
			if u.regular && r >= len(w.shop.rows) {
				break
			}
			w.rows[r][i] += float64(f * float64(n))
		}
	}
}

// way picks the way of a task at x whose cost and what follows is v, uses it
// and returns its end.
func (w *usage) way(t *task, x, v int32, after func(e int32) int32) int32 {
	if e := t.end[x]; e >= 0 && add(t.cost[x], after(e)) <= v {
		w.add(use{t.crew, ticks{x, e, false}, 1})
		return e
	}
	e := t.putEnd[x]
	w.add(use{t.crew, ticks{x, e, true}, 1})
	return e
}

func (w *usage) finish(b *tables, k int, t int32) {
	for ; k < len(b.p.finish); k++ {
		x := w.firstAt(b.finFrom[k], b.finStart[k], t)
		e := w.way(b.p.finish[k], x, b.finStart[k][x], func(e int32) int32 { return w.afterFinish(b, k, e) })
		if k+1 < len(b.p.finish) {
			t = max(e+b.p.Finish[k+1].Rest, w.in.Now)
		}
	}
}

func (w *usage) demold(b *tables, t int32) {
	x := w.firstAt(b.demFrom, b.demStart, t)
	e := b.p.demold.end[x]
	w.add(use{b.p.demold.crew, ticks{x, e, false}, 1})
	if len(b.p.finish) > 0 {
		w.finish(b, 0, max(e+b.p.Finish[0].Rest, w.in.Now))
	}
	if b.next != nil {
		w.pour(b.next, e)
	}
}

func (w *usage) pour(b *tables, free int32) {
	if t := max(free, w.in.Now); b.solo != nil && at(b.solo.least[0], t) >= w.fromFree(b, free) {
		w.alone(b.solo, t)
		return
	}
	x := w.firstAt(b.prepFrom[0], b.prepStart[0], max(free, w.in.Now, w.in.Molds[b.mold].FreeFrom))
	e := w.way(b.prepTask, x, b.prepStart[0][x], func(e int32) int32 { return at(b.layerFrom[0], e) })
	for j, t := range b.p.layers {
		v := b.layerStart[0][j]
		if j == 0 {
			x = w.firstAt(b.layerFrom[0], v, e)
		} else {
			x = w.argWindow(v, e+b.p.Layers[j].GapMin, e+b.p.Layers[j].GapMax)
		}
		e = t.end[x]
		w.add(use{t.crew, ticks{x, e, false}, 1})
		for d := range b.p.draws {
			if q := &b.p.draws[d]; q.first == j {
				w.batch(q, x)
			}
		}
	}
	x = w.argWindow(b.coverStart, e+b.p.CoverGapMin, e+b.p.CoverGapMax)
	e = b.p.cover.end[x]
	w.add(use{b.p.cover.crew, ticks{x, e, false}, 1})
	w.demold(b, w.cured(b.p, e))
}

func (s *shop) argWindow(v []int32, lo, hi int32) int32 {
	best := lo
	for u := lo; u <= min(hi, s.in.H-1); u++ {
		if v[u] < v[best] {
			best = u
		}
	}
	return best
}

func (w *usage) batch(d *draw, x int32) {
	_, b := w.bestBatch(d, x)
	for _, u := range w.mixUses(d, b, true) {
		w.add(u)
	}
}

// mixUses is the work of a batch at the tick b, as far as a draw shares it, with
// the cheapest clean-up if so.
func (s *shop) mixUses(d *draw, b int32, wash bool) []use {
	m := &s.mixes[d.mix]
	ready := b + m.Ready
	out := []use{
		{m.crew, ticks{b, b + m.Mix.Mix, false}, d.share},
		{m.crew, ticks{ready - m.Remix, ready, false}, d.share},
		{m.hold, ticks{b + m.holdA, b + m.holdB, false}, d.share},
	}
	if !wash || m.wash == 0 {
		return out
	}
	best := s.washPrice(m, ready+m.GapMin, ready+m.GapMax)
	for z := ready + m.GapMin; z <= ready+m.GapMax; z++ {
		if s.steady(m.washer, z, z+m.wash) == best {
			return append(out, use{m.washer, ticks{z, z + m.wash, false}, d.share})
		}
	}
	return out
}

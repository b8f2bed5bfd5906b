package search

import (
	"fmt"

	"pourweek/solve/inst"
)

// alike lists, by pour, the pours that differ from it in nothing but order,
// dates and costs: such pours may change places.
func (q *prob) alike() [][]int32 {
	groups := map[string][]int32{}
	var keys []string
	for i := range q.pours {
		p := &q.pours[i]
		if p.Stage != inst.New || p.PinMold != inst.None {
			continue
		}
		cure := fmt.Sprintf("%p", p.CureEnd) // pours of one cure share its table
		layers := make([]string, len(p.Layers))
		for j := range p.Layers {
			layers[j] = fmt.Sprint(p.Layers[j])
		}
		key := fmt.Sprint(p.Molds, p.PrepMax, layers, p.Draws, p.Cover.Work, p.Cover.Crew, p.Cover.Station, p.Cover.When,
			p.CoverGapMin, p.CoverGapMax, cure, p.MoldMax, p.Demold, p.Racks, p.Places, p.Spans, p.Finish)
		if _, ok := groups[key]; !ok {
			keys = append(keys, key)
		}
		groups[key] = append(groups[key], int32(i))
	}
	l := make([][]int32, len(q.pours))
	for _, k := range keys {
		if g := groups[k]; len(g) > 1 {
			for _, i := range g {
				l[i] = g
			}
		}
	}
	return l
}

// trade lets pours that were placed anew change places with pours alike where
// that is cheaper.
func (w *worker) trade() {
	r, s := &w.ruin, w.s
	for _, p := range r.news {
		g := w.q.like[p]
		if g == nil || (r.in[p] == 0 && s.stage[p] != away) {
			continue
		}
		for _, x := range g {
			if x != p && w.tradeGain(p, x) < 0 {
				w.swap(p, x)
			}
		}
	}
}

// tradeGain is what the cost changes by if two pours alike change places; 1
// where they may not.
func (w *worker) tradeGain(a, b int32) int64 {
	s, p, q := w.s, &w.q.pours[a], &w.q.pours[b]
	if p.Ship != q.Ship || s.stage[a] == poured || s.stage[b] == poured || (s.stage[a] == away && s.stage[b] == away) {
		return 1
	}
	if p.Ship >= 0 && s.stage[a] != s.stage[b] {
		return 1
	}
	var c int64
	for _, y := range [2][2]int32{{a, b}, {b, a}} {
		here, there := y[0], y[1]
		x := &w.q.pours[here]
		if s.stage[there] == away {
			c += w.outCost(x) - w.loneCost(x, here)
			continue
		}
		if w.q.clock[s.start[w.q.pours[there].t0]] < x.Release {
			return 1
		}
		c += w.loneCost(x, there)
		if s.stage[here] == away {
			c -= w.outCost(x)
		} else {
			c -= w.loneCost(x, here)
		}
	}
	return c
}

// loneCost is the lateness and move of pour p in the place of pour x.
func (w *worker) loneCost(p *pour, x int32) int64 {
	c := p.LatePerTick * int64(max(0, w.readyOf(x)-p.Due))
	l1 := w.l1(x)
	if p.BaseMold != inst.None && (w.s.mold[x] != p.BaseMold || max(l1-p.BaseStart, p.BaseStart-l1) > w.q.MoveTolerance) {
		c += int64(w.q.Costs.Move)
	}
	return c
}

// swap lets two pours alike change places.
func (w *worker) swap(a, b int32) {
	q, s := w.q, w.s
	s.cost += w.tradeGain(a, b)
	p, x := &q.pours[a], &q.pours[b]
	n := 3 + p.layers + int32(len(p.Finish))
	for k := range n {
		i, j := p.t0+k, x.t0+k
		s.start[i], s.start[j] = s.start[j], s.start[i]
		s.end[i], s.end[j] = s.end[j], s.end[i]
		for h := range q.whoOff[i+1] - q.whoOff[i] {
			u, v := q.whoOff[i]+h, q.whoOff[j]+h
			s.who[u], s.who[v] = s.who[v], s.who[u]
		}
	}
	for d := range int32(len(p.Draws)) {
		s.feed[p.d0+d], s.feed[x.d0+d] = s.feed[x.d0+d], s.feed[p.d0+d]
	}
	for _, l := range [][]int32{s.stage, s.mold, s.pick, s.rack, s.hold, s.prev, s.next} {
		l[a], l[b] = l[b], l[a]
	}
	other := func(v *int32) {
		switch *v {
		case a:
			*v = b
		case b:
			*v = a
		}
	}
	for i := range s.prev {
		other(&s.prev[i])
		other(&s.next[i])
	}
	for i := range s.head {
		other(&s.head[i])
	}
}

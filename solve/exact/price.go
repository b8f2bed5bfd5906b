package exact

// ticks are the open ticks in [from, to), the regular ones alone if so.
type ticks struct {
	from, to int32
	regular  bool
}

// reprice works out all priced tables after s.y has changed; in a corridor those of
// tasks and batches wait until a tick of them is asked for.
func (s *shop) reprice() {
	in := s.in
	s.round++
	s.yLeft = make([]int64, s.open+1)
	for i := s.open - 1; i >= 0; i-- {
		s.yLeft[i] = s.yLeft[i+1]
		if in.OpenAt[i] < in.Now {
			continue
		}
		for r := range s.y {
			s.yLeft[i] += int64(s.y[r][i]) * int64(s.have[r][i])
		}
	}
	for _, c := range s.crews {
		k := 0
		for i := range s.open {
			v, people := int32(0), int32(0)
			for r, n := range c.need {
				v += n * s.y[r][i]
				if r < len(s.rows) {
					people = v
				}
			}
			c.price[i+1] = c.price[i] + v
			if !in.Overtime[in.OpenAt[i]] {
				c.reg[k+1] = c.reg[k] + people
				k++
			}
		}
	}
	if s.lazy {
		return
	}
	for _, t := range s.tasks {
		s.priceTask(t, 0, in.H)
	}
	for m := range s.mixes {
		for at := range in.H {
			s.priceMix(&s.mixes[m], at)
		}
	}
}

// priceTask fills the costs of a task for starts in [lo, hi).
func (s *shop) priceTask(t *task, lo, hi int32) {
	for at := lo; at < hi; at++ {
		t.cost[at] = inf
		if e := t.end[at]; e >= 0 {
			i := s.in.OpenIndex(at)
			t.cost[at] = t.price[i+t.work] - t.price[i] + t.over[i+t.work] - t.over[i]
		}
		if t.putEnd != nil {
			t.putCost[at] = inf
			if t.putEnd[at] >= 0 {
				k := s.in.RegIndex(at)
				t.putCost[at] = t.reg[k+t.work] - t.reg[k]
			}
		}
	}
}

// overtime is the overtime cost of a task that starts at the open tick t.
func (t *task) overtime(s *shop, at int32) int32 {
	i := s.in.OpenIndex(at)
	return t.over[i+t.work] - t.over[i]
}

// steady is the price and overtime of the ticks [a, b), all open; inf if they
// are not.
func (s *shop) steady(c *crew, a, b int32) int32 {
	if a == b {
		return 0
	}
	if s.in.SteadyEnd(a, b-a) < 0 {
		return inf
	}
	i := s.in.OpenIndex(a)
	j := i + b - a
	return c.price[j] - c.price[i] + c.over[j] - c.over[i]
}

// batchPrice is the price of a batch's people for a start at b: those of mixing, and
// of the cheapest clean-up after it; inf where none can start.
func (s *shop) batchPrice(m *mix, b int32) int32 {
	if s.lazy && m.known[b] != s.round {
		s.priceMix(m, b)
	}
	return m.price[b]
}

func (s *shop) priceMix(m *mix, at int32) {
	m.known[at], m.price[at] = s.round, inf
	if at < s.in.Now || m.Ready > 0 && s.in.SteadyEnd(at, m.Ready) < 0 {
		return
	}
	ready := at + m.Ready
	if w := s.washPrice(m, ready+m.GapMin, ready+m.GapMax); w < inf {
		m.price[at] = w + s.mixPrice(m, at)
	}
}

// washPrice is the least price of a clean-up that starts in [from, to].
func (s *shop) washPrice(m *mix, from, to int32) int32 {
	if m.wash == 0 {
		return 0
	}
	best := inf
	for z := max(from, 0); z <= min(to, s.in.H-1); z++ {
		best = min(best, s.steady(m.washer, z, z+m.wash))
	}
	return best
}

// mixPrice is the price of mixing a batch from the tick at on.
func (s *shop) mixPrice(m *mix, at int32) int32 {
	ready := at + m.Ready
	return s.steady(m.crew, at, at+m.Mix.Mix) + s.steady(m.crew, ready-m.Remix, ready) + s.steady(m.hold, at+m.holdA, at+m.holdB)
}

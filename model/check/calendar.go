package check

import (
	"slices"

	"pourweek/model"
)

// calendar counts open and regular ticks.
type calendar struct {
	open    []int32 // open[t] is the number of open ticks before t, 0 <= t <= H
	regular []int32 // the same for open ticks that are not overtime
	openIn  []model.Interval
	regIn   []model.Interval
}

func newCalendar(p *model.Problem) calendar {
	h := max(0, int(p.Horizon))
	kind := make([]byte, h) // 1 open, 3 overtime
	mark := func(ivs []model.Interval, bits byte) {
		for _, iv := range ivs {
			for t := max(0, iv.From()); t < min(model.Tick(h), iv.To()); t++ {
				kind[t] |= bits
			}
		}
	}
	mark(p.Open, 1)
	mark(p.Overtime, 2)
	c := calendar{open: make([]int32, h+1), regular: make([]int32, h+1)}
	for t, k := range kind {
		c.open[t+1] = c.open[t] + int32(k&1)
		c.regular[t+1] = c.regular[t]
		if k == 1 {
			c.regular[t+1]++
		}
	}
	c.openIn = runs(c.open)
	c.regIn = runs(c.regular)
	return c
}

// runs lists the maximal intervals of the ticks that are counted.
func runs(before []int32) []model.Interval {
	var out []model.Interval
	from := -1
	for t := range len(before) - 1 {
		in := before[t+1] > before[t]
		if in && from < 0 {
			from = t
		}
		if !in && from >= 0 {
			out = append(out, model.Interval{model.Tick(from), model.Tick(t)})
			from = -1
		}
	}
	if from >= 0 {
		out = append(out, model.Interval{model.Tick(from), model.Tick(len(before) - 1)})
	}
	return out
}

func count(before []int32, a, b model.Tick) model.Tick {
	h := model.Tick(len(before) - 1)
	a, b = min(max(a, 0), h), min(max(b, 0), h)
	if b <= a {
		return 0
	}
	return model.Tick(before[b] - before[a])
}

// opens is the number of open ticks in [a, b).
func (c *calendar) opens(a, b model.Tick) model.Tick { return count(c.open, a, b) }

// reg is the number of regular ticks in [a, b), 0 when b <= a.
func (c *calendar) reg(a, b model.Tick) model.Tick { return count(c.regular, a, b) }

// isOpen reports whether t is an open tick.
func (c *calendar) isOpen(t model.Tick) bool { return count(c.open, t, t+1) == 1 }

// isRegular reports whether t is an open tick without overtime.
func (c *calendar) isRegular(t model.Tick) bool { return count(c.regular, t, t+1) == 1 }

// firstClosed is the first tick of iv that is not open; iv has one.
func (c *calendar) firstClosed(iv model.Interval) model.Tick {
	t := iv.From()
	for t < iv.To() && c.isOpen(t) {
		t++
	}
	return t
}

// within appends to buf the parts of the ascending runs that lie in iv.
func within(buf []model.Interval, runs []model.Interval, iv model.Interval) []model.Interval {
	i, _ := slices.BinarySearchFunc(runs, iv.From(), func(r model.Interval, t model.Tick) int {
		if r.To() <= t {
			return -1
		}
		return 1
	})
	for ; i < len(runs) && runs[i].From() < iv.To(); i++ {
		buf = append(buf, model.Interval{max(runs[i].From(), iv.From()), min(runs[i].To(), iv.To())})
	}
	return buf
}

// join merges ascending intervals that touch.
func join(ivs []model.Interval) []model.Interval {
	touch := false
	for i := 1; i < len(ivs); i++ {
		touch = touch || ivs[i].From() <= ivs[i-1].To()
	}
	if !touch {
		return ivs
	}
	out := []model.Interval{ivs[0]}
	for _, iv := range ivs[1:] {
		last := &out[len(out)-1]
		if iv.From() <= last.To() {
			last[1] = max(last[1], iv.To())
		} else {
			out = append(out, iv)
		}
	}
	return out
}

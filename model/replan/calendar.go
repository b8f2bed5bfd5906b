package replan

import "pourweek/model"

// calendar counts open and regular ticks of a problem.
type calendar struct {
	open, overtime []bool
}

func newCalendar(p *model.Problem) *calendar {
	c := &calendar{open: make([]bool, p.Horizon), overtime: make([]bool, p.Horizon)}
	fill(c.open, p.Open)
	fill(c.overtime, p.Overtime)
	return c
}

func fill(m []bool, ivs []model.Interval) {
	for _, iv := range ivs {
		for t := max(iv[0], 0); t < min(iv[1], model.Tick(len(m))); t++ {
			m[t] = true
		}
	}
}

// openIn is the number of open ticks in [a, b).
func (c *calendar) openIn(a, b model.Tick) model.Tick {
	n := model.Tick(0)
	for t := max(a, 0); t < min(b, model.Tick(len(c.open))); t++ {
		if c.open[t] {
			n++
		}
	}
	return n
}

// later is one past the n-th open tick at or after t; t itself for n = 0. Past
// the horizon it counts every tick.
func (c *calendar) later(t, n model.Tick) model.Tick {
	for ; n > 0; t++ {
		if t < 0 || t >= model.Tick(len(c.open)) || c.open[t] {
			n--
		}
	}
	return t
}

// taken lists, as runs, the ticks from now on in which a pausable task that
// holds [s, e) and has w ticks of work is at work: its open ticks when it is
// done straight on, its regular ones when it is put down for overtime.
// (Planning model, section 2.)
func (c *calendar) taken(iv model.Interval, w, now model.Tick) []model.Interval {
	straight := c.openIn(iv[0], iv[1]) == w
	var runs []model.Interval
	for t := max(iv[0], now, 0); t < min(iv[1], model.Tick(len(c.open))); t++ {
		if !c.open[t] || !straight && c.overtime[t] {
			continue
		}
		if n := len(runs); n > 0 && c.joins(runs[n-1][1], t, straight) {
			runs[n-1][1] = t + 1
			continue
		}
		runs = append(runs, model.Interval{t, t + 1})
	}
	return runs
}

// joins reports whether fixed work over [.., b) may go on to t: no tick
// between is open, or all of them are taken.
func (c *calendar) joins(b, t model.Tick, straight bool) bool {
	return straight || c.openIn(b, t) == 0
}

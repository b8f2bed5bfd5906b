package inst

import "pourweek/model"

// Cal is the calendar of a problem as tables over ticks 0 .. H.
type Cal struct {
	H        int32
	Open     []bool  // length H
	Overtime []bool  // length H
	openSum  []int32 // openSum[t] = open ticks before t, length H+1
	regSum   []int32 // regular ticks before t
	OpenAt   []int32 // the open ticks, ascending
	RegAt    []int32 // the regular ticks, ascending
	Run      []int32 // open ticks in a row from t on, length H+1
}

func newCal(p *model.Problem) Cal {
	h := int32(p.Horizon)
	c := Cal{H: h, Open: Mask(p.Open, h), Overtime: Mask(p.Overtime, h)}
	c.openSum = make([]int32, h+1)
	c.regSum = make([]int32, h+1)
	for t := int32(0); t < h; t++ {
		c.openSum[t+1], c.regSum[t+1] = c.openSum[t], c.regSum[t]
		if !c.Open[t] {
			continue
		}
		c.openSum[t+1]++
		c.OpenAt = append(c.OpenAt, t)
		if !c.Overtime[t] {
			c.regSum[t+1]++
			c.RegAt = append(c.RegAt, t)
		}
	}
	c.Run = make([]int32, h+1)
	for t := h - 1; t >= 0; t-- {
		if c.Open[t] {
			c.Run[t] = c.Run[t+1] + 1
		}
	}
	return c
}

// Mask lays intervals out over the ticks 0 .. h-1; what lies outside is cut.
func Mask(ivs []model.Interval, h int32) []bool {
	m := make([]bool, h)
	for _, iv := range ivs {
		for t := max(iv[0], 0); t < min(iv[1], model.Tick(h)); t++ {
			m[t] = true
		}
	}
	return m
}

// Reg is the number of regular ticks in [a, b), 0 when b <= a. Both are cut to
// [0, H].
func (c *Cal) Reg(a, b int32) int32 {
	a, b = c.clip(a), c.clip(b)
	if b <= a {
		return 0
	}
	return c.regSum[b] - c.regSum[a]
}

// OpenTicks is the number of open ticks in [a, b), 0 when b <= a.
func (c *Cal) OpenTicks(a, b int32) int32 {
	a, b = c.clip(a), c.clip(b)
	if b <= a {
		return 0
	}
	return c.openSum[b] - c.openSum[a]
}

func (c *Cal) clip(t int32) int32 { return min(max(t, 0), c.H) }

// OpenIndex is the index in OpenAt of the first open tick at or after t.
func (c *Cal) OpenIndex(t int32) int32 { return c.openSum[c.clip(t)] }

// RegIndex is the index in RegAt of the first regular tick at or after t.
func (c *Cal) RegIndex(t int32) int32 { return c.regSum[c.clip(t)] }

// SteadyEnd is s + w if the ticks s .. s+w-1 are all open, else -1.
func (c *Cal) SteadyEnd(s, w int32) int32 {
	if s < 0 || s >= c.H || c.Run[s] < w {
		return -1
	}
	return s + w
}

// StraightEnd is the end of a pausable task of w ticks that starts at the open
// tick s and takes the first w open ticks; -1 if s is closed or H comes first.
func (c *Cal) StraightEnd(s, w int32) int32 {
	if s < 0 || s >= c.H || !c.Open[s] {
		return -1
	}
	return nth(c.OpenAt, c.openSum[s]+w-1)
}

// PutDownEnd is the end of a pausable task of w ticks that starts at the
// regular tick s and takes the first w regular ticks; -1 if s is not regular
// or H comes first.
func (c *Cal) PutDownEnd(s, w int32) int32 {
	if s < 0 || s >= c.H || !c.Open[s] || c.Overtime[s] {
		return -1
	}
	return nth(c.RegAt, c.regSum[s]+w-1)
}

func nth(at []int32, i int32) int32 {
	if int(i) >= len(at) {
		return -1
	}
	return at[i] + 1
}

// Starts reports whether the task may start at s as far as `when` goes.
func (t *Task) Starts(s int32) bool {
	if t.When == nil {
		return true
	}
	for _, iv := range t.When {
		if model.Tick(s) < iv[0] {
			return false
		}
		if model.Tick(s) < iv[1] {
			return true
		}
	}
	return false
}

package shop

import (
	"math"

	"pourweek/model/unit"
)

// halfRule is the rise in temperature that halves a pot life given at one
// temperature: 20 F. (Check values, section 4, "half rule": window x 1/2 per
// +20 F, x 2 per -20 F.)
const halfRule = 20 * 5000

// At is the pot life in air of a temperature, rounded down to the minute. Between
// two temperatures it follows the law of setting (between); outside of several it
// is that of the nearest.
func (p PotLife) At(t unit.Temp) unit.Minutes {
	pts := p.Points
	switch {
	case len(pts) == 0:
		return 0
	case p.Fixed:
		return pts[0].Life
	case len(pts) == 1:
		f := math.Exp2(float64(pts[0].Temp-t) / halfRule)
		return unit.Minutes(min(math.Floor(float64(float64(pts[0].Life)*f)+1e-9), maxMinutes))
	case t <= pts[0].Temp:
		return pts[0].Life
	}
	for i := 1; i < len(pts); i++ {
		a, b := pts[i-1], pts[i]
		if t <= b.Temp {
			return between(a, b, t)
		}
	}
	return pts[len(pts)-1].Life
}

// between is the pot life at a temperature from that of a to that of b. Setting
// follows the law of Arrhenius: the logarithm of the time is straight over the
// inverse of the absolute temperature (check values, section 4, the row with Ea).
// Its curve sags below a straight line, which would give the batch too long; the
// lower of both counts.
func between(a, b PotPoint, t unit.Temp) unit.Minutes {
	inverse := func(t unit.Temp) float64 { return 1 / (t.Celsius() + 273.15) }
	share := (inverse(a.Temp) - inverse(t)) / (inverse(a.Temp) - inverse(b.Temp))
	curve := float64(a.Life) * math.Exp(float64(share*math.Log(float64(b.Life)/float64(a.Life))))
	line := float64(a.Life) + float64(float64(b.Life-a.Life)*float64(t-a.Temp))/float64(b.Temp-a.Temp)
	return unit.Minutes(math.Floor(min(curve, line) + 1e-9))
}

// Longest is the pot life where the air is kindest to it, Shortest where it is
// hardest, over the temperatures that the file gives.
func (p PotLife) longest(a *Air) unit.Minutes {
	if p.Fixed || len(a.Usual) == 0 {
		return p.At(p.coolest())
	}
	long := unit.Minutes(0)
	for _, t := range a.all() {
		long = max(long, p.At(t))
	}
	return long
}

func (p PotLife) coolest() unit.Temp {
	if len(p.Points) == 0 {
		return 0
	}
	return p.Points[0].Temp
}

// all are the temperatures that the air has at some time.
func (a *Air) all() []unit.Temp {
	var out []unit.Temp
	for _, s := range a.Usual {
		out = append(out, s.Temp)
	}
	for _, d := range a.Days {
		for _, s := range d.Steps {
			out = append(out, s.Temp)
		}
	}
	return out
}

// span is the coldest and the warmest air.
func (a *Air) span() (cold, warm unit.Temp) {
	for i, t := range a.all() {
		if i == 0 || t < cold {
			cold = t
		}
		if i == 0 || t > warm {
			warm = t
		}
	}
	return cold, warm
}

// TimeAt is how long a cure by temperature takes in air of a temperature: the
// times of its points joined by straight lines, which is the safe side of the
// curve that hardening follows; that of the coldest point below it and of the
// warmest above it.
func (c *Cure) TimeAt(t unit.Temp) float64 {
	pts := c.AtTemp
	if len(pts) == 0 {
		return float64(c.Hours)
	}
	if t <= pts[0].Temp {
		return float64(pts[0].Time)
	}
	for i := 1; i < len(pts); i++ {
		a, b := pts[i-1], pts[i]
		if t <= b.Temp {
			share := float64(t-a.Temp) / float64(b.Temp-a.Temp)
			return float64(a.Time) + float64(float64(b.Time-a.Time)*share)
		}
	}
	return float64(pts[len(pts)-1].Time)
}

// Shortest is the least time that the cure can take.
func (c *Cure) Shortest() unit.Minutes {
	least := c.Hours
	if c.ByDay != nil {
		for _, v := range c.ByDay {
			if least == 0 || v > 0 && v < least {
				least = v
			}
		}
	}
	for _, p := range c.AtTemp {
		if least == 0 || p.Time < least {
			least = p.Time
		}
	}
	return least
}

package week

import (
	"math"
	"sort"
	"time"

	"pourweek/model"
	"pourweek/model/shop"
	"pourweek/model/unit"
)

// perDoubling is the difference of temperature that halves a pot life: 20 F.
// (Field rule, checks/check-values.md section 4: half for each 20 F.)
const perDoubling = 20 * 5000

// minCure is the least curing time unless the shop file says in words why less
// is enough: 16 h, the project's floor.
const minCure = unit.Minutes(16 * 60)

// daysBehind and daysAhead are how far the temperatures reach beyond the
// horizon: pieces may stand in their molds from before, and cure on behind it.
const (
	daysBehind = 100
	daysAhead  = 40
)

// longestLife bounds a pot life worked out for a cold night, in minutes.
const longestLife = 7 * 24 * 60

// almost is the share of ripeness that rounding may hide.
const almost = 1e-9

// airSpan is a stretch of time at one temperature, to the next span's start.
type airSpan struct {
	from time.Time
	temp unit.Temp
}

// airline is the temperature in the shop over time: ascending, neighbors differ.
type airline []airSpan

// newAirline lays the temperatures of the days out; nil if the file has none.
func newAirline(c *clock, a *shop.Air) airline {
	var out airline
	first, days := c.days[0].Add(-daysBehind), len(c.days)+daysBehind+daysAhead
	for i := range days {
		d := first.Add(i)
		for _, s := range a.Temps(d) {
			at := c.instant(d, ofDay(s.From), early)
			if n := len(out); n > 0 && !at.After(out[n-1].from) {
				out[n-1].temp = min(out[n-1].temp, s.Temp)
				continue
			}
			if n := len(out); n == 0 || out[n-1].temp != s.Temp {
				out = append(out, airSpan{at, s.Temp})
			}
		}
	}
	return out
}

// index is the span in which t lies, the first if t is before all.
func (a airline) index(t time.Time) int {
	return max(0, sort.Search(len(a), func(i int) bool { return a[i].from.After(t) })-1)
}

// potLife is the pot life by the tick in which a batch is begun, rounded down:
// the shortest of those at the temperatures that the batch would live through.
func (w *compiler) potLife(m *shop.Mix) model.Steps {
	if m.PotLife.Fixed || len(w.air) == 0 {
		var life unit.Minutes
		if len(m.PotLife.Points) > 0 {
			life = m.PotLife.Points[0].Life
		}
		return model.Steps{{0, int64(w.down(life))}}
	}
	var out steps
	here := w.air.index(w.clock.start)
	for i := here; i < len(w.air); i++ {
		first, end := model.Tick(0), w.clock.horizon
		if i > here {
			first = w.clock.up(w.air[i].from)
		}
		if i+1 < len(w.air) {
			end = min(end, w.clock.up(w.air[i+1].from))
		}
		if first < end {
			w.potLifeIn(m, i, model.Interval{first, end}, &out)
		}
	}
	return model.Steps(out)
}

// potLifeIn appends the pot life of the batches begun in a stretch at one
// temperature, that of span i of the air.
func (w *compiler) potLifeIn(m *shop.Mix, i int, in model.Interval, out *steps) {
	ticks := func(life float64) int64 { return int64(math.Floor(life/float64(w.shop.TickMinutes) + almost)) }
	full := lifeAt(m.PotLife.Points, w.air[i].temp)
	// Batches begun from this tick on would still be worked when span j begins.
	from := func(j int) model.Tick {
		return w.clock.down(w.air[j].from.Add(-time.Duration(full*float64(time.Minute)))) + 1
	}
	life, j := full, i+1
	for ; j < len(w.air) && from(j) <= in.From(); j++ {
		life = min(life, lifeAt(m.PotLife.Points, w.air[j].temp))
	}
	out.put(in.From(), ticks(life))
	for ; j < len(w.air) && from(j) < in.To(); j++ {
		life = min(life, lifeAt(m.PotLife.Points, w.air[j].temp))
		out.put(from(j), ticks(life))
	}
}

// steps is a step function that grows at its end.
type steps model.Steps

// put says that the value is v from tick t on; t ascends.
func (s *steps) put(t model.Tick, v int64) {
	if k := len(*s); k == 0 || (*s)[k-1][1] != v {
		*s = append(*s, model.Step{int64(t), v})
	}
}

// lifeAt is the pot life in minutes at a temperature. (shop.PotLife says how
// the points are read.)
func lifeAt(points []shop.PotPoint, t unit.Temp) float64 {
	if len(points) == 1 {
		return min(longestLife, float64(points[0].Life)*math.Exp2(float64(points[0].Temp-t)/perDoubling))
	}
	n := len(points)
	if t <= points[0].Temp {
		return float64(points[0].Life)
	}
	for i := 1; i < n; i++ {
		a, b := points[i-1], points[i]
		if t <= b.Temp {
			return float64(a.Life) + float64(b.Life-a.Life)*float64(t-a.Temp)/float64(b.Temp-a.Temp)
		}
	}
	return float64(points[n-1].Life)
}

// lag is the curing time in ticks after a cover that ends at t, rounded up; t
// may lie before tick 0.
func (w *compiler) lag(c *shop.Cure, t model.Tick) model.Tick {
	var m unit.Minutes
	switch {
	case c.ByDay != nil:
		m = c.ByDay[w.clock.at(t).In(w.clock.loc).Weekday()]
	case len(c.AtTemp) > 0:
		m = w.ripening(c, w.clock.at(t))
	default:
		m = c.Hours
	}
	if c.Early == "" {
		m = max(m, minCure)
	}
	return w.up(m)
}

// ripening is the time in minutes, rounded up, in which the shares of ripeness
// add up to one from t on.
func (w *compiler) ripening(c *shop.Cure, t time.Time) unit.Minutes {
	slowest := c.AtTemp[0].Time
	if len(w.air) == 0 {
		return slowest
	}
	share, minutes := 0.0, 0.0
	for i := w.air.index(t); ; i++ {
		rate := rateAt(c.AtTemp, w.air[i].temp)
		need := (1 - almost - share) / rate
		if i+1 == len(w.air) {
			minutes += need
			break
		}
		from := t
		if w.air[i].from.After(from) {
			from = w.air[i].from
		}
		length := w.air[i+1].from.Sub(from).Minutes()
		if need <= length {
			minutes += need
			break
		}
		share += rate * length
		minutes += length
	}
	return unit.Minutes(math.Ceil(minutes))
}

// rateAt is the share of ripeness that a minute at a temperature gives: on
// straight lines between the points, as the highest above it, as the lowest
// below it.
func rateAt(points []shop.CurePoint, t unit.Temp) float64 {
	rate := func(i int) float64 { return 1 / float64(max(1, points[i].Time)) }
	if t <= points[0].Temp {
		return rate(0)
	}
	for i := 1; i < len(points); i++ {
		a, b := points[i-1].Temp, points[i].Temp
		if t <= b {
			return rate(i-1) + (rate(i)-rate(i-1))*float64(t-a)/float64(b-a)
		}
	}
	return rate(len(points) - 1)
}

// cureSteps is the curing time by the tick in which the cover ends, at least
// floor. It is raised where needed so that a piece covered later is never ripe
// earlier. Ticks at which no cover can end, because none before them is open,
// have the value of those before them.
func (w *compiler) cureSteps(c *shop.Cure, floor model.Tick) model.Steps {
	if c.ByDay == nil && len(c.AtTemp) == 0 {
		return model.Steps{{0, int64(max(floor, w.lag(c, 0)))}}
	}
	var out steps
	ripe := model.Tick(0)
	for _, open := range w.cal.open {
		for t := open.From() + 1; t <= open.To(); t++ {
			ripe = max(ripe, t+max(floor, w.lag(c, t)))
			out.put(t, int64(ripe-t))
		}
	}
	if len(out) == 0 {
		return model.Steps{{0, int64(max(floor, w.lag(c, 0)))}}
	}
	out[0][0] = 0
	return model.Steps(out)
}

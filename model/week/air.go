package week

import (
	"math"
	"sort"
	"time"

	"pourweek/model"
	"pourweek/model/shop"
	"pourweek/model/unit"
)

// minCure is the least curing time unless the shop file says in words why less
// is enough: 16 h, the project's floor.
const minCure = unit.Minutes(16 * 60)

// daysBehind and daysAhead are how far the temperatures reach beyond the
// horizon: pieces may stand in their molds from before, and cure on behind it.
const (
	daysBehind = 100
	daysAhead  = 40
)

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
	var out model.Steps
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
	return out
}

// potLifeIn appends the pot life of the batches begun in a stretch at one
// temperature, that of span i of the air.
func (w *compiler) potLifeIn(m *shop.Mix, i int, in model.Interval, out *model.Steps) {
	full := m.PotLife.At(w.air[i].temp)
	// Batches begun from this tick on would still be worked when span j begins.
	from := func(j int) model.Tick {
		return w.clock.down(w.air[j].from.Add(-time.Duration(full)*time.Minute)) + 1
	}
	life, j := full, i+1
	for ; j < len(w.air) && from(j) <= in.From(); j++ {
		life = min(life, m.PotLife.At(w.air[j].temp))
	}
	out.Put(in.From(), int64(w.down(life)))
	for ; j < len(w.air) && from(j) < in.To(); j++ {
		life = min(life, m.PotLife.At(w.air[j].temp))
		out.Put(from(j), int64(w.down(life)))
	}
}

// lag is the curing time in ticks after a cover that ends at t, rounded up; t
// may lie before tick 0.
func (w *compiler) lag(c *shop.Cure, t model.Tick) model.Tick {
	var m unit.Minutes
	switch {
	case c.ByDay != nil:
		m = c.ByDay[w.clock.at(t).In(w.clock.loc).Weekday()]
	case len(c.AtTemp) > 0:
		m = c.AtTemp[0].Time
		if len(w.air) > 0 {
			m = w.ripener(c).minutes(w.clock.at(t))
		}
	default:
		m = c.Hours
	}
	if c.Early == "" {
		m = max(m, minCure)
	}
	return w.up(m)
}

// ripener is that of a cure; the last one is kept.
func (w *compiler) ripener(c *shop.Cure) *ripener {
	if w.ripeningOf != c {
		w.ripeningOf, w.ripening = c, newRipener(w.air, c)
	}
	return w.ripening
}

// ripener says when a cure by temperature is over. It knows the share of
// ripeness that a piece gathers from the first span of the air to the start of
// each, so that the answers for ascending times cost O(1) each.
type ripener struct {
	air     airline
	takes   []float64 // minutes that the cure takes at the temperature of each span
	gained  []float64 // share up to the start of each span
	last    time.Time // the last instant that was asked for
	at, end int       // the spans of its beginning and of its end
}

func newRipener(air airline, c *shop.Cure) *ripener {
	r := &ripener{air: air}
	sum := 0.0
	for i, s := range air {
		r.takes = append(r.takes, max(1, c.TimeAt(s.temp)))
		r.gained = append(r.gained, sum)
		if i+1 < len(air) {
			sum += air[i+1].from.Sub(s.from).Minutes() / r.takes[i]
		}
	}
	return r
}

// minutes is the time, rounded up, in which the shares add up to one from t on.
func (r *ripener) minutes(t time.Time) unit.Minutes {
	if t.Before(r.last) {
		r.at, r.end = 0, 0
	}
	r.last = t
	for r.at+1 < len(r.air) && !r.air[r.at+1].from.After(t) {
		r.at++
	}
	share := r.gained[r.at] + t.Sub(r.air[r.at].from).Minutes()/r.takes[r.at] + 1 - almost
	for r.end = max(r.end, r.at); r.end+1 < len(r.air) && r.gained[r.end+1] < share; {
		r.end++
	}
	until := r.air[r.end].from.Sub(t).Minutes() + float64((share-r.gained[r.end])*r.takes[r.end])
	return unit.Minutes(math.Ceil(until))
}

// cureSteps is the curing time by the tick in which the cover ends, at least
// floor. It is raised where needed so that a piece covered later is never ripe
// earlier. Ticks at which no cover can end, because none before them is open,
// have the value of those before them.
func (w *compiler) cureSteps(c *shop.Cure, floor model.Tick) model.Steps {
	if c.ByDay == nil && len(c.AtTemp) == 0 {
		return model.Steps{{0, int64(max(floor, w.lag(c, 0)))}}
	}
	var out model.Steps
	ripe := model.Tick(0)
	for _, open := range w.cal.open {
		for t := open.From() + 1; t <= open.To(); t++ {
			ripe = max(ripe, t+max(floor, w.lag(c, t)))
			out.Put(t, int64(ripe-t))
		}
	}
	if len(out) == 0 {
		return model.Steps{{0, int64(max(floor, w.lag(c, 0)))}}
	}
	out[0][0] = 0
	return out
}

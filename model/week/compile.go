// Package week compiles what a shop wrote (shop.yaml, its orders and its floor)
// to the integer problem of the planning model: calendars in ticks, coats in
// lifts, pot lives and cures by the hour, orders as pours. Every rounding is to
// the safe side: work, rests, cures and masses up, windows and pot lives inward,
// capacities down, due times earlier, release times later.
package week

import (
	"fmt"
	"slices"
	"time"

	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/orders"
	"pourweek/model/shop"
	"pourweek/model/unit"
)

// Options say which week is planned.
type Options struct {
	Monday shop.Date // first day of the planned week
	Now    time.Time // nothing is planned before it; zero: the start of the week
}

// Loaded is a compiled week.
type Loaded struct {
	Shop    *shop.Shop
	Monday  string // 2027-03-01
	Problem *model.Problem
	Labels  model.Labels // its Notes are for the lead to read
}

// Week is the document of the loaded week, without a plan.
func (l *Loaded) Week() *model.Week {
	return &model.Week{
		Format: model.WeekFormat, Shop: l.Shop.Name, Zone: l.Shop.Zone.String(), Currency: l.Shop.Currency,
		Monday: l.Monday, Labels: l.Labels, Problem: l.Problem,
	}
}

// compiler holds what the parts of a compilation share.
type compiler struct {
	shop       *shop.Shop
	clock      *clock
	cal        *calendar
	air        airline
	life       map[string]model.Steps // pot life by mix
	recipes    map[string]*recipe
	ripening   *ripener // of the cure ripeningOf
	ripeningOf *shop.Cure
	trucks     []model.Tick
	p          *model.Problem
	labels     model.Labels
	errs       *diag.List
	noted      map[string]bool
	partial    bool // some rows are missing for their mistakes: do not judge what is missing
}

// Compile works a week out. b may have no rows and f may be nil. If the list has
// anything in it, Loaded is nil. Cost about O(horizon x mixes and cures).
func Compile(s *shop.Shop, b *orders.Book, f *orders.Floor, o Options) (*Loaded, *diag.List) {
	return compile(&compiler{shop: s}, b, f, o)
}

func compile(w *compiler, b *orders.Book, f *orders.Floor, o Options) (*Loaded, *diag.List) {
	w.errs, w.recipes = &diag.List{}, map[string]*recipe{}
	w.life, w.noted = map[string]model.Steps{}, map[string]bool{}
	w.labels = model.Labels{
		Pieces: map[string]model.PieceLabel{}, Mixes: map[string]model.MixLabel{},
		Orders: map[string]model.OrderLabel{}, Steps: map[string]model.StepLabel{}, Notes: []string{},
	}
	if o.Monday.Weekday() != time.Monday {
		w.errs.At(diag.Pos{}, fmt.Sprintf("name the Monday, %s or %s", mondayOf(o.Monday), mondayOf(o.Monday).Add(7)),
			"%s is a %s, and a week is planned from its Monday on", o.Monday, o.Monday.Weekday())
		return nil, w.errs
	}
	w.lay(o)
	w.things()
	w.fixedWork()
	if b != nil {
		w.addNotes(b.Notes)
	}
	if f != nil {
		w.addNotes(f.Notes)
	}
	w.pours(b, f)
	if w.errs.Len() == 0 {
		for _, issue := range w.p.Validate() {
			w.errs.At(diag.Pos{Source: w.shop.Source}, "this is a fault of pourweek and not of the files; please report it",
				"the week that was worked out is not sound: %s: %s", issue.Path, issue.Text)
		}
	}
	if w.errs.Len() > 0 {
		return nil, w.errs
	}
	return &Loaded{Shop: w.shop, Monday: o.Monday.String(), Problem: w.p, Labels: w.labels}, w.errs
}

// mondayOf is the Monday of a date's week.
func mondayOf(d shop.Date) shop.Date { return d.Add(-(int(d.Weekday()) + 6) % 7) }

// MondayOf is the Monday of the week of an instant, by the clock of its zone.
func MondayOf(t time.Time) shop.Date { return mondayOf(shop.DateOf(t)) }

// lay sets up time: the clock, the calendar, the air and the problem's head.
func (w *compiler) lay(o Options) {
	s := w.shop
	weeks := max(1, s.Weeks)
	w.clock = newClock(s.Zone, o.Monday, 7*weeks, s.TickMinutes)
	w.cal = newCalendar(w.clock, s)
	w.air = newAirline(w.clock, &s.Air)
	w.trucks = w.cal.trucks()
	w.p = &model.Problem{
		Format: model.ProblemFormat, Name: fmt.Sprintf("%s, week of %s", s.Name, o.Monday),
		Start: w.clock.start.In(s.Zone).Format(time.RFC3339), TickMinutes: s.TickMinutes,
		Horizon:   w.clock.horizon,
		PourUntil: min(w.clock.horizon, w.clock.down(w.clock.instant(o.Monday.Add(7), 0, early))),
		Open:      w.cal.open, Overtime: w.cal.overtime, Callins: w.cal.callins(),
		Costs: w.costs(), MoveTolerance: w.down(s.Costs.MoveTolerance),
	}
	if !o.Now.IsZero() {
		w.p.Now = min(max(0, w.clock.up(o.Now)), w.clock.horizon)
	}
}

// things copies people, mixers, mixes, molds, racks and stations.
func (w *compiler) things() {
	s, p := w.shop, w.p
	for i := range s.People {
		x := &s.People[i]
		p.People = append(p.People, model.Person{ID: x.Name, Skills: sorted(x.Skills), On: w.cal.person(x)})
	}
	for i := range s.Mixers {
		x := &s.Mixers[i]
		p.Mixers = append(p.Mixers, model.Mixer{ID: x.Name, Capacity: x.Capacity, Down: w.clock.touched(x.Down), Keep: w.optDown(x.Keep)})
	}
	for i := range s.Mixes {
		x := &s.Mixes[i]
		w.life[x.Name] = w.potLife(x)
		p.Mixes = append(p.Mixes, w.mix(x))
		w.labels.Mixes[x.Name] = model.MixLabel{Color: x.Color, Family: x.Family}
	}
	for i := range s.Molds {
		x := &s.Molds[i]
		p.Molds = append(p.Molds, model.Mold{ID: x.Name, Down: w.clock.touched(x.Down)})
	}
	for i := range s.Racks {
		p.Racks = append(p.Racks, model.Rack{ID: s.Racks[i].Name, Places: w.places(&s.Racks[i])})
	}
	p.Stations = []model.Station{}
	for _, x := range s.Stations {
		p.Stations = append(p.Stations, model.Station{ID: x.Name, Places: x.Places})
	}
	for i := range s.Pieces {
		w.labels.Pieces[s.Pieces[i].Name] = model.PieceLabel{Name: s.Pieces[i].Name, Grams: s.Pieces[i].Weight}
	}
	p.Fixed, p.Cures, p.Pours = []model.Fixed{}, []model.Cure{}, []model.Pour{}
}

func (w *compiler) mix(x *shop.Mix) model.Mix {
	m := model.Mix{
		ID: x.Name, Mix: w.up(x.Mix), Rest: w.up(x.Rest), Remix: w.up(x.Remix), Wash: w.up(x.Wash),
		WashGap: w.window(x.WashMin, x.WashMax), Crew: crewOf(x.Crew),
		Loss: x.Loss, Min: x.Smallest, Step: max(1, x.Step), PotLife: w.life[x.Name], Mixers: slices.Clone(x.Mixers),
	}
	if m.WashGap.Len() < 0 {
		w.noTick(x.Pos, fmt.Sprintf("the clean-up after mix %q", x.Name), x.WashMin, x.WashMax)
	}
	for next, t := range x.WashBefore {
		if m.WashBefore == nil {
			m.WashBefore = map[string]model.Tick{}
		}
		m.WashBefore[next] = w.up(t)
	}
	return m
}

// places is a rack's step function: fewer places count from the tick before the
// change, more from the tick after it.
func (w *compiler) places(r *shop.Rack) model.Steps {
	out := model.Steps{{0, int64(r.Places)}}
	for _, c := range r.Changes {
		at := w.clock.up(w.clock.moment(c.From, late))
		if int64(c.Places) < out[len(out)-1][1] {
			at = w.clock.down(w.clock.moment(c.From, early))
		}
		at = max(at, model.Tick(out[len(out)-1][0]))
		switch last := &out[len(out)-1]; {
		case at >= w.clock.horizon:
		case int64(at) == last[0]:
			last[1] = int64(c.Places)
		case int64(c.Places) != last[1]:
			out = append(out, model.Step{int64(at), int64(c.Places)})
		}
	}
	return out
}

// costs turns the shop's prices into mils per tick and gram. A price that is
// there never rounds to none.
func (w *compiler) costs() model.Costs {
	c := &w.shop.Costs
	out := model.Costs{
		Idle: w.perTick(c.Idle), Held: w.perTick(c.Held), RackWait: w.perTick(c.RackWait),
		Overtime: w.perTick(c.Overtime), Batch: c.Batch, Move: c.Move, Waste: (c.Waste + 500) / 1000,
	}
	if c.Waste > 0 {
		out.Waste = max(1, out.Waste)
		if d := out.Waste*1000 - c.Waste; d*5 > c.Waste || -d*5 > c.Waste {
			w.note("waste is counted at %s %s a kilogram, and the file says %s: prices are whole thousandths a gram",
				w.money(out.Waste*1000), w.shop.Currency, w.money(c.Waste))
		}
	}
	return out
}

// perTick rounds a price by the hour to the nearest mil, and to one if it is
// less than that but not nothing.
func (w *compiler) perTick(m shop.MilsPerHour) model.Mils {
	tick := int64(w.shop.TickMinutes)
	v := int64(m)/60*tick + (int64(m)%60*tick+30)/60
	if m > 0 {
		v = max(1, v)
	}
	return model.Mils(v)
}

// up and down are ticks of at least and of at most a length of time.
func (w *compiler) up(m unit.Minutes) model.Tick { return model.Tick(m.TicksUp(w.shop.TickMinutes)) }
func (w *compiler) down(m unit.Minutes) model.Tick {
	return model.Tick(m.TicksDown(w.shop.TickMinutes))
}

func (w *compiler) optDown(m *unit.Minutes) *model.Tick {
	if m == nil {
		return nil
	}
	t := w.down(*m)
	return &t
}

// window is a range of lengths rounded inward; it may turn out reversed.
func (w *compiler) window(least, most unit.Minutes) model.Interval {
	return model.Interval{w.up(least), w.down(most)}
}

// noTick reports a window so narrow that no whole tick lies in it.
func (w *compiler) noTick(at diag.Pos, what string, least, most unit.Minutes) {
	tick := w.shop.TickMinutes
	w.errs.At(at, fmt.Sprintf("widen it to whole ticks, such as %d to %d min, or make the ticks shorter",
		w.down(least)*model.Tick(tick), w.up(most)*model.Tick(tick)),
		"%s may wait from %d to %d min, and no multiple of the tick of %d min lies in that", what, least, most, tick)
}

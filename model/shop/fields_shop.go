package shop

import (
	"regexp"
	"strconv"
	"strings"
	_ "time/tzdata" // the binary carries the zone data
)

var currencyPattern = regexp.MustCompile(`^[A-Z]{3}$`)

// shopTable is the top of the file.
var shopTable = table[Shop]{
	title: "a shop file",
	path:  "shop.yaml",
	intro: "One file describes one shop. Names are free; other parts of the file, orders.csv and floor.csv use them. " +
		"A unit stands beside every number that has one; US and metric units mix freely. " +
		"All values are rounded to the safe side: work, rests, cures and masses up, windows and pot life inward, capacities down.",
	fields: []field[Shop]{
		{key: "shop", form: formText, need: true, says: "What the shop is called on printed plans.",
			set: func(r *reader, s *Shop, n *node) { s.Name, _ = r.text(n, "Cedar Yard") }},
		{key: "zone", form: form{"an IANA time zone", "America/Denver"}, need: true, says: "The shop's time zone; the calendar follows its clock changes.",
			set: func(r *reader, s *Shop, n *node) { s.Zone = r.zone(n) }},
		{key: "currency", form: form{"three capital letters", "USD"}, std: "USD", says: "The currency of all amounts. $, €, £ and ¥ may be written for it.",
			set: func(r *reader, s *Shop, n *node) {}}, // read before all else, by currency
		{key: "tick", form: form{"1, 5, 10, 15, 20, 30 or 60 min", "5 min"}, std: "5 min", says: "The unit in which the plan counts time. A longer one plans faster and coarser.",
			set: func(r *reader, s *Shop, n *node) { s.TickMinutes = r.tick(n) }},
		{key: "weeks", form: formCount, std: "3", says: "Weeks that are laid out from the planned Monday on, so that what is poured on Friday can be finished (1 to 8).",
			set: func(r *reader, s *Shop, n *node) { s.Weeks = r.count(n, 1, 8) }},
		{key: "hours", form: formHours, need: true, says: "Regular opening hours by weekday; days not named are closed.",
			set: func(r *reader, s *Shop, n *node) { s.Calendar.Hours = r.week(n) }},
		{key: "lunch", form: form{"hours of a day, by weekday or for all", "12:00-12:30"}, std: "none", says: "The break, taken out of the hours. Nobody works in it.",
			set: func(r *reader, s *Shop, n *node) { s.Calendar.Lunch = r.week(n) }},
		{key: "overtime", form: form{"overtime by name", "{evening: {hours: {mon-thu: 15:30-17:30}}}"}, says: "Windows outside the regular hours, see overtime.",
			set: func(r *reader, s *Shop, n *node) {
				s.Calendar.Overtime = readNamed(r, n, &overtimeTable, func(o *Overtime, name string, at *node) { o.Name, o.Pos = name, at.pos })
			}},
		{key: "closed", form: formTimes, says: "Dates and times at which nobody works; no truck comes and fixed work is not done.",
			set: func(r *reader, s *Shop, n *node) { s.Calendar.Closed = r.periods(n) }},
		{key: "extra", form: form{"hours by date", "{2027-03-06: 7:00-12:00}"}, says: "Regular hours of single dates, in place of the weekday's; the lunch break is taken out.",
			set: func(r *reader, s *Shop, n *node) { s.Calendar.Extra = r.dated(n) }},
		{key: "trucks", form: form{"a list of weekdays or dates with a time", "[thu 14:00, 2027-03-05 10:00]"}, says: "When a truck leaves. Orders that go by truck leave on the first one after they are ready.",
			set: func(r *reader, s *Shop, n *node) { s.Calendar.Trucks = r.trucks(n) }},
		{key: "hold", form: formYesNo, std: "yes", says: "Whether pieces that leave together, or by truck, keep their rack places until they leave.",
			set: func(r *reader, s *Shop, n *node) { s.Calendar.Hold = r.yesNo(n) }},
		{key: "air", form: form{"temperatures", "{usual: {0:00: 60 F, 9:00: 68 F}}"}, says: "How warm the shop is, see air. Needed where a cure or a pot life goes by temperature.",
			set: func(r *reader, s *Shop, n *node) { airTable.read(r, &s.Air, n) }},
		{key: "colors", form: form{"a list of names, light to dark", "[white, sand, charcoal]"}, says: "The colors of mixes from light to dark, from which the clean-up between two batches follows.",
			set: func(r *reader, s *Shop, n *node) { r.sets.colors = texts(r.names(n)) }},
		{key: "people", form: form{"people by name", "{Ana: [sprayer, hand]}"}, need: true, says: "Who works here, see people.",
			set: func(r *reader, s *Shop, n *node) {
				s.People = readNamed(r, n, &personTable, func(p *Person, name string, at *node) { p.Name, p.Pos = name, at.pos })
			}},
		{key: "mixers", form: form{"mixers by name", "{drum: 120 kg}"}, need: true, says: "What batches are mixed in, see mixers.",
			set: func(r *reader, s *Shop, n *node) {
				raw := readNamed(r, n, &mixerTable, func(m *rawMixer, name string, at *node) { m.Name, m.Pos = name, at.pos })
				r.sets.mixers = raw
			}},
		{key: "mixes", form: form{"mixes by name", "{sand-spray: {...}}"}, need: true, says: "The recipes with their times, see mixes.",
			set: func(r *reader, s *Shop, n *node) {
				r.sets.mixes = readNamed(r, n, &mixTable, func(m *rawMix, name string, at *node) { m.Name, m.Pos = name, at.pos })
			}},
		{key: "cures", form: form{"cures by name", "{overnight: 16 h}"}, need: true, says: "How long pieces harden before they are demolded, see cures.",
			set: func(r *reader, s *Shop, n *node) {
				s.Cures = readNamed(r, n, &cureTable, func(c *Cure, name string, at *node) { c.Name, c.Pos = name, at.pos })
			}},
		{key: "stations", form: form{"places by name", "{hoist: 1}"}, says: "What only so many can use at a time: a spray rig, a hoist, a grinding booth, casting tables, a drying room.",
			set: func(r *reader, s *Shop, n *node) {
				s.Stations = readNamed(r, n, &stationTable, func(x *Station, name string, at *node) { x.Name, x.Pos = name, at.pos })
			}},
		{key: "racks", form: form{"racks by name", "{long: 8}"}, need: true, says: "Where pieces rest after the demold, see racks.",
			set: func(r *reader, s *Shop, n *node) {
				s.Racks = readNamed(r, n, &rackTable, func(x *Rack, name string, at *node) { x.Name, x.Pos = name, at.pos })
			}},
		{key: "coat sets", form: form{"lists of coats by name", "{thin: [...]}"}, says: "Lists of coats that several piece types share; a piece type names one under coats.",
			set: func(r *reader, s *Shop, n *node) { r.sets.coats = r.named(n) }},
		{key: "finish sets", form: form{"lists of finish steps by name", "{honed: [...]}"}, says: "Lists of finish steps that several piece types share; a piece type names them under finish.",
			set: func(r *reader, s *Shop, n *node) { r.sets.finish = r.named(n) }},
		{key: "pieces", form: form{"piece types by name", "{bench-3: {...}}"}, need: true, says: "What is cast, see pieces.",
			set: func(r *reader, s *Shop, n *node) {
				r.sets.pieces = readNamed(r, n, &pieceTable, func(p *rawPiece, name string, at *node) { p.Name, p.Pos = name, at.pos })
			}},
		{key: "molds", form: form{"molds by name", "{B1..B4: {casts: bench-3, prep: 30 min}}"}, need: true, says: "The tools, see molds. B1..B4 writes four equal ones.",
			set: func(r *reader, s *Shop, n *node) {
				before := r.own
				s.Molds = readNamed(r, n, &moldTable, func(m *Mold, name string, at *node) { m.Name, m.Pos = name, at.pos })
				r.moldsDoubtful = r.own > before
			}},
		{key: "work", form: form{"fixed work by name", "{load truck: {hours: {thu: 13:00-14:00}, crew: hand}}"}, says: "Work that is done at given hours whatever the plan, see work.",
			set: func(r *reader, s *Shop, n *node) {
				s.Work = readNamed(r, n, &workTable, func(x *FixedWork, name string, at *node) { x.Name, x.Pos = name, at.pos })
			}},
		{key: "urgency", form: form{"factors by name", "{rush: 3, low: 0.5}"}, says: "The words of the orders' urgency column and how many times the price of lateness and of carrying they stand for. An empty cell is normal, which is 1.",
			set: func(r *reader, s *Shop, n *node) { s.Urgencies = r.urgencies(n) }},
		{key: "costs", form: form{"amounts", "{late: 6 USD/h}"}, std: "standard", says: "What makes one plan better than another, see costs.",
			set: func(r *reader, s *Shop, n *node) { readCosts(r, &s.Costs, n) }},
		{key: "prices", form: form{"amounts", "{wage: 30 USD/h}"}, says: "What more of something would cost, see prices.",
			set: func(r *reader, s *Shop, n *node) { pricesTable.read(r, &s.Prices, n) }},
		{key: "defaults", form: form{"keys of person, mix, piece and mold", "{piece: {cover: {work: 10 min}}}"}, says: "Values of keys that people, mixes, piece types and molds have unless they say otherwise, see defaults.",
			set: func(r *reader, s *Shop, n *node) {}}, // read before all else, by defaults
	},
}

func (r *reader) tick(n *node) int {
	before := r.own
	m := r.minutes(n, up)
	if r.own > before {
		return 5
	}
	switch m {
	case 1, 5, 10, 15, 20, 30, 60:
		return int(m)
	}
	r.bad(n, "write 5 min, or 10, 15, 20, 30 or 60 min for a coarser plan", "allowed are 1, 5, 10, 15, 20, 30 and 60 min")
	return 5
}

func (r *reader) trucks(n *node) []Truck {
	const hint = "write a weekday and a time, thu 14:00, or a date and a time, 2027-03-04 14:00"
	items := n.items
	if n.kind != list {
		items = []*node{n}
	}
	var out []Truck
	for _, i := range items {
		t := Truck{Pos: i.pos}
		day, clock, found := strings.Cut(i.text, " ")
		c, ok := readClock(clock)
		t.Clock = c
		if d, isDate := readDate(day); isDate {
			t.Date, t.Weekday = &d, d.Weekday()
		} else {
			var isDay bool
			t.Weekday, isDay = weekdayOf(day)
			ok = ok && isDay
		}
		if i.kind != scalar || !found || !ok {
			r.bad(i, hint, "which is no time of a truck")
			continue
		}
		out = append(out, t)
	}
	return out
}

// urgencies reads factors by name; normal is 1 unless it is given.
func (r *reader) urgencies(n *node) []Urgency {
	out := []Urgency{{Name: "normal", Factor: 1000, Pos: n.pos}}
	if n.kind != mapping {
		r.bad(n, "write urgency: {rush: 3, low: 0.5}", "and factors by name are needed")
	}
	for _, p := range n.pairs {
		name := strings.ToLower(p.key.text)
		if !r.nameFits(p.key, name) {
			continue
		}
		f, err := strconv.ParseFloat(p.value.text, 64)
		if p.value.kind != scalar || err != nil || !(f >= 0 && f <= 1000) {
			r.at(p.key.text, p.value, func() {
				r.bad(p.value, "write a number without a unit, such as 3 or 0.5", "and a factor from 0 to 1000 is needed")
			})
			continue
		}
		u := Urgency{Name: name, Factor: int64(float64(f*1000) + 0.5), Pos: p.key.pos}
		if name == "normal" {
			out[0] = u
			continue
		}
		out = append(out, u)
	}
	return out
}

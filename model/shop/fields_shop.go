package shop

import (
	"regexp"
	"strconv"
	"strings"
	"time"
	_ "time/tzdata" // the binary carries the zone data

	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/unit"
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
		{key: "tick", form: form{"5, 10, 15, 20, 30 or 60 min", "5 min"}, std: "5 min", says: "The unit in which the plan counts time. A longer one plans faster and coarser.",
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

// sets is what the parts of the file share while it is read.
type sets struct {
	colors   []string
	mixers   []rawMixer
	mixes    []rawMix
	pieces   []rawPiece
	coats    map[string]*node
	finish   map[string]*node
	defaults map[string]*node // by person, mix, piece, mold
}

// readNamed reads a mapping from names to entries, laying defaults and what they
// are like under them. Ranges of names make equal entries.
func readNamed[T any](r *reader, n *node, tab *table[T], call func(t *T, name string, at *node)) []T {
	if n.kind != mapping {
		r.bad(n, "write "+r.key+": and below it, indented, one name with a colon for each", "and a mapping by name is needed")
		return nil
	}
	var out []T
	for _, p := range n.pairs {
		names, ok := r.rangeOf(p.key)
		if !ok {
			continue
		}
		v := r.completed(n, pair{p.key, tab.wrap(p.value)}, tab.deep)
		if v.kind == null {
			r.fail(p.value.pos, tab.hintKeys(), "%s says nothing", diag.Quote(p.key.text))
			continue
		}
		var t T
		call(&t, names[0], p.key)
		r.at(p.key.text, v, func() { tab.read(r, &t, v) })
		out = append(out, t)
		for _, name := range names[1:] {
			call(&t, name, p.key)
			out = append(out, t)
		}
		if len(out) > maxEntries {
			r.fail(p.key.pos, "describe one shop in a file", "there are more than %d %s", maxEntries, r.key)
			return out[:maxEntries]
		}
	}
	if len(n.pairs) == 0 {
		r.bad(n, "name at least one", "and at least one is needed")
	}
	return out
}

// rangeOf is the names that a key stands for; ok is false (and a mistake noted)
// if it is a range that cannot be.
func (r *reader) rangeOf(key *node) ([]string, bool) {
	if r.key != "molds" {
		r.nameFits(key, key.text)
		return []string{key.text}, true
	}
	names, ranged, err := rangeName(key.text)
	if err != nil {
		r.fail(key.pos, "write a range of names as B1..B4", "%s %v", diag.Quote(key.text), err)
		return nil, false
	}
	if !ranged {
		names = []string{key.text}
	}
	r.nameFits(key, names[0])
	return names, true
}

// maxEntries bounds the entries of a part of the file.
const maxEntries = 1_000

// maxLike bounds the steps from one entry to what it is like.
const maxLike = 4

// completed is the value of a named entry with what it is like and the defaults
// laid under it.
func (r *reader) completed(n *node, p pair, deep func(string) bool) *node {
	v := p.value
	kinds := map[string]string{"people": "person", "mixes": "mix", "pieces": "piece", "molds": "mold"}
	seen := map[string]bool{p.key.text: true}
	for v.kind == mapping && (r.key == "mixes" || r.key == "pieces") {
		like := v.get("like")
		if like == nil || like.kind != scalar || seen[like.text] {
			if like != nil && seen[like.text] {
				r.fail(like.pos, "let one of them stand on its own", "%s is like itself", diag.Quote(p.key.text))
			}
			break
		}
		seen[like.text] = true
		if len(seen) > maxLike+1 {
			r.fail(like.pos, "write it out", "%s is like another over more than %d steps", diag.Quote(p.key.text), maxLike)
			break
		}
		under := n.get(like.text)
		if under == nil {
			r.fail(like.pos, r.near(like.text, r.key, keysOf(n)), "%s is like %s, which is none of the %s",
				diag.Quote(p.key.text), diag.Quote(like.text), r.key)
			break
		}
		if under.kind != mapping {
			break
		}
		v = over(without(v, "like"), under, deep)
	}
	if d := r.sets.defaults[kinds[r.key]]; d != nil && v.kind == mapping {
		v = over(without(v, "like"), d, deep)
	}
	return without(v, "like")
}

// without is a mapping without a key.
func without(n *node, key string) *node {
	if n.kind != mapping || n.get(key) == nil {
		return n
	}
	out := &node{kind: mapping, pos: n.pos}
	for _, p := range n.pairs {
		if p.key.text != key {
			out.pairs = append(out.pairs, p)
		}
	}
	return out
}

func keysOf(n *node) []string {
	var out []string
	for _, p := range n.pairs {
		out = append(out, p.key.text)
	}
	return out
}

// named is a mapping from names to values that are read where they are used.
func (r *reader) named(n *node) map[string]*node {
	out := map[string]*node{}
	if n.kind != mapping {
		r.bad(n, "write the name of each list with a colon, and the list below it", "and lists by name are needed")
	}
	for _, p := range n.pairs {
		if r.nameFits(p.key, p.key.text) {
			out[p.key.text] = p.value
		}
	}
	return out
}

func (r *reader) tick(n *node) int {
	m := r.minutes(n, up)
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
		u := Urgency{Name: name, Factor: int64(f*1000 + 0.5), Pos: p.key.pos}
		if name == "normal" {
			out[0] = u
			continue
		}
		out = append(out, u)
	}
	return out
}

var airTable = table[Air]{
	title: "air", path: "air:",
	intro: "The temperature in the shop. It is a forecast that the shop makes; a cold night is written under dates.",
	short: "one temperature alone holds at all times",
	bare:  []kind{scalar},
	fields: []field[Air]{
		{key: "usual", form: form{"a temperature, or temperatures by the time from which they hold", "{0:00: 60 F, 9:00: 68 F}"}, need: true, says: "The temperatures of any day, from 0:00 on.",
			set: func(r *reader, a *Air, n *node) { a.Usual = r.airSteps(n) }},
		{key: "dates", form: form{"the same by date", "{2027-03-04: {0:00: 50 F, 10:00: 60 F}}"}, says: "Days that are different.",
			set: func(r *reader, a *Air, n *node) {
				if n.kind != mapping {
					r.bad(n, "write dates: {2027-03-04: 55 F}", "and temperatures by date are needed")
				}
				for _, p := range n.pairs {
					if d, ok := r.date(p.key); ok {
						a.Days = append(a.Days, AirDay{d, r.airSteps(p.value), p.key.pos})
					}
				}
			}},
	},
}

var overtimeTable = table[Overtime]{
	title: "overtime", path: "overtime: NAME:",
	intro: "Windows in which those who take the overtime may work for a premium (costs: overtime).",
	fields: []field[Overtime]{
		{key: "hours", form: formHours, says: "The windows by weekday, outside the regular hours.",
			set: func(r *reader, o *Overtime, n *node) { o.Hours = r.week(n) }},
		{key: "dates", form: form{"hours by date", "{2027-03-06: 7:00-12:00}"}, says: "Windows on single dates.",
			set: func(r *reader, o *Overtime, n *node) { o.Dates = r.dated(n) }},
		{key: "call-in", form: formMoney, says: "What it costs once for each of its days on which anything is done, such as opening on Saturday. The plan then uses such a day fully or not at all.",
			set: func(r *reader, o *Overtime, n *node) { o.CallIn = r.money(n) }},
	},
}

var personTable = table[Person]{
	title: "a person", path: "people: NAME:",
	intro: "Skills are free words; each step of work says how many heads of which skill it needs.",
	short: "a skill or a list of skills alone is the person's skills",
	bare:  []kind{scalar, list},
	fields: []field[Person]{
		{key: "skills", form: formNames, need: true, says: "What the person can do.",
			set: func(r *reader, p *Person, n *node) { p.Skills = texts(r.names(n)) }},
		{key: "hours", form: formHours, says: "Own hours, inside the shop's; without it the shop's.",
			set: func(r *reader, p *Person, n *node) { w := r.week(n); p.Hours = &w }},
		{key: "away", form: formTimes, says: "Days and times away.",
			set: func(r *reader, p *Person, n *node) { p.Away = r.periods(n) }},
		{key: "overtime", form: form{"all, none, or names of overtime", "[evening]"}, std: "none", says: "Which overtime the person takes.",
			set: func(r *reader, p *Person, n *node) {
				switch {
				case n.kind == scalar && n.text == "none":
				case n.kind == scalar && n.text == "all":
					for _, o := range r.shop.Calendar.Overtime {
						p.Overtime = append(p.Overtime, o.Name)
					}
				default:
					p.Overtime = r.used("overtime", n)
				}
			}},
	},
}

var stationTable = table[Station]{
	title: "a station", path: "stations: NAME:",
	short: "a number alone is the number of places",
	bare:  []kind{scalar},
	fields: []field[Station]{
		{key: "places", form: formCount, need: true, says: "How many can use it at a time.",
			set: func(r *reader, x *Station, n *node) { x.Places = r.count(n, 1, 1000) }},
	},
}

var rackTable = table[Rack]{
	title: "a rack", path: "racks: NAME:",
	intro: "A piece takes its places from the demold to the end of its last finish step, or until it leaves (hold).",
	short: "a number alone is the number of places",
	bare:  []kind{scalar},
	fields: []field[Rack]{
		{key: "places", form: formCount, need: true, says: "How many places there are.",
			set: func(r *reader, x *Rack, n *node) { x.Places = r.count(n, 0, 10_000) }},
		{key: "changes", form: form{"places by the time from which they hold", "{2027-03-04 7:00: 6}"}, says: "When places are added or lost.",
			set: func(r *reader, x *Rack, n *node) { x.Changes = r.rackChanges(n) }},
	},
}

func (r *reader) rackChanges(n *node) []RackChange {
	if n.kind != mapping {
		r.bad(n, "write changes: {2027-03-04 7:00: 6}", "and places by time are needed")
		return nil
	}
	var out []RackChange
	for _, p := range n.pairs {
		m, ok := r.moment(p.key)
		if !ok {
			continue
		}
		c := RackChange{From: m, Places: r.count(p.value, 0, 10_000), Pos: p.key.pos}
		if len(out) > 0 && !out[len(out)-1].From.Before(m) {
			r.bad(p.key, "write the changes in the order of time", "which is not after the change before")
			continue
		}
		out = append(out, c)
	}
	return out
}

var workTable = table[FixedWork]{
	title: "fixed work", path: "work: NAME:",
	intro: "It is done on the days on which the shop is open, and takes the open time in its hours.",
	fields: []field[FixedWork]{
		{key: "hours", form: formHours, says: "When it is done each week.",
			set: func(r *reader, x *FixedWork, n *node) { x.Hours = r.week(n) }},
		{key: "dates", form: form{"hours by date", "{2027-03-04: 13:00-14:00}"}, says: "When it is done on single dates.",
			set: func(r *reader, x *FixedWork, n *node) { x.Dates = r.dated(n) }},
		{key: "crew", form: formCrew, need: true, says: "Who it takes; none for nobody.",
			set: func(r *reader, x *FixedWork, n *node) { x.Crew = r.crew(n) }},
		{key: "station", form: formName("hoist"), says: "The station that it holds.",
			set: func(r *reader, x *FixedWork, n *node) { x.Station = r.usedName("station", n) }},
	},
}

var pricesTable = table[Prices]{
	title: "prices", path: "prices:",
	intro: "Only for what-if questions; they change no plan.",
	fields: []field[Prices]{
		{key: "wage", form: formHourly, says: "One more person.",
			set: func(r *reader, p *Prices, n *node) { v := r.hourly(n); p.Wage = &v }},
		{key: "mold", form: formMoney, says: "One more mold.",
			set: func(r *reader, p *Prices, n *node) { v := r.money(n); p.Mold = &v }},
		{key: "place", form: formMoney, says: "One more rack place.",
			set: func(r *reader, p *Prices, n *node) { v := r.money(n); p.Place = &v }},
	},
}

// readCosts reads costs; the word standard is an empty mapping.
func readCosts(r *reader, c *Costs, n *node) {
	if n.kind == scalar && n.text == "standard" {
		n = &node{kind: mapping, pos: n.pos}
	}
	costsTable.read(r, c, n)
}

// costsTable holds the prices of planning model, section 6. The standards are
// trade judgment (from memory), of the size of those in the weeks to tune on.
var costsTable = table[Costs]{
	title: "costs", path: "costs:",
	intro: "The plan with the least total is the best one. Only their proportions matter. The word standard takes all as they stand here.",
	fields: []field[Costs]{
		{key: "late", form: formHourly, std: "6 CUR/h", says: "An hour by which a piece (or, for each of its pieces, an order that leaves whole) is late, times its urgency. Higher: dates are kept at the price of overtime and small batches.",
			set: func(r *reader, c *Costs, n *node) { c.Late = r.hourly(n) }},
		{key: "carry", form: formMoney, std: "250 CUR", says: "A piece that is left for a later week, times its urgency. Higher: more is poured this week, even late.",
			set: func(r *reader, c *Costs, n *node) { c.Carry = r.money(n) }},
		{key: "idle", form: formHourly, std: "5 CUR/h", says: "A regular hour in which a mold stands empty or prepared ahead of a pour. Higher: molds are filled again at once.",
			set: func(r *reader, c *Costs, n *node) { c.Idle = r.hourly(n) }},
		{key: "held", form: formHourly, std: "5 CUR/h", says: "A regular hour in which a ripe piece stays in its mold. Higher: pieces are demolded as soon as they may be.",
			set: func(r *reader, c *Costs, n *node) { c.Held = r.hourly(n) }},
		{key: "rack wait", form: formHourly, std: "1.2 CUR/h", says: "A regular hour in which a piece waits between finish steps that could go on. Higher: pieces are finished in one go, and racks stay free.",
			set: func(r *reader, c *Costs, n *node) { c.RackWait = r.hourly(n) }},
		{key: "overtime", form: formHourly, std: "42 CUR/h", says: "An hour of overtime of one person. Higher: less overtime, later pieces.",
			set: func(r *reader, c *Costs, n *node) { c.Overtime = r.hourly(n) }},
		{key: "batch", form: formMoney, std: "9 CUR", says: "A batch: weighing, mixing, washing. Higher: more pours share a batch.",
			set: func(r *reader, c *Costs, n *node) { c.Batch = r.money(n) }},
		{key: "waste", form: formPerKg, std: "1 CUR/kg", says: "What is mixed and not laid. Higher: batches are filled better. It is counted in whole thousandths a gram.",
			set: func(r *reader, c *Costs, n *node) {
				if q, ok := r.quantity(n, unit.MoneyPerMass); ok {
					c.Waste = model.Mils(r.rounded(n, q.Per(1000), up))
				}
			}},
		{key: "move", form: formMoney, std: "20 CUR", says: "A pour that a new plan moves to another mold or another time than the published plan. Higher: replanning touches less.",
			set: func(r *reader, c *Costs, n *node) { c.Move = r.money(n) }},
		{key: "move tolerance", form: formTime, std: "30 min", says: "How far a pour may shift before it counts as moved.",
			set: func(r *reader, c *Costs, n *node) { c.MoveTolerance = r.minutes(n, down) }},
	},
}

// weekdayName is the word of the file for a day.
func weekdayName(d time.Weekday) string { return weekdayNames[d] }

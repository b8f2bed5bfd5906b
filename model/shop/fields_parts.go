package shop

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
		{key: "call-in", form: formMoney, says: "What it costs once for each of its days on which anything is done, such as opening on Saturday. The plan opens such a day only when that is worth it.",
			set: func(r *reader, o *Overtime, n *node) { o.CallIn = r.money(n) }},
	},
}

var personTable = table[Person]{
	title: "a person", path: "people: NAME:",
	intro: "Skills are free words; each step of work says how many heads of which skill it needs.",
	short: "a skill or a list of skills alone is the person's skills",
	bare:  []kind{scalar, list},
	fields: []field[Person]{
		{key: "skills", form: form{"a name or a list of names", "[sprayer, hand]"}, need: true, says: "What the person can do.",
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
		{key: "wage", form: formHourly, says: "One more person, for the regular hours of the week.",
			set: func(r *reader, p *Prices, n *node) { v := r.hourly(n); p.Wage = &v }},
		{key: "mold", form: formMoney, says: "One more mold. A week of it costs a 52nd.",
			set: func(r *reader, p *Prices, n *node) { v := r.money(n); p.Mold = &v }},
		{key: "place", form: formMoney, says: "One more rack place. A week of it costs a 52nd.",
			set: func(r *reader, p *Prices, n *node) { v := r.money(n); p.Place = &v }},
	},
}

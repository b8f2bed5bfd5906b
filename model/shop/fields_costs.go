package shop

import (
	"time"

	"pourweek/model"
	"pourweek/model/unit"
)

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
		{key: "carry", form: formMoney, std: "250 CUR", says: "A piece that is left for a later week, times its urgency; to it comes the lateness that it would have if it were begun the week after. Higher: more is poured this week, even late.",
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

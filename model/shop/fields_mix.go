package shop

import (
	"regexp"
	"sort"

	"pourweek/model/diag"
	"pourweek/model/unit"
)

// rawMixer is a mixer before its drum is turned into a mass.
type rawMixer struct {
	Mixer
	drum, fill unit.Quantity
	pos        diag.Pos // of the drum
}

var mixerTable = table[rawMixer]{
	title: "a mixer", path: "mixers: NAME:",
	intro: "Give its capacity, or its drum with a density at each mix that it mixes. A drum mixer takes about half its rated volume (common practice).",
	short: "a mass alone is the capacity",
	bare:  []kind{scalar},
	fields: []field[rawMixer]{
		{key: "capacity", form: formMass, says: "The most that a batch may weigh, with what stays in pail and hose.",
			set: func(r *reader, m *rawMixer, n *node) { m.Capacity = r.positiveGrams(n, down) }},
		{key: "drum", form: formVolume, says: "The drum's rated volume, instead of capacity. The lightest of its mixes counts.",
			set: func(r *reader, m *rawMixer, n *node) { m.drum, _ = r.quantity(n, unit.Volume); m.pos = n.pos }},
		{key: "fill", form: formShare, std: "50 %", says: "The share of the drum that a batch may fill.",
			set: func(r *reader, m *rawMixer, n *node) { m.fill = r.share(n, 100) }},
		{key: "keep", form: formTime, says: "How long after a batch is ready the next may begin with a short clean-up (scrape, rinse, wash before) between; later it takes the full wash. Without it: any time.",
			set: func(r *reader, m *rawMixer, n *node) { v := r.minutes(n, down); m.Keep = &v }},
		{key: "down", form: formTimes, says: "When it cannot be used.",
			set: func(r *reader, m *rawMixer, n *node) { m.Down = r.periods(n) }},
	},
}

// share is a share of at most so many percent.
func (r *reader) share(n *node, percent int64) unit.Quantity {
	zero, _ := r.units().Parse("0 %", unit.Share)
	q, ok := r.quantity(n, unit.Share)
	if !ok {
		return zero
	}
	if v, fits := q.Per(100).Up(); !fits || v > percent {
		r.bad(n, "write a share such as 10 %", "at most %d %% is allowed", percent)
		return zero
	}
	return q
}

// rawMix is a mix before its clean-ups are worked out.
type rawMix struct {
	Mix
	scrape, rinse *unit.Minutes
	before        []washBefore
	density       unit.Quantity
}

type washBefore struct {
	mix  string
	time unit.Minutes
}

var mixTable = table[rawMix]{
	title: "a mix", path: "mixes: NAME:",
	intro: "A batch goes: mix, rest, remix, ready, laid before its pot life is over, clean-up. " +
		"The clean-up before the next batch: the same mix, or one of its color and family, takes scrape; a darker color of its family takes rinse; all else takes wash. " +
		"What is not given takes wash. wash before says otherwise for single mixes. like: NAME takes all keys of another mix that are not written here.",
	fields: []field[rawMix]{
		{key: "color", form: form{"one of the colors", "sand"}, says: "Its color.",
			set: func(r *reader, m *rawMix, n *node) {
				m.Color = r.name(n)
				if m.Color != "" && !contains(r.sets.colors, m.Color) && !r.doubt("colors") {
					r.bad(n, r.nearSet(m.Color, "colors", r.sets.colors), "which is none of the colors")
				}
			}},
		{key: "family", form: formName("spray"), says: "Mixes of one family can follow each other without a full wash: spray mixes, cast mixes, one binder.",
			set: func(r *reader, m *rawMix, n *node) { m.Family = r.name(n) }},
		{key: "mix", form: formTime, need: true, says: "Mixing, with the crew.",
			set: func(r *reader, m *rawMix, n *node) { m.Mix.Mix = r.work(n) }},
		{key: "rest", form: formTime, std: "0 min", says: "Standing after mixing; the crew is free.",
			set: func(r *reader, m *rawMix, n *node) { m.Rest = r.minutes(n, up) }},
		{key: "remix", form: formTime, std: "0 min", says: "Mixing again, with the crew.",
			set: func(r *reader, m *rawMix, n *node) { m.Remix = r.minutes(n, up) }},
		{key: "pot life", form: form{"a length of time, one at a temperature, or several by temperature", "45 min at 20 C"}, need: true,
			says: "How long after the start of mixing it may be laid. At one temperature it halves for each 20 F above it and doubles for each 20 F below; between two of several it follows the curve of setting, which sags below the straight line, and the air has to stay within them.",
			set:  func(r *reader, m *rawMix, n *node) { m.PotLife = r.potLife(n) }},
		{key: "scrape", form: formTime, says: "The clean-up before the same mix again, or its color and family.",
			set: func(r *reader, m *rawMix, n *node) { v := r.minutes(n, up); m.scrape = &v }},
		{key: "rinse", form: formTime, says: "The clean-up before a darker color of the family.",
			set: func(r *reader, m *rawMix, n *node) { v := r.minutes(n, up); m.rinse = &v }},
		{key: "wash", form: formTime, need: true, says: "The full clean-up, with the crew.",
			set: func(r *reader, m *rawMix, n *node) { m.Wash = r.minutes(n, up) }},
		{key: "wash before", form: form{"lengths of time by mix", "{gray-cast: 30 min}"}, says: "The clean-up before certain mixes, whatever their color.",
			set: func(r *reader, m *rawMix, n *node) { m.before = r.washBefore(n) }},
		{key: "wash gap", form: formRange, std: "0 min to 45 min", says: "From ready to the start of the clean-up: one person can spray first and wash after.",
			set: func(r *reader, m *rawMix, n *node) { m.WashMin, m.WashMax = r.window(n) }},
		{key: "crew", form: formCrew, need: true, says: "Who mixes and cleans up.",
			set: func(r *reader, m *rawMix, n *node) { m.Crew = r.crew(n) }},
		{key: "mixers", form: formNames, need: true, says: "Which mixers may mix it.",
			set: func(r *reader, m *rawMix, n *node) { m.Mixers = r.used("mixer", n) }},
		{key: "loss", form: formMass, std: "0 kg", says: "What stays in pail, pump and hose, in each batch.",
			set: func(r *reader, m *rawMix, n *node) { m.Loss = r.grams(n, up) }},
		{key: "smallest", form: formMass, std: "0 kg", says: "The smallest batch; less does not mix well.",
			set: func(r *reader, m *rawMix, n *node) { m.Smallest = r.grams(n, up) }},
		{key: "step", form: formMass, std: "1 g", says: "Batches are mixed in multiples of it, such as half bags.",
			set: func(r *reader, m *rawMix, n *node) { m.Step = r.positiveGrams(n, up) }},
		{key: "density", form: formDense, says: "Of the fresh mix. Needed for coats by thickness and for mixers by drum.",
			set: func(r *reader, m *rawMix, n *node) { m.setDensity(r, n) }},
	},
}

func (m *rawMix) setDensity(r *reader, n *node) {
	q, ok := r.quantity(n, unit.Dense)
	if !ok {
		return
	}
	v := r.rounded(n, q, up)
	if v < 100_000 || v > 20_000_000 {
		r.bad(n, "fresh concrete weighs some 130 lb/ft3, 2100 kg/m3", "which no mix has")
		return
	}
	m.density, m.Density = q, Density(v)
}

func (r *reader) washBefore(n *node) []washBefore {
	if n.kind != mapping {
		r.bad(n, "write wash before: {MIX: 10 min}", "and lengths of time by mix are needed")
		return nil
	}
	var out []washBefore
	for _, p := range n.pairs {
		r.use("mix", p.key.text, p.key)
		r.at(p.key.text, p.value, func() { out = append(out, washBefore{p.key.text, r.minutes(p.value, up)}) })
	}
	return out
}

var atTemp = regexp.MustCompile(`^(.*\S)\s+at\s+(\S.*)$`)

// potLife reads 45 min, 45 min at 20 C, or {15 C: 60 min, 25 C: 34 min}.
func (r *reader) potLife(n *node) PotLife {
	if n.kind == mapping {
		return PotLife{Points: r.byTemp(n, down)}
	}
	if m := atTemp.FindStringSubmatch(n.text); n.kind == scalar && m != nil {
		life := r.minutes(&node{text: m[1], pos: n.pos}, down)
		return PotLife{Points: []PotPoint{{r.temp(&node{text: m[2], pos: n.pos}), life}}}
	}
	return PotLife{Points: []PotPoint{{0, r.minutes(n, down)}}, Fixed: true}
}

// byTemp reads lengths of time by temperature, ascending.
func (r *reader) byTemp(n *node, w way) []PotPoint {
	var out []PotPoint
	for _, p := range n.pairs {
		before := r.own
		t := r.temp(p.key)
		m := r.minutes(p.value, w)
		if r.own == before && m == 0 {
			r.bad(p.value, "write a length of time above zero", "and a time above zero is needed")
		}
		out = append(out, PotPoint{t, max(m, 1)})
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Temp < out[j].Temp })
	for i := 1; i < len(out); i++ {
		if out[i].Temp == out[i-1].Temp {
			r.fail(n.pos, "name each temperature once", "one temperature stands twice in %q", r.key)
		}
	}
	if len(out) == 0 {
		r.bad(n, "write {15 C: 60 min, 25 C: 34 min}", "and at least one temperature is needed")
		out = append(out, PotPoint{0, 1})
	}
	return out
}

var cureTable = table[Cure]{
	title: "a cure", path: "cures: NAME:",
	intro: "From the end of the cover to the earliest demold. The time is the shop's own; it is no strength test.",
	short: "a length of time alone is hours",
	bare:  []kind{scalar},
	fields: []field[Cure]{
		{key: "hours", form: form{"a length of time, or one by weekday of the cover", "{mon-thu: 16 h, fri: 20 h}"}, says: "The curing time.",
			set: func(r *reader, c *Cure, n *node) { c.setHours(r, n) }},
		{key: "at", form: form{"lengths of time by temperature", "{10 C: 29 h, 20 C: 16 h}"}, says: "Instead of hours: the curing time at temperatures of the air in the shop. Each hour counts by how warm it is; warmer than the warmest counts as the warmest, and the air may not be colder than the coldest.",
			set: func(r *reader, c *Cure, n *node) { c.setAt(r, n) }},
		{key: "under 16 h", form: form{"the reason in words", "heated table, tested by cubes"}, says: "A cure may be under 16 h only if the file says here why.",
			set: func(r *reader, c *Cure, n *node) { c.Early, _ = r.text(n, "the reason in words") }},
	},
}

func (c *Cure) setHours(r *reader, n *node) {
	if n.kind != mapping {
		c.Hours = r.work(n)
		return
	}
	var set [7]bool
	c.ByDay = &[7]unit.Minutes{}
	for _, p := range n.pairs {
		r.at(p.key.text, p.value, func() {
			v := r.work(p.value)
			for _, d := range r.days(p.key) {
				if set[d] {
					r.fail(p.key.pos, "name each day once", "%s stands twice in %q", weekdayNames[d], "hours")
				}
				c.ByDay[d], set[d] = v, true
			}
		})
	}
	longest := unit.Minutes(0)
	for _, v := range c.ByDay {
		longest = max(longest, v)
	}
	for d, v := range c.ByDay {
		if v == 0 { // a cover never ends on a day on which the shop is closed
			c.ByDay[d] = longest
		}
		if len(r.shop.Calendar.Hours[d]) > 0 && !set[d] {
			r.fail(n.pos, "name each day on which the shop is open", "%q does not say the time on %s", "hours", weekdayNames[d])
		}
	}
}

func (c *Cure) setAt(r *reader, n *node) {
	if n.kind != mapping {
		r.bad(n, "write at: {10 C: 29 h, 20 C: 16 h}", "and lengths of time by temperature are needed")
		return
	}
	for _, p := range r.byTemp(n, up) {
		c.AtTemp = append(c.AtTemp, CurePoint{p.Temp, p.Life})
	}
}

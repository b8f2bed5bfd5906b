package shop

import (
	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/unit"
)

// rawPiece is a piece type before its coats are worked out.
type rawPiece struct {
	Piece
	area unit.Quantity // zero value when not given
	mix  string
}

// taskFields are the keys that every step has.
func taskFields[T any](task func(*T) *Task) []field[T] {
	return []field[T]{
		{key: "crew", form: formCrew, need: true, says: "Who does it; none for nobody. The same hands stay from its start to its end.",
			set: func(r *reader, t *T, n *node) { task(t).Crew = r.crew(n) }},
		{key: "station", form: formName("hoist"), says: "The station that it holds.",
			set: func(r *reader, t *T, n *node) { task(t).Station = r.usedName("station", n) }},
		{key: "when", form: form{"hours of a day, by weekday or for all", "7:00-13:00"}, says: "The hours in which it may start.",
			set: func(r *reader, t *T, n *node) { w := r.week(n); task(t).When = &w }},
	}
}

var pieceTable = table[rawPiece]{
	title: "a piece type", path: "pieces: NAME:",
	intro: "All that one piece takes. like: NAME takes all keys of another piece type that are not written here; prep, cover and demold are filled up key by key.",
	fields: []field[rawPiece]{
		{key: "weight", form: formMass, says: "Of the finished piece, for the cautions about lifting.",
			set: func(r *reader, p *rawPiece, n *node) { p.Weight = r.positiveGrams(n, up) }},
		{key: "area", form: formArea, says: "The area that is coated and finished, for coats by thickness and work by rate.",
			set: func(r *reader, p *rawPiece, n *node) { p.area = r.positive(n, unit.Area) }},
		{key: "mix", form: formName("sand-spray"), says: "The mix of all coats that name none.",
			set: func(r *reader, p *rawPiece, n *node) { p.mix = r.usedName("mix", n) }},
		{key: "prep", form: form{"a step", "{crew: hand}"}, need: true, deep: true, says: "Cleaning, sealing and release of the mold, see prep. Its time stands at the mold.",
			set: func(r *reader, p *rawPiece, n *node) { prepTable.read(r, &p.Prep, n) }},
		{key: "prep max", form: formTime, says: "How long a prepared mold may stand before the first coat. Without it: any time.",
			set: func(r *reader, p *rawPiece, n *node) { v := r.minutes(n, down); p.PrepMax = &v }},
		{key: "coats", form: form{"a list of coats, or the name of a coat set", "[{name: face, ...}]"}, need: true, says: "The coats in the order of laying, see coats.",
			set: func(r *reader, p *rawPiece, n *node) { r.coats(p, n) }},
		{key: "cover", form: form{"a step", "{work: 10 min, crew: hand}"}, need: true, deep: true, says: "Covering with plastic, see cover.",
			set: func(r *reader, p *rawPiece, n *node) {
				p.Cover.Pos = n.pos
				coverTable.read(r, &p.Cover, n)
			}},
		{key: "cure", form: formName("overnight"), need: true, says: "How long it hardens.",
			set: func(r *reader, p *rawPiece, n *node) { p.Cure = r.usedName("cure", n) }},
		{key: "mold min", form: formTime, std: "0 min", says: "The shortest time from the cover to the demold, if the cure is shorter.",
			set: func(r *reader, p *rawPiece, n *node) { p.MoldMin = r.minutes(n, up) }},
		{key: "mold max", form: formTime, says: "The longest time from the cover to the demold. Without it: any time.",
			set: func(r *reader, p *rawPiece, n *node) { v := r.minutes(n, down); p.MoldMax = &v }},
		{key: "demold", form: form{"a step", "{work: 20 min, crew: {hand: 2}}"}, need: true, deep: true, says: "Taking it out of the mold and on to its rack, see demold.",
			set: func(r *reader, p *rawPiece, n *node) {
				p.Demold.Pos = n.pos
				r.withArea(p, func() { demoldTable.read(r, &p.Demold, n) })
			}},
		{key: "racks", form: formNames, need: true, says: "The racks that it fits on.",
			set: func(r *reader, p *rawPiece, n *node) { p.Racks = r.used("rack", n) }},
		{key: "places", form: formCount, std: "1", says: "The places that it takes there.",
			set: func(r *reader, p *rawPiece, n *node) { p.Places = r.count(n, 1, 1000) }},
		{key: "finish", form: form{"a list of finish steps and names of finish sets, a name, or none", "[honed, {name: pack, ...}]"}, need: true, says: "The steps after the demold, in order, see finish.",
			set: func(r *reader, p *rawPiece, n *node) { r.withArea(p, func() { r.finish(p, n) }) }},
		{key: "spans", form: form{"a list of spans", "[{station: tent, from: cover.start, to: demold.start}]"}, says: "What it occupies from one step to another, see spans.",
			set: func(r *reader, p *rawPiece, n *node) { r.spans(p, n) }},
		{key: "carry", form: formMoney, says: "What leaving one for a later week costs, instead of costs: carry.",
			set: func(r *reader, p *rawPiece, n *node) { v := r.money(n); p.Carry = &v }},
	},
}

var prepTable = table[Task]{
	title: "prep", path: "pieces: NAME: prep:",
	intro:  "It may be put down overnight and over lunch.",
	fields: taskFields(func(t *Task) *Task { return t }),
}

var coverTable = table[Cover]{
	title: "cover", path: "pieces: NAME: cover:",
	fields: append([]field[Cover]{
		{key: "work", form: formTime, need: true, says: "How long it takes.",
			set: func(r *reader, c *Cover, n *node) { c.Work = r.work(n) }},
		{key: "gap", form: formRange, std: "0 min to 30 min", says: "From the end of the last coat to its start.",
			set: func(r *reader, c *Cover, n *node) { c.GapMin, c.GapMax = r.window(n) }},
	}, taskFields(func(c *Cover) *Task { return &c.Task })...),
}

var demoldTable = table[Step]{
	title: "demold", path: "pieces: NAME: demold:",
	fields: append([]field[Step]{
		{key: "work", form: formWork, need: true, says: "How long it takes.",
			set: func(r *reader, s *Step, n *node) { s.Work = r.byRate(n) }},
	}, taskFields(func(s *Step) *Task { return &s.Task })...),
}

var finishTable = table[Finish]{
	title: "a finish step", path: "pieces: NAME: finish:",
	intro: "Edge grinding, polishing, filling, sealing, packing. A rate goes by the piece's area.",
	fields: append([]field[Finish]{
		{key: "name", form: formName("seal"), need: true, says: "What it is called; floor.csv names it under next.",
			set: func(r *reader, f *Finish, n *node) { f.Name = r.name(n) }},
		{key: "work", form: formWork, need: true, says: "How long it takes.",
			set: func(r *reader, f *Finish, n *node) { f.Work = r.byRate(n) }},
		{key: "rest", form: formTime, std: "0 min", says: "The shortest time from the end of the step before, by the clock.",
			set: func(r *reader, f *Finish, n *node) { f.Rest = r.minutes(n, up) }},
		{key: "rest max", form: formTime, says: "The longest time from the end of the step before. Without it: any time.",
			set: func(r *reader, f *Finish, n *node) { v := r.minutes(n, down); f.RestMax = &v }},
		{key: "put down", form: formYesNo, std: "no", says: "Whether it may be put down over lunch and overnight and taken up again.",
			set: func(r *reader, f *Finish, n *node) { f.PutDown = r.yesNo(n) }},
		{key: "dust", form: form{"wet, dry or none", "wet"}, std: "none", says: "How it makes dust, for the cautions.",
			set: func(r *reader, f *Finish, n *node) {
				if d := r.oneOf(n, "none", "wet", "dry"); d != "none" {
					f.Dust = Dust(d)
				}
			}},
	}, taskFields(func(f *Finish) *Task { return &f.Task })...),
}

var spanTable = table[Span]{
	title: "a span", path: "pieces: NAME: spans:",
	intro: "A place of a station is held from one moment to another: prep, cover, demold, the name of a coat or of a finish step, with .start or .end behind it.",
	fields: []field[Span]{
		{key: "station", form: formName("hoist"), need: true, says: "A casting table, a tent, a drying room.",
			set: func(r *reader, s *Span, n *node) { s.Station = r.usedName("station", n) }},
		{key: "from", form: form{"a moment", "cover.start"}, need: true, says: "When it is taken.",
			set: func(r *reader, s *Span, n *node) { s.From, _ = r.text(n, "cover.start") }},
		{key: "to", form: form{"a moment", "demold.end"}, need: true, says: "When it is left.",
			set: func(r *reader, s *Span, n *node) { s.To, _ = r.text(n, "demold.end") }},
	},
}

// withArea lets rates go by the piece's area.
func (r *reader) withArea(p *rawPiece, read func()) {
	r.area = p.area
	read()
	r.area = unit.Quantity{}
}

// positive is an amount above zero.
func (r *reader) positive(n *node, k unit.Kind) unit.Quantity {
	q, ok := r.quantity(n, k)
	if ok && q.Sign() <= 0 {
		r.bad(n, "write "+k.Name+" above zero", "and %s above zero is needed", k.Name)
		return unit.Quantity{}
	}
	if !ok {
		return unit.Quantity{}
	}
	return q
}

// byRate is work as a time, or as a time per area of the piece.
func (r *reader) byRate(n *node) unit.Minutes {
	q, ok := r.quantity(n, unit.Time, unit.TimePerArea)
	if ok && q.Is(unit.TimePerArea) {
		if !r.area.Is(unit.Area) && r.ownDoubt("area", "like") {
			return 1 // the mistake there says it
		}
		if !r.area.Is(unit.Area) {
			r.bad(n, "give the piece type an area, or write a length of time", "and the piece type has no area")
			return 1
		}
		q = q.Mul(r.area)
	}
	return r.aboveZero(n, q, ok)
}

// finish reads the finish steps; names stand for finish sets.
func (r *reader) finish(p *rawPiece, n *node) {
	if n.kind == scalar && n.text == "none" {
		return
	}
	items := []*node{n}
	if n.kind == list {
		items = n.items
	}
	var steps []*node
	for _, i := range items {
		if i.kind != scalar {
			steps = append(steps, i)
			continue
		}
		set, ok := r.sets.finish[i.text]
		switch {
		case !ok:
			r.bad(i, r.nearSet(i.text, "finish sets", sortedKeys(r.sets.finish)), "which no finish set is called")
		case set.kind != list:
			r.fail(set.pos, "write a list of steps, each a line that begins with -", "finish set %s is no list", diag.Quote(i.text))
		default:
			steps = append(steps, set.items...)
		}
	}
	if len(steps) > maxSteps {
		r.bad(n, "put together what is done in one go", "and there are %d steps, at most %d are allowed", len(steps), maxSteps)
		steps = steps[:maxSteps]
	}
	for _, s := range steps {
		f := Finish{Pos: s.pos}
		if s.kind == scalar {
			r.bad(s, "write the step's keys: {name: pack, work: 15 min, crew: hand}", "and a finish set holds steps alone")
			continue
		}
		finishTable.read(r, &f, s)
		p.Finish = append(p.Finish, f)
	}
}

// maxSteps bounds the coats of a piece, its finish steps and its spans.
const maxSteps = 30

func (r *reader) spans(p *rawPiece, n *node) {
	items := []*node{n}
	if n.kind == list {
		items = n.items[:min(len(n.items), maxSteps)]
	}
	for _, i := range items {
		s := Span{Pos: i.pos}
		spanTable.read(r, &s, i)
		p.Spans = append(p.Spans, s)
	}
}

var moldTable = table[Mold]{
	title: "a mold", path: "molds: NAME:",
	intro: "It holds one pour at a time, from the start of prep to the end of the demold.",
	fields: []field[Mold]{
		{key: "casts", form: form{"a piece type, a list of them, or prep times by piece type", "{bench-1: 30 min, bench-3: 45 min}"}, need: true, says: "What it can cast, and the time to prepare it for that where it differs from prep.",
			set: func(r *reader, m *Mold, n *node) { m.setCasts(r, n) }},
		{key: "prep", form: formTime, says: "The time to clean, set up, seal and release it. Needed unless casts gives it for each piece type.",
			set: func(r *reader, m *Mold, n *node) {
				v := r.work(n)
				for i := range m.Casts {
					if m.Casts[i].Prep == 0 {
						m.Casts[i].Prep = v
					}
				}
			}},
		{key: "down", form: formTimes, says: "When it cannot be used.",
			set: func(r *reader, m *Mold, n *node) { m.Down = r.periods(n) }},
	},
}

func (m *Mold) setCasts(r *reader, n *node) {
	r.castBy = m.Name
	defer func() { r.castBy = "" }()
	if n.kind != mapping {
		for _, s := range r.used("piece type", n) {
			m.Casts = append(m.Casts, Cast{Piece: s})
		}
		return
	}
	for _, p := range n.pairs {
		if !r.nameFits(p.key, p.key.text) {
			continue
		}
		r.use("piece type", p.key.text, p.key)
		r.at(p.key.text, p.value, func() { m.Casts = append(m.Casts, Cast{p.key.text, r.work(p.value)}) })
	}
}

// rawCoat is a coat as the file has it.
type rawCoat struct {
	Coat
	mix       string
	mixes     []Draw
	mass      unit.Quantity
	thick     unit.Quantity
	area      unit.Quantity
	overspray unit.Quantity
	work      unit.Quantity
	workAt    *node
	gap, thin bool // a gap, a thickness or a mass was given
	massed    bool
	thickAt   *node
}

var coatTable = table[rawCoat]{
	title: "a coat", path: "pieces: NAME: coats:",
	intro: "What a coat takes is a mass, or area x thick x the density of its mix, with overspray added. Without either it takes no mix: a scrim, an anchor.",
	fields: append([]field[rawCoat]{
		{key: "name", form: formName("face"), need: true, says: "What it is called: face, backer.",
			set: func(r *reader, c *rawCoat, n *node) { c.Name = r.name(n) }},
		{key: "mix", form: formName("sand-spray"), says: "Its mix; without it the piece type's.",
			set: func(r *reader, c *rawCoat, n *node) { c.mix = r.usedName("mix", n) }},
		{key: "mixes", form: form{"masses by mix", "{white-cast: 8 kg, gray-cast: 3 kg}"}, says: "Instead of mix and mass, when a coat takes several mixes.",
			set: func(r *reader, c *rawCoat, n *node) { c.setMixes(r, n) }},
		{key: "mass", form: formMass, says: "What one piece takes.",
			set: func(r *reader, c *rawCoat, n *node) { c.mass = r.positive(n, unit.Mass); c.massed = true }},
		{key: "thick", form: formLength, says: "Its thickness, instead of mass.",
			set: func(r *reader, c *rawCoat, n *node) {
				c.thick = r.positive(n, unit.Length)
				c.thin, c.thickAt = true, n
			}},
		{key: "area", form: formArea, says: "Its area, where it is not the piece type's.",
			set: func(r *reader, c *rawCoat, n *node) { c.area = r.positive(n, unit.Area) }},
		{key: "overspray", form: formShare, std: "0 %", says: "What is sprayed past the mold, added to mass or thickness: 10 % of 20 kg makes 22 kg.",
			set: func(r *reader, c *rawCoat, n *node) { c.overspray = r.share(n, 100) }},
		{key: "same batch", form: formYesNo, std: "no", says: "Whether it comes from the very batch that the coat before took of this mix.",
			set: func(r *reader, c *rawCoat, n *node) { c.SameBatch = r.yesNo(n) }},
		{key: "work", form: formSpray, need: true, says: "How long it takes, with rolling. A rate goes by its area or its mass.",
			set: func(r *reader, c *rawCoat, n *node) {
				c.work, _ = r.quantity(n, unit.Time, unit.TimePerArea, unit.MassPerTime)
				c.workAt = n
			}},
		{key: "gap", form: formRange, says: "From the end of the coat before to its start: the window in which they bond. Needed for all coats but the first.",
			set: func(r *reader, c *rawCoat, n *node) { c.GapMin, c.GapMax = r.window(n); c.gap = true }},
	}, taskFields(func(c *rawCoat) *Task { return &c.Task })...),
}

func (c *rawCoat) setMixes(r *reader, n *node) {
	if n.kind != mapping {
		r.bad(n, "write mixes: {MIX: 8 kg, ANOTHER: 3 kg}", "and masses by mix are needed")
		return
	}
	for _, p := range n.pairs {
		r.use("mix", p.key.text, p.key)
		r.at(p.key.text, p.value, func() {
			if q := r.positive(p.value, unit.Mass); q.Is(unit.Mass) {
				c.mixes = append(c.mixes, Draw{Mix: p.key.text, Mass: model.Grams(r.rounded(p.value, q, up))})
			}
		})
	}
}

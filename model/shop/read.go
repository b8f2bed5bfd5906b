package shop

import (
	"slices"
	"time"

	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/unit"
)

// Read reads a shop file. The name is shown in messages. All mistakes of the
// file are in the list, each at its place; if there is one, the shop is not to be
// planned with. Neither is ever nil. Time and memory are bounded whatever the
// data: at most MaxBytes are read.
func Read(name string, data []byte) (*Shop, *diag.List) {
	errs := &diag.List{}
	src := diag.NewSource(name, data)
	s := &Shop{Source: src, Zone: time.UTC, Currency: "USD", TickMinutes: 5, Weeks: 3}
	s.Urgencies = []Urgency{{Name: "normal", Factor: 1000}}
	root := parse(src, data, errs)
	if root == nil {
		return s, errs
	}
	r := &reader{shop: s, errs: errs, where: map[string]diag.Pos{}, unread: map[string]bool{}, crews: map[string][2]string{}, loads: map[string]model.Grams{}}
	if root.kind == mapping {
		r.currency(root.get("currency"))
		r.defaults(root.get("defaults"))
	}
	shopTable.read(r, s, root)
	r.finishReading()
	return s, errs
}

// currency reads the currency, which all amounts need.
func (r *reader) currency(n *node) {
	if n == nil || n.kind == null {
		return
	}
	r.at("currency", n, func() {
		s, ok := r.text(n, "USD")
		switch {
		case ok && !currencyPattern.MatchString(s):
			r.bad(n, "write a code of three capital letters, such as USD, CAD or EUR", "which is no code of a currency")
		case ok:
			r.shop.Currency = s
		}
	})
}

// defaultsTable says which kinds of entries have defaults.
var defaultsTable = table[sets]{
	title: "defaults", path: "defaults:",
	intro: "Each is a mapping of the keys of its kind.",
	fields: []field[sets]{
		{key: "person", form: form{"keys of people", "{overtime: [evening]}"}, says: "For all people.", set: setDefault("person", personTable.keys)},
		{key: "mix", form: form{"keys of mixes", "{wash: 20 min}"}, says: "For all mixes.", set: setDefault("mix", mixTable.keys)},
		{key: "piece", form: form{"keys of piece types", "{prep: {crew: hand}}"}, says: "For all piece types; prep, cover and demold are filled up key by key.", set: setDefault("piece", pieceTable.keys)},
		{key: "mold", form: form{"keys of molds", "{prep: 30 min}"}, says: "For all molds.", set: setDefault("mold", moldTable.keys)},
	},
}

func setDefault(kind string, keys func() []string) func(*reader, *sets, *node) {
	return func(r *reader, s *sets, n *node) {
		if n.kind != mapping {
			r.bad(n, "write "+kind+": and its keys", "and a mapping of keys is needed")
			return
		}
		kept := &node{kind: mapping, pos: n.pos}
		for _, p := range n.pairs {
			if !contains(keys(), p.key.text) {
				r.fail(p.key.pos, r.near(p.key.text, "keys of a "+kind, keys()), "key %s is not known in the defaults of a %s", diag.Quote(p.key.text), kind)
				continue
			}
			kept.pairs = append(kept.pairs, p)
		}
		s.defaults[kind] = kept
	}
}

func (r *reader) defaults(n *node) {
	r.sets.defaults = map[string]*node{}
	if n == nil || n.kind == null {
		return
	}
	r.at("defaults", n, func() { defaultsTable.read(r, &r.sets, n) })
}

// finishReading works out what needs several parts of the file, then checks it
// all against itself.
func (r *reader) finishReading() {
	s := r.shop
	r.judging = true
	for i := range r.sets.mixes {
		r.washes(&r.sets.mixes[i])
		s.Mixes = append(s.Mixes, r.sets.mixes[i].Mix)
	}
	for i := range r.sets.mixers {
		r.capacity(&r.sets.mixers[i])
		s.Mixers = append(s.Mixers, r.sets.mixers[i].Mixer)
	}
	for i := range r.sets.pieces {
		s.Pieces = append(s.Pieces, r.sets.pieces[i].Piece)
	}
	c := &s.Calendar
	for d := range c.Hours {
		c.Hours[d] = minus(c.Hours[d], c.Lunch[d])
	}
	for i := range c.Extra {
		c.Extra[i].Hours = minus(c.Extra[i].Hours, c.Lunch[c.Extra[i].Date.Weekday()])
	}
	for d := range r.open {
		r.open[d] = c.open(time.Weekday(d))
	}
	r.checkNames()
	r.checkTwice()
	r.checkCalendar()
	r.checkPeople()
	r.checkMixes()
	r.checkCures()
	r.checkPieces()
	r.checkMolds()
	r.checkWork()
}

// washes works out the clean-ups of a mix from colors and families.
func (r *reader) washes(m *rawMix) {
	m.WashBefore = map[string]unit.Minutes{}
	for i := range r.sets.mixes {
		next := &r.sets.mixes[i]
		if t := m.shorter(next, r.sets.colors); t != nil {
			m.WashBefore[next.Name] = *t
		}
	}
	for _, b := range m.before {
		m.WashBefore[b.mix] = b.time
	}
}

// shorter is the clean-up before another mix if it is no full wash.
func (m *rawMix) shorter(next *rawMix, colors []string) *unit.Minutes {
	switch {
	case m.Name == next.Name:
		return m.scrape
	case m.Family != next.Family || m.Color == "" || next.Color == "":
		return nil
	case m.Color == next.Color:
		return m.scrape
	}
	if from := slices.Index(colors, m.Color); from >= 0 && slices.Index(colors, next.Color) > from {
		return m.rinse
	}
	return nil
}

// capacity turns a drum into a mass, by the lightest of the mixes that it mixes.
func (r *reader) capacity(m *rawMixer) {
	if r.doubt("mixers/" + m.Name) {
		return
	}
	drum := m.drum.Is(unit.Volume)
	if drum == (m.Capacity > 0) {
		text := "mixer %s has neither capacity nor drum"
		if drum {
			text = "mixer %s has both capacity and drum"
		}
		r.fail(m.Pos, "give capacity: 120 kg, or drum: 6 ft3 with the share of it that a batch may fill", text, diag.Quote(m.Name))
	}
	if !drum || m.Capacity > 0 {
		return
	}
	var least unit.Quantity
	for i := range r.sets.mixes {
		x := &r.sets.mixes[i]
		switch {
		case !contains(x.Mixers, m.Name), r.doubt("mixes/" + x.Name):
		case !x.density.Is(unit.Dense):
			r.fail(x.Pos, "give it a density, such as 130 lb/ft3", "mix %s is mixed in %s, which has a drum, and has no density", diag.Quote(x.Name), diag.Quote(m.Name))
		case !least.Is(unit.Dense) || x.density.Cmp(least) < 0:
			least = x.density
		}
	}
	if !least.Is(unit.Dense) {
		m.Capacity = maxAmount // nothing is mixed in it
		return
	}
	mass := m.drum.Mul(m.fill).Mul(least)
	r.at("drum", &node{pos: m.pos}, func() {
		m.Capacity = model.Grams(r.rounded(&node{text: m.Name, pos: m.pos}, mass, down))
	})
	if m.Capacity == 0 {
		r.fail(m.pos, "look at the number and its unit", "the drum of mixer %s holds nothing", diag.Quote(m.Name))
		m.Capacity = 1
	}
}

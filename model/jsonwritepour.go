package model

// pour writes a pour with the fields of its stage.
func (o *jsonOut) pour(q *Pour) {
	o.object(func() {
		o.textField("id", q.ID)
		o.textField("order", q.Order)
		o.textField("piece", q.Piece)
		o.textField("stage", string(q.Stage))
		switch q.Stage {
		case New:
			o.newPour(q)
		case Curing:
			o.duePour(q)
			o.textField("mold", q.Mold)
			numberField(o, "cure_end", q.CureEnd)
			optField(o, "mold_until", q.MoldUntil)
			o.demolding(q)
			o.resting(q)
		case Racked:
			o.duePour(q)
			o.textField("rack", q.Rack)
			numberField(o, "places", q.Places)
			numberField(o, "next", q.Next)
			numberField(o, "from", q.From)
			optField(o, "from_max", q.FromMax)
			o.spansAndFinish(q)
		default:
			o.fail("stage %q of pour %q; stages are new, curing, racked", string(q.Stage), q.ID)
		}
	})
}

func (o *jsonOut) duePour(q *Pour) {
	numberField(o, "due", q.Due)
	numberField(o, "late_per_tick", q.LatePerTick)
}

func (o *jsonOut) newPour(q *Pour) {
	numberField(o, "release", q.Release)
	o.duePour(q)
	numberField(o, "carry", q.Carry)
	o.key("molds")
	list(o, q.Molds, func(m *MoldChoice) {
		o.object(func() {
			o.textField("mold", m.Mold)
			numberField(o, "work", m.Work)
		})
	})
	o.key("prep")
	o.object(func() {
		o.hands(q.Prep.Crew, q.Prep.Station)
		o.when(q.Prep.When)
	})
	optField(o, "prep_max", q.PrepMax)
	o.key("layers")
	list(o, q.Layers, o.layer)
	o.key("draws")
	list(o, q.Draws, func(d *Draw) {
		o.object(func() {
			o.textField("mix", d.Mix)
			numberField(o, "grams", d.Grams)
			o.key("layers")
			list(o, d.Layers, func(i *int) { number(o, *i) })
		})
	})
	o.key("cover")
	o.object(func() {
		numberField(o, "work", q.Cover.Work)
		o.hands(q.Cover.Crew, q.Cover.Station)
		o.key("gap")
		o.interval(&q.Cover.Gap)
		o.when(q.Cover.When)
	})
	o.textField("cure", q.Cure)
	optField(o, "mold_max", q.MoldMax)
	o.demolding(q)
	o.resting(q)
	o.spot("base", q.Base)
	o.spot("pin", q.Pin)
}

func (o *jsonOut) when(ivs []Interval) {
	if ivs != nil {
		o.intervalsField("when", ivs)
	}
}

func (o *jsonOut) layer(l *Layer) {
	o.object(func() {
		o.textField("id", l.ID)
		numberField(o, "work", l.Work)
		o.hands(l.Crew, l.Station)
		o.key("gap")
		o.interval(&l.Gap)
		o.when(l.When)
	})
}

func (o *jsonOut) demolding(q *Pour) {
	o.key("demold")
	o.object(func() {
		numberField(o, "work", q.Demold.Work)
		o.hands(q.Demold.Crew, q.Demold.Station)
		o.when(q.Demold.When)
	})
}

func (o *jsonOut) resting(q *Pour) {
	o.key("racks")
	o.texts(q.Racks)
	numberField(o, "places", q.Places)
	o.spansAndFinish(q)
}

func (o *jsonOut) spansAndFinish(q *Pour) {
	if q.Spans != nil {
		o.key("spans")
		list(o, q.Spans, func(s *Span) {
			o.object(func() {
				o.textField("station", s.Station)
				o.textField("from", s.From)
				o.textField("to", s.To)
			})
		})
	}
	o.key("finish")
	list(o, q.Finish, o.finish)
}

func (o *jsonOut) finish(f *Finish) {
	o.object(func() {
		o.textField("id", f.ID)
		numberField(o, "work", f.Work)
		o.hands(f.Crew, f.Station)
		numberField(o, "rest", f.Rest)
		optField(o, "rest_max", f.RestMax)
		o.key("pausable")
		o.bool(f.Pausable)
		o.when(f.When)
	})
}

func (o *jsonOut) spot(name string, s *Spot) {
	if s == nil {
		return
	}
	o.key(name)
	o.object(func() {
		o.textField("mold", s.Mold)
		numberField(o, "start", s.Start)
	})
}

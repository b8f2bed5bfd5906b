package model

import "io"

// WriteProblem writes a problem in the form of section 7 of the planning model,
// which ReadProblem reads back to an equal problem if it is valid. Equal
// problems give equal bytes. Fields of a pour that do not belong to its stage
// are left out, optional fields that are nil too. The error is that of w, or
// says which text is no UTF-8 or which stage is unknown; nothing is written
// then.
func WriteProblem(w io.Writer, p *Problem) error {
	o := &jsonOut{}
	o.problem(p)
	return o.flush(w)
}

func (o *jsonOut) problem(p *Problem) {
	o.document(func() {
		o.top("format")
		o.quote(ProblemFormat)
		o.top("name")
		o.quote(p.Name)
		o.top("start")
		o.quote(p.Start)
		o.top("tick_minutes")
		number(o, p.TickMinutes)
		o.top("horizon")
		number(o, p.Horizon)
		o.top("pour_until")
		number(o, p.PourUntil)
		o.top("now")
		number(o, p.Now)
		o.top("move_tolerance")
		number(o, p.MoveTolerance)
		o.top("open")
		o.intervals(p.Open)
		o.top("overtime")
		o.intervals(p.Overtime)
		o.things(p)
		o.top("pours")
		rows(o, p.Pours, o.pour)
		o.top("costs")
		o.costs(&p.Costs)
	})
}

func (o *jsonOut) things(p *Problem) {
	o.top("people")
	rows(o, p.People, o.person)
	o.top("mixers")
	rows(o, p.Mixers, o.mixer)
	o.top("mixes")
	rows(o, p.Mixes, o.mix)
	o.top("molds")
	rows(o, p.Molds, o.mold)
	o.top("racks")
	rows(o, p.Racks, func(r *Rack) {
		o.object(func() {
			o.textField("id", r.ID)
			o.key("places")
			o.steps(r.Places)
		})
	})
	o.top("stations")
	rows(o, p.Stations, func(s *Station) {
		o.object(func() {
			o.textField("id", s.ID)
			numberField(o, "places", s.Places)
		})
	})
	o.top("cures")
	rows(o, p.Cures, func(c *Cure) {
		o.object(func() {
			o.textField("id", c.ID)
			o.key("lag")
			o.steps(c.Lag)
		})
	})
	o.top("fixed")
	rows(o, p.Fixed, o.fixed)
	if p.Callins != nil {
		o.top("callins")
		rows(o, p.Callins, o.callin)
	}
	if p.Shipments != nil {
		o.top("shipments")
		rows(o, p.Shipments, o.shipment)
	}
}

func (o *jsonOut) person(p *Person) {
	o.object(func() {
		o.textField("id", p.ID)
		o.key("skills")
		o.texts(p.Skills)
		o.intervalsField("on", p.On)
	})
}

func (o *jsonOut) mixer(m *Mixer) {
	o.object(func() {
		o.textField("id", m.ID)
		numberField(o, "capacity_g", m.Capacity)
		numberField(o, "free_from", m.FreeFrom)
		o.intervalsField("down", m.Down)
		optField(o, "keep", m.Keep)
	})
}

func (o *jsonOut) mix(m *Mix) {
	o.object(func() {
		o.textField("id", m.ID)
		numberField(o, "mix", m.Mix)
		numberField(o, "rest", m.Rest)
		numberField(o, "remix", m.Remix)
		numberField(o, "wash", m.Wash)
		o.key("wash_gap")
		o.interval(&m.WashGap)
		if m.WashBefore != nil {
			o.key("wash_before")
			o.object(func() { sorted(m.WashBefore, func(id string, t Tick) { numberField(o, id, t) }) })
		}
		o.key("crew")
		o.crew(m.Crew)
		numberField(o, "loss_g", m.Loss)
		numberField(o, "min_g", m.Min)
		numberField(o, "step_g", m.Step)
		o.key("pot_life")
		o.steps(m.PotLife)
		o.key("mixers")
		o.texts(m.Mixers)
	})
}

func (o *jsonOut) mold(m *Mold) {
	o.object(func() {
		o.textField("id", m.ID)
		numberField(o, "free_from", m.FreeFrom)
		o.intervalsField("down", m.Down)
	})
}

func (o *jsonOut) fixed(f *Fixed) {
	o.object(func() {
		o.textField("id", f.ID)
		numberField(o, "start", f.Start)
		numberField(o, "end", f.End)
		o.hands(f.Crew, f.Station)
	})
}

// hands writes what a task needs besides time.
func (o *jsonOut) hands(c Crew, station OptID) {
	o.key("crew")
	o.crew(c)
	o.key("station")
	o.id(station)
}

func (o *jsonOut) callin(c *Callin) {
	o.object(func() {
		numberField(o, "from", c.From)
		numberField(o, "to", c.To)
		numberField(o, "cost", c.Cost)
	})
}

func (o *jsonOut) shipment(s *Shipment) {
	o.object(func() {
		o.textField("id", s.ID)
		o.key("pours")
		o.texts(s.Pours)
		numberField(o, "due", s.Due)
		numberField(o, "late_per_tick", s.LatePerTick)
		if s.Trucks != nil {
			o.key("trucks")
			list(o, s.Trucks, func(t *Tick) { number(o, *t) })
		}
		if s.Hold {
			o.key("hold")
			o.bool(true)
		}
	})
}

func (o *jsonOut) costs(c *Costs) {
	o.object(func() {
		numberField(o, "idle", c.Idle)
		numberField(o, "held", c.Held)
		numberField(o, "rack_wait", c.RackWait)
		numberField(o, "overtime", c.Overtime)
		numberField(o, "batch", c.Batch)
		numberField(o, "waste", c.Waste)
		numberField(o, "move", c.Move)
	})
}

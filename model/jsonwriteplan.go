package model

import "io"

// WritePlan writes a plan in the form of section 7 of the planning model, which
// ReadPlan reads back to an equal plan. Equal plans give equal bytes. A plan
// whose Cost is Unstated is written without cost, and without terms if they are
// all 0. Errors are as of WriteProblem.
func WritePlan(w io.Writer, plan *Plan) error {
	o := &jsonOut{}
	o.plan(plan)
	return o.flush(w)
}

func (o *jsonOut) plan(p *Plan) {
	o.document(func() {
		o.top("format")
		o.quote(PlanFormat)
		o.top("problem")
		o.quote(p.Problem)
		o.top("batches")
		rows(o, p.Batches, o.batch)
		o.top("pours")
		rows(o, p.Pours, o.pourPlan)
		o.top("carried")
		o.texts(p.Carried)
		o.top("bound")
		number(o, p.Bound)
		o.top("fixed")
		o.object(func() {
			sorted(p.Fixed, func(id string, w Who) {
				o.key(id)
				o.who(w)
			})
		})
		if p.Cost != Unstated {
			o.top("cost")
			number(o, p.Cost)
		}
		if p.Cost != Unstated || p.Terms != (Terms{}) {
			o.top("terms")
			o.object(func() {
				for _, name := range TermNames {
					numberField(o, name, *p.Terms.Term(name))
				}
			})
		}
	})
}

func (o *jsonOut) who(w Who) {
	if w == nil {
		o.null()
		return
	}
	o.object(func() {
		sorted(w, func(skill string, ids []string) {
			o.key(skill)
			o.texts(ids)
		})
	})
}

func (o *jsonOut) batch(b *BatchPlan) {
	o.object(func() {
		o.textField("id", b.ID)
		o.textField("mixer", b.Mixer)
		o.textField("mix", b.Mix)
		numberField(o, "start", b.Start)
		o.key("wash")
		o.interval(&b.Wash)
		o.key("who")
		o.object(func() {
			o.key("mix")
			o.who(b.Who.Mix)
			o.key("remix")
			o.who(b.Who.Remix)
			o.key("wash")
			o.who(b.Who.Wash)
		})
	})
}

func (o *jsonOut) optInterval(iv *Interval) {
	if iv == nil {
		o.null()
		return
	}
	o.interval(iv)
}

// optList writes a list whose absence means something.
func optList[T any](o *jsonOut, l []T, each func(*T)) {
	if l == nil {
		o.null()
		return
	}
	list(o, l, each)
}

func (o *jsonOut) pourPlan(x *PourPlan) {
	o.object(func() {
		o.textField("id", x.ID)
		o.key("mold")
		o.id(x.Mold)
		o.textField("rack", x.Rack)
		o.key("prep")
		o.optInterval(x.Prep)
		o.key("layers")
		optList(o, x.Layers, o.interval)
		o.key("cover")
		o.optInterval(x.Cover)
		o.key("cure_end")
		if x.CureEnd == nil {
			o.null()
		} else {
			number(o, *x.CureEnd)
		}
		o.key("demold")
		o.optInterval(x.Demold)
		o.key("finish")
		list(o, x.Finish, func(iv **Interval) { o.optInterval(*iv) })
		o.key("draws")
		optList(o, x.Draws, func(id *string) { o.quote(*id) })
		numberField(o, "ready", x.Ready)
		o.key("who")
		o.pourWho(&x.Who)
	})
}

func (o *jsonOut) pourWho(w *PourWho) {
	each := func(v *Who) { o.who(*v) }
	o.object(func() {
		o.key("prep")
		o.who(w.Prep)
		o.key("layers")
		optList(o, w.Layers, each)
		o.key("cover")
		o.who(w.Cover)
		o.key("demold")
		o.who(w.Demold)
		o.key("finish")
		optList(o, w.Finish, each)
	})
}

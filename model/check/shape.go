package check

import (
	"strings"

	"pourweek/model"
)

// shape judges that a pour has the steps that are still to do, none of those
// done, and ticks that can be reckoned with. (Sections 5 and 7.)
func (c *checker) shape(x *planned) bool {
	before := len(c.broken)
	q := x.q
	isNew, inMold := q.Stage == model.New, q.Stage != model.Racked
	c.present(x, "prep", x.Prep, isNew)
	c.present(x, "cover", x.Cover, isNew)
	c.present(x, "demold", x.Demold, inMold)
	if has := x.CureEnd != nil; has != isNew && q.Stage != model.Curing {
		c.wrongStep(x, "cure_end", isNew)
	} else if has && isNew {
		c.sane(x.where, model.Interval{*x.CureEnd, *x.CureEnd})
	}
	c.sane(x.where, model.Interval{x.Ready, x.Ready})
	c.length(x, "layers", len(x.Layers), len(q.Layers))
	for i := range x.Layers {
		if i < len(q.Layers) {
			c.sane(x.step(q.Layers[i].ID), x.Layers[i])
		}
	}
	if c.length(x, "finish", len(x.Finish), len(q.Finish)) {
		for k, iv := range x.Finish {
			c.present(x, q.Finish[k].ID, iv, inMold || k >= q.Next)
		}
	}
	if len(x.Draws) != len(q.Draws) {
		c.add(fault{Draws, x.where, "", 0}, "pour %q names %d batches for its draws; there are %d draws", x.ID, len(x.Draws), len(q.Draws))
	}
	c.shapeWho(x)
	return len(c.broken) == before
}

// shapeWho judges that people are named for the steps to do alone.
func (c *checker) shapeWho(x *planned) {
	q, w := x.q, &x.Who
	c.length(x, "who of layers", len(w.Layers), len(q.Layers))
	if c.length(x, "who of finish", len(w.Finish), len(q.Finish)) && q.Stage == model.Racked {
		for k := range min(q.Next, len(q.Finish)) {
			c.noTask(x.step(q.Finish[k].ID), w.Finish[k])
		}
	}
	if q.Stage != model.New {
		c.noTask(x.step("prep"), w.Prep)
		c.noTask(x.step("cover"), w.Cover)
	}
	if q.Stage == model.Racked {
		c.noTask(x.step("demold"), w.Demold)
	}
}

func (c *checker) present(x *planned, step string, iv *model.Interval, due bool) {
	switch {
	case (iv != nil) != due:
		c.wrongStep(x, step, due)
	case due:
		c.sane(x.step(step), *iv)
	}
}

func (c *checker) wrongStep(x *planned, step string, due bool) {
	f := fault{Steps, x.step(step), "", 0}
	if due {
		c.add(f, "pour %q has no %s", x.ID, step)
	} else {
		c.add(f, "pour %q has a %s, which is done already: it is %s", x.ID, step, x.q.Stage)
	}
}

func (c *checker) length(x *planned, what string, has, due int) bool {
	if has != due {
		c.add(fault{Steps, x.where, what, 0}, "pour %q has %s in %s; %d are due", x.ID, many(model.Tick(has), "entry"), what, due)
	}
	return has == due
}

// spans holds the stations that a pour keeps between two moments of its life.
func (c *checker) spans(x *planned) {
	for _, s := range x.q.Spans {
		from, began := c.moment(x, s.From)
		to, over := c.moment(x, s.To)
		if over {
			continue
		}
		if began {
			from = 0
		}
		c.holdStation(s.Station, model.Interval{from, to}, x.where)
	}
}

// moment is the tick of a moment in the pour's life, or says that it was in a
// step that is done.
func (c *checker) moment(x *planned, name string) (t model.Tick, done bool) {
	dot := strings.LastIndexByte(name, '.')
	if dot < 0 {
		return 0, true
	}
	end := name[dot+1:] == "end"
	iv := x.interval(name[:dot])
	switch {
	case iv == nil:
		return 0, true
	case end:
		return iv.To(), false
	}
	return iv.From(), false
}

// interval is when a step of the pour is done, nil if it is done already.
func (x *planned) interval(step string) *model.Interval {
	switch step {
	case "prep":
		return x.Prep
	case "cover":
		return x.Cover
	case "demold":
		return x.Demold
	}
	for i := range x.q.Layers {
		if x.q.Layers[i].ID == step {
			return &x.Layers[i]
		}
	}
	for k := range x.q.Finish {
		if x.q.Finish[k].ID == step {
			return x.Finish[k]
		}
	}
	return nil
}

package check

import (
	"cmp"
	"slices"

	"pourweek/model"
)

// batch is a batch of the plan with what follows from it.
type batch struct {
	*model.BatchPlan
	where Where
	mix   *model.Mix
	ready model.Tick
	until model.Tick // end of the working time
	net   model.Grams
	draws int
}

// held is when the batch holds its mixer.
func (b *batch) held() model.Interval {
	return model.Interval{b.Start, max(b.ready, b.Wash.To())}
}

func (b *batch) step(name string) Where { return Where{Batch: b.ID, Step: name} }

// listBatches finds the batches that make sense.
func (c *checker) listBatches() {
	mixes := index(c.p.Mixes, func(m *model.Mix) string { return m.ID })
	mixers := index(c.p.Mixers, func(m *model.Mixer) string { return m.ID })
	for i := range c.plan.Batches {
		b := &batch{BatchPlan: &c.plan.Batches[i], where: Where{Batch: c.plan.Batches[i].ID}}
		if _, ok := c.batches[b.ID]; ok {
			c.add(fault{Twice, b.where, b.ID, 0}, "batch %q stands twice in the plan", b.ID)
			continue
		}
		c.batches[b.ID] = b
		m, known := mixes[b.Mix]
		if !known {
			c.add(fault{Known, b.where, b.Mix, 0}, "batch %q is of the mix %q, which the problem does not have", b.ID, b.Mix)
			continue
		}
		if !c.sane(b.where, model.Interval{b.Start, b.Start}) || !c.sane(b.step("washing"), b.Wash) {
			continue
		}
		b.mix = &c.p.Mixes[m]
		b.ready = b.Start + b.mix.Mix + b.mix.Rest + b.mix.Remix
		b.until = b.Start + model.Tick(b.mix.PotLife.At(b.Start))
		switch _, known := mixers[b.Mixer]; {
		case !known:
			c.add(fault{Known, b.where, b.Mixer, 0}, "batch %q is in the mixer %q, which the problem does not have", b.ID, b.Mixer)
		case !slices.Contains(b.mix.Mixers, b.Mixer):
			c.add(fault{Mixer, b.where, b.Mixer, 0}, "batch %q of the mix %q is in the mixer %q, which that mix does not allow", b.ID, b.Mix, b.Mixer)
		}
		c.inMixer[b.Mixer] = append(c.inMixer[b.Mixer], b)
	}
}

// sane judges that an interval can be reckoned with.
func (c *checker) sane(where Where, iv model.Interval) bool {
	if iv.From() < -far || iv.To() > far || iv.To() < iv.From() {
		c.add(fault{Ticks, where, "", 0}, "%s runs from tick %d to tick %d, which is no time that can be", where, iv.From(), iv.To())
		return false
	}
	return true
}

// mixBatches judges mixing and remixing of each batch.
func (c *checker) mixBatches() {
	for i := range c.plan.Batches {
		b := c.batches[c.plan.Batches[i].ID]
		if b.BatchPlan != &c.plan.Batches[i] || b.mix == nil {
			continue
		}
		all := model.Interval{b.Start, b.ready}
		if b.Start < c.p.Now {
			c.add(fault{Now, b.where, "", b.Start}, "batch %q starts at %s, before now, %s", b.ID, c.at(b.Start), c.at(c.p.Now))
		}
		if b.ready > c.p.Horizon {
			c.add(fault{Horizon, b.where, "", b.ready}, "batch %q is ready at %s, after the horizon, %s", b.ID, c.at(b.ready), c.at(c.p.Horizon))
		}
		open := c.cal.opens(b.Start, b.ready) == all.Len()
		if !open {
			closed := c.cal.firstClosed(all)
			c.add(fault{Mixing, b.where, "", closed}, "batch %q is mixed from %s to %s, but the shop is closed at %s",
				b.ID, c.at(b.Start), c.at(b.ready), c.at(closed))
		}
		for _, part := range []struct {
			name string
			iv   model.Interval
			who  model.Who
		}{
			{"mixing", model.Interval{b.Start, b.Start + b.mix.Mix}, b.Who.Mix},
			{"remixing", model.Interval{b.ready - b.mix.Remix, b.ready}, b.Who.Remix},
		} {
			if part.iv.Len() == 0 {
				c.noTask(b.step(part.name), part.who)
				continue
			}
			var taken []model.Interval
			if open {
				taken = []model.Interval{part.iv}
			}
			c.crew(b.step(part.name), b.mix.Crew, part.who, taken)
			c.pay(b.mix.Crew, taken)
		}
	}
}

// runMixers judges each mixer's batches in their order: clean-ups, content and
// one batch at a time.
func (c *checker) runMixers() {
	for i := range c.p.Mixers {
		x := &c.p.Mixers[i]
		bs := c.inMixer[x.ID]
		slices.SortStableFunc(bs, func(a, b *batch) int { return cmp.Compare(a.Start, b.Start) })
		var last *batch // of those before, the one that keeps the mixer longest
		for k, b := range bs {
			var next *batch
			if k+1 < len(bs) {
				next = bs[k+1]
			}
			c.wash(x, b, next)
			c.mixerIsFree(x, b)
			if last != nil && last.held().To() > b.Start {
				c.add(fault{MixerHeld, b.where, x.ID, b.Start}, "batch %q starts in the mixer %q at %s, which batch %q holds until %s",
					b.ID, x.ID, c.at(b.Start), last.ID, c.at(last.held().To()))
			}
			if last == nil || b.held().To() > last.held().To() {
				last = b
			}
			c.content(x, b)
		}
	}
}

func (c *checker) wash(x *model.Mixer, b, next *batch) {
	length, because := b.mix.Wash, "its mix"
	if next != nil {
		w, listed := b.mix.WashBefore[next.Mix]
		if listed && (x.Keep == nil || next.Start <= b.ready+*x.Keep) {
			length, because = w, "batch \""+next.ID+"\" next"
		}
	}
	where, z := b.step("washing"), b.Wash.From()
	if b.Wash.Len() != length {
		c.add(fault{WashLength, where, x.ID, z}, "%s takes %s from %s; with %s it is %d",
			where, many(b.Wash.Len(), "tick"), c.at(z), because, length)
		return
	}
	if length == 0 {
		if z != b.ready {
			c.add(fault{WashLength, where, x.ID, z}, "%s is stated at %s; there is none, so that it is stated at ready, %s",
				where, c.at(z), c.at(b.ready))
		}
		c.noTask(where, b.Who.Wash)
		return
	}
	if gap, lim := z-b.ready, b.mix.WashGap; gap < lim.From() || gap > lim.To() {
		c.add(fault{WashGap, where, x.ID, z}, "%s starts at %s, %s after the batch is ready at %s; %d to %d are allowed",
			where, c.at(z), many(gap, "tick"), c.at(b.ready), lim.From(), lim.To())
	}
	c.task(where, demand{work: length, crew: b.mix.Crew}, b.Wash, b.Who.Wash)
}

func (c *checker) mixerIsFree(x *model.Mixer, b *batch) {
	held := b.held()
	if b.Start < x.FreeFrom {
		c.add(fault{MixerFree, b.where, x.ID, b.Start}, "batch %q starts at %s, before the mixer %q is free at %s",
			b.ID, c.at(b.Start), x.ID, c.at(x.FreeFrom))
	}
	for _, d := range x.Down {
		if overlap(held, d) {
			c.add(fault{MixerDown, b.where, x.ID, d.From()}, "batch %q holds the mixer %q from %s to %s, but it is down from %s to %s",
				b.ID, x.ID, c.at(held.From()), c.at(held.To()), c.at(d.From()), c.at(d.To()))
		}
	}
}

func overlap(a, b model.Interval) bool { return max(a.From(), b.From()) < min(a.To(), b.To()) }

func (c *checker) content(x *model.Mixer, b *batch) {
	if b.draws == 0 {
		c.add(fault{EmptyBatch, b.where, "", 0}, "batch %q feeds no pour", b.ID)
		return
	}
	mixed := b.net + b.mix.Loss
	if step := b.mix.Step; step > 0 {
		mixed = (mixed + step - 1) / step * step
	}
	mixed = max(mixed, b.mix.Min)
	if mixed > x.Capacity {
		c.add(fault{Capacity, b.where, x.ID, 0}, "batch %q is %d g for %d g of draws; the mixer %q holds %d g", b.ID, mixed, b.net, x.ID, x.Capacity)
	}
	c.terms.Batch += c.p.Costs.Batch
	c.terms.Waste += c.p.Costs.Waste * model.Mils(mixed-b.net)
}

// feedsAtAll notes the batches of a pour that cannot be judged further, so that
// they are not called empty.
func (c *checker) feedsAtAll(x *planned) {
	for _, id := range x.Draws {
		if b, ok := c.batches[id]; ok {
			b.draws++
		}
	}
}

// feed judges the draws of a new pour and fills its batches.
func (c *checker) feed(x *planned) {
	for i := range x.q.Draws {
		d := &x.q.Draws[i]
		b, ok := c.batches[x.Draws[i]]
		if !ok {
			c.add(fault{Draws, x.where, x.Draws[i], 0}, "draw %d of pour %q comes from the batch %q, which the plan does not have", i+1, x.ID, x.Draws[i])
			continue
		}
		b.net += d.Grams
		b.draws++
		if b.Mix != d.Mix {
			c.add(fault{DrawMix, x.where, b.ID, 0}, "draw %d of pour %q is of the mix %q and comes from batch %q of the mix %q", i+1, x.ID, d.Mix, b.ID, b.Mix)
		}
		if b.mix == nil {
			continue
		}
		for _, k := range d.Layers {
			where, iv := x.step(x.q.Layers[k].ID), x.Layers[k]
			if iv.From() < b.ready {
				c.add(fault{BatchReady, where, b.ID, iv.From()}, "%s starts at %s, before batch %q is ready at %s", where, c.at(iv.From()), b.ID, c.at(b.ready))
			}
			if iv.To() > b.until {
				c.add(fault{PotLife, where, b.ID, iv.To()}, "%s ends at %s, but batch %q can be worked until %s", where, c.at(iv.To()), b.ID, c.at(b.until))
			}
		}
	}
}

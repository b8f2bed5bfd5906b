package why

import (
	"cmp"
	"slices"

	"pourweek/model"
)

// Load is how much of something a plan uses.
type Load struct {
	Name string     // "mold M3", "rack long", "crew finish", "mixer drum", "station tent"
	Used model.Tick // head, mold, mixer or place ticks in use
	Of   model.Tick // those there are, from now to the last work of the plan
	// Waited counts regular ticks, summed over steps, in which a step that was ready
	// could have begun by the hours of the shop and its own, and without overtime,
	// and did not because of this. A tick of a step counts for one thing only: its
	// mold or rack, else its mixer, else people, else its station.
	Waited model.Tick

	Longest model.Interval // the longest of these waits, from its first tick to where it ended
	Pour    string         // whose it was, "" where nothing waited
	longest model.Tick     // the ticks that count of it
}

// Share is the part used, 0 to 1.
func (l Load) Share() float64 {
	if l.Of == 0 {
		return 0
	}
	return float64(l.Used) / float64(l.Of)
}

// Tight lists how much of each skill, mold, rack, mixer and station a plan
// uses from p.Now to its last work, those that work waited for longest first.
// A person with several skills counts for each; molds and racks count every
// tick, people, mixers and stations the open ones.
func Tight(p *model.Problem, plan *model.Plan) []Load {
	c := &chainer{p: p, plan: plan, clock: func(model.Tick) string { return "" }}
	c.lay()
	end := p.Now
	for _, x := range plan.Pours {
		end = max(end, x.Ready)
	}
	loads := c.crewLoads(end)
	loads = append(loads, c.placeLoads(end)...)
	loads = append(loads, c.mixerLoads(end)...)
	at := map[string]int{}
	for i, l := range loads {
		at[l.Name] = i
	}
	for i := range plan.Pours {
		c.waits(&plan.Pours[i], func(name string, iv model.Interval, ticks model.Tick) {
			if j, ok := at[name]; ok {
				loads[j].wait(plan.Pours[i].ID, iv, ticks)
			}
		})
	}
	slices.SortStableFunc(loads, func(a, b Load) int {
		return cmp.Or(cmp.Compare(b.Waited, a.Waited), cmp.Compare(b.Share(), a.Share()))
	})
	return loads
}

// wait adds a wait of a pour of so many ticks.
func (l *Load) wait(pour string, iv model.Interval, ticks model.Tick) {
	l.Waited += ticks
	if ticks > l.longest {
		l.Longest, l.Pour, l.longest = iv, pour, ticks
	}
}

// waits tells of each stretch in which a step of a pour waited for one thing, and
// how many of its ticks count.
func (c *chainer) waits(x *model.PourPlan, tell func(name string, iv model.Interval, ticks model.Tick)) {
	q := c.pours[x.ID]
	list := steps(q, x)
	for i := range list {
		s := &list[i]
		_, earliest := c.after(q, x, list, i)
		name, from, ticks := "", earliest, model.Tick(0)
		for t := earliest; t < s.iv[0]; t++ {
			if !c.regular(s, t) {
				continue
			}
			if now := c.bindsAt(q, x, s, t).name; now != name {
				if ticks > 0 {
					tell(name, model.Interval{from, t}, ticks)
				}
				name, from, ticks = now, t, 0
			}
			ticks++
		}
		if ticks > 0 {
			tell(name, model.Interval{from, s.iv[0]}, ticks)
		}
	}
}

func (c *chainer) openIn(a, b model.Tick) model.Tick {
	n := model.Tick(0)
	for t := max(a, c.p.Now); t < min(b, c.p.Horizon); t++ {
		if c.open[t] {
			n++
		}
	}
	return n
}

// crewLoads counts for each skill the ticks that people who have it work.
func (c *chainer) crewLoads(end model.Tick) []Load {
	worked := map[string]model.Tick{}
	for _, b := range c.busy {
		for _, id := range b.people {
			worked[id] += c.openIn(b.iv[0], min(b.iv[1], end))
		}
	}
	of := map[string]*Load{}
	var names []string
	for _, x := range c.p.People {
		there := model.Tick(0)
		for t := c.p.Now; t < min(end, c.p.Horizon); t++ {
			if c.on[x.ID][t] {
				there++
			}
		}
		for _, s := range x.Skills {
			if of[s] == nil {
				of[s] = &Load{Name: "crew " + s}
				names = append(names, s)
			}
			of[s].Used += min(worked[x.ID], there)
			of[s].Of += there
		}
	}
	slices.Sort(names)
	var out []Load
	for _, s := range names {
		out = append(out, *of[s])
	}
	return out
}

// placeLoads counts molds and rack places.
func (c *chainer) placeLoads(end model.Tick) []Load {
	mold := map[string]model.Tick{}
	for _, x := range c.plan.Pours {
		if x.Demold != nil {
			held := c.p.Now
			if x.Prep != nil {
				held = x.Prep[0]
			}
			mold[string(x.Mold)] += x.Demold[1] - held
		}
	}
	var out []Load
	for _, m := range c.p.Molds {
		out = append(out, Load{Name: "mold " + m.ID, Used: mold[m.ID], Of: end - c.p.Now})
	}
	for _, r := range c.p.Racks {
		l := Load{Name: "rack " + r.ID}
		for t := c.p.Now; t < min(end, c.p.Horizon); t++ {
			l.Used += model.Tick(c.racks[r.ID][t]) // of shipments that hold them too
			l.Of += model.Tick(r.Places.At(t))
		}
		out = append(out, l)
	}
	return out
}

// mixerLoads counts mixers from the start of a batch to the end of its wash,
// and stations by the places that tasks and spans hold.
func (c *chainer) mixerLoads(end model.Tick) []Load {
	open := c.openIn(c.p.Now, end)
	var out []Load
	for _, m := range c.p.Mixers {
		l := Load{Name: "mixer " + m.ID, Of: open}
		for _, b := range c.plan.Batches {
			if b.Mixer == m.ID {
				l.Used += c.openIn(b.Start, b.Wash[1])
			}
		}
		out = append(out, l)
	}
	for _, s := range c.p.Stations {
		l := Load{Name: "station " + s.ID, Of: open * model.Tick(s.Places)}
		for t := c.p.Now; t < min(end, c.p.Horizon); t++ {
			if c.open[t] {
				l.Used += model.Tick(c.rigs[s.ID][t])
			}
		}
		out = append(out, l)
	}
	return out
}

package replan

import (
	"fmt"
	"slices"
	"strings"

	"pourweek/model"
)

// batchesWait moves batches that are not mixed yet along with the coats that wait and
// that they feed, as far as all that they feed, their mixer and the hours allow, and
// notes once of each batch for whom it gets too old.
func (a *advance) batchesWait(waited []turn) {
	order := slices.DeleteFunc(slices.Clone(a.order), func(b *batch) bool {
		return b.lost || a.mixes[b.plan.Mix] == nil ||
			!slices.ContainsFunc(waited, func(x turn) bool { return slices.Contains(b.pours, x.life) })
	})
	later := slices.Clone(order)
	slices.SortStableFunc(later, func(x, y *batch) int { return int(y.plan.Start - x.plan.Start) }) // the last make room
	for _, b := range later {
		if b.plan.Start >= a.now {
			a.mixLater(b)
		}
	}
	for _, b := range order {
		a.tooOld(b)
	}
}

// goodUntil is the end of a batch's pot life if it is mixed from s on.
func (a *advance) goodUntil(b *batch, s model.Tick) model.Tick {
	return s + model.Tick(a.mixes[b.plan.Mix].PotLife.At(s))
}

// mixLater moves a batch as little as can be for it to be good until the last coat
// that it feeds is laid, and ready for the first.
func (a *advance) mixLater(b *batch) {
	m := a.mixes[b.plan.Mix]
	first, last := never, model.Tick(0)
	for _, l := range b.pours {
		if iv, ok := a.fed(b, l); ok {
			first, last = min(first, iv[0]), max(last, iv[1])
		}
	}
	if last <= a.goodUntil(b, b.plan.Start) {
		return
	}
	for s := b.plan.Start + 1; s+m.Mix+m.Rest+m.Remix <= first; s++ {
		if last <= a.goodUntil(b, s) && a.canMix(b, m, s) {
			by := s - b.plan.Start
			b.plan.Start = s
			b.plan.Wash[0] += by
			b.plan.Wash[1] += by
			return
		}
	}
}

// fed is when the first coat that a batch feeds of a casting begins and the last
// ends; false where there is none.
func (a *advance) fed(b *batch, l *life) (model.Interval, bool) {
	iv := model.Interval{never, 0}
	if l.again || !a.begun(l) {
		return iv, false
	}
	for i, id := range l.draws {
		if id != b.plan.ID {
			continue
		}
		for _, j := range l.pour.Draws[i].Layers {
			iv[0], iv[1] = min(iv[0], l.layers[j][0]), max(iv[1], l.layers[j][1])
		}
	}
	return iv, iv[1] > 0 && iv[0] < never
}

// canMix reports whether a batch could be mixed from s on: the shop is open, and its
// mixer is up and free of the other batches under way until it is washed.
func (a *advance) canMix(b *batch, m *model.Mix, s model.Tick) bool {
	ready := m.Mix + m.Rest + m.Remix
	hold := model.Interval{s, max(b.plan.Wash[1]+s-b.plan.Start, s+ready)}
	in := func(iv model.Interval) bool { return iv[0] < hold[1] && hold[0] < iv[1] }
	if a.cal.openIn(s, s+m.Mix) < m.Mix || a.cal.openIn(s+ready-m.Remix, s+ready) < m.Remix {
		return false
	}
	if x := named(a.pub.Mixers, func(x *model.Mixer) bool { return x.ID == b.plan.Mixer }); x != nil && slices.ContainsFunc(x.Down, in) {
		return false
	}
	return !slices.ContainsFunc(a.order, func(c *batch) bool {
		n := a.mixes[c.plan.Mix]
		return c != b && c.forced && !c.lost && n != nil && c.plan.Mixer == b.plan.Mixer &&
			in(model.Interval{c.plan.Start, max(c.plan.Wash[1], c.plan.Start+n.Mix+n.Rest+n.Remix)})
	})
}

// tooOld notes which castings a batch is too old for.
func (a *advance) tooOld(b *batch) {
	var late []string
	good := a.goodUntil(b, b.plan.Start)
	for _, l := range b.pours {
		if iv, ok := a.fed(b, l); ok && iv[1] > max(good, a.now) {
			late = append(late, fmt.Sprintf("%s is laid %s", l.pour.ID, a.at(iv[1])))
		}
	}
	switch {
	case len(late) == 0:
	case b.plan.Start < a.now:
		a.note(b.plan.ID, "it is past its pot life when %s: throw it away and log it as batch-lost", strings.Join(late, " and "))
	default:
		a.note(b.plan.ID, "it is past its pot life when %s, and it cannot be mixed later: mix another for that by hand", strings.Join(late, " and "))
	}
}

package exact

import "slices"

// solo holds stronger tables for a pour whose prep, mixing, layers and cover
// all need the same one person, so that no two of them overlap. A set says which
// of these are done; least[k][t] is the least priced cost from set k on when the
// person has no task of the pour under way at t.
//
// Longest times between steps are kept only over closed hours (a set in which a
// window runs cannot wait through a closing that is longer); the clean-up of the
// pour's last batch is priced in its window and may overlap.
type solo struct {
	*shop
	b     *tables
	sets  []soloSet
	index map[uint32]int
	least [][]int32
}

// Bits of a set: prep, then mixing of each draw, clean-up after each draw,
// layers, cover.
type soloSet struct {
	bits    uint32
	moves   []soloMove
	longest int32 // closing that the set may wait through
	idle    bool  // the mold stands empty ahead of layer 1
	mixed   int   // set after the next batch, if that is a move
}

type soloKind uint8

const (
	soloPrep soloKind = iota
	soloMix
	soloWash
	soloLayer
	soloCover
)

// soloMove is a task that may be done next.
type soloMove struct {
	kind soloKind
	at   int // draw or layer
	to   int // set after it
}

func (o *solo) mixBit(d int) uint32   { return 1 << (1 + d) }
func (o *solo) washBit(d int) uint32  { return 1 << (1 + len(o.b.p.draws) + d) }
func (o *solo) layerBit(j int) uint32 { return 1 << (1 + 2*len(o.b.p.draws) + j) }
func (o *solo) coverBit() uint32      { return o.layerBit(len(o.b.p.layers)) }

// newSolo makes the tables of a pour, nil if the argument does not hold for it.
func (w *week) newSolo(b *tables, before *pour) *solo {
	if !w.onePerson(b.p) || !w.inOrder(b.p) || before != nil && !w.notBefore(b, before) {
		return nil
	}
	o := &solo{shop: w.shop, b: b, index: map[uint32]int{}}
	o.visit(0)
	for range o.sets {
		o.least = append(o.least, filled(w.in.H+1))
	}
	return o
}

// onePerson reports whether one row that never has more than one head is needed
// by all tasks of the pour's body.
func (w *week) onePerson(p *pour) bool {
	for r := range w.rows {
		if slices.Max(w.have[r]) > 1 {
			continue
		}
		ok := p.cover.need[r] > 0
		for _, t := range p.prep {
			ok = ok && t.need[r] > 0
		}
		for _, t := range p.layers {
			ok = ok && t.need[r] > 0
		}
		for d := range p.draws {
			ok = ok && w.mixes[p.draws[d].mix].crew.need[r] > 0
		}
		if ok {
			return true
		}
	}
	return false
}

// inOrder reports whether the batches of a pour's draws must be mixed in the
// order of the draws, in one mixer and so each washed before the next: draws
// feed layers one after the other, no two can share a batch, and a batch mixed
// before that of an earlier draw would be too old.
func (w *week) inOrder(p *pour) bool {
	if len(p.draws) > 6 {
		return false
	}
	for d := range p.draws {
		// A rest without mixing before or remixing after it does not keep long
		// tasks out.
		if m := &w.mixes[p.draws[d].mix]; m.Rest > 0 && (m.Mix.Mix == 0 || m.Remix == 0) || w.worksOn(m) {
			return false
		}
	}
	for d := 1; d < len(p.draws); d++ {
		a, b := &p.draws[d-1], &p.draws[d]
		ma, mb := &w.mixes[a.mix], &w.mixes[b.mix]
		if a.last >= b.first || len(ma.Mixers) != 1 || len(mb.Mixers) != 1 || ma.Mixers[0] != mb.Mixers[0] {
			return false
		}
		if a.mix == b.mix && p.spanOf(a, b) <= maxPot(mb)-mb.Ready {
			return false
		}
		if mb.Ready+mb.wash+ma.Ready+p.spanOf(a, b) <= maxPot(mb) {
			return false
		}
	}
	return true
}

// worksOn reports whether after an overtime tick regular work may go on within a
// pot life of the mix: then a batch could be mixed while a prep is put down.
func (w *week) worksOn(m *mix) bool {
	last := int32(-1)
	for _, t := range w.in.OpenAt {
		switch {
		case w.in.Overtime[t]:
			last = t
		case last >= 0 && t-last <= maxPot(m):
			return true
		}
	}
	return false
}

// notBefore reports whether no batch of the pour can be mixed before the pour
// before it has left the mold: the one person would have to mix, demold, prepare
// and lay within the pot life.
func (w *week) notBefore(b *tables, before *pour) bool {
	for d := range b.p.draws {
		q := &b.p.draws[d]
		m := &w.mixes[q.mix]
		least := m.Ready
		if before.demold.work <= m.Rest {
			least = m.Mix.Mix
		}
		least += before.demold.work + b.prepTask.work
		for j := 0; j <= q.last; j++ {
			least += b.p.layers[j].work
		}
		if least <= maxPot(m) {
			return false
		}
	}
	return true
}

// visit adds a set and all that follow it, and returns its place.
func (o *solo) visit(set uint32) int {
	if k, ok := o.index[set]; ok {
		return k
	}
	k := len(o.sets)
	o.index[set] = k
	o.sets = append(o.sets, soloSet{bits: set})
	var moves []soloMove
	add := func(kind soloKind, at int, bit uint32) {
		moves = append(moves, soloMove{kind: kind, at: at, to: o.visit(set | bit)})
	}
	p := o.b.p
	if set&1 == 0 {
		add(soloPrep, 0, 1)
	}
	for d := range p.draws {
		if set&o.mixBit(d) == 0 {
			if d == 0 || set&o.mixBit(d-1) != 0 && set&o.washBit(d-1) != 0 {
				add(soloMix, d, o.mixBit(d))
			}
			break
		}
		if d+1 < len(p.draws) && set&o.washBit(d) == 0 {
			add(soloWash, d, o.washBit(d))
		}
	}
	for j := range p.layers {
		if set&o.layerBit(j) != 0 {
			continue
		}
		ready := j == 0 && set&1 != 0 || j > 0
		for d := range p.draws {
			ready = ready && !(p.draws[d].first <= j && j <= p.draws[d].last && set&o.mixBit(d) == 0)
		}
		if ready {
			add(soloLayer, j, o.layerBit(j))
		}
		break
	}
	if set&o.coverBit() == 0 && set&o.layerBit(len(p.layers)-1) != 0 {
		add(soloCover, 0, o.coverBit())
	}
	s := &o.sets[k]
	for _, m := range moves {
		if m.kind == soloMix {
			s.mixed = m.to
		}
	}
	s.moves, s.longest, s.idle = moves, o.longestWait(set), set&o.layerBit(0) == 0
	return k
}

// longestWait is the longest closing through which a set may wait.
func (o *solo) longestWait(set uint32) int32 {
	p := o.b.p
	most := o.in.H
	if set&1 != 0 && set&o.layerBit(0) == 0 && p.PrepMax >= 0 {
		most = min(most, p.PrepMax)
	}
	for j := range p.layers {
		if set&o.layerBit(j) == 0 {
			break
		}
		switch {
		case j+1 < len(p.layers) && set&o.layerBit(j+1) == 0:
			most = min(most, p.Layers[j+1].GapMax)
		case j+1 == len(p.layers) && set&o.coverBit() == 0:
			most = min(most, p.CoverGapMax)
		}
	}
	for d := range p.draws {
		if m := &o.mixes[p.draws[d].mix]; set&o.mixBit(d) != 0 && set&o.layerBit(p.draws[d].last) == 0 {
			most = min(most, maxPot(m)-m.Ready)
		}
		if set&o.mixBit(d) != 0 && d+1 < len(p.draws) && set&o.washBit(d) == 0 {
			most = min(most, o.mixes[p.draws[d].mix].GapMax)
		}
	}
	return most
}

package search

import "math/bits"

// Masks of one insertion, by word of the open axis, worked out when first
// asked for. They are upper estimates in the state without the pour: what they
// exclude cannot be done.
type masks struct {
	words int32
	stamp int32
	at    []int32 // by mask and word: the stamp for which it holds
	bits  []uint64
}

// The masks: layers from maskLayer on (the cover is the one after the last),
// then starts of layer 1 near batches and without, then mixes.
const (
	maskNear  = 0
	maskFresh = 1
	maskStep  = 2
)

func newMasks(q *prob) masks {
	most := int32(0)
	for i := range q.pours {
		most = max(most, q.pours[i].layers)
	}
	n := (maskStep + most + 1 + int32(len(q.mixes))) * q.words
	return masks{words: q.words, at: make([]int32, n), bits: make([]uint64, n)}
}

// known gives the place of a mask's word, and whether it is worked out.
func (m *masks) known(mask, word int32) (int32, bool) {
	k := mask*m.words + word
	if m.at[k] == m.stamp {
		return k, true
	}
	m.at[k] = m.stamp
	return k, false
}

// stepMask holds the starts of layer j, or of the cover (j = layers), for
// which the crew is free.
func (w *worker) stepMask(p *pour, j, word int32) uint64 {
	k, ok := w.masks.known(maskStep+j, word)
	if !ok {
		d := &p.cover
		if j < p.layers {
			d = &p.coat[j]
		}
		m := d.plain[word]
		if m != 0 {
			m &= w.crewMask(d, word)
		}
		w.masks.bits[k] = m
	}
	return w.masks.bits[k]
}

// layerMask holds the starts of layer 1 from which all later layers and the
// cover find a crew in their widest windows.
func (w *worker) layerMask(p *pour, word int32) uint64 {
	k, ok := w.masks.known(maskNear, word)
	if ok {
		return w.masks.bits[k]
	}
	q := w.q
	m := w.stepMask(p, 0, word)
	for x := m; x != 0; x &= x - 1 {
		i := word<<6 + int32(bits.TrailingZeros64(x))
		t := q.clock[i]
		for j := p.layers; j > 0; j-- {
			if !w.stepIn(p, j, t+p.earliest[j], t+p.latest[j]) {
				m &^= x & -x
				break
			}
		}
	}
	w.masks.bits[k] = m
	return m
}

// stepIn reports whether layer j finds a crew at some start in the ticks
// [a, b].
func (w *worker) stepIn(p *pour, j, a, b int32) bool {
	q := w.q
	lo, hi := q.oi[min(a, q.h)], q.oi[min(b+1, q.h)]
	for lo < hi {
		word := lo >> 6
		m := w.stepMask(p, j, word) & (^uint64(0) << (lo & 63))
		if m != 0 {
			return word<<6+int32(bits.TrailingZeros64(m)) < hi
		}
		lo = (word + 1) << 6
	}
	return false
}

// freshMask holds the starts of layerMask from which a new batch can be mixed
// for every draw.
func (w *worker) freshMask(p *pour, word int32) uint64 {
	k, ok := w.masks.known(maskFresh, word)
	if ok {
		return w.masks.bits[k]
	}
	q := w.q
	m := w.layerMask(p, word)
	for x := m; x != 0; x &= x - 1 {
		t := q.clock[word<<6+int32(bits.TrailingZeros64(x))]
		for d := range p.Draws {
			mix := p.Draws[d].Mix
			j := p.Draws[d].Layers[0]
			hi := t + p.latest[j] - q.Mixes[mix].Ready
			lo := t + p.earliest[j] + p.lasts[d] - q.mixes[mix].longest
			if w.mixIn(mix, max(lo, 0), hi) < 0 {
				m &^= x & -x
				break
			}
		}
	}
	w.masks.bits[k] = m
	return m
}

// mixMask holds the starts at which a mixer and the mixing crew are free for a
// batch of the mix.
func (w *worker) mixMask(mix, word int32) uint64 {
	k, ok := w.masks.known(int32(len(w.masks.at))/w.masks.words-1-mix, word)
	if ok {
		return w.masks.bits[k]
	}
	q, mw := w.q, &w.q.mixes[mix]
	x := &q.Mixes[mix]
	m := mw.start[word]
	if m != 0 {
		m &= w.crewMask(&mw.tasks[0], word)
	}
	for y := m; y != 0; y &= y - 1 {
		i := word<<6 + int32(bits.TrailingZeros64(y))
		lo, hi := q.span(q.clock[i], q.clock[i]+x.Ready)
		free := false
		for _, z := range mw.mixers {
			if clear64(w.s.mixer[z*q.cwords:(z+1)*q.cwords], lo, hi) {
				free = true
				break
			}
		}
		if !free || (x.Remix > 0 && !w.freeAt(&mw.tasks[1], q.oi[q.clock[i]+x.Mix+x.Rest])) {
			m &^= y & -y
		}
	}
	w.masks.bits[k] = m
	return m
}

// mixIn is the last start in the ticks [a, b] at which a batch of the mix can
// be mixed, none if there is none.
func (w *worker) mixIn(mix, a, b int32) int32 {
	if b < a {
		return none
	}
	q := w.q
	lo, hi := q.oi[min(a, q.h)], q.oi[min(b+1, q.h)]
	for hi > lo {
		word := (hi - 1) >> 6
		m := w.mixMask(mix, word) & (^uint64(0) >> (63 - (hi-1)&63))
		if m != 0 {
			i := word<<6 + 63 - int32(bits.LeadingZeros64(m))
			if i >= lo {
				return i
			}
			return none
		}
		hi = word << 6
	}
	return none
}

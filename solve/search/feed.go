package search

import "slices"

// mixFeed is what serving the draws of one mix of a pour may cost.
type mixFeed struct {
	mix   int32
	fresh int64 // by batches of its own, as far as is known
	join  int64 // all from batches that are there
	draws []int32
	bits  [][]uint64 // by draw: starts of layer 1 at which it might join a batch
}

// nearBatches lists the batches that the pour might join and marks the starts
// of layer 1 for which that is possible.
func (w *worker) nearBatches(p *pour) {
	q, s := w.q, w.s
	w.near = w.near[:0]
	clear(w.joinBits)
	w.freshLeast, w.joinLeast = 0, 0
	w.feeds = w.feeds[:0]
	for m := range q.mixes {
		var net int64
		n := len(w.feeds)
		for x := range p.Draws {
			if p.Draws[x].Mix != int32(m) {
				continue
			}
			if net == 0 {
				w.addFeed(int32(m))
			}
			net += p.Draws[x].Grams
			f := &w.feeds[n]
			f.draws = append(f.draws, int32(x))
			b := w.drawBits[x*int(q.words) : (x+1)*int(q.words)]
			clear(b)
			f.bits = append(f.bits, b)
		}
		if net == 0 {
			continue
		}
		f := &w.feeds[n]
		f.fresh = w.freshCost(p, int32(m), net)
		w.freshLeast += f.fresh
		for b := range q.batches {
			if s.bMix[b] == int32(m) {
				w.nearBatch(p, b, f)
			}
		}
		w.joinLeast += min(f.join, f.fresh)
		for _, b := range f.bits {
			for k := range b {
				w.joinBits[k] |= b[k]
			}
		}
	}
}

// addFeed adds an empty entry to w.feeds, in memory of earlier ones if it can.
func (w *worker) addFeed(mix int32) {
	n := len(w.feeds)
	if n < cap(w.feeds) {
		w.feeds = w.feeds[:n+1]
	} else {
		w.feeds = append(w.feeds, mixFeed{})
	}
	f := &w.feeds[n]
	f.mix, f.draws, f.bits, f.join = mix, f.draws[:0], f.bits[:0], 0
}

// freshCost is the least that batches of its own for a mix have cost a pour so
// far; before it had any, what one batch would.
func (w *worker) freshCost(p *pour, m int32, net int64) int64 {
	if c := w.fresh[p.id*int32(len(w.q.mixes))+m]; c >= 0 {
		return c
	}
	mix := &w.q.Mixes[m]
	return int64(w.q.Costs.Batch) + int64(w.q.Costs.Waste)*(mix.Mixed(net)-net)
}

// learn notes what the batches of a body that joins none cost, by mix.
func (w *worker) learn() {
	b, q, s := &w.bs, w.q, w.s
	for k := range w.feeds {
		f := &w.feeds[k]
		var c int64
		alone := true
		for _, o := range b.own {
			if s.bMix[o] == f.mix {
				c += int64(q.Costs.Batch) + w.waste(&q.Mixes[f.mix], o)
			}
		}
		for _, x := range f.draws {
			if !slices.Contains(b.own, b.feed[x]) {
				alone = false
			}
		}
		if !alone {
			continue
		}
		if at := &w.fresh[b.p.id*int32(len(q.mixes))+f.mix]; *at < 0 || c < *at {
			*at = c
		}
	}
}

func (w *worker) nearBatch(p *pour, b int32, f *mixFeed) {
	q, s := w.q, w.s
	mix := &q.Mixes[s.bMix[b]]
	any := false
	for k, x := range f.draws {
		d := &p.Draws[x]
		if !w.hasRoom(b, d.Grams) {
			continue
		}
		any = true
		net := int64(s.bNet[b])
		gain := int64(q.Costs.Waste) * (mix.Mixed(net+d.Grams) - d.Grams - mix.Mixed(net))
		f.join = min(f.join, gain)
		j := d.Layers[0]
		// Layer j starts within [ready, pot - work]; layer 1 that much earlier.
		a := max(w.batchReady(b)-p.latest[j], 0)
		z := s.bPot[b] - p.coat[j].work - p.earliest[j]
		if z >= a {
			set64(f.bits[k], q.oi[a], q.oi[min(z+1, q.h)])
		}
	}
	if any {
		w.near = append(w.near, b)
	}
}

// joinCost estimates what batches cost a body with layer 1 at open index i near
// batches that some of its draws may join.
func (w *worker) joinCost(i int32) int64 {
	var sum int64
	for k := range w.feeds {
		f := &w.feeds[k]
		n := int32(0)
		for x := range f.bits {
			if f.bits[x][i>>6]>>(i&63)&1 != 0 {
				n++
			}
		}
		switch {
		case n == 0:
			sum += f.fresh
		case n == int32(len(f.bits)):
			sum += min(f.join, f.fresh)
		default:
			sum += min(f.join+int64(w.q.Costs.Batch), f.fresh)
		}
	}
	return sum
}

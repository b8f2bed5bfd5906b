package modeltest

import (
	"math/rand/v2"

	"pourweek/model"
)

// Odd draws a toy with what shops hardly have and the contract allows: three
// coats, coats without a draw, draws that fit no mixer, long working times,
// cures shorter than those, batches mixed in no time, gaps without an end. The
// same seed gives the same problem. It is valid, and may have no allowed plan.
func Odd(seed uint64) *model.Problem {
	p := Toy(seed)
	r := rand.New(rand.NewPCG(seed, 5))
	one := func(n int) bool { return r.IntN(n) == 0 }
	for i := range p.Mixes {
		m := &p.Mixes[i]
		if one(16) {
			m.Mix, m.Rest, m.Remix = 0, 0, 0
		}
		if one(2) {
			d := int64(r.IntN(4))
			for k := range m.PotLife {
				m.PotLife[k][1] += d
			}
		}
		if one(3) {
			m.Min = model.Grams(r.IntN(60)) * 1000
		}
		if one(3) {
			m.WashBefore = map[string]model.Tick{p.Mixes[r.IntN(len(p.Mixes))].ID: model.Tick(r.IntN(3))}
		}
	}
	if one(4) {
		p.Cures[0].Lag[0][1] = int64(r.IntN(3))
	}
	if one(2) {
		p.Costs.Batch = 9000
	}
	for i := range p.Pours {
		if q := &p.Pours[i]; q.Stage == model.New {
			oddCoats(p, q, r)
		}
	}
	return p
}

func oddCoats(p *model.Problem, q *model.Pour, r *rand.Rand) {
	one := func(n int) bool { return r.IntN(n) == 0 }
	if len(q.Layers) == 2 && one(2) {
		l := q.Layers[1]
		l.ID = "l3"
		l.Gap = model.Interval{0, model.Tick(r.IntN(4))}
		l.Work = model.Tick(1 + r.IntN(2))
		q.Layers = append(q.Layers, l)
		if !one(4) {
			m := p.Mixes[r.IntN(len(p.Mixes))].ID
			q.Draws = append(q.Draws, model.Draw{Mix: m, Grams: model.Grams(5+r.IntN(35)) * 1000, Layers: []int{2}})
		}
		if one(2) {
			q.Carry *= 3
		}
	}
	if one(4) {
		q.Layers[0].Work = model.Tick(1 + r.IntN(2))
	}
	if one(12) {
		q.Draws[len(q.Draws)-1].Grams = 95000
	}
	if one(12) {
		for j := range q.Layers {
			q.Layers[j].Gap[1] = 1_000_000_000
		}
		q.Cover.Gap[1] = 1_000_000_000
	}
}

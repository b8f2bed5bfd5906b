package bound

import (
	"math/rand/v2"
	"testing"

	"pourweek/model/modeltest"
	"pourweek/solve/inst"
)

// plain is the path of a mixer without any shortcut: every batch at every start
// in every state is priced, and all that may follow it is looked at.
type plain struct {
	c    *mixerClass
	l    *lagrangian
	w    [][]int64
	none int64
}

func (p *plain) earn() int64 {
	n := p.l.ax.n
	p.none = -inf
	p.w = grid[int64](int(p.c.ranks*p.c.debts), n+1)
	best := int64(0)
	for i := n - 1; i >= 0; i-- {
		for r := range p.c.ranks {
			for d := range p.c.debts {
				p.w[p.c.state(r, d)][i] = p.none
				if i >= p.c.from {
					p.w[p.c.state(r, d)][i] = p.batch(i, r, d)
				}
			}
		}
		best = max(best, p.w[0][i])
	}
	return best
}

func (p *plain) batch(i, r, d int32) int64 {
	c, l := p.c, p.l
	best := p.none
	for j, id := range c.mixes {
		if !c.starts[j][i] {
			continue
		}
		x := &l.mixes[id]
		for o := range c.owes + 1 {
			c.pricing.at(l, x, i, c.capacity)
			v, _, ok := c.pricing.price(i, place{r, o}, -inf/4, 0)
			if ok {
				best = max(best, v+p.then(x, i, min(r+1, c.ranks-1), max(d, o)))
			}
		}
	}
	return best
}

// then is the best after a batch that leaves a debt, less the crew of the batch.
func (p *plain) then(x *mix, i, r, owed int32) int64 {
	c, l := p.c, p.l
	all, ready := l.crewAll[x.crew], i+x.m.Ready
	less := (all[i+x.m.Mix] - all[i]) + (all[ready] - all[ready-x.m.Remix])
	best := p.none
	for _, z := range c.washes(l, x.m, i) {
		e := z + x.least
		v := p.none
		if owed == 0 {
			v = 0
		}
		for k := e; k < l.ax.n; k++ {
			if owed == 0 {
				v = max(v, p.w[0][k])
			}
			if k <= c.last[i] {
				v = max(v, p.w[c.state(r, max(owed-1, 0))][k])
			}
		}
		if v > p.none/2 {
			best = max(best, v-less-(all[e]-all[z]))
		}
	}
	return best
}

// What earn leaves out as of no use is of no use: it earns what the plain path
// earns, at any prices.
func TestEarnLeavesNothingOut(t *testing.T) {
	runs, paid := 0, 0
	for seed := range uint64(400) {
		p := modeltest.Toy(seed)
		if seed >= 200 {
			p = modeltest.Odd(seed)
		}
		in, err := inst.Compile(p)
		if err != nil {
			t.Fatal(err)
		}
		r := newRun(in, Options{})
		l := r.lag
		s := &steering{run: r, blocks: r.blocks()}
		rnd := rand.New(rand.NewPCG(seed, 9))
		l.sound = true
		for range 4 {
			randomPrices(s, rnd)
			l.sums()
			for i := range l.mixes {
				l.mixes[i].offers(l)
			}
			for _, c := range l.mixers {
				got := c.earn(l)
				if want := (&plain{c: c, l: l}).earn(); got != want {
					t.Fatalf("toy %d: earned %d, plainly %d", seed, got, want)
				}
				if got > 0 {
					paid++
					if c.owes > 0 {
						runs++
					}
				}
			}
		}
	}
	if runs == 0 || paid == runs {
		t.Errorf("%d paths earned, %d of them with runs; the test needs both kinds", paid, runs)
	}
	t.Logf("%d paths earned, %d of them with runs", paid, runs)
}

package bound

import (
	"context"
	"math/rand/v2"
	"testing"

	"pourweek/model/modeltest"
	"pourweek/solve/inst"
)

// full remembers everything.
func full(l *lagrangian) memory {
	mem := memory{}
	for _, c := range l.classes {
		for _, a := range c.items {
			for _, b := range c.items {
				mem[[3]int{int(c.molds[0]), a.g.in, b.g.in}] = true
			}
		}
	}
	return mem
}

// along is the cost, from each index on, of a mold's path that takes just the
// items listed, in that order; inf where there is none.
func (c *class) along(l *lagrangian, list []*item) []int64 {
	v := make([]int64, l.ax.n+1)
	if len(list) == 0 {
		return v
	}
	rest, b := c.along(l, list[1:]), newBody(l, list[0].g)
	z := make([]int64, l.ax.n+1)
	for i := range z {
		z[i], v[i] = inf, inf
	}
	for _, seg := range c.segs {
		b.reset(seg.end)
		b.extend(l, list[0], rest, seg, seg.from)
		copy(z[seg.from:seg.end], b.z[seg.from:seg.end])
	}
	for i := l.ax.n - 1; i >= c.free; i-- {
		v[i] = min(z[i], v[i+1]+l.idle*(l.ax.reg[i+1]-l.ax.reg[i]), inf)
	}
	return v
}

// cheapest is the least cost from each index on of all paths that take no more of
// a group than there is, by listing them.
func (c *class) cheapest(l *lagrangian, list []*item, best []int64) {
	for i, x := range c.along(l, list) {
		best[i] = min(best[i], x)
	}
	for _, it := range c.items {
		n := int64(0)
		for _, x := range list {
			if x == it {
				n++
			}
		}
		if n < it.g.n {
			c.cheapest(l, append(list[:len(list):len(list)], it), best)
		}
	}
}

// At any prices, paths that remember everything are the cheapest of those that
// take no pour twice, as listing them finds; those that remember less are no
// dearer, and some are cheaper.
func TestPathsThatRememberEverythingTakeNoPourTwice(t *testing.T) {
	less, more := 0, 0
	for seed := range uint64(40) {
		in, err := inst.Compile(modeltest.Random(seed, modeltest.Options{MinPours: 2, MaxPours: 6}))
		if err != nil {
			t.Fatal(err)
		}
		r := newRun(in, Options{})
		r.lag = newLagrangian(in, whole(in), full(r.lag))
		plain := newRun(in, Options{})
		s, q := newSteering(r), newSteering(plain)
		rnd := rand.New(rand.NewPCG(seed, 1))
		for range 4 {
			randomPrices(s, rnd)
			for i, b := range s.blocks {
				copy(q.blocks[i].y, b.y)
				q.blocks[i].put()
			}
			r.lag.pass()
			plain.lag.pass()
			for i, c := range r.lag.classes {
				if _, ok := c.remembering(r.lag.mem, roomInCase); !ok || len(c.items) > 4 || c.lead != i {
					continue
				}
				// The bodies may have served other classes since: path lays them anew.
				c.path(r.lag)
				want := make([]int64, r.lag.ax.n+1)
				c.cheapest(r.lag, nil, want)
				d := plain.lag.classes[i]
				d.path(plain.lag)
				for k := c.free; k <= r.lag.ax.n; k++ {
					v, w := c.states[0].v[k], d.states[0].v[k]
					if v != want[k] {
						t.Fatalf("week %d class %d index %d: path of %d, the listed ones cost %d at least", seed, i, k, v, want[k])
					}
					if w > v {
						t.Fatalf("week %d class %d index %d: a path that remembers less costs %d, more than %d", seed, i, k, w, v)
					}
					if w < v {
						less++
					} else {
						more++
					}
				}
			}
		}
	}
	if less == 0 || more == 0 {
		t.Errorf("%d paths got cheaper by remembering less, %d did not", less, more)
	}
}

// What a run learns raises its bound: by less memory than that it proves less.
func TestLearningWhatToRememberRaisesBounds(t *testing.T) {
	raised := 0
	for seed := range uint64(8) {
		in, err := inst.Compile(modeltest.Random(seed, modeltest.Options{MinPours: 5, MaxPours: 10}))
		if err != nil {
			t.Fatal(err)
		}
		r := newRun(in, Options{Passes: 200, Root: 200})
		r.steer(context.Background())
		if len(r.lag.mem) == 0 {
			continue
		}
		// The same prices, by what paths remember from the start.
		l := r.lag
		with := l.prove(l.pass())
		for i, c := range l.classes {
			if c.lead == i {
				a, _ := c.remembering(memory{}, 1)
				c.remember(l, a)
			}
		}
		without := l.prove(l.pass())
		if without > with {
			t.Errorf("week %d: %d by what was learned, %d without", seed, with, without)
		}
		if without < with {
			raised++
		}
	}
	if raised == 0 {
		t.Error("nothing that was learned raised a bound")
	}
}

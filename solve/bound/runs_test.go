package bound

import (
	"context"
	"math/rand/v2"
	"os"
	"testing"

	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/solve/inst"
)

// randomPrices draws prices of every class, some of them zero, some large, and
// often so many for stretches that batches pay.
func randomPrices(s *steering, r *rand.Rand) {
	for k, b := range s.blocks {
		density, size := r.Float64(), b.scale*4*r.Float64()
		if k == len(s.blocks)-1 {
			size *= 50 * r.Float64()
		} else if r.IntN(2) == 0 {
			size /= 50
		}
		for i := range b.y {
			b.y[i] = 0
			if r.Float64() < density {
				b.y[i] = size * r.Float64()
			}
			if b.top != nil {
				b.y[i] = min(b.y[i]*float64(r.IntN(20)), b.top[i])
			}
		}
		b.put()
	}
}

// jitter spreads the prices of a run around its best ones.
func jitter(s *steering, r *rand.Rand) {
	width := r.Float64()
	for _, b := range s.blocks {
		for i, y := range b.best {
			b.y[i] = y * (1 + width*(r.Float64()-0.5))
			if b.top != nil {
				b.y[i] = min(b.y[i], b.top[i])
			}
		}
		b.put()
	}
}

// Whatever the prices, the proven value of a pass is at most the optimum that
// exhaustive search finds. Toys with runs of batches must be among them.
func TestAnyPricesStayBelowOptimumOfToys(t *testing.T) {
	toys, runs := uint64(15), 0
	if os.Getenv("POURWEEK_LONG") != "" {
		toys = 300
	}
	for seed := range toys {
		p := modeltest.Toy(seed)
		plan, cost, ok := oracle.Best(p)
		if !ok || plan == nil {
			continue
		}
		in, err := inst.Compile(p)
		if err != nil {
			t.Fatal(err)
		}
		r := newRun(in, Options{Passes: 100})
		s := newSteering(r)
		r.start(s.blocks)
		s.rounds(context.Background(), r.share(context.Background()))
		for _, m := range r.lag.mixers {
			if m.owes > 0 {
				runs++
				break
			}
		}
		rnd := rand.New(rand.NewPCG(seed, 7))
		for k := range 24 {
			if k%2 == 0 {
				randomPrices(s, rnd)
			} else {
				jitter(s, rnd)
			}
			v := r.lag.pass()
			if v = r.lag.prove(v); ceilDiv(v, scale) > int64(cost) {
				t.Fatalf("toy %d, prices %d: %d above the optimum %d", seed, k, ceilDiv(v, scale), cost)
			}
		}
	}
	if runs == 0 {
		t.Error("no toy has runs of batches")
	}
	t.Logf("%d toys have runs", runs)
}

// The path of a mixer that takes the walk's batches earns what the path was
// priced at: the prices of stretches served, less batches and crew.
func TestWalkEarnsWhatThePathWasPricedAt(t *testing.T) {
	served := 0
	for seed := range uint64(40) {
		in, err := inst.Compile(modeltest.Toy(seed))
		if err != nil {
			t.Fatal(err)
		}
		r := newRun(in, Options{})
		s := &steering{run: r, blocks: r.blocks()}
		rnd := rand.New(rand.NewPCG(seed, 8))
		for range 5 {
			randomPrices(s, rnd)
			l := r.lag
			l.sums()
			for i := range l.mixes {
				l.mixes[i].offers(l)
			}
			for _, m := range l.mixers {
				l.clearUse()
				earned := m.earn(l)
				m.walk(l)
				paid := int64(0)
				for i, u := range l.useBeta {
					paid -= int64(u) * l.beta[i]
				}
				crew := int64(0)
				for c := range l.useAll {
					at := int64(0)
					for i := range l.useAll[c] {
						if i > 0 {
							crew += at * (l.crewAll[c][i] - l.crewAll[c][i-1])
						}
						at += int64(l.useAll[c][i])
					}
				}
				// Batches cost what is left; each costs at least its price.
				if rest := paid - crew - earned*m.n; rest < 0 || earned == 0 && paid != 0 {
					t.Fatalf("toy %d: paid %d, crew %d, earned %d: batches would cost %d", seed, paid, crew, earned*m.n, rest)
				}
				if paid > 0 {
					served++
				}
			}
		}
	}
	if served == 0 {
		t.Error("no batch was laid")
	}
}

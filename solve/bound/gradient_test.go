package bound

import (
	"math/rand/v2"
	"testing"

	"pourweek/model/modeltest"
	"pourweek/solve/inst"
)

// What the cheapest paths use is a subgradient of the bound: at other prices it
// is no higher than what that use tells. (Without that the prices are steered
// wrong, though every bound is proven.)
func TestUseIsASubgradient(t *testing.T) {
	checks, spans := 0, 0
	for seed := range uint64(120) {
		in, err := inst.Compile(modeltest.Random(seed, modeltest.Options{MaxPours: 8}))
		if err != nil {
			t.Fatal(err)
		}
		r := newRun(in, Options{})
		l := r.lag
		s := newSteering(r)
		for i := range in.Pours {
			spans += len(in.Pours[i].Spans)
		}
		rnd := rand.New(rand.NewPCG(seed, 2))
		value := func() (v int64, guessed bool) {
			randomPrices(s, rnd)
			for _, k := range l.rack { // the hour in which the week begins is not steered
				for b := range l.bucketOf[min(l.ax.first, l.ax.n-1)] + 1 {
					k[b] = 0
				}
			}
			for _, y := range append(append([][]int64{}, l.crew...), l.station...) {
				clear(y[:l.ax.first])
			}
			v = l.pass()
			guessed = l.guessed
			return l.prove(v), guessed
		}
		for range 6 {
			v, guessed := value()
			if guessed || v >= inf/4 {
				continue
			}
			var g [][]float64
			var p [][]int64
			for _, b := range s.blocks {
				b.grad(b.g)
				g, p = append(g, append([]float64{}, b.g...)), append(p, append([]int64{}, b.price...))
			}
			w, _ := value()
			told := float64(v)
			for k, b := range s.blocks {
				for i, x := range b.price {
					told += float64(g[k][i] * float64(x-p[k][i]))
				}
			}
			if checks++; float64(w) > told {
				t.Errorf("week %d: %d at other prices, the use at %d tells %.0f at most", seed, w, v, told)
				break
			}
		}
	}
	if checks < 100 || spans == 0 {
		t.Errorf("%d checks, %d spans", checks, spans)
	}
}

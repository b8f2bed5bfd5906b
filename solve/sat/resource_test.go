package sat

import (
	"math/rand/v2"
	"testing"
	"time"
)

// TestAtMostAgainstAllAssignments asks the encoding of a weighted sum about
// every assignment of its literals.
func TestAtMostAgainstAllAssignments(t *testing.T) {
	for seed := range uint64(150) {
		r := rand.New(rand.NewPCG(seed, 11))
		m := NewModel()
		c := AtMost{}
		total := 0
		for range 3 + r.IntN(5) {
			w := 1 + r.IntN(6)
			total += w
			c.Lits, c.Weights = append(c.Lits, m.Bool("x")), append(c.Weights, w)
		}
		c.Max = r.IntN(total + 1)
		m.Add(c)
		s := m.encode(false).solver()
		for a := range 1 << len(c.Lits) {
			sum := 0
			assume := make([]Lit, len(c.Lits))
			for i, l := range c.Lits {
				assume[i] = -l
				if a>>i&1 == 1 {
					assume[i], sum = l, sum+c.Weights[i]
				}
			}
			if got := s.solve(time.Minute, assume); (got == satisfiable) != (sum <= c.Max) {
				t.Fatalf("seed %d: answer %d for weights %v, assignment %b, max %d", seed, got, c.Weights, a, c.Max)
			}
		}
	}
}

// TestTightResources: up to five tasks that crowd a resource, weighted ends as
// the cost, in every decomposition, against brute force.
func TestTightResources(t *testing.T) {
	for seed := range uint64(150) {
		var want int64
		for way := byEstimate; way <= byTask; way++ {
			r := rand.New(rand.NewPCG(seed, 12))
			m := NewModel()
			var uses []Use
			for range 3 + r.IntN(3) {
				d, w := 1+r.IntN(2), int64(1+r.IntN(5))
				id := m.AddTask(Task{Starts: Range(0, 4), Duration: d, Cost: func(s int) int64 { return w * int64(s) }})
				uses = append(uses, Use{Task: id, Demand: 1 + r.IntN(2)})
			}
			m.Add(Cumulative{Uses: uses, Capacity: 2 + r.IntN(2), way: way})
			if way == byEstimate {
				want = brute(m)
			}
			got, err := m.Minimize(Options{})
			if err != nil {
				t.Fatalf("seed %d way %d: %v", seed, way, err)
			}
			if (want < 0) != (got.Status == Infeasible) || want >= 0 && got.Best.Cost != want {
				t.Fatalf("seed %d way %d: got %+v, want cost %d", seed, way, got, want)
			}
		}
	}
}

package sat

import (
	"math/rand/v2"
	"os"
	"testing"
)

// brute enumerates every start and truth value of a tiny model and returns the
// least cost, -1 when nothing is allowed. It uses Check alone.
func brute(m *Model) int64 {
	best := int64(-1)
	starts := make([]int, len(m.tasks))
	var ends func(t TaskID, s *Solution)
	ends = func(t TaskID, s *Solution) {
		if int(t) == len(m.tasks) {
			if (best < 0 || s.Cost < best) && m.Check(s) == nil {
				best = s.Cost
			}
			return
		}
		least := m.tasks[t].end(s.index(t))
		for d := range m.tasks[t].Slack + 1 {
			s.SetEnd(t, least+d)
			ends(t+1, s)
		}
	}
	var bools func(i int, on []Lit)
	bools = func(i int, on []Lit) {
		if i < len(m.bools) {
			bools(i+1, on)
			bools(i+1, append(on[:len(on):len(on)], m.bools[i].lit))
			return
		}
		s, err := m.Solution(starts, on...)
		if err != nil {
			panic(err)
		}
		ends(0, s)
	}
	var tasks func(t int)
	tasks = func(t int) {
		if t == len(m.tasks) {
			bools(0, nil)
			return
		}
		for _, v := range m.tasks[t].Starts {
			starts[t] = v
			tasks(t + 1)
		}
	}
	tasks(0)
	return best
}

// randomModel draws a model small enough for brute: up to 4 tasks, all kinds of
// constraints, some of them under rules.
func randomModel(r *rand.Rand) *Model {
	m := NewModel()
	var lits []Lit
	for range r.IntN(4) {
		lits = append(lits, m.Bool("b"))
	}
	lit := func() Lit {
		if len(lits) == 0 || r.IntN(4) == 0 {
			return True
		}
		l := lits[r.IntN(len(lits))]
		if r.IntN(3) == 0 {
			return -l
		}
		return l
	}
	n := 1 + r.IntN(4)
	for range n {
		m.AddTask(randomTask(r, lit))
	}
	for range 1 + r.IntN(4) {
		rule := Rule(0)
		if r.IntN(3) == 0 {
			rule = m.NewRule("r")
		}
		m.AddRule(rule, randomConstraint(r, n, lit))
	}
	for range r.IntN(4) {
		l := lit()
		if r.IntN(3) == 0 {
			t := TaskID(r.IntN(n))
			if m.tasks[t].Presence == True {
				l = m.StartLE(t, r.IntN(6)-1)
			}
		}
		m.AddCost(l, int64(r.IntN(6)))
	}
	return m
}

func randomTask(r *rand.Rand, lit func() Lit) Task {
	t := Task{Duration: r.IntN(4)}
	for v := -1; v < 6; v++ {
		if r.IntN(3) > 0 {
			t.Starts = append(t.Starts, v)
		}
	}
	if len(t.Starts) == 0 {
		t.Starts = []int{r.IntN(5)}
	}
	if r.IntN(3) == 0 {
		for _, s := range t.Starts {
			t.Ends = append(t.Ends, s+r.IntN(4))
		}
	}
	if r.IntN(5) == 0 {
		t.Slack = 1 + r.IntN(3)
	}
	if r.IntN(3) == 0 {
		t.Presence = lit()
	}
	if r.IntN(2) == 0 {
		c, k := r.IntN(6), int64(r.IntN(7))
		switch r.IntN(3) {
		case 0:
			t.Cost = func(s int) int64 { return k * int64(s+1) }
		case 1:
			t.Cost = func(s int) int64 { return k*int64(max(0, s-c)) + 2*int64(max(0, c-s)) }
		default:
			t.Cost = func(s int) int64 { return int64((s+1)*(s+7)*int(k)) % 11 }
		}
	}
	return t
}

func randomUses(r *rand.Rand, n int, lit func() Lit) []Use {
	var u []Use
	for t := range n {
		if r.IntN(4) > 0 {
			x := Use{Task: TaskID(t), Demand: r.IntN(4)}
			if r.IntN(3) == 0 {
				x.When = lit()
			}
			u = append(u, x)
		}
	}
	if r.IntN(8) == 0 && len(u) > 0 {
		u = append(u, u[0])
	}
	return u
}

func randomConstraint(r *rand.Rand, n int, lit func() Lit) Constraint {
	task := func() TaskID { return TaskID(r.IntN(n)) }
	switch r.IntN(9) {
	case 0, 1, 2:
		l := Lag{From: Point{task(), r.IntN(2) == 0}, To: Point{task(), r.IntN(2) == 0}, Min: r.IntN(7) - 4}
		if r.IntN(3) == 0 {
			l.When = []Lit{lit()}
		}
		return l
	case 3:
		return Clause{lit(), lit().Not() * -1, lit()}
	case 4:
		c := AtMost{Max: r.IntN(5)}
		for range 1 + r.IntN(4) {
			c.Lits, c.Weights = append(c.Lits, lit()), append(c.Weights, r.IntN(4))
		}
		if r.IntN(3) == 0 {
			c.Weights, c.Max = nil, 1
		}
		return c
	case 5:
		return ExactlyOne{lit(), lit()}
	case 6:
		u := Unary{Uses: randomUses(r, n, lit)}
		if r.IntN(3) == 0 {
			for range u.Uses {
				row := make([]int, len(u.Uses))
				for j := range row {
					row[j] = r.IntN(3)
				}
				u.Setup = append(u.Setup, row)
			}
		}
		return u
	case 7:
		if n > 1 {
			a := Alternative{Task: 0}
			for t := 1; t < n; t++ {
				a.Options = append(a.Options, TaskID(t))
			}
			return a
		}
	}
	return Cumulative{Uses: randomUses(r, n, lit), Capacity: 1 + r.IntN(5), way: decomposition(r.IntN(3))}
}

// seeds is the number of random models: more with POURWEEK_LONG=1.
func seeds(n int) uint64 {
	if os.Getenv("POURWEEK_LONG") == "1" {
		n *= 10
	}
	return uint64(n)
}

func TestMinimizeAgainstBruteForce(t *testing.T) {
	kinds := map[Status]int{}
	for seed := range seeds(2000) {
		r := rand.New(rand.NewPCG(seed, 1))
		m := randomModel(r)
		want := brute(m)
		for _, o := range []Options{{}, {Strategy: Bisect}, {Strategy: Ascend}, {binary: true}} {
			got, err := m.Minimize(o)
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			kinds[got.Status]++
			switch {
			case want < 0 && got.Status != Infeasible,
				want >= 0 && (got.Status != Optimal || got.Best.Cost != want || got.Lower != want):
				t.Fatalf("seed %d %+v: want cost %d, got %+v", seed, o, want, got)
			}
		}
		if want > 0 {
			checkLimits(t, m, seed, want)
		}
	}
	if kinds[Optimal] < 1000 || kinds[Infeasible] < 500 {
		t.Errorf("the models are lopsided: %v", kinds)
	}
}

// checkLimits tries the options that start from something known.
func checkLimits(t *testing.T, m *Model, seed uint64, want int64) {
	t.Helper()
	r, err := m.Minimize(Options{Below: want})
	if err != nil || r.Status != Optimal || r.Best != nil || r.Lower != want {
		t.Fatalf("seed %d: nothing below %d, got %+v, %v", seed, want, r, err)
	}
	r, err = m.Minimize(Options{Below: want + 1})
	if err != nil || r.Status != Optimal || r.Best == nil || r.Best.Cost != want {
		t.Fatalf("seed %d: below %d, got %+v, %v", seed, want+1, r, err)
	}
	r, err = m.Minimize(Options{Hint: r.Best})
	if err != nil || r.Status != Optimal || r.Best.Cost != want {
		t.Fatalf("seed %d: hint of %d, got %+v, %v", seed, want, r, err)
	}
	r, err = m.Minimize(Options{Solves: 1})
	if err != nil || r.Solves > 1 || r.Lower > want || r.Best != nil && r.Best.Cost < want {
		t.Fatalf("seed %d: one solve for %d, got %+v, %v", seed, want, r, err)
	}
}

func TestCoreAgainstBruteForce(t *testing.T) {
	cores := 0
	for seed := range seeds(1500) {
		r := rand.New(rand.NewPCG(seed, 2))
		m := randomModel(r)
		got, err := m.Core(Options{})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if (brute(m) < 0) != (got.Status == Infeasible) {
			t.Fatalf("seed %d: %+v, brute force %d", seed, got, brute(m))
		}
		if got.Status != Infeasible {
			continue
		}
		if !got.Minimal || brute(only(m, got.Rules, -1)) >= 0 {
			t.Fatalf("seed %d: rules %v do not clash", seed, got.Rules)
		}
		for i := range got.Rules {
			cores++
			if brute(only(m, got.Rules, i)) < 0 {
				t.Fatalf("seed %d: rule %d of %v is not needed", seed, got.Rules[i], got.Rules)
			}
		}
	}
	if cores < 100 {
		t.Errorf("only %d rules in cores", cores)
	}
}

// only is m with the given rules, but for the one at index without.
func only(m *Model, rules []Rule, without int) *Model {
	part := *m
	part.cons = nil
	for _, c := range m.cons {
		keep := c.rule == 0
		for i, r := range rules {
			keep = keep || i != without && c.rule == r
		}
		if keep {
			part.cons = append(part.cons, c)
		}
	}
	return &part
}

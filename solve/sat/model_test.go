package sat_test

import (
	"strings"
	"testing"

	"pourweek/solve/sat"
)

// twoTasks is a at 0..9 for 3 ticks and b at 0..9 for 2 ticks.
func twoTasks() (m *sat.Model, a, b sat.TaskID) {
	m = sat.NewModel()
	a = m.AddTask(sat.Task{Name: "a", Starts: sat.Range(0, 9), Duration: 3})
	b = m.AddTask(sat.Task{Name: "b", Starts: sat.Range(0, 9), Duration: 2})
	return m, a, b
}

func TestCheckByHand(t *testing.T) {
	cases := []struct {
		name string
		add  func(m *sat.Model, a, b sat.TaskID)
		a, b int
		want string // part of the error, empty for none
	}{
		{"min lag met", func(m *sat.Model, a, b sat.TaskID) { m.Add(sat.Lag{From: sat.End(a), To: sat.Start(b), Min: 2}) }, 0, 5, ""},
		{"min lag one short", func(m *sat.Model, a, b sat.TaskID) { m.Add(sat.Lag{From: sat.End(a), To: sat.Start(b), Min: 2}) }, 0, 4, "lag"},
		{"max lag met", func(m *sat.Model, a, b sat.TaskID) { m.Add(sat.Lag{From: sat.Start(b), To: sat.End(a), Min: -1}) }, 0, 4, ""},
		{"max lag one over", func(m *sat.Model, a, b sat.TaskID) { m.Add(sat.Lag{From: sat.Start(b), To: sat.End(a), Min: -1}) }, 0, 5, "lag"},
		{"unary touching", func(m *sat.Model, a, b sat.TaskID) { m.Add(sat.Unary{Uses: []sat.Use{{Task: a}, {Task: b}}}) }, 2, 0, ""},
		{"unary overlapping by one", func(m *sat.Model, a, b sat.TaskID) { m.Add(sat.Unary{Uses: []sat.Use{{Task: a}, {Task: b}}}) }, 1, 0, "unary"},
		{"setup met", func(m *sat.Model, a, b sat.TaskID) {
			m.Add(sat.Unary{Uses: []sat.Use{{Task: a}, {Task: b}}, Setup: [][]int{{0, 2}, {0, 0}}})
		}, 0, 5, ""},
		{"setup one short", func(m *sat.Model, a, b sat.TaskID) {
			m.Add(sat.Unary{Uses: []sat.Use{{Task: a}, {Task: b}}, Setup: [][]int{{0, 2}, {0, 0}}})
		}, 0, 4, "unary"},
		{"load at capacity", func(m *sat.Model, a, b sat.TaskID) {
			m.Add(sat.Cumulative{Uses: []sat.Use{{Task: a, Demand: 2}, {Task: b, Demand: 1}}, Capacity: 3})
		}, 1, 2, ""},
		{"load above capacity", func(m *sat.Model, a, b sat.TaskID) {
			m.Add(sat.Cumulative{Uses: []sat.Use{{Task: a, Demand: 2}, {Task: b, Demand: 2}}, Capacity: 3})
		}, 1, 3, "load 4 of 3 at tick 3"},
		{"load above capacity one after the other", func(m *sat.Model, a, b sat.TaskID) {
			m.Add(sat.Cumulative{Uses: []sat.Use{{Task: a, Demand: 2}, {Task: b, Demand: 2}}, Capacity: 3})
		}, 1, 4, ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			m, a, b := twoTasks()
			c.add(m, a, b)
			s, err := m.Solution([]int{c.a, c.b})
			if err != nil {
				t.Fatal(err)
			}
			err = m.Check(s)
			if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

func TestMistakesInModels(t *testing.T) {
	cases := []struct {
		name string
		add  func(m *sat.Model)
		want string
	}{
		{"no starts", func(m *sat.Model) { m.AddTask(sat.Task{}) }, "no starts"},
		{"starts fall", func(m *sat.Model) { m.AddTask(sat.Task{Starts: []int{2, 1}}) }, "start 1 follows start 2"},
		{"end before start", func(m *sat.Model) { m.AddTask(sat.Task{Starts: []int{2}, Ends: []int{1}}) }, "end 1 before start 2"},
		{"ends missing", func(m *sat.Model) { m.AddTask(sat.Task{Starts: []int{2, 3}, Ends: []int{4}}) }, "1 ends for 2 starts"},
		{"cost below 0", func(m *sat.Model) {
			m.AddTask(sat.Task{Starts: []int{2}, Cost: func(int) int64 { return -1 }})
		}, "cost -1 at start 2"},
		{"strange task", func(m *sat.Model) { m.Add(sat.Lag{From: sat.Start(3)}) }, "task 3 is not of this model"},
		{"strange literal", func(m *sat.Model) { m.Add(sat.Clause{99}) }, "literal 99 is not of this model"},
		{"strange rule", func(m *sat.Model) { m.AddRule(2, sat.Clause{}) }, "rule 2 is not of this model"},
		{"weights missing", func(m *sat.Model) { m.Add(sat.AtMost{Lits: []sat.Lit{1, 1}, Weights: []int{1}}) }, "1 weights for 2 literals"},
		{"demand below 0", func(m *sat.Model) {
			a := m.AddTask(sat.Task{Starts: []int{0}})
			m.Add(sat.Cumulative{Uses: []sat.Use{{Task: a, Demand: -1}}})
		}, "demand -1 is below 0"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			m := sat.NewModel()
			c.add(m)
			if _, err := m.Minimize(sat.Options{}); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

func TestWrongHintIsRefused(t *testing.T) {
	m, a, b := twoTasks()
	m.Add(sat.Unary{Uses: []sat.Use{{Task: a}, {Task: b}}})
	s, err := m.Solution([]int{0, 0})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := m.Minimize(sat.Options{Hint: s}); err == nil || !strings.Contains(err.Error(), "hint") {
		t.Errorf("got %v, want a word about the hint", err)
	}
}

// TestCoreNamesTheClash: three jobs of 3 ticks on one machine by tick 8.
func TestCoreNamesTheClash(t *testing.T) {
	m := sat.NewModel()
	var uses []sat.Use
	var due []sat.Rule
	for range 3 {
		task := m.AddTask(sat.Task{Starts: sat.Range(0, 20), Duration: 3})
		uses = append(uses, sat.Use{Task: task})
		due = append(due, m.NewRule("due at 8"))
		m.AddRule(due[len(due)-1], sat.Clause{m.StartLE(task, 5)})
	}
	spare := m.NewRule("a rule that hurts nobody")
	m.AddRule(spare, sat.Clause{m.StartLE(uses[0].Task, 15)})
	machine := m.NewRule("one machine")
	m.AddRule(machine, sat.Unary{Uses: uses})
	r, err := m.Core(sat.Options{})
	if err != nil || r.Status != sat.Infeasible || !r.Minimal {
		t.Fatalf("got %+v, %v", r, err)
	}
	if len(r.Rules) != 4 || r.Rules[0] != due[0] || r.Rules[3] != machine {
		t.Errorf("got rules %v, want the three dues and the machine", r.Rules)
	}
}

// TestSameBytes: the same model and options give the same run.
func TestSameBytes(t *testing.T) {
	var first *sat.Result
	for range 3 {
		m := sat.NewModel()
		var uses []sat.Use
		for i := range 7 {
			k := m.AddTask(sat.Task{Starts: sat.Range(0, 40), Duration: 2 + i%3,
				Cost: func(s int) int64 { return int64((i + 1) * max(0, s-i)) }})
			uses = append(uses, sat.Use{Task: k, Demand: 1 + i%2})
		}
		m.Add(sat.Cumulative{Uses: uses, Capacity: 2})
		r, err := m.Minimize(sat.Options{})
		if err != nil || r.Status != sat.Optimal {
			t.Fatalf("got %+v, %v", r, err)
		}
		if first == nil {
			first = r
			continue
		}
		if r.Solves != first.Solves || r.Clauses != first.Clauses || r.Best.Cost != first.Best.Cost {
			t.Errorf("got %+v, first %+v", r, first)
		}
		for _, u := range uses {
			if r.Best.Start(u.Task) != first.Best.Start(u.Task) {
				t.Errorf("task %d starts at %d, first at %d", u.Task, r.Best.Start(u.Task), first.Best.Start(u.Task))
			}
		}
	}
}

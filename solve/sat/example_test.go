package sat_test

import (
	"fmt"

	"pourweek/solve/sat"
)

// Two jobs on a choice of two machines, then a shared finisher; each tick that
// a job ends after its due tick costs its weight.
func Example() {
	m := sat.NewModel()
	var machines [2][]sat.Use
	var finisher []sat.Use
	for _, job := range []struct {
		name           string
		cast, trowel   int
		due, weight    int
		onlyOnMachine2 bool
	}{{"panel", 4, 2, 6, 10, false}, {"bench", 3, 3, 7, 1, false}, {"planter", 5, 1, 6, 2, true}} {
		cast := m.AddTask(sat.Task{Name: job.name, Starts: sat.Range(0, 20), Duration: job.cast})
		trowel := m.AddTask(sat.Task{Name: job.name + " trowel", Starts: sat.Range(0, 20), Duration: job.trowel,
			Cost: func(start int) int64 { return int64(job.weight * max(0, start+job.trowel-job.due)) }})
		m.Add(sat.Lag{From: sat.End(cast), To: sat.Start(trowel)})
		second := m.Bool(job.name + " on machine 2")
		if job.onlyOnMachine2 {
			m.Add(sat.Clause{second})
		}
		machines[0] = append(machines[0], sat.Use{Task: cast, When: second.Not()})
		machines[1] = append(machines[1], sat.Use{Task: cast, When: second})
		finisher = append(finisher, sat.Use{Task: trowel})
	}
	m.Add(sat.Unary{Uses: machines[0]})
	m.Add(sat.Unary{Uses: machines[1]})
	m.Add(sat.Unary{Uses: finisher})
	r, err := m.Minimize(sat.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Status, r.Best.Cost, r.Lower)
	// Output: optimal 5 5
}

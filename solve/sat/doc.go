// Package sat solves small scheduling windows to the end: tasks with start
// domains, minimum and maximum lags, optional tasks and alternatives,
// one-at-a-time and cumulative resources, and weighted costs.
//
// A Model is inert data. Minimize encodes it once (order encoding: one literal
// "starts at t or earlier" per task and tick), hands it to a clause-learning
// solver and lowers the cost step by step under assumptions. Every solution
// that leaves the package has been checked by Model.Check, which reads the
// model's data and shares nothing with the encoding.
//
// All ticks are plain integers (any unit, negative ones too), intervals are
// half-open, costs are integers >= 0. Results depend on the model and the
// options alone as long as Options.Time does not end a run.
//
// A sketch of use:
//
//	m := sat.NewModel()
//	a := m.AddTask(sat.Task{Name: "a", Starts: sat.Range(0, 20), Duration: 3})
//	b := m.AddTask(sat.Task{Name: "b", Starts: sat.Range(0, 20), Duration: 2,
//		Cost: func(start int) int64 { return int64(start) }})
//	m.Add(sat.Lag{From: sat.Start(a), To: sat.Start(b), Min: 1})
//	m.Add(sat.Unary{Uses: []sat.Use{{Task: a}, {Task: b}}})
//	r, err := m.Minimize(sat.Options{})
package sat

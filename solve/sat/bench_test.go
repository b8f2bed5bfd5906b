package sat_test

import (
	"os"
	"slices"
	"testing"
	"time"

	"pourweek/solve/sat"
	"pourweek/solve/sat/benchset"
)

// safety ends a single instance that the kernel cannot close; no test depends
// on it for its result unless an instance is then reported as open.
const safety = 30 * time.Minute

// window is a project as a model: the last activity is the end, and its start
// is the cost.
type window struct {
	m     *sat.Model
	p     *benchset.Project
	tasks []sat.TaskID
}

// newWindow models p with all work done by horizon. Tasks of a choice of modes
// are optional and follow the activity's own task.
func newWindow(p *benchset.Project, horizon int) *window {
	w := &window{m: sat.NewModel(), p: p}
	end := len(p.Activities) - 1
	uses := make([][]sat.Use, len(p.Capacity))
	take := func(t sat.TaskID, m benchset.Mode) {
		for r, d := range m.Demand {
			if d > 0 {
				uses[r] = append(uses[r], sat.Use{Task: t, Demand: d})
			}
		}
	}
	for i, a := range p.Activities {
		least, most := a.Modes[0].Duration, a.Modes[0].Duration
		for _, m := range a.Modes {
			least, most = min(least, m.Duration), max(most, m.Duration)
		}
		t := sat.Task{Starts: sat.Range(0, max(0, horizon-least)), Duration: least, Slack: most - least}
		if i == end {
			t.Cost = func(s int) int64 { return int64(s) }
		}
		w.tasks = append(w.tasks, w.m.AddTask(t))
		if len(a.Modes) == 1 {
			take(w.tasks[i], a.Modes[0])
			continue
		}
		choice := sat.Alternative{Task: w.tasks[i]}
		for _, m := range a.Modes {
			o := w.m.AddTask(sat.Task{Starts: sat.Range(0, max(0, horizon-m.Duration)), Duration: m.Duration, Presence: w.m.Bool("mode")})
			choice.Options = append(choice.Options, o)
			take(o, m)
		}
		w.m.Add(choice)
	}
	for _, l := range p.Lags {
		w.m.Add(sat.Lag{From: sat.Point{Task: w.tasks[l.From], End: l.End}, To: sat.Start(w.tasks[l.To]), Min: l.Min})
	}
	for r, u := range uses {
		w.m.Add(sat.Cumulative{Uses: u, Capacity: p.Capacity[r]})
	}
	return w
}

// outcome is what a set's run counts.
type outcome struct {
	optimal, infeasible, open int
}

// solveInstance solves one published instance and holds the answer against
// the row; anything beyond what is known is a failure.
func solveInstance(t *testing.T, p *benchset.Project, row benchset.Row, o *outcome) {
	t.Helper()
	began := time.Now()
	horizon, below := p.Horizon(), int64(0)
	passes := 200
	if os.Getenv("POURWEEK_LONG") == "1" {
		passes = 2000
	}
	if s := p.Schedule(passes, 1); s != nil {
		if !p.Check(s) {
			t.Fatalf("%s: the heuristic's schedule is wrong", row.Name)
		}
		horizon, below = s.Makespan-1, int64(s.Makespan)
		if s.Makespan < row.Lower {
			t.Errorf("%s: schedule of %d below the known bound %d", row.Name, s.Makespan, row.Lower)
		}
	}
	r, err := newWindow(p, horizon).m.Minimize(sat.Options{Below: below, Lower: int64(p.EnergyBound()), Time: safety})
	if err != nil {
		t.Errorf("%s: %v", row.Name, err)
		return
	}
	value := below
	if r.Best != nil {
		value = r.Best.Cost
	}
	if os.Getenv("POURWEEK_LONG") == "1" && time.Since(began) > 5*time.Second {
		t.Logf("%s: %v, %d..%d (known %d), %d calls, %d variables, %.1f s", row.Name, r.Status, r.Lower, value, row.Upper,
			r.Solves, r.Vars, time.Since(began).Seconds())
	}
	known := row.Status == "optimal"
	switch {
	case r.Status == sat.Infeasible && below > 0: // nothing is shorter than the heuristic's schedule
		r.Status, r.Lower = sat.Optimal, below
	case r.Status == sat.Infeasible:
		o.infeasible++
		if row.Status != "infeasible" {
			t.Errorf("%s: called infeasible, known: %+v", row.Name, row)
		}
		return
	}
	switch {
	case row.Status == "infeasible" && r.Best != nil:
		t.Errorf("%s: a schedule for an infeasible instance", row.Name)
	case row.Status != "infeasible" && r.Lower > int64(row.Upper):
		t.Errorf("%s: bound %d above the known optimum %d", row.Name, r.Lower, row.Upper)
	case value > 0 && value < int64(row.Lower):
		t.Errorf("%s: value %d below the known bound %d", row.Name, value, row.Lower)
	case r.Status == sat.Optimal && known && (value != int64(row.Upper) || r.Lower != value):
		t.Errorf("%s: called optimal at %d, known %d", row.Name, value, row.Upper)
	case r.Status == sat.Optimal:
		o.optimal++
	default:
		o.open++
		t.Logf("%s: open, %d..%d, known %d", row.Name, r.Lower, value, row.Upper)
	}
}

// set names a published set, how to read it and which rows to take.
type set struct {
	name string
	read func(string) (*benchset.Project, error)
	take func(i int, name string) bool
}

// runSet solves the rows that take accepts.
func runSet(t *testing.T, s set) (got, want outcome) {
	t.Helper()
	dir, ok := benchset.Dir(s.name)
	if !ok {
		t.Skipf("shared/bench/%s is not beside the module", s.name)
	}
	rows, err := benchset.Best(dir)
	if err != nil {
		t.Fatal(err)
	}
	files, err := benchset.Files(dir)
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range rows {
		if !s.take(i, row.Name) {
			continue
		}
		p, err := s.read(files[row.Name])
		if err != nil {
			t.Fatalf("%s: %v", row.Name, err)
		}
		switch row.Status {
		case "optimal":
			want.optimal++
		case "infeasible":
			want.infeasible++
		}
		solveInstance(t, p, row, &got)
	}
	if want == (outcome{}) {
		t.Errorf("%s: no rows taken", s.name)
	}
	t.Logf("%s: %+v", s.name, got)
	return got, want
}

// every takes each n-th row.
func every(n int) func(int, string) bool { return func(i int, _ string) bool { return i%n == 0 } }

// among takes the rows with the given names.
func among(names ...string) func(int, string) bool {
	return func(_ int, name string) bool { return slices.Contains(names, name) }
}

// runAll runs sets and holds the counts against what their rows say: every
// optimal row solved to optimality, every infeasible one proven so.
func runAll(t *testing.T, sets []set) int {
	instances := 0
	for _, s := range sets {
		t.Run(s.name, func(t *testing.T) {
			got, want := runSet(t, s)
			if got != want {
				t.Errorf("%s: got %+v, want %+v", s.name, got, want)
			}
			instances += got.optimal + got.infeasible
		})
	}
	return instances
}

// The sample of the ordinary tests. Optima and infeasible rows: best.csv of
// each set, sources in the bench folder's README.
func TestPublishedSample(t *testing.T) {
	if _, ok := benchset.Dir(""); !ok {
		t.Skip("shared/bench is not beside the module")
	}
	n := runAll(t, []set{
		{"psplib/j30", benchset.ReadSM, every(16)},
		{"rcpsp-max/j10", benchset.ReadSCH, every(9)},
		{"rcpsp-max/ubo10", benchset.ReadSCH, every(6)},
		{"jobshop", benchset.ReadJobShop, among("ft06.txt", "la01.txt", "la05.txt")},
		{"fjsp/kacem", benchset.ReadFlexible, among("kacem1.txt")},
		{"fjsp/fattahi", benchset.ReadFlexible, among("fattahi1.txt", "fattahi4.txt", "fattahi6.txt")},
	})
	if n < 60 {
		t.Errorf("%d instances, want at least 60", n)
	}
}

// TestPublishedSets runs the sets in full: POURWEEK_LONG=1.
func TestPublishedSets(t *testing.T) {
	if os.Getenv("POURWEEK_LONG") != "1" {
		t.Skip("runs some minutes: set POURWEEK_LONG=1")
	}
	runAll(t, []set{
		{"rcpsp-max/j10", benchset.ReadSCH, every(1)},
		{"rcpsp-max/ubo10", benchset.ReadSCH, every(1)},
		{"psplib/j30", benchset.ReadSM, every(1)},
	})
}

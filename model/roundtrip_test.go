package model_test

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
)

// TestExampleIsWrittenAsItStands: the example files beside the planning model
// show the layout, so that reading and writing them changes no byte.
func TestExampleIsWrittenAsItStands(t *testing.T) {
	data := read(t, shared(t, "spec/example.problem.json"))
	p, err := model.ReadProblem("example.problem.json", bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if got := problemBytes(t, p); !bytes.Equal(got, data) {
		t.Errorf("the problem became %s", got)
	}
	data = read(t, shared(t, "spec/example.plan.json"))
	plan, err := model.ReadPlan("example.plan.json", bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if got := planBytes(t, plan); !bytes.Equal(got, data) {
		t.Errorf("the plan became %s", got)
	}
}

// sameProblem reads back what is written of p and compares.
func sameProblem(t *testing.T, name string, p *model.Problem) {
	t.Helper()
	data := problemBytes(t, p)
	back, err := model.ReadProblem(name, bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(p, back) {
		t.Errorf("%s: what is read back differs from what was written", name)
	}
	if !bytes.Equal(data, problemBytes(t, back)) {
		t.Errorf("%s: what is written again differs", name)
	}
}

// TestWeeksRoundTrip reads, writes and reads all shared weeks; ReadProblem
// validates them.
func TestWeeksRoundTrip(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(shared(t, "weeks"), "*.json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no weeks: %v", err)
	}
	for _, file := range files {
		name := filepath.Base(file)
		p, err := model.ReadProblem(name, bytes.NewReader(read(t, file)))
		if err != nil {
			t.Error(err)
			continue
		}
		sameProblem(t, name, p)
	}
}

// TestPlansRoundTrip does the same for the first and last plan of each verdict
// file.
func TestPlansRoundTrip(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(shared(t, "verdicts"), "*.jsonl"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no verdicts: %v", err)
	}
	for _, file := range files {
		lines := strings.Split(strings.TrimSpace(string(read(t, file))), "\n")
		for _, line := range []string{lines[0], lines[len(lines)-1]} {
			var v struct{ Plan json.RawMessage }
			if err := json.Unmarshal([]byte(line), &v); err != nil {
				t.Fatal(err)
			}
			plan, err := model.ReadPlan(file, bytes.NewReader(v.Plan))
			if err != nil {
				t.Fatal(err)
			}
			back, err := model.ReadPlan("again", bytes.NewReader(planBytes(t, plan)))
			if err != nil || !reflect.DeepEqual(plan, back) {
				t.Errorf("%s: what is read back differs from what was written (%v)", file, err)
			}
		}
	}
}

// TestRandomProblemsRoundTrip has every optional rule on and off.
func TestRandomProblemsRoundTrip(t *testing.T) {
	for seed := range uint64(200) {
		p := modeltest.Toy(seed)
		first := problemBytes(t, p)
		back, err := model.ReadProblem("toy", bytes.NewReader(first))
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		sameProblem(t, "toy", back) // lists that were nil are empty now
		if !bytes.Equal(first, problemBytes(t, back)) {
			t.Errorf("seed %d: what is written again differs", seed)
		}
	}
}

// TestWhatIsMissingStaysMissing: an empty list is not the same as none where a
// rule hangs on it, and a plan without cost stays without.
func TestWhatIsMissingStaysMissing(t *testing.T) {
	p := modeltest.Toy(1)
	i := 0
	for p.Pours[i].Stage != model.New {
		i++
	}
	for _, when := range [][]model.Interval{nil, {}} {
		p.Pours[i].Prep.When = when
		p.Shipments = []model.Shipment{{ID: "s", Pours: []string{}, Trucks: []model.Tick{}}, {ID: "t", Pours: []string{}}}
		back, err := model.ReadProblem("toy", bytes.NewReader(problemBytes(t, p)))
		if err != nil {
			t.Fatal(err)
		}
		if got := back.Pours[i].Prep.When; (got == nil) != (when == nil) {
			t.Errorf("when %#v became %#v", when, got)
		}
		if a, b := back.Shipments[0].Trucks, back.Shipments[1].Trucks; a == nil || b != nil {
			t.Errorf("trucks became %#v and %#v", a, b)
		}
	}
	for _, plan := range []*model.Plan{
		{Cost: model.Unstated},
		{Cost: model.Unstated, Terms: model.Terms{Late: 1}},
		{Cost: 0},
	} {
		back, err := model.ReadPlan("plan", bytes.NewReader(planBytes(t, plan)))
		if err != nil || back.Cost != plan.Cost || back.Terms != plan.Terms {
			t.Errorf("%+v became %+v (%v)", plan, back, err)
		}
	}
}

func sampleWeek(p *model.Problem) *model.Week {
	return &model.Week{
		Format: model.WeekFormat, Shop: "North yard \"A\" <1>", Zone: "Europe/Paris", Currency: "EUR", Monday: "2027-03-01",
		Log: []string{"2027-03-02 11:00,failed,A-104/1,", "x"}, Seed: 1<<64 - 1, Work: 12345, Status: "feasible", BoundSource: "capacity",
		Labels: model.Labels{
			Pieces: map[string]model.PieceLabel{"b": {Name: "bench", Grams: 5}, "a": {Name: "Trog é\u2028"}},
			Mixes:  map[string]model.MixLabel{},
			Orders: map[string]model.OrderLabel{"o.1[x]": {Due: "2027-03-05 15:30", Urgency: "high", Note: "a\tb", Truck: true}},
			Steps:  map[string]model.StepLabel{"polish": {Name: "polish", Dust: true, Wet: true}},
			Notes:  []string{"rounded up", ""},
		},
		Problem: p,
		Plan: &model.Plan{
			Format: model.PlanFormat, Problem: p.Name, Batches: []model.BatchPlan{}, Pours: []model.PourPlan{}, Carried: []string{"x"},
			Fixed: map[string]model.Who{"f": {"hand": {"p1"}}, "g": nil}, Cost: 7, Terms: model.Terms{Carry: 7}, Bound: 3,
		},
	}
}

func TestWeekRoundTrip(t *testing.T) {
	p, err := model.ReadProblem("toy", bytes.NewReader(problemBytes(t, modeltest.Toy(3))))
	if err != nil {
		t.Fatal(err)
	}
	w := sampleWeek(p)
	data := weekBytes(t, w)
	back, err := model.ReadWeek("week.json", bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(w, back) {
		t.Errorf("%+v became %+v", w, back)
	}
	if !bytes.Equal(data, weekBytes(t, back)) {
		t.Error("what is written again differs")
	}
	if !json.Valid(data) {
		t.Error("what is written is no JSON")
	}
}

func TestWritersRefuse(t *testing.T) {
	p := modeltest.Toy(1)
	p.Pours[0].Stage = "dry"
	p.Pours[0].ID = "P"
	var b bytes.Buffer
	if err := model.WriteProblem(&b, p); err == nil || err.Error() != `stage "dry" of pour "P"; stages are new, curing, racked` || b.Len() > 0 {
		t.Errorf("wrote %d bytes: %v", b.Len(), err)
	}
	if err := model.WritePlan(&b, &model.Plan{Problem: "a\xff"}); err == nil || err.Error() != `the text "a\xff" is not UTF-8, so that no JSON file can hold it` || b.Len() > 0 {
		t.Errorf("wrote %d bytes: %v", b.Len(), err)
	}
	if err := model.WriteWeek(&b, &model.Week{}); err == nil || b.Len() > 0 {
		t.Errorf("wrote %d bytes: %v", b.Len(), err)
	}
}

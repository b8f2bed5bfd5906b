package model_test

import (
	"bytes"
	"errors"
	"os"
	"reflect"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
)

// seedFiles adds shared files, where they are there.
func seedFiles(f *testing.F, names ...string) {
	for _, name := range names {
		if data, err := os.ReadFile(sharedPath(name)); err == nil {
			f.Add(data)
		}
	}
}

// faultsHavePlaces checks what an error of a reader looks like.
func faultsHavePlaces(t *testing.T, data []byte, err error) {
	var read *model.ReadError
	if !errors.As(err, &read) || len(read.Faults) == 0 {
		t.Fatalf("no list of faults: %v", err)
	}
	lines := bytes.Count(data, []byte{'\n'}) + 1
	for _, x := range read.Faults {
		if x.Line < 1 || x.Line > lines || x.Col < 1 || x.Text == "" {
			t.Fatalf("a fault without place or words: %+v", x)
		}
	}
}

// FuzzReadProblem reads anything. What is read is valid, and is the same when
// written and read again.
func FuzzReadProblem(f *testing.F) {
	seedFiles(f, "spec/example.problem.json", "weeks/rich-03.json", "weeks/tiny-21.json")
	for seed := range uint64(4) {
		f.Add(problemBytes(f, modeltest.Toy(seed)))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := model.ReadProblem("p", bytes.NewReader(data))
		if err != nil {
			faultsHavePlaces(t, data, err)
			return
		}
		if is := p.Validate(); len(is) > 0 {
			t.Fatalf("read, but not valid: %v", is)
		}
		sameProblem(t, "again", p)
	})
}

// FuzzReadPlan does the same for plans.
func FuzzReadPlan(f *testing.F) {
	seedFiles(f, "spec/example.plan.json")
	f.Add(planBytes(f, sampleWeek(modeltest.Toy(1)).Plan))
	f.Fuzz(func(t *testing.T, data []byte) {
		plan, err := model.ReadPlan("p", bytes.NewReader(data))
		if err != nil {
			faultsHavePlaces(t, data, err)
			return
		}
		back, err := model.ReadPlan("again", bytes.NewReader(planBytes(t, plan)))
		if err != nil || !reflect.DeepEqual(plan, back) {
			t.Fatalf("%+v became %+v (%v)", plan, back, err)
		}
	})
}

// FuzzReadWeek does the same for week documents.
func FuzzReadWeek(f *testing.F) {
	for seed := range uint64(3) {
		f.Add(weekBytes(f, sampleWeek(modeltest.Toy(seed))))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		w, err := model.ReadWeek("w", bytes.NewReader(data))
		if err != nil {
			faultsHavePlaces(t, data, err)
			return
		}
		back, err := model.ReadWeek("again", bytes.NewReader(weekBytes(t, w)))
		if err != nil || !reflect.DeepEqual(w, back) {
			t.Fatalf("%+v became %+v (%v)", w, back, err)
		}
	})
}

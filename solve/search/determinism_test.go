package search

import (
	"bytes"
	"context"
	"runtime"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/solve/inst"
)

// Two workers exchange plans at fixed counts of work, so that the number of
// cores says nothing.
func TestTwoWorkersGiveTheSameBytesOnOneCore(t *testing.T) {
	for seed := range uint64(8) {
		p := modeltest.Random(seed, modeltest.Options{MinPours: 5})
		run := func() []byte {
			r := solve(t, p, Options{Seed: seed, Work: 1500, Workers: 2})
			if r.Plan == nil {
				return nil
			}
			var b bytes.Buffer
			if err := model.WritePlan(&b, r.Plan); err != nil {
				t.Fatal(err)
			}
			return b.Bytes()
		}
		two := run()
		procs := runtime.GOMAXPROCS(1)
		one := run()
		runtime.GOMAXPROCS(procs)
		if !bytes.Equal(one, two) {
			t.Errorf("seed %d: one core and two give different plans", seed)
		}
	}
}

// A run of one unit of work ends, and more workers than work too.
func TestLeastWorkEnds(t *testing.T) {
	in, err := inst.Compile(modeltest.Toy(1))
	if err != nil {
		t.Fatal(err)
	}
	r, err := Run(context.Background(), in, Options{Seed: 1, Work: 1, Workers: 2})
	if err != nil || r.Work < 1 {
		t.Fatalf("work %d, error %v", r.Work, err)
	}
}

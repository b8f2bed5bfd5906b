package search

import (
	"bytes"
	"runtime"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
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

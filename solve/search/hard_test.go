package search

import (
	"testing"

	"pourweek/model/modeltest"
)

// In these weeks a pinned pour needs several batches, one after another on one
// mixer, at a given time and with few people.
func TestPinnedPoursWithSeveralBatchesFindTheirPlace(t *testing.T) {
	for _, seed := range []uint64{1959, 2207, 2483, 2762} {
		p := modeltest.Random(seed, modeltest.Options{})
		if r := solve(t, p, Options{Seed: seed, Work: 1000, Workers: 1}); r.Plan == nil {
			t.Errorf("seed %d: %s", seed, r.Reason)
		}
	}
}

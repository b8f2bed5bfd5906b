package search

import (
	"testing"

	"pourweek/model/modeltest"
)

func TestHardSeeds(t *testing.T) {
	for _, seed := range []uint64{1911, 1959, 2058, 2133, 2176, 2207, 2321, 2423, 2483, 2635, 2675, 2724, 2762, 2850, 2952, 2974, 3026, 3087, 3207, 3316} {
		p := modeltest.Random(seed, modeltest.Options{})
		r := solve(t, p, Options{Seed: seed, Work: 5000, Workers: 1})
		t.Log(seed, r.Cost, r.Reason, r.Work, len(p.Pours))
	}
}

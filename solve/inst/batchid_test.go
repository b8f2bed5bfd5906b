package inst

import (
	"slices"
	"testing"
)

func TestBatchesAreNotNamedAfterFixedWork(t *testing.T) {
	in := &Inst{Fixed: []Fixed{{ID: "b1.wash"}, {ID: "b3.mix+"}, {ID: "b4"}, {ID: "A101/1.cover"}}}
	if got, want := in.BatchIDs(3), []string{"b2", "b4", "b5"}; !slices.Equal(got, want) {
		t.Errorf("batches are named %v, not %v", got, want)
	}
	if got := (&Inst{}).BatchIDs(0); len(got) != 0 {
		t.Errorf("no batch has the names %v", got)
	}
}

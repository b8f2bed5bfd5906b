package inst

import (
	"fmt"
	"strings"
)

// BatchIDs names n batches of a plan: b1, b2 and so on, without those that fixed
// work is named after ("b1.wash"): when a week is planned again, work of its
// earlier batches may be left, and belongs to them.
func (in *Inst) BatchIDs(n int) []string {
	taken := map[string]bool{}
	for i := range in.Fixed {
		if id, _, ok := strings.Cut(in.Fixed[i].ID, "."); ok {
			taken[id] = true
		}
	}
	ids := make([]string, 0, n)
	for k := 1; len(ids) < n; k++ {
		if id := fmt.Sprintf("b%d", k); !taken[id] {
			ids = append(ids, id)
		}
	}
	return ids
}

package exact

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

func TestStructures(t *testing.T) {
	best := bestCosts(t)
	for _, n := range strings.Fields(os.Getenv("WEEKS")) {
		in := week1(t, n)
		s, err := newShop(in)
		if err != nil {
			fmt.Println(n, err)
			continue
		}
		c0 := cpu()
		sts, ok := s.structures(best[n])
		fmt.Println(n, len(sts), ok, cpu()-c0)
		if !ok {
			continue
		}
		low := 0
		for k := range sts {
			w := s.newWeek(&sts[k])
			v := w.ascend(1, best[n])
			if v < best[n] {
				v = w.ascend(40, best[n])
				low++
				if low < 20 {
					fmt.Println(sts[k].chains, sts[k].carried, sts[k].fixed, v)
				}
			}
		}
		fmt.Println("open", low, cpu()-c0)
	}
}

package exact

import (
	"fmt"
	"os"
	"strconv"
	"testing"
)

func TestPrices(t *testing.T) {
	n := os.Getenv("WEEKS")
	k, _ := strconv.Atoi(os.Getenv("ST"))
	limit, _ := strconv.ParseInt(os.Getenv("LIMIT"), 10, 64)
	in := week1(t, n)
	s, _ := newShop(in)
	sts, _ := s.structures(limit)
	w := s.newWeek(&sts[k])
	for i := range w.tables {
		if w.tables[i] != nil {
			w.tables[i].solo = nil
		}
	}
	fmt.Println(w.ascend(600, limit))
	w.fillAll(false)
	use := make([][]float64, len(w.have))
	for r := range use {
		use[r] = make([]float64, w.open)
	}
	w.usage(use)
	day := int32(-1)
	sum := 0
	for i, t := range in.OpenAt {
		if t/288 != day {
			fmt.Println("\nday", day, "sum", sum)
			day = t / 288
			sum = 0
		}
		sum += int(w.y[0][i])
		fmt.Printf("%d:%d/%.0f ", t, w.y[0][i], use[0][i])
		if i > 500 {
			break
		}
	}
	fmt.Println()
	for i, b := range w.tables {
		if b != nil && w.before[i] < 0 {
			fmt.Println(b.p.ID, w.root(b))
		}
	}
}

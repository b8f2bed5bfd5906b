package exact

import (
	"fmt"
	"os"
	"strconv"
	"testing"
	"time"
)

func TestConv(t *testing.T) {
	n := os.Getenv("WEEKS")
	k, _ := strconv.Atoi(os.Getenv("ST"))
	limit, _ := strconv.ParseInt(os.Getenv("LIMIT"), 10, 64)
	for _, c := range [][5]float64{{600, 15, 0.6, 0.7, 1}, {2000, 30, 0.8, 0.7, 1}, {2000, 30, 0.8, 0.9, 0.3}, {2000, 20, 0.9, 0.0, 1}, {2000, 20, 0.9, 0.95, 0.2}} {
		in := week1(t, n)
		s, _ := newShop(in)
		sts, _ := s.structures(limit)
		w := s.newWeek(&sts[k])
		for i := range w.tables {
			if os.Getenv("NOSOLO") != "" && w.tables[i] != nil {
				w.tables[i].solo = nil
			}
		}
		t0 := time.Now()
		staleMost, fade, momentum, lambda0 = int(c[1]), c[2], c[3], c[4]
		v := w.ascend(int(c[0]), limit)
		fmt.Println(c, v, time.Since(t0))
	}
}

package exact

import (
	"os"
	"strconv"
	"strings"
	"testing"
	"time"
)

func TestAscendProbe(t *testing.T) {
	names := strings.Fields(os.Getenv("WEEKS"))
	best := bestCosts(t)
	for _, n := range names {
		for _, st := range strings.Fields(os.Getenv("STEPS")) {
			steps, _ := strconv.Atoi(st)
			in := week1(t, n)
			s, err := newShop(in)
			if err != nil {
				t.Log(n, err)
				continue
			}
			sts, _ := s.structures(best[n])
			for k := range sts {
				t0 := time.Now()
				s.y = clone(s.y)
				for r := range s.y {
					clear(s.y[r])
				}
				w := s.newWeek(&sts[k])
				v := w.ascend(steps, best[n])
				if v < best[n] {
					t.Logf("%s steps %d: %v %v bound %d batches %d shares %v %v", n, steps, sts[k].chains, sts[k].carried, v, w.least.least(w.allDraws), w.shareList(), time.Since(t0))
					break
				}
			}
		}
	}
}

func (w *week) shareList() (out []int32) {
	for _, o := range w.all(w.isPlanned) {
		out = append(out, o.share)
	}
	return
}

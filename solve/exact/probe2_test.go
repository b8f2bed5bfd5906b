package exact

import (
	"context"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"
)

func TestSweepProbe(t *testing.T) {
	names := strings.Fields(os.Getenv("WEEKS"))
	extra, _ := strconv.Atoi(os.Getenv("EXTRA"))
	nodes := int64(3_000_000)
	if v := os.Getenv("NODES"); v != "" {
		nodes, _ = strconv.ParseInt(v, 10, 64)
	}
	best := bestCosts(t)
	for _, n := range names {
		in := week1(t, n)
		s, err := newShop(in)
		if err != nil {
			t.Log(n, err)
			continue
		}
		up := best[n] + int64(extra)
		sts, _ := s.structures(up)
		t0 := time.Now()
		limit := up
		total := int64(0)
		ok := true
		for k := range sts {
			w := s.newWeek(&sts[k])
			v := w.ascend(200, limit)
			if v > limit-s.unit {
				continue
			}
			w.reprice()
			w.fillAll(true)
			x := w.newSweep(limit, nodes)
			x.beam, _ = strconv.Atoi(os.Getenv("BEAM"))
			done := x.run(context.Background())
			ok = ok && done
			t.Logf("%s: %v carried %v bound %d limit %d -> %d done %v expands %d after %v", n, sts[k].chains, sts[k].carried, v, limit, x.limit, done, x.expands, time.Since(t0))
			limit = x.limit
			total += x.expands
			if !done {
				t.Log("at", x.t)
				break
			}
		}
		t.Logf("%s: best %d limit %d ok %v expands %d %v", n, best[n], limit, ok, total, time.Since(t0))
	}
}

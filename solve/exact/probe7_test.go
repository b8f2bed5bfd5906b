package exact

import (
	"fmt"
	"os"
	"strconv"
	"testing"
)

func TestStates(t *testing.T) {
	n := os.Getenv("WEEKS")
	k, _ := strconv.Atoi(os.Getenv("ST"))
	limit, _ := strconv.ParseInt(os.Getenv("LIMIT"), 10, 64)
	in := week1(t, n)
	s, _ := newShop(in)
	sts, _ := s.structures(limit)
	var w *week
	for k = range sts {
		w = s.newWeek(&sts[k])
		if v := w.ascend(400, limit); v < limit {
			fmt.Println(k, sts[k].chains, v)
			break
		}
	}
	s.reprice()
	w.fillAll(true)
	x := w.newSweep(limit, 300000)
	seen := 0
	old := x.buckets
	_ = old
	x.trace = func(t int, b *bucket) {
		sig := map[string]int{}
		stepsOnly := map[string]int{}
		links := map[string]int{}
		for q := range b.cost {
			x.decode(b.keys[q*len(x.key):(q+1)*len(x.key)], &x.cur)
			k1 := fmt.Sprint(x.cur.step[:len(x.pours)], x.cur.run[:len(x.pours)])
			sig[k1]++
			stepsOnly[fmt.Sprint(x.cur.step[:len(x.pours)])]++
			links[k1+fmt.Sprint(x.cur.link[:8])]++
		}
		seen += len(b.cost)
		if t%3 == 0 && len(b.cost) > 100 {
			fmt.Println(t, "states", len(b.cost), "step vectors", len(stepsOnly), "with run", len(sig), "with links", len(links))
		}
	}
	x.run(t.Context())
}

package exact

import (
	"context"
	"fmt"
	"os"
	"strconv"
	"testing"
	"time"
)

func TestBeamPlan(t *testing.T) {
	n := os.Getenv("WEEKS")
	beam, _ := strconv.Atoi(os.Getenv("BEAM"))
	k, _ := strconv.Atoi(os.Getenv("ST"))
	steps, _ := strconv.Atoi(os.Getenv("STEPS"))
	limit, _ := strconv.ParseInt(os.Getenv("LIMIT"), 10, 64)
	in := week1(t, n)
	s, _ := newShop(in)
	sts, _ := s.structures(limit)
	w := s.newWeek(&sts[k])
	t0 := time.Now()
	v := w.ascend(steps, limit)
	fmt.Println(sts[k].chains, sts[k].carried, "bound", v, time.Since(t0), "batches", w.least.least(w.allDraws))
	w.fillAll(true)
	x := w.newSweep(limit, 1<<40)
	x.beam = beam
	x.run(context.Background())
	fmt.Println("limit", x.limit, x.expands, time.Since(t0))
	if x.end < 0 {
		return
	}
	p := x.plan()
	if p == nil {
		fmt.Println("no plan")
		return
	}
	fmt.Printf("%+v\n", p.Terms)
	for n := x.end; n >= 0; n = x.nodes[n].before {
		nd := x.nodes[n]
		if nd.before < 0 {
			break
		}
		b := x.nodes[nd.before]
		fmt.Println(b.t, x.acts[nd.acts+1:nd.acts+1+uint32(x.acts[nd.acts])])
	}
	for _, q := range p.Pours {
		fmt.Println(q.ID, q.Mold, "prep", q.Prep, "lay", q.Layers, "cov", q.Cover, "cured", *zero(q.CureEnd), "dem", q.Demold, "fin", q.Finish[0], q.Finish[len(q.Finish)-1], q.Draws)
	}
	for _, b := range p.Batches {
		fmt.Println(b.ID, b.Mix, b.Start, b.Wash)
	}
}

func zero[T any](x *T) *T {
	if x == nil {
		return new(T)
	}
	return x
}

package exact

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"pourweek/model"
)

func cpu() time.Duration {
	var u syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u)
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

func TestRunProbe(t *testing.T) {
	nodes := int64(3_000_000)
	if v := os.Getenv("NODES"); v != "" {
		nodes, _ = strconv.ParseInt(v, 10, 64)
	}
	extra, _ := strconv.Atoi(os.Getenv("EXTRA"))
	best := bestCosts(t)
	for _, n := range strings.Fields(os.Getenv("WEEKS")) {
		in := week1(t, n)
		t0, c0 := time.Now(), cpu()
		r := Run(t.Context(), in, Options{Upper: model.Mils(best[n] + int64(extra)), Nodes: nodes, Report: func(b model.Mils, _ string) {
			fmt.Println("  bound", b, cpu()-c0)
		}})
		var u syscall.Rusage
		_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u)
		fmt.Println(n, "best.csv", best[n], "optimal", r.Optimal, "cost", r.Cost, "bound", r.Bound, "plan", r.Plan != nil, "nodes", r.Nodes, "cpu", cpu()-c0, "wall", time.Since(t0), "rss", u.Maxrss/1024)
	}
}

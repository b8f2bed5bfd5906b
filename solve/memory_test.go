package solve

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"
	"time"

	"pourweek/model/modeltest"
)

const mebibyte = 1 << 20

// peak is the most memory that this process has held so far, in bytes: by the
// kernel's count (VmHWM of /proc/self/status, proc(5)) where there is one, else
// what the Go runtime asked of the system.
func peak() uint64 {
	if data, err := os.ReadFile("/proc/self/status"); err == nil {
		for l := range strings.Lines(string(data)) {
			var kb uint64
			if n, _ := fmt.Sscanf(l, "VmHWM: %d kB", &kb); n == 1 {
				return kb << 10
			}
		}
	}
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.Sys
}

// childVariable tells a test binary that it was started to be measured.
const childVariable = "POURWEEK_MEMORY_CHILD"

// A week of 400 new pours is planned in less than a gibibyte, the whole process
// counted. It runs in a process of its own, so that other tests do not count.
func TestMemoryOfFourHundredPours(t *testing.T) {
	if os.Getenv(childVariable) != "" {
		o := Options{Seed: 1, Work: 2000}
		if long() {
			o = Options{Seed: 1, Time: time.Minute}
		}
		r := mustSolve(t, modeltest.Plant(1, 400), o)
		if r.Plan == nil {
			t.Fatalf("no plan: %s", r.Reason)
		}
		fmt.Printf("peak %d planned %d work %d\n", peak(), len(r.Plan.Pours), r.Work)
		return
	}
	child := exec.Command(os.Args[0], "-test.run", "^TestMemoryOfFourHundredPours$", "-test.count", "1")
	child.Env = append(os.Environ(), childVariable+"=1")
	out, err := child.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	var most uint64
	var planned, work int
	at := max(0, bytes.Index(out, []byte("peak ")))
	if _, err := fmt.Sscanf(string(out[at:]), "peak %d planned %d work %d", &most, &planned, &work); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	t.Logf("at most %d MiB for a plan of %d pours after %d units of work", most/mebibyte, planned, work)
	if planned < 150 {
		t.Errorf("only %d pours are planned: the run was too short to say anything", planned)
	}
	if most > 1024*mebibyte {
		t.Errorf("%d MiB for 400 pours, more than 1024", most/mebibyte)
	}
}

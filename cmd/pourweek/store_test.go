package main

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
)

// aWeek is a small published week.
func aWeek(t testing.TB) *model.Week {
	t.Helper()
	p := modeltest.Toy(2)
	plan, _, ok := oracle.Best(p)
	if !ok || plan == nil {
		t.Fatal("the toy has no plan")
	}
	return &model.Week{
		Format: model.WeekFormat, Shop: "a shop", Zone: "UTC", Currency: "USD", Monday: "2027-03-01",
		Seed: 1, Status: "feasible", Problem: p, Plan: plan,
		Labels: model.Labels{Pieces: map[string]model.PieceLabel{}, Mixes: map[string]model.MixLabel{},
			Orders: map[string]model.OrderLabel{}, Steps: map[string]model.StepLabel{}, Notes: []string{}},
	}
}

const logHead = "when,what,which,detail\n"

// scribble publishes and logs until it is killed. It runs in a process of its
// own, see TestKilledWhileWriting.
func scribble(t *testing.T, dir string) {
	w := aWeek(t)
	for {
		_, _, number, err := newestName(dir)
		if err == nil {
			_, err = publish(dir, w, number)
		}
		if err == nil {
			err = appendWhole(filepath.Join(dir, "log.csv"), logHead, "2027-03-01 09:00,failed,"+strings.Repeat("x", 40)+",\n", "\n")
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

// A process that is killed at any moment loses no file and leaves no half one.
// POURWEEK_LONG=1 kills a thousand times.
func TestKilledWhileWriting(t *testing.T) {
	if dir := os.Getenv("POURWEEK_SCRIBBLE"); dir != "" {
		scribble(t, dir)
	}
	kills := 25
	if os.Getenv("POURWEEK_LONG") != "" {
		kills = 1000
	}
	dir := t.TempDir()
	rng := rand.New(rand.NewPCG(1, 2))
	s := &streams{}
	plans, lines := 0, 0
	for range kills {
		cmd := exec.Command(os.Args[0], "-test.run", "^TestKilledWhileWriting$")
		cmd.Env = append(os.Environ(), "POURWEEK_SCRIBBLE="+dir)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(20*time.Millisecond + time.Duration(rng.IntN(60_000))*time.Microsecond)
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
		plans, lines = checkWhole(t, s, dir, plans, lines)
	}
	if plans < kills/5 || lines < kills/5 {
		t.Fatalf("only %d plans and %d lines were written in %d runs", plans, lines, kills)
	}
	t.Logf("%d kills, %d plans, %d log lines", kills, plans, lines)
}

// checkWhole reads every published week and log line and counts them; there
// may be no fewer than before. To stay fast it reads the newer weeks alone.
func checkWhole(t *testing.T, s *streams, dir string, plansBefore, linesBefore int) (plans, lines int) {
	t.Helper()
	entries, _ := os.ReadDir(filepath.Join(dir, plansFolder))
	for _, e := range entries {
		if planName.MatchString(e.Name()) {
			if plans++; plans > plansBefore {
				if _, err := readFile(s, filepath.Join(dir, plansFolder, e.Name()), model.ReadWeek); err != nil {
					t.Fatalf("after a kill: %v", err)
				}
			}
		}
	}
	data, _ := os.ReadFile(filepath.Join(dir, "log.csv"))
	for i, line := range bytes.SplitAfter(data, []byte("\n")) {
		switch {
		case len(line) == 0:
		case i == 0 && string(line) != logHead, i > 0 && len(line) != len("2027-03-01 09:00,failed,")+42:
			t.Fatalf("after a kill line %d of the log is %q", i+1, line)
		case i > 0:
			lines++
		}
	}
	if plans < plansBefore || lines < linesBefore {
		t.Fatalf("after a kill there are %d plans and %d lines, before %d and %d", plans, lines, plansBefore, linesBefore)
	}
	return plans, lines
}

func TestTwoPublishAtOnceAndTheSecondIsTold(t *testing.T) {
	dir, w := t.TempDir(), aWeek(t)
	if _, err := publish(dir, w, 0); err != nil {
		t.Fatal(err)
	}
	errs := make([]error, 8)
	var wg sync.WaitGroup
	for i := range errs {
		wg.Go(func() { _, errs[i] = publish(dir, w, 1) })
	}
	wg.Wait()
	won := 0
	for _, err := range errs {
		var f *failure
		switch {
		case err == nil:
			won++
		case !errors.As(err, &f) || f.code != exitKept || !strings.Contains(err.Error(), "published by somebody else meanwhile"):
			t.Errorf("the second is told %v", err)
		}
	}
	if won != 1 {
		t.Errorf("%d of 8 published", won)
	}
	path, monday, number, err := newestName(dir)
	if err != nil || monday != "2027-03-01" || number != 2 || filepath.Base(path) != "2027-03-01-002.json" {
		t.Errorf("newest is %s (%s, %d), %v", path, monday, number, err)
	}
}

func TestAppendMendsAMissingLineEnd(t *testing.T) {
	name := filepath.Join(t.TempDir(), "log.csv")
	if err := os.WriteFile(name, []byte("when,what,which,detail\nby hand"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := appendWhole(name, logHead, "by tool\n", "\n"); err != nil {
		t.Fatal(err)
	}
	if data, _ := os.ReadFile(name); string(data) != "when,what,which,detail\nby hand\nby tool\n" {
		t.Errorf("got %q", data)
	}
}

// Lines of several people who log at once are all there, each whole.
func TestAppendAtOnceLosesNoLine(t *testing.T) {
	name := filepath.Join(t.TempDir(), "log.csv")
	const people, each = 8, 25
	var wg sync.WaitGroup
	for i := range people {
		wg.Go(func() {
			for k := range each {
				if err := appendWhole(name, logHead, fmt.Sprintf("line %d of %d\n", k, i), "\n"); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	data, _ := os.ReadFile(name)
	if !strings.HasPrefix(string(data), logHead) {
		t.Fatalf("the log begins with %.30q", data)
	}
	next := [people]int{}
	for line := range strings.Lines(strings.TrimPrefix(string(data), logHead)) {
		var k, i int
		if _, err := fmt.Sscanf(line, "line %d of %d\n", &k, &i); err != nil || k != next[i] {
			t.Fatalf("there is a line %q where %v are next", line, next)
		}
		next[i]++
	}
	for i, n := range next {
		if n != each {
			t.Errorf("%d of %d lines of person %d are there", n, each, i)
		}
	}
}

// A log keeps its permissions, and one behind a link stays behind it.
func TestAppendKeepsWhatTheFileIs(t *testing.T) {
	dir := t.TempDir()
	real, name := filepath.Join(dir, "real.csv"), filepath.Join(dir, "log.csv")
	if err := os.WriteFile(real, []byte(logHead), 0o660); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(real, 0o660); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(real, name); err != nil {
		t.Skip(err)
	}
	if err := appendWhole(name, logHead, "by tool\n", "\n"); err != nil {
		t.Fatal(err)
	}
	if st, err := os.Lstat(name); err != nil || st.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link is gone: %v, %v", st, err)
	}
	if st, err := os.Stat(real); err != nil || st.Mode().Perm() != 0o660 {
		t.Errorf("the log is now %v, %v", st, err)
	}
	if data, _ := os.ReadFile(real); string(data) != logHead+"by tool\n" {
		t.Errorf("got %q", data)
	}
}

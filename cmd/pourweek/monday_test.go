package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pourweek/model"
	"pourweek/model/week"
)

// lateMonday makes a shop whose next Monday begins with a piece that was due
// the Friday before, and one that the log made due the Thursday before.
func lateMonday(t *testing.T) (dir string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "shop")
	must(t, "start", dir, "--week", "2027-03-01")
	orders := "order,piece,quantity,due\nA-101,planter-24,4,2027-03-05\nA-102,bench-top,3,2027-03-08\nA-103,panel-3x5,3,2027-03-09\nA-104,planter-24,3,2027-03-09\n"
	if err := os.WriteFile(filepath.Join(dir, week.OrdersCSV), []byte(orders), 0o644); err != nil {
		t.Fatal(err)
	}
	must(t, "plan", dir, "--week", "2027-03-01", "--work", "2000", "--publish")
	must(t, "log", dir, "Wed", "13:00", "scrapped", "A-101/4")
	must(t, "log", dir, "Wed", "13:10", "due", "A-104", "2027-03-04 12:00")
	must(t, "replan", dir, "--now", "Wed 14:30", "--work", "2000", "--publish")
	if err := os.Remove(filepath.Join(dir, week.FloorFile)); err != nil {
		t.Fatal(err)
	}
	return dir
}

// What was due before the week is as late as it is, also where the week goes on
// from the published one.
func TestWhatWasDueBeforeTheWeekStaysSo(t *testing.T) {
	p, err := model.ReadProblem("stdout", strings.NewReader(must(t, "problem", lateMonday(t), "--week", "2027-03-08")))
	if err != nil {
		t.Fatal(err)
	}
	zone, err := time.LoadLocation("America/Denver")
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{"A-101": "2027-03-05 13:30", "A-104": "2027-03-04 12:00"}
	seen := map[string]bool{}
	for i := range p.Pours {
		x := &p.Pours[i]
		due, err := tickTime(p, x.Due)
		if err != nil {
			t.Fatal(err)
		}
		if got := due.In(zone).Format("2006-01-02 15:04"); want[x.Order] != "" && got != want[x.Order] {
			t.Errorf("%s is due %s, want %s", x.ID, got, want[x.Order])
		}
		seen[x.Order] = true
	}
	if !seen["A-101"] || !seen["A-104"] {
		t.Fatalf("the week has none of the late orders: %v", seen)
	}
}

// check and problem begin the week as plan does.
func TestCheckAndProblemBeginAsPlanDoes(t *testing.T) {
	dir, out := lateMonday(t), filepath.Join(t.TempDir(), "week.json")
	must(t, "plan", dir, "--week", "2027-03-08", "--work", "500", "--out", out)
	p := readWeek(t, out).Problem
	var want bytes.Buffer
	if err := model.WriteProblem(&want, p); err != nil {
		t.Fatal(err)
	}
	if got := must(t, "problem", dir, "--week", "2027-03-08"); got != want.String() {
		t.Errorf("problem prints another week than plan plans:\n%.400s", got)
	}
	fresh := 0
	for i := range p.Pours {
		if p.Pours[i].Stage == model.New {
			fresh++
		}
	}
	if fresh == len(p.Pours) {
		t.Fatal("nothing is under way, so that the test tells nothing")
	}
	count := fmt.Sprintf(", %s, %s\n", many(fresh, "piece to pour", "pieces to pour"), many(len(p.Pours)-fresh, "piece under way", "pieces under way"))
	if got := must(t, "check", dir, "--week", "2027-03-08"); !strings.Contains(got, count) || !strings.Contains(got, "note: the week begins as 2027-03-01-002.json and the log leave it\n") {
		t.Errorf("check prints %q, want %q in it", got, count)
	}
}

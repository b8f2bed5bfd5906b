package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pourweek/cmd/pourweek/demo"
	"pourweek/model"
	"pourweek/model/check"
	"pourweek/model/logbook"
	"pourweek/model/oracle"
	"pourweek/model/week"
	"pourweek/solve"
)

// shopFolder is a folder with the demo shop's files.
func shopFolder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{week.ShopFile, week.OrdersCSV, week.FloorFile} {
		data, err := demo.Files.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// must runs the program and returns what it prints.
func must(t *testing.T, args ...string) string {
	t.Helper()
	var out, complaints bytes.Buffer
	s := &streams{in: strings.NewReader(""), out: &out, err: &complaints, width: 80, now: func() time.Time { return today }}
	if code := run(s, args); code != exitOK {
		t.Fatalf("pourweek %s: exit %d\n%s", strings.Join(args, " "), code, complaints.String())
	}
	return out.String()
}

func readWeek(t *testing.T, path string) *model.Week {
	t.Helper()
	w, err := readFile(&streams{}, path, model.ReadWeek)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// A demo week lived through: planned and published, ten things that went
// otherwise, four replans, and the next Monday's plan without floor.csv. Every
// published plan is allowed, by the checker and by the oracle; no replan moves more
// than planning anew does, all together move fewer, and none costs more than the
// one that touches least; and no piece is lost or made twice.
func TestAWeekLivedThrough(t *testing.T) {
	dir := shopFolder(t)
	work := []string{"--work", "600"}
	must(t, append([]string{"plan", dir, "--week", demo.Monday, "--publish"}, work...)...)
	days := []struct {
		now string
		log []string
	}{
		{"Mon 12:00", []string{"Mon 10:00 longer A-202/1 face 15 min", "Mon 11:30 mold-down PB1 until Wed 12:00"}},
		{"Tue 9:30", []string{"Tue 7:00 away Joel until Tue 15:30", "Tue 8:30 scrapped A-204/1", "Tue 9:00 order A-210 planter-24 2 due Mon 15:00"}},
		{"Wed 10:00", []string{"Wed 8:00 due A-206 Fri 12:00", "Wed 9:00 places long 1 until Fri 12:00", "Wed 9:10 cancel A-207"}},
		{"Thu 9:00", []string{"Thu 8:00 mixer-down drum until Thu 12:00", "Thu 8:50 extra Kim until Thu 17:00"}},
	}
	entries, moved, anew := 0, 0, 0
	for _, d := range days {
		for _, l := range d.log {
			must(t, append([]string{"log", dir}, strings.Fields(l)...)...)
			entries++
		}
		least := filepath.Join(t.TempDir(), "least.json")
		must(t, append([]string{"replan", dir, "--now", d.now, "--touch-least", "--out", least}, work...)...)
		must(t, append([]string{"replan", dir, "--now", d.now, "--publish"}, work...)...)
		h := lived(t, dir)
		allowed(t, h.newest())
		a, b := movesLess(t, d.now, h.newest(), readWeek(t, least))
		moved, anew = moved+a, anew+b
	}
	if moved >= anew {
		t.Errorf("all replans together move %d pours, planning anew %d", moved, anew)
	}
	if entries != 10 {
		t.Fatalf("%d entries were logged", entries)
	}
	if err := os.Remove(filepath.Join(dir, week.FloorFile)); err != nil {
		t.Fatal(err)
	}
	must(t, append([]string{"plan", dir, "--week", "2027-03-08", "--publish"}, work...)...)
	h := lived(t, dir)
	allowed(t, h.newest())
	nothingLost(t, h)
	if shown := must(t, "show", dir); !strings.Contains(shown, "summary\tmonday\t2027-03-08") {
		t.Errorf("show does not take the newest week:\n%.300s", shown)
	}
}

func lived(t *testing.T, dir string) *history {
	t.Helper()
	h, err := readHistory(&streams{}, dir)
	if err == nil {
		err = h.readLog()
	}
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// allowed holds a week's plan against the checker and the oracle.
func allowed(t *testing.T, w *model.Week) {
	t.Helper()
	if v := check.Check(w.Problem, w.Plan); !v.Allowed {
		t.Errorf("%s: %s", w.Problem.Name, v.Broken[0].Text)
	}
	if cost, broken := oracle.Judge(w.Problem, w.Plan); broken != "" || cost != w.Plan.Cost {
		t.Errorf("%s: the oracle says %d, %s", w.Problem.Name, cost, broken)
	}
}

// movesLess plans the same state without a price on moving, compares, and returns
// how many pours the replan moves, and planning anew does.
func movesLess(t *testing.T, now string, w, least *model.Week) (moved, anew int) {
	t.Helper()
	free := *w.Problem
	free.Pours = slices.Clone(free.Pours)
	for i := range free.Pours {
		free.Pours[i].Base = nil
	}
	r, err := solve.Solve(context.Background(), &free, solve.Options{Seed: 1, Work: 600})
	if err != nil || r.Plan == nil {
		t.Fatalf("%s: planning anew: %v, %v", now, r, err)
	}
	count := &replanning{week: w}
	moved, anew = count.moves(w.Plan), count.moves(r.Plan)
	t.Logf("%s: replanning moves %d pours, planning anew %d, touching least %d", now, moved, anew, count.moves(least.Plan))
	if moved > anew {
		t.Errorf("%s: replanning moves %d pours, planning anew %d", now, moved, anew)
	}
	if w.Plan.Cost > least.Plan.Cost {
		t.Errorf("%s: replanning costs %d, touching least %d", now, w.Plan.Cost, least.Plan.Cost)
	}
	return moved, anew
}

// nothingLost follows every pour that was ever asked for: it leaves only when
// it is done or its order is cancelled before it is cast, and is there until
// then; what was scrapped was asked for once more.
func nothingLost(t *testing.T, h *history) {
	t.Helper()
	ids := map[string]int{} // by pour: in how many weeks it stood to be poured
	cancelled := map[string]bool{}
	scrapped := map[string]bool{}
	for _, e := range h.log {
		cancelled[e.Which] = cancelled[e.Which] || e.What == logbook.Cancel
		scrapped[e.Which] = scrapped[e.Which] || e.What == logbook.Scrapped
	}
	weeks := slices.Clone(h.weeks)
	slices.Reverse(weeks)
	for i, p := range weeks {
		for _, x := range p.week.Problem.Pours {
			ids[x.ID]++
		}
		if i == 0 {
			continue
		}
		before := weeks[i-1].week
		now, err := tickTime(p.week.Problem, p.week.Problem.Now)
		if err != nil {
			t.Fatal(err)
		}
		at := ticksTo(before.Problem, now)
		for _, x := range before.Problem.Pours {
			if slices.ContainsFunc(p.week.Problem.Pours, func(y model.Pour) bool { return y.ID == x.ID }) {
				continue
			}
			j := slices.IndexFunc(before.Plan.Pours, func(y model.PourPlan) bool { return y.ID == x.ID })
			done := j >= 0 && (*before.Plan.Pours[j].Finish[len(before.Plan.Pours[j].Finish)-1])[0] < at
			if !done && (!cancelled[x.Order] || x.Stage != model.New) {
				t.Errorf("%s is gone at %s and was neither done nor cancelled", x.ID, now)
			}
		}
	}
	for _, order := range []struct {
		id    string
		pours int
	}{{"A-201", 3}, {"A-202", 2}, {"A-203", 1}, {"A-204", 3}, {"A-205", 4}, {"A-206", 1}, {"A-207", 2}, {"A-210", 2}} {
		n := 0
		for id := range ids {
			if strings.HasPrefix(id, order.id+"/") {
				n++
			}
		}
		if n != order.pours {
			t.Errorf("order %s asks for %d pieces, and %d were planned", order.id, order.pours, n)
		}
	}
	stages := map[model.Stage]bool{}
	for _, p := range weeks[1:3] {
		for _, x := range p.week.Problem.Pours {
			if x.ID == "A-204/1" {
				stages[x.Stage] = true
			}
		}
	}
	if !scrapped["A-204/1"] || !stages[model.New] {
		t.Errorf("A-204/1 was scrapped and is not to be poured again; its stages were %v", stages)
	}
}

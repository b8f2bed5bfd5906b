package report_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/report"
	"pourweek/solve"
)

// randomWeek plans a random problem with a little work; nil if no plan is found.
func randomWeek(t *testing.T, seed uint64) *model.Week {
	t.Helper()
	p := modeltest.Random(seed, modeltest.Options{MaxPours: int(3 + seed%18)})
	if seed%3 == 0 { // plans shun call-ins, so that some get one that they cannot
		p.Callins = []model.Callin{{From: 0, To: p.Horizon, Cost: 777}}
	}
	r, err := solve.Solve(context.Background(), p, solve.Options{Seed: seed, Work: 400})
	if err != nil {
		t.Fatal(err)
	}
	if r.Plan == nil {
		return nil
	}
	return &model.Week{
		Format: model.WeekFormat, Shop: "Shop", Currency: []string{"USD", "EUR"}[seed%2], Problem: p, Plan: r.Plan,
		Status: string(r.Status), BoundSource: r.BoundSource, Work: r.Work, Seed: seed,
	}
}

// weeks runs a test on random weeks, and fails if there are hardly any.
func weeks(t *testing.T, n uint64, f func(t *testing.T, w *model.Week, b *report.Board)) {
	t.Helper()
	found := 0
	for seed := range n {
		w := randomWeek(t, seed)
		if w == nil {
			continue
		}
		found++
		b, err := report.Build(w)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		t.Run(fmt.Sprint(seed), func(t *testing.T) { f(t, w, b) })
	}
	if found < int(n)/2 {
		t.Fatalf("only %d of %d random weeks have a plan", found, n)
	}
}

// The summary's hours and the terms of the cost are worked out apart from each
// other; times the price they must agree.
func TestFiguresAgreeWithTheCost(t *testing.T) {
	seen := map[string]bool{}
	weeks(t, 60, func(t *testing.T, w *model.Week, b *report.Board) {
		p, s, terms := w.Problem, &b.Summary, w.Plan.Terms
		perTick := float64(60) / float64(p.TickMinutes)
		same := func(name string, hours float64, price, term model.Mils) {
			t.Helper()
			if got := model.Mils(math.Round(hours*perTick)) * price; got != term {
				t.Errorf("%s: %.2f h give %d mils, the term is %d", name, hours, got, term)
			}
			seen[name] = seen[name] || term > 0
		}
		same("idle", s.IdleHours, p.Costs.Idle, terms.Idle)
		same("held", s.HeldHours, p.Costs.Held, terms.Held)
		same("rack_wait", s.RackWaitHours, p.Costs.RackWait, terms.RackWait)
		same("overtime", s.OvertimeHours, p.Costs.Overtime, terms.Overtime)
		if got := model.Mils(s.Waste) * p.Costs.Waste; got != terms.Waste {
			t.Errorf("waste of %d g gives %d mils, the term is %d", s.Waste, got, terms.Waste)
		}
		if got := model.Mils(s.Batches) * p.Costs.Batch; got != terms.Batch {
			t.Errorf("%d batches give %d mils, the term is %d", s.Batches, got, terms.Batch)
		}
		if got := model.Mils(s.Moved) * p.Costs.Move; got != terms.Move {
			t.Errorf("%d moves give %d mils, the term is %d", s.Moved, got, terms.Move)
		}
		var late, ship, carry, callin model.Mils
		lateHours := 0.0
		for _, x := range b.Late {
			lateHours += x.Hours * float64(x.Pieces)
			if x.Shipment != "" {
				ship += x.Cost
			} else {
				late += x.Cost
			}
		}
		for _, x := range b.Carried {
			carry += x.Cost
		}
		if late != terms.Late || ship != terms.Ship || carry != terms.Carry {
			t.Errorf("late %d, ship %d, carry %d; the terms are %d, %d, %d", late, ship, carry, terms.Late, terms.Ship, terms.Carry)
		}
		if math.Abs(lateHours-s.LateHours) > 1e-9 {
			t.Errorf("%v h late in all, the list of what is late has %v", s.LateHours, lateHours)
		}
		for _, c := range p.Callins {
			callin += c.Cost
		}
		if len(p.Callins) == 1 && model.Mils(s.CallIns)*callin != terms.Callin {
			t.Errorf("%d call-ins, the term is %d", s.CallIns, terms.Callin)
		}
		seen["late"] = seen["late"] || late > 0
		seen["ship"] = seen["ship"] || ship > 0
		seen["carry"] = seen["carry"] || carry > 0
		seen["move"] = seen["move"] || terms.Move > 0
		seen["callin"] = seen["callin"] || terms.Callin > 0
	})
	for _, name := range []string{"idle", "held", "rack_wait", "overtime", "late", "ship", "carry", "move", "callin"} {
		if !seen[name] {
			t.Errorf("no random week had %s, so nothing was compared", name)
		}
	}
}

// A person's hours are the plan's, whichever way they are added up.
func TestHoursAgreeWithTheWork(t *testing.T) {
	weeks(t, 20, func(t *testing.T, w *model.Week, b *report.Board) {
		var people, overtime float64
		for _, p := range b.People {
			var days float64
			for _, d := range p.Days {
				days += d.Hours
			}
			if math.Abs(days-p.Hours) > 1e-6 {
				t.Errorf("%s: the days add up to %.2f h, the sum is %.2f h", p.ID, days, p.Hours)
			}
			people += p.Hours
			overtime += p.Overtime
		}
		if overtime < b.Summary.OvertimeHours-1e-6 {
			t.Errorf("people do %.2f h of overtime, the summary has %.2f h", overtime, b.Summary.OvertimeHours)
		}
		if (people > 0) != (len(b.Work) > 0) {
			t.Errorf("%.2f h of work in %d rows", people, len(b.Work))
		}
	})
}

func TestTextFitsTheScreen(t *testing.T) {
	weeks(t, 12, func(t *testing.T, w *model.Week, b *report.Board) {
		for _, v := range report.Views {
			for _, s := range []report.Screen{{View: v, Width: 80}, {View: v, Width: 160, Unicode: true}} {
				var out bytes.Buffer
				if err := report.WriteText(&out, b, s); err != nil {
					t.Fatal(err)
				}
				for line := range strings.Lines(out.String()) {
					line = strings.TrimSuffix(line, "\n")
					if strings.HasSuffix(line, " ") {
						t.Errorf("view %s: trailing space in %q", v, line)
					}
					if n := utf8.RuneCountInString(line); n > s.Width {
						t.Errorf("view %s: %d columns of %d in %q", v, n, s.Width, line)
					}
					if !s.Unicode && len(line) != utf8.RuneCountInString(line) {
						t.Errorf("view %s: not ASCII: %q", v, line)
					}
				}
			}
		}
	})
}

// Rows for programs have as many cells as the heads above them.
func TestRowsMatchTheirHeads(t *testing.T) {
	weeks(t, 12, func(t *testing.T, w *model.Week, b *report.Board) {
		for _, v := range report.Views {
			var out bytes.Buffer
			if err := report.WriteRows(&out, b, v); err != nil {
				t.Fatal(err)
			}
			heads := map[string]int{"note": 2, "caution": 3}
			for line := range strings.Lines(out.String()) {
				cells := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
				if kind, is := strings.CutPrefix(cells[0], "#"); is {
					heads[kind] = len(cells)
				} else if heads[cells[0]] != len(cells) {
					t.Errorf("view %s: %d cells under %d heads: %q", v, len(cells), heads[cells[0]], line)
				}
			}
		}
	})
}

// The JSON document has no null list, and every null in it is a moment that
// never comes.
func TestJSONHasNoNullLists(t *testing.T) {
	moments := map[string]bool{"washed": true, "prep": true, "poured": true, "covered": true, "not_before": true,
		"stripped": true, "mold_free": true, "ready": true, "leaves": true}
	weeks(t, 12, func(t *testing.T, w *model.Week, b *report.Board) {
		var out bytes.Buffer
		if err := report.WriteJSON(&out, b); err != nil {
			t.Fatal(err)
		}
		var doc any
		if err := json.Unmarshal(out.Bytes(), &doc); err != nil {
			t.Fatal(err)
		}
		var walk func(path, key string, v any)
		walk = func(path, key string, v any) {
			switch v := v.(type) {
			case nil:
				if !moments[key] {
					t.Errorf("%s is null", path)
				}
			case map[string]any:
				for k, x := range v {
					walk(path+"."+k, k, x)
				}
			case []any:
				for i, x := range v {
					walk(fmt.Sprintf("%s[%d]", path, i), "", x)
				}
			}
		}
		walk("", "", doc)
		if doc.(map[string]any)["format"] != report.BoardFormat {
			t.Error("the format is missing")
		}
	})
}

func TestEqualWeeksGiveEqualBytes(t *testing.T) {
	weeks(t, 6, func(t *testing.T, w *model.Week, b *report.Board) {
		for _, v := range report.Views {
			var one, two bytes.Buffer
			again, err := report.Build(w)
			if err != nil {
				t.Fatal(err)
			}
			if err := report.WriteText(&one, b, report.Screen{View: v, Width: 100}); err != nil {
				t.Fatal(err)
			}
			if err := report.WriteText(&two, again, report.Screen{View: v, Width: 100}); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(one.Bytes(), two.Bytes()) {
				t.Errorf("view %s differs from itself", v)
			}
		}
	})
}

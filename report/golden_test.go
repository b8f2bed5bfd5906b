package report_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"pourweek/model"
	"pourweek/report"
)

var update = flag.Bool("update", false, "rewrite the expected output in testdata/golden")

const golden = "../testdata/golden"

// busyWeek is a week of an invented shop with more orders than molds: pieces are
// late and carried, names have accents, a note begins like a formula.
func busyWeek(t *testing.T) (*model.Week, *report.Board) {
	t.Helper()
	f, err := os.Open(filepath.Join(golden, "busy.week.json"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	w, err := model.ReadWeek("busy.week.json", f)
	if err != nil {
		t.Fatal(err)
	}
	b, err := report.Build(w)
	if err != nil {
		t.Fatal(err)
	}
	return w, b
}

func compare(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join(golden, name)
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v (go test ./report -update writes it)", err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("%s differs (-want +got; go test ./report -update accepts it):\n%s", name, diff)
	}
}

func TestTextIsAsExpected(t *testing.T) {
	_, b := busyWeek(t)
	for _, v := range report.Views {
		for _, width := range []int{80, 160} {
			for _, unicode := range []bool{false, true} {
				letters := map[bool]string{false: "ascii", true: "utf8"}[unicode]
				var out bytes.Buffer
				if err := report.WriteText(&out, b, report.Screen{View: v, Width: width, Unicode: unicode}); err != nil {
					t.Fatal(err)
				}
				if ascii := bytes.IndexFunc(out.Bytes(), func(r rune) bool { return r > 126 }) < 0; ascii == unicode {
					t.Errorf("view %s, %d columns, %s: is it ASCII? %v", v, width, letters, ascii)
				}
				compare(t, fmt.Sprintf("%s-%d-%s.txt", v, width, letters), out.Bytes())
			}
		}
	}
}

func TestColorIsASecondSignal(t *testing.T) {
	_, b := busyWeek(t)
	var plain, colored bytes.Buffer
	if err := report.WriteText(&plain, b, report.Screen{Width: 80}); err != nil {
		t.Fatal(err)
	}
	if err := report.WriteText(&colored, b, report.Screen{Width: 80, Color: true}); err != nil {
		t.Fatal(err)
	}
	bare := colored.Bytes()
	for _, sgr := range []string{"\x1b[1m", "\x1b[31m", "\x1b[33m", "\x1b[0m"} {
		bare = bytes.ReplaceAll(bare, []byte(sgr), nil)
	}
	if bytes.Equal(plain.Bytes(), colored.Bytes()) {
		t.Error("nothing is colored")
	}
	if !bytes.Equal(plain.Bytes(), bare) {
		t.Error("without its colors the text is another one")
	}
}

func TestRowsAreAsExpected(t *testing.T) {
	_, b := busyWeek(t)
	for _, v := range report.Views {
		var out bytes.Buffer
		if err := report.WriteRows(&out, b, v); err != nil {
			t.Fatal(err)
		}
		compare(t, string(v)+".tsv", out.Bytes())
	}
}

func TestJSONIsAsExpected(t *testing.T) {
	_, b := busyWeek(t)
	var out bytes.Buffer
	if err := report.WriteJSON(&out, b); err != nil {
		t.Fatal(err)
	}
	compare(t, "board.json", out.Bytes())
}

// Texts of the shop's files cannot become formulas of a spreadsheet, break a row
// or steer a terminal.
func TestTextsOfTheFilesDoNoHarm(t *testing.T) {
	w, _ := busyWeek(t)
	label := w.Labels.Orders["A-101"]
	for _, c := range []struct{ note, cell string }{
		{"=cmd|' /C calc'!A0", "'=cmd|' /C calc'!A0"},
		{"+1 piece", "'+1 piece"},
		{"-see drawing", "'-see drawing"},
		{"@home", "'@home"},
		{"\t=1", "'=1"},
		{"a\tb\r\nc", "a b  c"},
		{"-12.5", "-12.5"},
		{"red \x1b[31m", "red  [31m"},
	} {
		label.Note = c.note
		w.Labels.Orders["A-101"] = label
		b, err := report.Build(w)
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := report.WriteRows(&out, b, report.ByOrder); err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(out.Bytes(), []byte("\t"+c.cell+"\n")) {
			t.Errorf("note %q does not become the cell %q", c.note, c.cell)
		}
		out.Reset()
		if err := report.WriteText(&out, b, report.Screen{View: report.ByOrder, Width: 160}); err != nil {
			t.Fatal(err)
		}
		if bytes.ContainsAny(out.Bytes(), "\x1b\t\r") {
			t.Errorf("note %q reaches the terminal as it is", c.note)
		}
	}
}

// fresh is a planned pour that is poured in the week.
func fresh(w *model.Week) *model.PourPlan {
	for i := range w.Plan.Pours {
		if w.Plan.Pours[i].Prep != nil {
			return &w.Plan.Pours[i]
		}
	}
	panic("the week pours nothing")
}

// A plan that does not belong to its problem is an error, not a panic.
func TestBuildRefusesWhatDoesNotFit(t *testing.T) {
	for name, spoil := range map[string]func(w *model.Week){
		"no plan":         func(w *model.Week) { w.Plan = nil },
		"no problem":      func(w *model.Week) { w.Problem = nil },
		"unknown pour":    func(w *model.Week) { w.Plan.Pours[0].ID = "x" },
		"unknown carried": func(w *model.Week) { w.Plan.Carried = []string{"x"} },
		"unknown mix":     func(w *model.Week) { w.Plan.Batches[0].Mix = "x" },
		"unknown mixer":   func(w *model.Week) { w.Plan.Batches[0].Mixer = "x" },
		"unknown batch":   func(w *model.Week) { w.Plan.Batches[0].ID = "x" },
		"no demold":       func(w *model.Week) { w.Plan.Pours[0].Demold = nil },
		"no finish":       func(w *model.Week) { w.Plan.Pours[0].Finish = nil },
		"a step too few":  func(w *model.Week) { w.Plan.Pours[0].Finish[0] = nil },
		"no layers":       func(w *model.Week) { fresh(w).Layers = nil },
		"unknown zone":    func(w *model.Week) { w.Zone = "Nowhere/Else" },
		"no start":        func(w *model.Week) { w.Problem.Start = "" },
		"unknown mold":    func(w *model.Week) { fresh(w).Mold = "x" },
	} {
		t.Run(name, func(t *testing.T) {
			w, _ := busyWeek(t)
			spoil(w)
			if _, err := report.Build(w); err == nil {
				t.Error("it is taken for a week")
			}
		})
	}
}

package shop_test

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/txtar"

	"pourweek/model/diag"
	"pourweek/model/orders"
	"pourweek/model/shop"
	"pourweek/model/week"
)

var update = flag.Bool("update", false, "write what is read into the error catalog")

const catalog = "../../testdata/errors"

// The cases that other packages run, by the beginning of their names.
var elsewhere = regexp.MustCompile(`^log-`)

// place is the head of a message: a file with a line (and a column), or the file
// as a whole.
var place = regexp.MustCompile(`^(shop\.yaml|orders\.csv|floor\.csv)(:\d+(:\d+)?)?: [a-z"0-9]`)

// Each broken input of the catalog gets exactly its message; each message names
// the place and, in what it says or in its hint, what to do.
func TestCatalogOfErrors(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(catalog, "*.txtar"))
	if err != nil {
		t.Fatal(err)
	}
	ran := 0
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".txtar")
		if elsewhere.MatchString(name) {
			continue
		}
		ran++
		t.Run(name, func(t *testing.T) { runCase(t, file) })
	}
	if ran < 60 {
		t.Errorf("the catalog has %d cases, at least 60 are promised", ran)
	}
}

func runCase(t *testing.T, file string) {
	a, err := txtar.ParseFile(file)
	if err != nil {
		t.Fatal(err)
	}
	errs := mistakes(a)
	got := ""
	if errs.Len() > 0 {
		got = errs.Error() + "\n"
	}
	for _, p := range errs.Sorted() {
		m := p.Error()
		if !place.MatchString(m) {
			t.Errorf("no place, or no lower case: %s", m)
		}
		if p.Hint == "" {
			t.Errorf("no hint: %s", m)
		}
		if p.Line > 0 && p.Col > 0 && !strings.Contains(m, "^") && strings.TrimSpace(p.Source) != "" {
			t.Errorf("no caret: %s", m)
		}
	}
	if *update {
		for i, f := range a.Files {
			if f.Name == "want" {
				a.Files[i].Data = []byte(got)
			}
		}
		if err := os.WriteFile(file, txtar.Format(a), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if want := string(section(a, "want")); got == "" || got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func section(a *txtar.Archive, name string) []byte {
	for _, f := range a.Files {
		if f.Name == name {
			return f.Data
		}
	}
	return nil
}

// mistakes reads the files of a case and, if they are right one by one, compiles
// the week of 2027-03-01.
func mistakes(a *txtar.Archive) *diag.List {
	s, errs := shop.Read("shop.yaml", section(a, "shop.yaml"))
	var b *orders.Book
	var f *orders.Floor
	for _, x := range a.Files {
		var more *diag.List
		switch x.Name {
		case "orders.csv":
			b, more = orders.ReadOrders(x.Name, x.Data)
		case "floor.csv":
			f, more = orders.ReadFloor(x.Name, x.Data)
		}
		errs.Append(more)
	}
	if errs.Len() == 0 && b != nil {
		_, more := week.Compile(s, b, f, week.Options{Monday: shop.Date{Year: 2027, Month: time.March, Day: 1}})
		errs.Append(more)
	}
	return errs
}

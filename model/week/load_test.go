package week

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"

	"pourweek/model"
)

// fullShop is the shop file of testdata that uses every key.
func fullShop(t testing.TB) string {
	t.Helper()
	data, err := os.ReadFile("../../testdata/shops/full/shop.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

const fullOrders = `order,piece,quantity,due,urgency,not before,ship,truck,note
A-104,panel-900,3,2027-03-11,rush,,whole,yes,gate panels
A-104,curb,2,2027-03-11,,,,,
A-105,marbled-top,1,2027-03-09 12:00,,2027-03-02,,,
A-106,panel-900-white,2,2027-03-12,low,,single,yes,
`

const fullFloor = `piece,order,where,due,since,next,ready,note
panel-900,A-099,P1,2027-03-04,2027-02-26 11:20,,,
panel-900,A-098,long,2027-03-04,2027-02-25 10:00,seal,,
curb,A-097,short,2027-03-04,,done,,waits for the truck
`

// folder makes a file system of name and text pairs.
func folder(files ...string) fstest.MapFS {
	out := fstest.MapFS{}
	for i := 0; i+1 < len(files); i += 2 {
		out[files[i]] = &fstest.MapFile{Data: []byte(files[i+1])}
	}
	return out
}

// written is the problem as bytes, checked to read back as the same bytes.
func written(t testing.TB, p *model.Problem) string {
	t.Helper()
	var b, again bytes.Buffer
	if err := model.WriteProblem(&b, p); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	q, err := model.ReadProblem("problem.json", &b)
	if err != nil {
		t.Fatal(err)
	}
	if err := model.WriteProblem(&again, q); err != nil || again.String() != text {
		t.Fatalf("the problem reads back as another (%v)", err)
	}
	return text
}

func TestLoadFullShop(t *testing.T) {
	l, errs := Load(folder(ShopFile, fullShop(t), OrdersCSV, fullOrders, FloorFile, fullFloor), Options{Monday: monday})
	if errs.Len() > 0 {
		t.Fatal(errs)
	}
	written(t, l.Problem)
	for _, n := range l.Labels.Notes {
		t.Log(n)
	}
	for _, s := range Shortages(l.Problem) {
		t.Log(s)
	}
	var ids []string
	for _, p := range l.Problem.Pours {
		ids = append(ids, p.ID+" "+string(p.Stage))
	}
	want := "A-099/f1 curing,A-098/f1 racked,A-104/1 new,A-104/2 new,A-104/3 new,A-104/4 new,A-104/5 new,A-105/1 new,A-106/1 new,A-106/2 new"
	if got := strings.Join(ids, ","); got != want {
		t.Errorf("pours are %s", got)
	}
	if n := len(l.Problem.Shipments); n != 3 { // A-104, and each panel of A-106
		t.Errorf("%d shipments", n)
	}
}

// Mistakes in all three files are found in one run, whichever file is worst.
func TestLoadFindsTheMistakesOfAllFiles(t *testing.T) {
	const text = "order,piece,quantity,due\nA-1,panel-900,0,2027-03-05\nA-2,pannel-900,1,2027-03-05\nA-3,curb,1,2027-13-05\n"
	const stands = "piece,order,where,due,since\ncrub,A-3,C1,,2027-02-26 14:10\ncurb,A-3,C9,,2027-02-26 14:10\ncurb,A-3,C1,,2027-02-26 14:10\n"
	common := []string{
		`orders.csv:2:15: quantity is 0, at least 1 is needed`,
		`orders.csv:3:5: piece "pannel-900" is no piece type of shop.yaml`,
		`orders.csv:4:12: due "2027-13-05" has the month 13, months are 1 to 12`,
		`floor.csv:2:1: piece "crub" is no piece type of shop.yaml`,
		`floor.csv:3:10: "C9" is no mold and no rack of shop.yaml`,
	}
	broken := strings.Replace(fullShop(t), "tick: 5 min", "tick: 7 min", 1)
	for name, c := range map[string]struct {
		shop string
		more []string
	}{
		"a right shop": {fullShop(t), nil},
		"a wrong shop": {broken, []string{`shop.yaml:5:7:`}},
	} {
		_, errs := Load(folder(ShopFile, c.shop, OrdersCSV, text, FloorFile, stands), Options{Monday: monday})
		want := append(c.more, common...)
		for _, w := range want {
			if !strings.Contains(errs.Error(), w) {
				t.Errorf("%s: no %q in\n%s", name, w, errs)
			}
		}
		if errs.Len() != len(want) {
			t.Errorf("%s: %d mistakes, want %d:\n%s", name, errs.Len(), len(want), errs)
		}
	}
}

func TestLoadOfFoldersThatLackFiles(t *testing.T) {
	for _, c := range []struct {
		files []string
		want  string
	}{
		{nil, "orders.csv: there is no such file\n  hint: save the orders of the week as orders.csv or orders.xlsx\n" +
			"shop.yaml: there is no such file\n  hint: \"pourweek start DIR\" writes a starter shop"},
		{[]string{ShopFile, fullShop(t)}, "orders.csv: there is no such file\n  hint: save the orders of the week as orders.csv or orders.xlsx"},
		{[]string{ShopFile, fullShop(t), OrdersCSV, fullOrders, OrdersXLSX, ""}, "orders.xlsx: there are orders.csv and orders.xlsx\n  hint: keep the one that counts in the folder"},
		{[]string{ShopFile, fullShop(t), OrdersXLSX, "no"}, "orders.xlsx: the file is no workbook that can be read: zip: not a valid zip file\n  hint: open it in a spreadsheet and save it again, or save it as CSV"},
		{[]string{ShopFile, fullShop(t), OrdersCSV, strings.Repeat("x", maxFile+1)}, "orders.csv: the file has more than 4194304 bytes\n  hint: keep this week's rows and move the rest to another file"},
		{[]string{ShopFile, fullShop(t), OrdersCSV + "/x", ""}, "orders.csv: the file cannot be read: invalid argument\n  hint: put a file there that can be read"},
	} {
		l, errs := Load(folder(c.files...), Options{Monday: monday})
		if got := errs.Error(); l != nil || got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

// The same orders as a workbook, its columns turned around and its dates as date
// cells, compile to the same problem.
func TestLoadOfAWorkbookIsThatOfTheText(t *testing.T) {
	fromText, errs := Load(folder(ShopFile, fullShop(t), OrdersCSV, fullOrders), Options{Monday: monday})
	if errs.Len() > 0 {
		t.Fatal(errs)
	}
	f := excelize.NewFile()
	defer f.Close()
	for n, line := range strings.Split(strings.TrimSpace(fullOrders), "\n") {
		var row []any
		for _, cell := range strings.Split(line, ",") {
			var v any = cell
			if when, err := time.Parse("2006-01-02", cell); err == nil {
				v = when
			} else if when, err := time.Parse("2006-01-02 15:04", cell); err == nil {
				v = when
			}
			row = append([]any{v}, row...)
		}
		if err := f.SetSheetRow("Sheet1", fmt.Sprintf("A%d", n+1), &row); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	fromBook, errs := Load(folder(ShopFile, fullShop(t), OrdersXLSX, b.String()), Options{Monday: monday})
	if errs.Len() > 0 {
		t.Fatal(errs)
	}
	if d := cmp.Diff(written(t, fromText.Problem), written(t, fromBook.Problem)); d != "" {
		t.Error(d)
	}
	// Notes cite the cell instead of the line and column.
	if !hasNote(fromBook, `orders.xlsx:Sheet1!F5: order "A-106" is due on 2027-03-12, on which the shop does not work`) {
		t.Errorf("notes %q", fromBook.Labels.Notes)
	}
}

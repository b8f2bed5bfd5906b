package week

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"testing/fstest"
	"time"

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
	_ = time.Now
}

package demo

import (
	"testing"
	"time"

	"pourweek/model/orders"
	"pourweek/model/shop"
	"pourweek/model/week"
)

// The demo week reads without a mistake and is of the size that the help says.
func TestDemoWeekCompiles(t *testing.T) {
	read := func(name string) []byte {
		data, err := Files.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	s, errs := shop.Read("shop.yaml", read("shop.yaml"))
	b, more := orders.ReadOrders("orders.csv", read("orders.csv"))
	errs.Append(more)
	f, more := orders.ReadFloor("floor.csv", read("floor.csv"))
	errs.Append(more)
	if errs.Len() > 0 {
		t.Fatal(errs)
	}
	day, err := time.Parse(time.DateOnly, Monday)
	if err != nil {
		t.Fatal(err)
	}
	l, errs := week.Compile(s, b, f, week.Options{Monday: shop.DateOf(day)})
	if errs.Len() > 0 {
		t.Fatal(errs)
	}
	pours := map[string]int{}
	for _, p := range l.Problem.Pours {
		pours[string(p.Stage)]++
	}
	if pours["new"] != 16 || pours["curing"] != 2 || pours["racked"] != 3 || len(l.Problem.Shipments) < 2 {
		t.Errorf("pours by stage are %v, shipments %d", pours, len(l.Problem.Shipments))
	}
	if len(s.People) != 5 || len(s.Molds) != 9 || len(s.Pieces) < 6 {
		t.Errorf("%d people, %d molds, %d piece types", len(s.People), len(s.Molds), len(s.Pieces))
	}
	for _, n := range l.Labels.Notes {
		t.Log(n)
	}
}

package starter

import (
	"bytes"
	"testing"
	"time"

	"pourweek/model/orders"
	"pourweek/model/shop"
	"pourweek/model/week"
)

// The starter shop is right whenever it is written.
func TestStarterCompilesInEveryWeek(t *testing.T) {
	for _, monday := range []string{"2027-03-01", "2026-12-28", "2028-02-28", "2027-10-25"} {
		at, _ := time.Parse(time.DateOnly, monday)
		read := func(name string) []byte {
			data, err := File(name, at)
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
		l, errs := week.Compile(s, b, f, week.Options{Monday: shop.DateOf(at)})
		if errs.Len() > 0 {
			t.Fatal(errs)
		}
		if n := len(l.Problem.Pours); n != 9 {
			t.Errorf("%d pours in the week of %s", n, monday)
		}
	}
}

// Two screens of 45 lines, and no line that wraps where a window is wide.
func TestStarterFitsOnTwoScreens(t *testing.T) {
	data, err := File("shop.yaml", time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	lines := bytes.Split(bytes.TrimSpace(data), []byte("\n"))
	if len(lines) > 90 {
		t.Errorf("%d lines", len(lines))
	}
	for i, l := range lines {
		if len(l) > 160 {
			t.Errorf("line %d has %d columns", i+1, len(l))
		}
	}
}

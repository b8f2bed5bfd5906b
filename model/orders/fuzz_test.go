package orders

import (
	"testing"
	"unicode/utf8"

	"pourweek/model/diag"
)

// checkBook holds what every accepted row promises.
func checkBook(t *testing.T, b *Book, errs *diag.List) {
	t.Helper()
	for _, r := range b.Rows {
		if r.Order.Value == "" || r.Piece.Value == "" || r.Quantity.Value < 1 || r.Quantity.Value > maxQuantity || r.Due.Value.IsZero() {
			t.Fatalf("row %s is kept: %+v", r.At, r)
		}
		if y := r.Due.Value.Year; y < firstYear || y > lastYear {
			t.Fatalf("due in the year %d", y)
		}
	}
	if len(b.Rows) == 0 && errs.Len() == 0 {
		t.Fatal("neither an order nor a mistake")
	}
	if !utf8.ValidString(errs.Error()) {
		t.Fatalf("message is not UTF-8: %q", errs.Error())
	}
}

func FuzzOrdersCSV(f *testing.F) {
	f.Add([]byte(plain))
	f.Add([]byte("sep=;\norder;piece;quantity;due\nA;b;1;3/4/27\n"))
	f.Add([]byte("\ufefforder\tpiece\tquantity\tdue\r\n\"A\nB\"\t\"b\"\"\t1\t4 Mar 2027\r\n"))
	f.Add([]byte("order,piece,quantity,due\nA-1,\"bench\"x,1,2027-03-05 24:00\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		b, errs := ReadOrders("orders.csv", data)
		checkBook(t, b, errs)
	})
}

func FuzzOrdersXLSX(f *testing.F) {
	f.Add(book(f, "Orders", [][]any{{"order", "piece", "quantity", "due"}, {"A-1", "bench-1", 1, 46451.5}, {"A-2", "b", "x", "3/4/27"}}))
	f.Add(book(f, "a", [][]any{{}, {"due", "order"}}))
	f.Add([]byte("PK\x03\x04"))
	f.Fuzz(func(t *testing.T, data []byte) {
		b, errs := ReadOrders("orders.xlsx", data)
		checkBook(t, b, errs)
	})
}

func FuzzFloor(f *testing.F) {
	f.Add([]byte("piece,order,where,due,since,next,ready,urgency,note\nb,A,M7,2027-03-03,2027-02-26 14:10,,,,\n"))
	f.Add([]byte("piece;order;where\n;;\nx;y;\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		fl, errs := ReadFloor("floor.csv", data)
		for _, p := range fl.Places {
			if p.Order.Value == "" || p.Piece.Value == "" || p.Where.Value == "" {
				t.Fatalf("row %s is kept: %+v", p.At, p)
			}
		}
		_ = errs.Error()
	})
}

func FuzzMoment(f *testing.F) {
	for _, s := range []string{"3/4/27", "4 Mar 2027 3 pm", "Thu, Mar 4, 2027", "2027-03-04T15:30:00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, err := ParseMoment(s)
		if (err == nil) == m.IsZero() {
			t.Fatalf("%q: %v %v", s, m, err)
		}
		if err == nil {
			if again, err := ParseMoment(m.String()); err != nil || again.String() != m.String() {
				t.Fatalf("%q prints as %s, which reads as %v, %v", s, m, again, err)
			}
		}
	})
}

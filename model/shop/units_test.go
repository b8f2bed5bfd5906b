package shop_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"pourweek/model"
	"pourweek/model/orders"
	"pourweek/model/shop"
	"pourweek/model/week"
)

// The same week in US and in metric units is the same problem, to the byte.
func TestUnitsOfEitherKindGiveTheSameProblem(t *testing.T) {
	problem := func(name string) string {
		data, err := os.ReadFile(filepath.Join("../../testdata/shops", name, "shop.yaml"))
		if err != nil {
			t.Fatal(err)
		}
		s, errs := shop.Read("shop.yaml", data)
		b, more := orders.ReadOrders("orders.csv", []byte("order,piece,quantity,due\nA-1,panel,4,2027-03-08\n"))
		errs.Append(more)
		if errs.Len() > 0 {
			t.Fatal(errs)
		}
		l, errs := week.Compile(s, b, nil, week.Options{Monday: shop.Date{Year: 2027, Month: time.March, Day: 1}})
		if errs.Len() > 0 {
			t.Fatal(errs)
		}
		var out bytes.Buffer
		if err := model.WriteProblem(&out, l.Problem); err != nil {
			t.Fatal(err)
		}
		return out.String()
	}
	if us, metric := problem("us"), problem("metric"); us != metric {
		t.Errorf("us\n%s\nmetric\n%s", us, metric)
	}
}

package shop_test

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"pourweek/model"
	"pourweek/model/orders"
	"pourweek/model/shop"
	"pourweek/model/week"
)

// problemOf is the problem of a shop with one order of four panels.
func problemOf(t testing.TB, data []byte) string {
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

// The same week in US and in metric units is the same problem, to the byte.
func TestUnitsOfEitherKindGiveTheSameProblem(t *testing.T) {
	problem := func(name string) string {
		data, err := os.ReadFile(filepath.Join("../../testdata/shops", name, "shop.yaml"))
		if err != nil {
			t.Fatal(err)
		}
		return problemOf(t, data)
	}
	if us, metric := problem("us"), problem("metric"); us != metric {
		t.Errorf("us\n%s\nmetric\n%s", us, metric)
	}
}

// The order of the keys in the file changes nothing.
func TestOrderOfKeysChangesNothing(t *testing.T) {
	data, err := os.ReadFile("../../testdata/shops/us/shop.yaml")
	if err != nil {
		t.Fatal(err)
	}
	blocks := regexp.MustCompile(`(?m)^[a-z]`).FindAllIndex(data, -1)
	var parts []string
	for i, b := range blocks {
		end := len(data)
		if i+1 < len(blocks) {
			end = blocks[i+1][0]
		}
		parts = append(parts, string(data[b[0]:end]))
	}
	want := problemOf(t, data)
	for seed := range uint64(4) {
		rand.New(rand.NewPCG(seed, 1)).Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
		text := strings.Join(parts, "")
		if got := problemOf(t, []byte(text)); got != want {
			t.Fatalf("seed %d: got\n%s\nwant\n%s\nfrom\n%s", seed, got, want, text)
		}
	}
}

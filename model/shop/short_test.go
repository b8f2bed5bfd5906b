package shop

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// Four people, ten molds and eight piece types fit on two screens of 45 lines.
func TestShortShopFitsOnTwoScreens(t *testing.T) {
	s, errs := readFile(t, testdata, "shops", "short", "shop.yaml")
	if errs != "" {
		t.Fatal(errs)
	}
	data, err := os.ReadFile(filepath.Join(testdata, "shops", "short", "shop.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	if len(s.People) != 4 || len(s.Molds) != 10 || len(s.Pieces) != 8 {
		t.Errorf("%d people, %d molds, %d piece types", len(s.People), len(s.Molds), len(s.Pieces))
	}
	lines := bytes.Split(bytes.TrimSpace(data), []byte("\n"))
	if len(lines) > 90 {
		t.Errorf("%d lines", len(lines))
	}
	for i, l := range lines {
		if len(l) > 140 {
			t.Errorf("line %d has %d columns", i+1, len(l))
		}
	}
}

// What shop.yaml leaves out has the standard of the reference.
func TestStandardsAreThoseOfTheReference(t *testing.T) {
	s, errs := readFile(t, testdata, "shops", "short", "shop.yaml")
	if errs != "" {
		t.Fatal(errs)
	}
	want := Costs{Late: 6000, Carry: 250_000, Idle: 5000, Held: 5000, RackWait: 1200, Overtime: 42_000, Batch: 9000, Waste: 1000, Move: 20_000, MoveTolerance: 30}
	if s.Costs != want {
		t.Errorf("costs are %+v", s.Costs)
	}
	if s.TickMinutes != 5 || s.Weeks != 3 || s.Currency != "USD" || !s.Calendar.Hold {
		t.Errorf("head is %+v", s)
	}
	if m := s.Mix("white"); m.WashMax != 45 || m.Remix != 0 || m.WashBefore["gray"] != 10 || m.WashBefore["white"] != 5 {
		t.Errorf("white is %+v", m)
	}
	if m := s.Mix("gray"); len(m.WashBefore) != 1 {
		t.Errorf("gray to white is no full wash: %+v", m.WashBefore)
	}
	if p := s.Piece("cap"); p.Places != 1 || p.Cover.GapMax != 30 || p.MoldMax != nil || len(p.Finish) != 1 {
		t.Errorf("cap is %+v", p)
	}
}

package shop

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/unit"
)

// testdata is the module's testdata folder.
const testdata = "../../testdata"

func readFile(t testing.TB, path ...string) (*Shop, string) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(path...))
	if err != nil {
		t.Fatal(err)
	}
	s, errs := Read(path[len(path)-1], data)
	if errs.Len() > 0 {
		return s, errs.Error()
	}
	return s, ""
}

func TestReadFullShop(t *testing.T) {
	s, errs := readFile(t, testdata, "shops", "full", "shop.yaml")
	if errs != "" {
		t.Fatal(errs)
	}
	p := s.Piece("panel-900")
	// 13.5 ft2 x 1/8 in x 130 lb/ft3 = 18.28125 lb, with 12 % 20.475 lb = 9287.303... g
	if got := p.Coats[0].Draws; len(got) != 1 || got[0] != (Draw{"sand-spray", 9288}) {
		t.Errorf("face takes %v", got)
	}
	// 0.6 min/ft2 x 13.5 ft2 = 8.1 min
	if got := p.Coats[0].Work; got != 9 {
		t.Errorf("face takes %d min", got)
	}
	// 13.5 x 5/96 x 130 x 1.08 = 98.71875 lb = 44778.07... g, at 8 kg/min 5.597 min
	if got := p.Coats[1]; got.Draws[0].Mass != 44779 || got.Work != 6 || got.GapMin != 15 || got.GapMax != 45 {
		t.Errorf("backer is %+v", got)
	}
	// 9 ft3 x 50 % x 130 lb/ft3 = 585 lb = 265351.5... g
	if got := s.Mixer("drum").Capacity; got != 265351 {
		t.Errorf("drum holds %d g", got)
	}
	if got := s.Mixer("pail").Capacity; got != 43091 { // 43091.275... g
		t.Errorf("pail holds %d g", got)
	}
	if got := s.Mix("sand-spray").Step; got != 4990 { // 4989.516... g
		t.Errorf("step is %d g", got)
	}
	want := map[string]unit.Minutes{"sand-spray": 5, "charcoal-spray": 10, "gray-cast": 30}
	got := s.Mix("sand-spray").WashBefore
	if len(got) != len(want) {
		t.Errorf("washes are %v", got)
	}
	for k, v := range want {
		if got[k] != v {
			t.Errorf("wash before %s is %d", k, got[k])
		}
	}
	if w := s.Piece("panel-900-white"); w.Coats[0].Draws[0].Mix != "white-spray" || w.Cure != "cold" || w.Places != 2 {
		t.Errorf("white panel is %+v", w)
	}
	if len(s.Molds) != 6 || s.Mold("P3") == nil || s.Mold("T1").Casts[1].Prep != 50 {
		t.Errorf("molds are %+v", s.Molds)
	}
	if h := s.Calendar.Hours[1]; len(h) != 2 || h[0].String() != "7:00-12:00" || h[1].String() != "12:30-15:30" {
		t.Errorf("Monday is %v", h)
	}
	if o := s.People[0].Overtime; len(o) != 1 || o[0] != "evening" {
		t.Errorf("Ana takes %v", o)
	}
	if s.Costs.Overtime != 42_000 || s.Costs.Waste != 1000 || s.Costs.Carry != 250_000 || s.Costs.RackWait != 1200 {
		t.Errorf("costs are %+v", s.Costs)
	}
	if u := s.Urgency("rush"); u == nil || u.Factor != 3000 || s.Urgency("").Factor != 1000 {
		t.Errorf("urgencies are %+v", s.Urgencies)
	}
	if c := s.Cure("cold"); len(c.AtTemp) != 4 || c.AtTemp[0].Time != 39*60 {
		t.Errorf("cold is %+v", c)
	}
	if f := p.Finish[2]; f.Name != "seal" || *f.RestMax != 7*24*60 || f.PutDown || f.When[1][0].From != 600 {
		t.Errorf("seal is %+v", f)
	}
	if f := p.Finish[1]; f.Work != 68 || f.Dust != WetDust { // 5 min/ft2 x 13.5 ft2 = 67.5
		t.Errorf("hone is %+v", f)
	}
	if load := s.Load(s.Mix("sand-spray")); load != 265351/4990*4990-3000 {
		t.Errorf("load is %d", load)
	}
	_ = model.Crew{}
}

// Bytes that are no text are named at their line, whatever ends the lines.
func TestBytesThatAreNoTextHaveTheirPlace(t *testing.T) {
	for _, c := range []struct{ data, want string }{
		{"shop: a\nzone: Caf\xe9\n", "shop.yaml:2:10: the file is not UTF-8 text"},
		{"shop: a\r\nzone: Caf\xe9\r\n", "shop.yaml:2:10: the file is not UTF-8 text"},
		{"shop: a\rzone: Caf\xe9\r", "shop.yaml:2:10: the file is not UTF-8 text"},
		{"shop: a\nzone: \u00e9\x00\n", "shop.yaml:2:8: the line holds a control character, of number 0"},
	} {
		_, errs := Read("shop.yaml", []byte(c.data))
		if got := errs.Error(); !strings.HasPrefix(got, c.want) {
			t.Errorf("%q: got %s, want %s", c.data, got, c.want)
		}
	}
}

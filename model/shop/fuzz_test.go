package shop

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/txtar"
)

// No input makes Read panic or run long, every mistake has words and a place,
// and what reads without a mistake holds what the types promise.
func FuzzShop(f *testing.F) {
	for _, name := range []string{"full", "us", "metric"} {
		data, err := os.ReadFile(filepath.Join(testdata, "shops", name, "shop.yaml"))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	cases, _ := filepath.Glob(filepath.Join(testdata, "errors", "*.txtar"))
	for _, file := range cases {
		a, err := txtar.ParseFile(file)
		if err != nil {
			f.Fatal(err)
		}
		for _, x := range a.Files {
			if x.Name == "shop.yaml" {
				f.Add(x.Data)
			}
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, errs := Read("shop.yaml", data)
		for _, p := range errs.Sorted() {
			if p.Message == "" || p.File != "shop.yaml" {
				t.Fatalf("a mistake without words or file: %+v", p)
			}
		}
		if errs.Len() == 0 {
			promised(t, s)
		}
	})
}

// promised checks what types.go says of a shop without mistakes.
func promised(t *testing.T, s *Shop) {
	if s.Zone == nil || len(s.Currency) != 3 || 60%s.TickMinutes != 0 || s.Weeks < 1 || len(s.Urgencies) == 0 {
		t.Fatalf("head: %+v", s)
	}
	for _, m := range s.Mixers {
		if m.Capacity <= 0 {
			t.Fatalf("mixer %+v", m)
		}
	}
	for _, m := range s.Mixes {
		if m.Mix < 1 || m.Step < 1 || m.WashMin > m.WashMax || len(m.PotLife.Points) == 0 || len(m.Mixers) == 0 {
			t.Fatalf("mix %+v", m)
		}
	}
	for _, c := range s.Cures {
		if c.Shortest() < 1 || c.Shortest() < minCure && strings.TrimSpace(c.Early) == "" {
			t.Fatalf("cure %+v", c)
		}
	}
	for _, p := range s.Pieces {
		if len(p.Coats) == 0 || len(p.Racks) == 0 || p.Places < 1 || p.Cover.Work < 1 || p.Demold.Work < 1 || s.Cure(p.Cure) == nil {
			t.Fatalf("piece %+v", p)
		}
		for i, c := range p.Coats {
			if c.Work < 1 || c.GapMin > c.GapMax || i == 0 && c.SameBatch {
				t.Fatalf("coat %+v", c)
			}
			for _, d := range c.Draws {
				if d.Mass < 1 || s.Mix(d.Mix) == nil {
					t.Fatalf("draw %+v", d)
				}
			}
		}
	}
	for _, m := range s.Molds {
		for _, c := range m.Casts {
			if c.Prep < 1 || s.Piece(c.Piece) == nil {
				t.Fatalf("mold %+v", m)
			}
		}
	}
	for _, w := range s.Calendar.Hours {
		for i, h := range w {
			if h.From >= h.To || h.From < 0 || h.To > 24*60 || i > 0 && h.From < w[i-1].To {
				t.Fatalf("hours %v", w)
			}
		}
	}
}

func skillList(n int) string {
	var out []string
	for i := range n {
		out = append(out, "s"+strconv.Itoa(i))
	}
	return strings.Join(out, ", ")
}

// Inputs made to take long or much memory are refused; the log says how long it
// takes.
func TestReadRefusesWhatIsTooMuch(t *testing.T) {
	bomb := "a0: &a0 [x,x,x,x,x,x,x,x,x,x]\n"
	for i := 1; i < 12; i++ {
		prev := "*a" + string(rune('0'+(i-1)%10)) + strings.Repeat("x", (i-1)/10)
		bomb += "a" + string(rune('0'+i%10)) + strings.Repeat("x", i/10) + ": &a" + string(rune('0'+i%10)) + strings.Repeat("x", i/10) +
			" [" + strings.Repeat(prev+",", 9) + prev + "]\n"
	}
	many := "pieces:\n"
	for i := range 499 {
		many += "  p" + strings.Repeat("q", i%50) + string(rune('a'+i%26)) + strings.Repeat("z", i/26) + ": {like: x, nonsense" + strings.Repeat("y", i%40) + ": 1}\n"
	}
	people := "people: {"
	for i := range 300 {
		people += "P" + strconv.Itoa(i) + ": " + map[bool]string{true: "&s [" + skillList(300) + "]", false: "*s"}[i == 0] + ", "
	}
	sets := "}\ncoat sets: {c: ["
	for i := range 30 {
		sets += "{name: c" + strconv.Itoa(i) + ", work: 1 min, crew: {s1: " + strconv.Itoa(i%20+1) + ", s2: 20, s3: 20}, when: 7:00-8:00, gap: 1-2 min}, "
	}
	sets += "]}\npieces: {base: {coats: c, finish: none}, "
	for i := range 150 {
		sets += "p" + strconv.Itoa(i) + ": {like: base}, "
	}
	crowd := people + sets + "}\nhours: {mon-fri: 7:00-15:30}\n"
	for name, text := range map[string]string{
		"crowd":          crowd,
		"aliases":        bomb,
		"deep":           strings.Repeat("[", 9000) + strings.Repeat("]", 9000),
		"deeper":         strings.Repeat("{a: ", 200_000),
		"long file":      strings.Repeat("# x\n", MaxBytes),
		"long list":      "closed: [" + strings.Repeat("2027-03-04,", 40_000) + "]",
		"many keys":      strings.Repeat("x", 30) + ":\n" + strings.Repeat(" y: 1\n", 50_000),
		"many unknown":   many,
		"long value":     "shop: " + strings.Repeat("x", 400_000),
		"molds of molds": "molds: {" + strings.Repeat("A1..A200: {casts: x, prep: 1 min}, ", 400) + "}",
	} {
		began := time.Now()
		_, errs := Read("shop.yaml", []byte(text))
		if errs.Len() == 0 {
			t.Errorf("%s is taken", name)
		}
		t.Logf("%s: %v, %d mistakes", name, time.Since(began), errs.Len())
	}
}

package unit

import (
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The factors are exact by definition; NIST Special Publication 811 (2008),
// appendix B.8 and B.9, prints them in bold. Recalled from memory.
func TestParseConvertsExactly(t *testing.T) {
	r := Reader{Currency: "USD"}
	for _, c := range []struct {
		text string
		kind Kind
		want string // a fraction of base units
	}{
		{"45 lb", Mass, "20411.65665"},
		{"20 kg", Mass, "20000"},
		{"1 oz", Mass, "28.349523125"},
		{"3/4 in", Length, "0.01905"},
		{"19 mm", Length, "0.019"},
		{"1 1/2 in", Length, "0.0381"},
		{"68 F", Temperature, "180000"},
		{"20 C", Temperature, "180000"},
		{"-40 F", Temperature, "-360000"},
		{"-40 °C", Temperature, "-360000"},
		{"35 min", Time, "35"},
		{"16 h", Time, "960"},
		{"2 d", Time, "2880"},
		{"90 s", Time, "1.5"},
		{"1 h 30 min", Time, "90"},
		{"1.5 hours", Time, "90"},
		{".5 h", Time, "30"},
		{"10 %", Share, "0.1"},
		{"1 ft2", Area, "0.09290304"},
		{"1 sq ft", Area, "0.09290304"},
		{"1 ft^2", Area, "0.09290304"},
		{"1 ft³", Volume, "0.028316846592"},
		{"1 gal", Volume, "0.003785411784"},
		{"60 L", Volume, "0.06"},
		{"2 kg/L", Dense, "2000000"},
		{"2000 kg/m3", Dense, "2000000"},
		{"2 g/cm3", Dense, "2000000"},
		{"10 kg/min", MassPerTime, "10000"},
		{"6 min/m2", TimePerArea, "6"},
		{"12 USD/h", MoneyPerTime, "200"},
		{"$12/h", MoneyPerTime, "200"},
		{"$ 250", Money, "250000"},
		{"1 USD/kg", MoneyPerMass, "1"},
	} {
		q, err := r.Parse(c.text, c.kind)
		want, _ := new(big.Rat).SetString(c.want)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
		} else if q.v.Cmp(want) != 0 {
			t.Errorf("%s is %s, want %s", c.text, q.v.RatString(), c.want)
		}
	}
	// 120 and 140 lb/ft3 at 1/2 in are 5.00 and 5.83 lb/ft2: check values,
	// section 5 (calculated there, to 0.01).
	for pcf, psf := range map[string]string{"120 lb/ft3": "5", "140 pcf": "35/6"} {
		d, _ := r.Parse(pcf, Dense)
		th, _ := r.Parse("1/2 in", Length)
		a, _ := r.Parse("1 ft2", Area)
		lb, _ := r.Parse("1 lb", Mass)
		want, _ := new(big.Rat).SetString(psf)
		if got := d.Mul(th).Mul(a).Quo(lb); !got.Is(Share) || got.v.Cmp(want) != 0 {
			t.Errorf("%s at 1/2 in is %s lb/ft2, want %s", pcf, got.v.RatString(), psf)
		}
	}
}

func TestParseSaysWhatIsWrongAndWhatIsAllowed(t *testing.T) {
	r := Reader{Currency: "USD"}
	for _, c := range []struct {
		text  string
		kinds []Kind
		want  string
	}{
		{"45", []Kind{Mass}, "has no unit; write it as 45 kg; the units allowed here are kg, lb, g, oz, t"},
		{"0", []Kind{Time}, "has no unit; write it as 0 min; the units allowed here are min, h, d, s"},
		{"10", []Kind{Share}, "has no unit; write 10 %"},
		{"45 lp", []Kind{Mass}, `has the unit "lp", which is not known; did you mean 45 lb? the units allowed here are kg, lb, g, oz, t`},
		{"45 min", []Kind{Mass}, "is in min, which is no unit of a mass; write it as 45 kg; the units allowed here are kg, lb, g, oz, t"},
		{"1,5 kg", []Kind{Mass}, "holds a comma in a number; write a point before decimals and nothing between thousands, and one of the units kg, lb, g, oz, t"},
		{"1,200 lb", []Kind{Mass}, "holds a comma in a number; write a point before decimals and nothing between thousands, and one of the units kg, lb, g, oz, t"},
		{"-5 min", []Kind{Time}, "is below zero; write a length of time with one of the units min, h, d, s"},
		{"3/0 in", []Kind{Length}, "divides by zero; write a thickness with one of the units in, mm, cm, ft, m"},
		{"ten min", []Kind{Time}, "does not begin with a number; write a length of time with one of the units min, h, d, s"},
		{"", []Kind{Time}, "is empty; write a length of time with one of the units min, h, d, s"},
		{"1 h 3", []Kind{Time}, "has no unit; write it as 3 min; the units allowed here are min, h, d, s"},
		{"12 EUR/h", []Kind{MoneyPerTime}, `is in EUR, and the shop counts in USD; write it as 12 USD/h; the units allowed here are USD/h, USD/min, USD/d`},
		{"€12/h", []Kind{MoneyPerTime}, "is in €, and the shop counts in USD; write an amount of money per time with one of the units USD/h, USD/min, USD/d"},
		{"5 EUR", []Kind{Money}, "is in EUR, and the shop counts in USD; write 5 USD"},
		{"1 kg 2 min", []Kind{Mass, Time}, "holds two quantities that do not add up; write a mass or a length of time with one of the units kg, lb, g, oz, t, min, h, d, s"},
		{"1234567890 kg", []Kind{Mass}, "has a number of more than 9 digits; write a mass with one of the units kg, lb, g, oz, t"},
		{strings.Repeat("9", 50) + " kg", []Kind{Mass}, "is too long for a quantity; write a mass with one of the units kg, lb, g, oz, t"},
		{"5 kg/%", []Kind{Mass}, `has the unit "kg/%", which is not known; write it as 5 kg; the units allowed here are kg, lb, g, oz, t`},
	} {
		_, err := r.Parse(c.text, c.kinds...)
		if err == nil || err.Error() != c.want {
			t.Errorf("%q: got %v\nwant %s", c.text, err, c.want)
		}
	}
}

func TestParseRange(t *testing.T) {
	var r Reader
	for text, want := range map[string][2]int64{
		"15 min - 45 min": {15, 45}, "15-45 min": {15, 45}, "0 min to 1 h": {0, 60}, "1/2 h to 1 h": {30, 60}, "15–45 min": {15, 45},
	} {
		low, high, err := r.ParseRange(text, Time)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		a, _ := low.Up()
		b, _ := high.Up()
		if a != want[0] || b != want[1] {
			t.Errorf("%s is %d to %d", text, a, b)
		}
	}
	for text, want := range map[string]string{
		"15 min":        "is one value, and a range is needed",
		"15-45":         "has no unit",
		"45 min-15 min": "ends before it begins",
		"soon":          "is no range",
	} {
		if _, _, err := r.ParseRange(text, Time); err == nil || err.Text != want {
			t.Errorf("%s: got %v, want %s", text, err, want)
		}
	}
}

func TestRoundingGoesTheSideAsked(t *testing.T) {
	var r Reader
	q, _ := r.Parse("45 lb", Mass)
	up, _ := q.Up()
	down, _ := q.Down()
	if up != 20412 || down != 20411 {
		t.Errorf("45 lb is %d up and %d down", up, down)
	}
	cold, _ := r.Parse("-0.0001 C", Temperature)
	up, _ = cold.Up()
	down, _ = cold.Down()
	if up != 0 || down != -1 {
		t.Errorf("-0.9 is %d up and %d down", up, down)
	}
	if Minutes(11).TicksUp(5) != 3 || Minutes(11).TicksDown(5) != 2 || Minutes(10).TicksUp(5) != 2 || Minutes(0).TicksUp(5) != 0 {
		t.Error("ticks")
	}
}

// Rounding up to a minute and then to a tick is rounding up to a tick; the same
// downward.
func TestRoundingTwiceIsRoundingOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		num, den := rapid.Int64Range(0, 1_000_000).Draw(t, "num"), rapid.Int64Range(1, 5000).Draw(t, "den")
		tick := rapid.SampledFrom([]int64{1, 5, 10, 15, 60}).Draw(t, "tick")
		q := Quantity{big.NewRat(num, den), Time.dim}
		inTicks := Quantity{big.NewRat(num, den*tick), Time.dim}
		up, _ := q.Up()
		down, _ := q.Down()
		wantUp, _ := inTicks.Up()
		wantDown, _ := inTicks.Down()
		if Minutes(up).TicksUp(int(tick)) != wantUp || Minutes(down).TicksDown(int(tick)) != wantDown {
			t.Fatalf("%d/%d min in ticks of %d", num, den, tick)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"45 lb", "3/4 in", "1 h 30 min", "$12/h", "5 min/ft2", "15-45 min", "-5 C", "1,5 kg", "9/ 0 ft²"} {
		f.Add(s)
	}
	kinds := []Kind{Time, Mass, Length, Area, Volume, Dense, Temperature, Share, TimePerArea, MassPerTime, Money, MoneyPerTime, MoneyPerMass}
	f.Fuzz(func(t *testing.T, s string) {
		r := Reader{Currency: "USD"}
		if q, err := r.Parse(s, kinds...); err == nil {
			up, ok := q.Up()
			down, _ := q.Down()
			if ok && (up < down || up > down+1) {
				t.Fatalf("%q rounds to %d and %d", s, up, down)
			}
		} else if err.Text == "" || err.Hint == "" {
			t.Fatalf("%q: no words", s)
		}
		_, _, _ = r.ParseRange(s, Time)
	})
}

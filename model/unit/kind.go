package unit

import "strings"

// dim is a dimension: the powers of time, mass, length and money, and whether it
// is a temperature (which has no powers: a difference is never read).
type dim struct {
	time, mass, length, money int8
	temp                      bool
}

func (d dim) over(e dim) dim {
	return dim{time: d.time - e.time, mass: d.mass - e.mass, length: d.length - e.length, money: d.money - e.money}
}

// Kind is a kind of quantity that a value may be.
type Kind struct {
	Name  string   // "a length of time"
	Units []string // as a message lists them, the first one preferred
	dim   dim
}

// The kinds of quantities that a shop file holds.
var (
	Time         = Kind{"a length of time", []string{"min", "h", "d", "s"}, dim{time: 1}}
	Mass         = Kind{"a mass", []string{"kg", "lb", "g", "oz", "t"}, dim{mass: 1}}
	Length       = Kind{"a thickness", []string{"in", "mm", "cm", "ft", "m"}, dim{length: 1}}
	Area         = Kind{"an area", []string{"ft2", "m2", "in2", "yd2", "cm2"}, dim{length: 2}}
	Volume       = Kind{"a volume", []string{"L", "ft3", "gal", "m3", "yd3"}, dim{length: 3}}
	Dense        = Kind{"a density", []string{"lb/ft3", "kg/m3", "kg/L", "g/cm3"}, dim{mass: 1, length: -3}}
	Temperature  = Kind{"a temperature", []string{"F", "C"}, dim{temp: true}}
	Share        = Kind{"a share", []string{"%"}, dim{}}
	TimePerArea  = Kind{"a time per area", []string{"min/ft2", "min/m2", "h/m2"}, dim{time: 1, length: -2}}
	MassPerTime  = Kind{"a mass per time", []string{"kg/min", "lb/min"}, dim{mass: 1, time: -1}}
	Money        = Kind{"an amount of money", nil, dim{money: 1}}
	MoneyPerTime = Kind{"an amount of money per time", nil, dim{money: 1, time: -1}}
	MoneyPerMass = Kind{"an amount of money per mass", nil, dim{money: 1, mass: -1}}
)

// units lists what may stand beside a number of one of the kinds, with the
// shop's currency in place of money.
func units(kinds []Kind, currency string) []string {
	var out []string
	for _, k := range kinds {
		switch k.dim {
		case Money.dim:
			out = append(out, currency)
		case MoneyPerTime.dim:
			out = append(out, currency+"/h", currency+"/min", currency+"/d")
		case MoneyPerMass.dim:
			out = append(out, currency+"/kg", currency+"/lb")
		default:
			out = append(out, k.Units...)
		}
	}
	return out
}

// base is a unit of one word: its dimension and its factor to minutes, grams,
// meters or thousandths of money, as a fraction.
type base struct {
	dim      dim
	num, den int64
}

// bases are the units by their lower-case words. The inch (2.54 cm), the foot,
// the yard, the pound (453.59237 g), the ounce and the US gallon (231 cubic
// inches) are exact by definition, and so is 1.8 degrees F to the degree C. They
// are the factors in bold type in appendix B of NIST Special Publication 811
// (2008), recalled from memory. A length has powers: ft2, ft3.
var bases = map[string]base{
	"s": {Time.dim, 1, 60}, "min": {Time.dim, 1, 1}, "h": {Time.dim, 60, 1}, "d": {Time.dim, 1440, 1}, "wk": {Time.dim, 10080, 1},
	"g": {Mass.dim, 1, 1}, "kg": {Mass.dim, 1000, 1}, "t": {Mass.dim, 1_000_000, 1},
	"lb": {Mass.dim, 45359237, 100_000}, "oz": {Mass.dim, 45359237, 1_600_000},
	"mm": {Length.dim, 1, 1000}, "cm": {Length.dim, 1, 100}, "m": {Length.dim, 1, 1},
	"in": {Length.dim, 254, 10_000}, "ft": {Length.dim, 3048, 10_000}, "yd": {Length.dim, 9144, 10_000},
	"l": {Volume.dim, 1, 1000}, "ml": {Volume.dim, 1, 1_000_000}, "gal": {Volume.dim, 3785411784, 1_000_000_000_000},
	"f": {Temperature.dim, 1, 1}, "c": {Temperature.dim, 1, 1},
	"%": {Share.dim, 1, 100},
}

// synonyms are other spellings of the words of bases.
var synonyms = map[string]string{
	"sec": "s", "second": "s", "seconds": "s", "mins": "min", "minute": "min", "minutes": "min",
	"hr": "h", "hrs": "h", "hour": "h", "hours": "h", "day": "d", "days": "d", "week": "wk", "weeks": "wk",
	"gram": "g", "grams": "g", "kgs": "kg", "kilogram": "kg", "kilograms": "kg", "tonne": "t", "tonnes": "t",
	"lbs": "lb", "pound": "lb", "pounds": "lb", "ounce": "oz", "ounces": "oz",
	"inch": "in", "inches": "in", `"`: "in", "foot": "ft", "feet": "ft", "'": "ft", "yard": "yd", "yards": "yd",
	"liter": "l", "liters": "l", "gallon": "gal", "gallons": "gal",
	"°f": "f", "degf": "f", "°c": "c", "degc": "c", "percent": "%",
	"sqft": "ft2", "sq ft": "ft2", "sf": "ft2", "sqm": "m2", "sq m": "m2", "sq in": "in2", "sqin": "in2",
	"cuft": "ft3", "cu ft": "ft3", "cu yd": "yd3", "pcf": "lb/ft3",
}

// currencySigns are the signs of currencies that stand for one code alone in a
// shop whose currency it is. (ISO 4217 codes; from memory.)
var currencySigns = map[string][]string{
	"$": {"USD", "CAD", "AUD", "NZD", "MXN", "SGD", "HKD"},
	"€": {"EUR"}, "£": {"GBP"}, "¥": {"JPY", "CNY"},
}

// signFits says that a sign may stand for the currency.
func signFits(sign, currency string) bool {
	for _, c := range currencySigns[sign] {
		if c == currency {
			return true
		}
	}
	return false
}

// lookUp finds a unit such as min, ft2, kg/m3, or USD/h. The currency is that of
// the shop; ok is false if the unit is not known.
func lookUp(word, currency string) (base, bool) {
	word = canonical(word)
	if a, b, found := strings.Cut(word, "/"); found {
		over, ok1 := power(a, currency)
		under, ok2 := power(b, currency)
		if !ok1 || !ok2 || over.dim.temp || under.dim.temp || under.dim == (dim{}) {
			return base{}, false
		}
		return base{over.dim.over(under.dim), over.num * under.den, over.den * under.num}.reduced(), true
	}
	return power(word, currency)
}

// power is a unit with its power of 2 or 3, if it is a length.
func power(word, currency string) (base, bool) {
	word = canonical(word)
	if currency != "" && (word == strings.ToLower(currency) || signFits(word, currency)) {
		return base{Money.dim, 1000, 1}, true
	}
	if b, ok := bases[word]; ok {
		return b, true
	}
	if len(word) < 2 {
		return base{}, false
	}
	n := int8(word[len(word)-1] - '0')
	b, ok := bases[word[:len(word)-1]]
	if !ok || b.dim != Length.dim || n != 2 && n != 3 {
		return base{}, false
	}
	out := base{dim{length: n}, 1, 1}
	for range n {
		out.num, out.den = out.num*b.num, out.den*b.den
	}
	return out.reduced(), true
}

var spellings = strings.NewReplacer("^", "", "²", "2", "³", "3", " per ", "/", " /", "/", "/ ", "/")

// canonical makes the spellings of a unit one: lower case, ft^2 and ft² as ft2.
func canonical(word string) string {
	word = strings.ToLower(strings.TrimSpace(word))
	word = spellings.Replace(word)
	if s, ok := synonyms[word]; ok {
		return s
	}
	return word
}

// reduced cancels common factors, so that products stay small.
func (b base) reduced() base {
	x, y := b.num, b.den
	for y != 0 {
		x, y = y, x%y
	}
	return base{b.dim, b.num / x, b.den / x}
}

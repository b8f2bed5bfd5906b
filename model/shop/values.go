package shop

import (
	"regexp"
	"strconv"
	"strings"

	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/unit"
)

// The forms of values, with the words of the reference.
var (
	formText   = form{"text", "some words"}
	formNames  = form{"a name or a list of names", "[short, long]"}
	formCount  = form{"a whole number", "2"}
	formYesNo  = form{"yes or no", "yes"}
	formTime   = form{"a length of time: min, h, d, s", "35 min"}
	formRange  = form{"two lengths of time", "15 min to 45 min"}
	formMass   = form{"a mass: kg, lb, g, oz, t", "20 kg"}
	formLength = form{"a thickness: in, mm, cm, ft, m", "3/4 in"}
	formArea   = form{"an area: ft2, m2, in2, yd2, cm2", "12.5 ft2"}
	formVolume = form{"a volume: L, ft3, gal, m3, yd3", "6 ft3"}
	formDense  = form{"a density: lb/ft3, kg/m3, kg/L, g/cm3", "130 lb/ft3"}
	formShare  = form{"a share: %", "10 %"}
	formWork   = form{"a length of time, or a rate: min/ft2, min/m2, h/m2", "20 min"}
	formSpray  = form{"a length of time, or a rate: min/ft2, min/m2, kg/min, lb/min", "10 min"}
	formMoney  = form{"an amount of money", "250 USD"}
	formHourly = form{"an amount of money per time", "12 USD/h"}
	formPerKg  = form{"an amount of money per mass", "1 USD/kg"}
	formHours  = form{"hours of a day, by weekday", "{mon-thu: 7:00-15:30, fri: 7:00-13:00}"}
	formCrew   = form{"heads by skill", "{sprayer: 1, hand: 2}"}
	formTimes  = form{"a list of dates, or of times from and to", "[2027-03-05, 2027-03-08 7:00 to 2027-03-09 12:00]"}
)

// formName is the form of a name, with an example.
func formName(such string) form { return form{"a name", such} }

// text is a scalar; ok is false (and a mistake noted) if it is something else.
func (r *reader) text(n *node, such string) (string, bool) {
	if n.kind != scalar || n.text == "" {
		r.bad(n, "write "+r.key+": "+such, "and one value is needed")
		return "", false
	}
	return n.text, true
}

var namePattern = regexp.MustCompile(`^[\p{L}\p{N}][\p{L}\p{N} _.+#&'-]*$`)

const maxName = 60

// name is a scalar that can be a name.
func (r *reader) name(n *node) string {
	s, ok := r.text(n, "a name")
	if ok && !r.nameFits(n, s) {
		return ""
	}
	return s
}

// nameFits says that a text can be a name, and notes a mistake if not.
func (r *reader) nameFits(n *node, s string) bool {
	if len([]rune(s)) > maxName || !namePattern.MatchString(s) {
		r.fail(n.pos, "a name begins with a letter or a digit, and holds letters, digits, spaces and . _ + - # & '; at most 60 characters",
			"%s can be no name", diag.Quote(s))
		return false
	}
	return true
}

// names is a name or a list of names, each once.
func (r *reader) names(n *node) []*node {
	items := n.items
	if n.kind == scalar {
		items = []*node{n}
	} else if n.kind != list {
		r.bad(n, "write "+r.key+": [one, another]", "and a name or a list of names is needed")
		return nil
	}
	var out []*node
	seen := map[string]bool{}
	for _, i := range items {
		s := r.name(i)
		switch {
		case s == "":
		case seen[s]:
			r.fail(i.pos, "take it out", "%s stands twice in %q", diag.Quote(s), r.key)
		default:
			seen[s] = true
			out = append(out, i)
		}
	}
	return out
}

func texts(nodes []*node) []string {
	var out []string
	for _, n := range nodes {
		out = append(out, n.text)
	}
	return out
}

// used are names of one kind, each noted as used.
func (r *reader) used(what string, n *node) []string {
	found := r.names(n)
	for _, f := range found {
		r.use(what, f.text, f)
	}
	return texts(found)
}

// usedName is one name of a kind, noted as used.
func (r *reader) usedName(what string, n *node) string {
	s := r.name(n)
	if s != "" {
		r.use(what, s, n)
	}
	return s
}

// count is a whole number from low to high.
func (r *reader) count(n *node, low, high int) int {
	s, ok := r.text(n, strconv.Itoa(low))
	if !ok {
		return low
	}
	v, err := strconv.Atoi(s)
	switch {
	case err != nil:
		r.bad(n, "write a whole number from "+strconv.Itoa(low)+" to "+strconv.Itoa(high), "and a whole number is needed")
	case v < low || v > high:
		r.bad(n, "write a whole number from "+strconv.Itoa(low)+" to "+strconv.Itoa(high), "allowed are %d to %d", low, high)
	default:
		return v
	}
	return low
}

func (r *reader) yesNo(n *node) bool {
	s, _ := r.text(n, "yes")
	switch strings.ToLower(s) {
	case "yes", "true":
		return true
	case "no", "false", "":
		return false
	}
	r.bad(n, "write yes or no", "allowed are yes and no")
	return false
}

// oneOf is one of the words.
func (r *reader) oneOf(n *node, words ...string) string {
	s, ok := r.text(n, words[0])
	if ok && !contains(words, s) {
		r.bad(n, "write one of them", "allowed are %s", strings.Join(words, ", "))
		return ""
	}
	return s
}

func (r *reader) units() unit.Reader { return unit.Reader{Currency: r.shop.Currency} }

// quantity is an amount of one of the kinds.
func (r *reader) quantity(n *node, kinds ...unit.Kind) (unit.Quantity, bool) {
	if n.kind != scalar {
		r.bad(n, "write one value with its unit", "and %s is needed", kinds[0].Name)
		return unit.Quantity{}, false
	}
	q, err := r.units().Parse(n.text, kinds...)
	if err != nil {
		r.fail(n.pos, err.Hint, "%q is %s, which %s", r.key, diag.Quote(n.text), err.Text)
		return q, false
	}
	return q, true
}

// way is the side to which a value is rounded.
type way bool

const (
	up   way = true
	down way = false
)

// rounded is a quantity as a whole number of its base units.
func (r *reader) rounded(n *node, q unit.Quantity, w way) int64 {
	v, ok := q.Up()
	if w == down {
		v, ok = q.Down()
	}
	if !ok || v > maxAmount {
		r.bad(n, "look at the number and its unit", "which is far too much")
		return 0
	}
	return v
}

// maxAmount bounds every amount: minutes, grams (1000 t), thousandths of money.
const maxAmount = 1_000_000_000

// minutes is a length of time of at most a year.
func (r *reader) minutes(n *node, w way) unit.Minutes {
	q, ok := r.quantity(n, unit.Time)
	if !ok {
		return 0
	}
	return r.asMinutes(n, q, w)
}

const maxMinutes = 366 * model.MinutesPerDay

func (r *reader) asMinutes(n *node, q unit.Quantity, w way) unit.Minutes {
	v := r.rounded(n, q, w)
	if v > maxMinutes {
		r.bad(n, "look at the number and its unit", "which is more than a year")
		return 0
	}
	return unit.Minutes(v)
}

// work is a length of time above zero.
func (r *reader) work(n *node) unit.Minutes {
	q, ok := r.quantity(n, unit.Time)
	return r.aboveZero(n, q, ok)
}

func (r *reader) aboveZero(n *node, q unit.Quantity, ok bool) unit.Minutes {
	if !ok {
		return 1
	}
	if q.Sign() <= 0 {
		r.bad(n, "write the time that it takes, or leave the step out", "and work takes more than no time")
		return 1
	}
	return max(1, r.asMinutes(n, q, up))
}

// window is a range of times, rounded inward.
func (r *reader) window(n *node) (low, high unit.Minutes) {
	s, ok := r.text(n, "15 min to 45 min")
	if !ok {
		return 0, maxMinutes
	}
	a, b, err := r.units().ParseRange(s, unit.Time)
	if err != nil {
		r.fail(n.pos, err.Hint, "%q is %s, which %s", r.key, diag.Quote(s), err.Text)
		return 0, maxMinutes
	}
	return r.asMinutes(n, a, up), r.asMinutes(n, b, down)
}

func (r *reader) grams(n *node, w way) model.Grams {
	q, ok := r.quantity(n, unit.Mass)
	if !ok {
		return 0
	}
	return model.Grams(r.rounded(n, q, w))
}

// positiveGrams is a mass above zero.
func (r *reader) positiveGrams(n *node, w way) model.Grams {
	q, ok := r.quantity(n, unit.Mass)
	if !ok {
		return 1
	}
	if v := r.rounded(n, q, w); v > 0 {
		return model.Grams(v)
	}
	r.bad(n, "write a mass above zero", "and at least 1 g is needed")
	return 1
}

// temp is a temperature that a shop can have.
func (r *reader) temp(n *node) unit.Temp {
	q, ok := r.quantity(n, unit.Temperature)
	if !ok {
		return 0
	}
	v, fits := q.Up()
	t := unit.Temp(v)
	if !fits || t < -60*9000 || t > 120*9000 {
		r.bad(n, "write the temperature of the air in the shop, with F or C", "which no shop has")
		return 0
	}
	return t
}

func (r *reader) money(n *node) model.Mils {
	q, ok := r.quantity(n, unit.Money)
	if !ok {
		return 0
	}
	return model.Mils(r.rounded(n, q, up))
}

func (r *reader) hourly(n *node) MilsPerHour {
	q, ok := r.quantity(n, unit.MoneyPerTime)
	if !ok {
		return 0
	}
	return MilsPerHour(r.rounded(n, q.Per(60), up))
}

// crew is heads by skill: {sprayer: 1, hand: 2}, [sprayer, hand], sprayer, or
// none.
func (r *reader) crew(n *node) model.Crew {
	crew := model.Crew{}
	if n.kind == scalar && n.text == "none" {
		return crew
	}
	if n.kind != mapping {
		for _, s := range r.names(n) {
			crew[s.text] = 1
			r.use("skill", s.text, s)
		}
		return crew
	}
	for _, p := range n.pairs {
		if !r.nameFits(p.key, p.key.text) {
			continue
		}
		r.at(p.key.text, p.value, func() {
			if heads := r.count(p.value, 0, 20); heads > 0 {
				crew[p.key.text] = heads
				r.use("skill", p.key.text, p.key)
			}
		})
	}
	return crew
}

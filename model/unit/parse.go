package unit

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"

	"pourweek/model/diag"
)

// Quantity is an exact amount of one kind: minutes, grams, meters (squared,
// cubed), thousandths of money, one (for a share), or a Temp, and quotients of
// them. The zero value is no quantity.
type Quantity struct {
	v   *big.Rat
	dim dim
}

// Is says that the quantity is of the kind.
func (q Quantity) Is(k Kind) bool { return q.dim == k.dim && q.v != nil }

// Sign is -1, 0 or 1.
func (q Quantity) Sign() int { return q.v.Sign() }

// Mul is the product of two quantities, Quo the quotient (the divisor is not 0).
func (q Quantity) Mul(r Quantity) Quantity {
	return Quantity{new(big.Rat).Mul(q.v, r.v), dim{time: q.dim.time + r.dim.time, mass: q.dim.mass + r.dim.mass,
		length: q.dim.length + r.dim.length, money: q.dim.money + r.dim.money}}
}

// Quo is q divided by r, which is not 0.
func (q Quantity) Quo(r Quantity) Quantity {
	return Quantity{new(big.Rat).Quo(q.v, r.v), q.dim.over(r.dim)}
}

// More is q enlarged by a share: q x (1 + share).
func (q Quantity) More(share Quantity) Quantity {
	f := new(big.Rat).Add(big.NewRat(1, 1), share.v)
	return Quantity{f.Mul(f, q.v), q.dim}
}

// Cmp compares two quantities of one kind.
func (q Quantity) Cmp(r Quantity) int { return q.v.Cmp(r.v) }

// Up is the least whole number of base units that is not smaller (minutes,
// grams, thousandths of money). ok is false if it does not fit 53 bits.
func (q Quantity) Up() (n int64, ok bool) {
	i := new(big.Int)
	m := new(big.Int)
	i.DivMod(q.v.Num(), q.v.Denom(), m)
	if m.Sign() != 0 {
		i.Add(i, big.NewInt(1))
	}
	return i.Int64(), fits(i)
}

// Down is the greatest whole number of base units that is not greater.
func (q Quantity) Down() (n int64, ok bool) {
	i := new(big.Int).Div(q.v.Num(), q.v.Denom())
	return i.Int64(), fits(i)
}

// Per scales the quantity by a factor before rounding: grams per cubic meter,
// money per hour from money per minute.
func (q Quantity) Per(factor int64) Quantity {
	return Quantity{new(big.Rat).Mul(q.v, new(big.Rat).SetInt64(factor)), q.dim}
}

func fits(i *big.Int) bool { return i.BitLen() <= 53 }

// Error says what is wrong with a text that should be a quantity. Text goes on
// from the quoted text: "has no unit".
type Error struct{ Text, Hint string }

// Error is the text and the hint in one line.
func (e *Error) Error() string { return e.Text + "; " + e.Hint }

// Reader reads quantities of a shop. Currency is the shop's, "" when no money is
// read.
type Reader struct{ Currency string }

var (
	numberHead = regexp.MustCompile(`^([+-]?)(?:(\d+)\s+)?(\d+)\s*/\s*(\d+)|^([+-]?)(\d*)(?:\.(\d*))?`)
	grouped    = regexp.MustCompile(`^[+-]?\d{1,3}(?:[ ,.']\d{3})*,\d+|^[+-]?\d+,\d+`)
)

const (
	maxDigits   = 9
	maxQuantity = 40 // characters
)

// Parse reads one quantity of one of the kinds: "45 lb", "3/4 in", "1 1/2 h",
// "1 h 30 min", "5 min/ft2", "68 F", "$12/h". The error says what is allowed.
func (r Reader) Parse(text string, kinds ...Kind) (Quantity, *Error) {
	allowed := units(kinds, r.Currency)
	s := strings.TrimSpace(text)
	if len(s) > maxQuantity {
		return Quantity{}, &Error{"is too long for a quantity", r.example(kinds, "")}
	}
	if s == "" {
		return Quantity{}, &Error{"is empty", r.example(kinds, "")}
	}
	if rest, sign := cutSign(s); sign != "" {
		if !signFits(sign, r.Currency) {
			return Quantity{}, &Error{fmt.Sprintf("is in %s, and the shop counts in %s", sign, r.Currency), r.example(kinds, "")}
		}
		s = insertUnit(rest, r.Currency)
	}
	var sum Quantity
	for s != "" {
		number, raw, rest, err := cutNumber(s)
		if err != nil {
			err.Hint = r.hint(err.Hint, kinds)
			return Quantity{}, err
		}
		word, rest := cutUnit(rest)
		if word == "" {
			return Quantity{}, &Error{"has no unit", r.example(kinds, raw)}
		}
		b, ok := lookUp(word, r.Currency)
		if !ok {
			return Quantity{}, r.unknown(word, raw, kinds, allowed)
		}
		q := Quantity{scale(number, b, word), b.dim}
		if !isOne(q, kinds) {
			return Quantity{}, &Error{fmt.Sprintf("is in %s, which is no unit of %s", word, kindNames(kinds)), r.example(kinds, raw)}
		}
		switch {
		case sum.v == nil:
			sum = q
		case sum.dim != q.dim || q.dim.temp || q.v.Sign() < 0:
			return Quantity{}, &Error{"holds two quantities that do not add up", r.example(kinds, "")}
		default:
			sum = Quantity{new(big.Rat).Add(sum.v, q.v), q.dim}
		}
		s = rest
	}
	if sum.v.Sign() < 0 && !sum.dim.temp {
		return Quantity{}, &Error{"is below zero", r.example(kinds, "")}
	}
	return sum, nil
}

// scale is the number in base units; a temperature becomes a Temp.
func scale(number *big.Rat, b base, word string) *big.Rat {
	if !b.dim.temp {
		return new(big.Rat).Mul(number, big.NewRat(b.num, b.den))
	}
	if canonical(word) == "f" {
		n := new(big.Rat).Sub(number, big.NewRat(32, 1))
		return n.Mul(n, big.NewRat(5000, 1))
	}
	return new(big.Rat).Mul(number, big.NewRat(9000, 1))
}

// cutNumber reads a number at the head of s: 45, 1.5, .5, 3/4, 1 1/2, -5.
func cutNumber(s string) (n *big.Rat, raw, rest string, err *Error) {
	if m := grouped.FindString(s); m != "" {
		return nil, "", "", &Error{"holds a comma in a number", "write a point before decimals and nothing between thousands"}
	}
	m := numberHead.FindStringSubmatch(s)
	if m == nil || m[3] == "" && m[6] == "" && m[7] == "" {
		return nil, "", "", &Error{"does not begin with a number", ""}
	}
	raw = strings.TrimSpace(m[0])
	rest = s[len(m[0]):]
	for _, part := range []string{m[2], m[3], m[4], m[6], m[7]} {
		if len(part) > maxDigits {
			return nil, "", "", &Error{fmt.Sprintf("has a number of more than %d digits", maxDigits), ""}
		}
	}
	if m[3] != "" {
		den, _ := new(big.Int).SetString(m[4], 10)
		if den.Sign() == 0 {
			return nil, "", "", &Error{"divides by zero", ""}
		}
		num, _ := new(big.Int).SetString(m[3], 10)
		n = new(big.Rat).SetFrac(num, den)
		if m[2] != "" {
			whole, _ := new(big.Rat).SetString(m[2])
			n.Add(n, whole)
		}
	} else {
		n, _ = new(big.Rat).SetString("0" + m[6] + "." + m[7] + "0")
	}
	if m[1] == "-" || m[5] == "-" {
		n.Neg(n)
	}
	return n, raw, rest, nil
}

// unitEnd finds where the unit of a compound quantity ends and the next number
// begins: a space and a digit behind it.
var unitEnd = regexp.MustCompile(`\s+[+-]?[\d.]`)

func cutUnit(s string) (word, rest string) {
	s = strings.TrimSpace(s)
	if loc := unitEnd.FindStringIndex(s); loc != nil {
		return strings.TrimSpace(s[:loc[0]]), strings.TrimSpace(s[loc[0]:])
	}
	return s, ""
}

// cutSign takes the sign of a currency off the head.
func cutSign(s string) (rest, sign string) {
	for c := range currencySigns {
		if strings.HasPrefix(s, c) {
			return strings.TrimSpace(strings.TrimPrefix(s, c)), c
		}
	}
	return s, ""
}

// insertUnit puts the currency where it stands in 12 USD/h.
func insertUnit(s, currency string) string {
	i := strings.IndexFunc(s, func(c rune) bool { return (c < '0' || c > '9') && c != '.' && c != ' ' })
	if i < 0 {
		return s + " " + currency
	}
	return s[:i] + " " + currency + s[i:]
}

func isOne(q Quantity, kinds []Kind) bool {
	for _, k := range kinds {
		if q.Is(k) {
			return true
		}
	}
	return false
}

func kindNames(kinds []Kind) string {
	var names []string
	for _, k := range kinds {
		names = append(names, k.Name)
	}
	return strings.Join(names, " or ")
}

// example is the hint: the number as it would be written with the first unit
// allowed, and the units allowed.
func (r Reader) example(kinds []Kind, number string) string {
	allowed := units(kinds, r.Currency)
	if number == "" {
		return fmt.Sprintf("write %s with one of the units %s", kindNames(kinds), strings.Join(allowed, ", "))
	}
	if len(allowed) == 1 {
		return fmt.Sprintf("write %s %s", number, allowed[0])
	}
	return fmt.Sprintf("write it as %s %s; the units allowed here are %s", number, allowed[0], strings.Join(allowed, ", "))
}

func (r Reader) hint(first string, kinds []Kind) string {
	if first == "" {
		return r.example(kinds, "")
	}
	return first + ", and one of the units " + strings.Join(units(kinds, r.Currency), ", ")
}

func (r Reader) unknown(word, raw string, kinds []Kind, allowed []string) *Error {
	if code, _, _ := strings.Cut(word, "/"); len(code) == 3 && strings.ToUpper(code) == code && r.Currency != "" {
		return &Error{fmt.Sprintf("is in %s, and the shop counts in %s", code, r.Currency), r.example(kinds, raw)}
	}
	hint := r.example(kinds, raw)
	if near, ok := diag.Nearest(word, allowed); ok {
		hint = fmt.Sprintf("did you mean %s %s? the units allowed here are %s", raw, near, strings.Join(allowed, ", "))
	}
	return &Error{fmt.Sprintf("has the unit %s, which is not known", diag.Quote(word)), hint}
}

var rangeParts = regexp.MustCompile(`^(.*?\S)\s*(?:-|–|\bto\b)\s*(\S.*)$`)

// ParseRange reads a lowest and a highest quantity: "15 min - 45 min",
// "15-45 min" (one unit for both), "0 min to 30 min".
func (r Reader) ParseRange(text string, kinds ...Kind) (low, high Quantity, err *Error) {
	hint := "write the shortest and the longest, such as 15 min to 45 min"
	m := rangeParts.FindStringSubmatch(strings.TrimSpace(text))
	if len(text) > 2*maxQuantity || m == nil {
		if _, err := r.Parse(text, kinds...); err == nil {
			return low, high, &Error{"is one value, and a range is needed", hint}
		}
		return low, high, &Error{"is no range", hint}
	}
	high, err = r.Parse(m[2], kinds...)
	if err != nil {
		return low, high, err
	}
	left := m[1]
	if _, _, rest, e := cutNumber(left); e == nil && strings.TrimSpace(rest) == "" {
		_, _, unit, _ := cutNumber(strings.TrimSpace(m[2]))
		left += " " + strings.TrimSpace(unit)
	}
	low, err = r.Parse(left, kinds...)
	if err != nil {
		return low, high, err
	}
	if low.Cmp(high) > 0 {
		return low, high, &Error{"ends before it begins", hint}
	}
	return low, high, nil
}

package sat

// adder adds costs up in binary and compares the sum with a bound whose bits
// are assumed, so that any bound works without new clauses.
type adder struct {
	base, unit int64 // the sum counts units above base
	sum, bound []Lit // bits, lowest first
}

func (e *encoder) adder(base int64, groups []*steps) objective {
	a := &adder{base: base}
	var most int64
	for _, g := range groups {
		for _, v := range g.vals {
			a.unit = gcd(a.unit, v)
		}
		most += g.vals[len(g.vals)-1]
	}
	for b := most / a.unit; b > 0; b /= 2 {
		a.sum = append(a.sum, False)
	}
	columns := make([][]Lit, len(a.sum)+1)
	for _, g := range groups {
		for i, l := range e.binary(g, a.unit) {
			columns[i] = append(columns[i], l)
		}
	}
	for i := range a.sum {
		for c := columns[i]; ; {
			if len(c) == 0 {
				break
			}
			if len(c) == 1 {
				a.sum[i] = c[0]
				break
			}
			z := False
			if len(c) > 2 {
				z = c[2]
			}
			s, carry := e.fullAdder(c[0], c[1], z)
			c = append(c[min(len(c), 3):len(c):len(c)], s)
			columns[i+1] = append(columns[i+1], carry)
		}
	}
	for _, l := range columns[len(a.sum)] { // cannot be: the sum fits its bits
		e.add(-l)
	}
	e.compare(a)
	return a
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// binary writes a step cost in bits of units: the bits of the greatest step
// that is reached.
func (e *encoder) binary(g *steps, unit int64) []Lit {
	var bits []Lit
	for v := g.vals[len(g.vals)-1] / unit; v > 0; v /= 2 {
		bits = append(bits, e.fresh())
	}
	for i, v := range g.vals {
		next := False
		if i+1 < len(g.lits) {
			next = g.lits[i+1]
		}
		for b := range bits {
			if v/unit>>b&1 == 1 {
				e.add(-g.lits[i], next, bits[b])
			}
		}
	}
	return bits
}

// fullAdder gives the sum and carry of three bits.
func (e *encoder) fullAdder(x, y, z Lit) (sum, carry Lit) {
	sum, carry = e.fresh(), e.fresh()
	for _, s := range [][3]Lit{{x, y, z}, {-x, -y, z}, {-x, y, -z}, {x, -y, -z}} {
		e.add(s[0], s[1], s[2], -sum) // an even number of ones
	}
	for _, s := range [][3]Lit{{-x, y, z}, {x, -y, z}, {x, y, -z}, {-x, -y, -z}} {
		e.add(s[0], s[1], s[2], sum)
	}
	for _, p := range [][2]Lit{{x, y}, {x, z}, {y, z}} {
		e.add(-p[0], -p[1], carry)
		e.add(p[0], p[1], -carry)
	}
	return sum, carry
}

// compare demands sum <= bound: at the highest bit where they differ the sum
// has the 0. same[i] means that all bits from i on agree.
func (e *encoder) compare(a *adder) {
	a.bound = make([]Lit, len(a.sum))
	same := True
	for i := len(a.sum) - 1; i >= 0; i-- {
		a.bound[i] = e.fresh()
		e.add(-same, -a.sum[i], a.bound[i])
		next := e.fresh()
		e.add(-same, a.sum[i], a.bound[i], next)
		e.add(-same, -a.sum[i], -a.bound[i], next)
		same = next
	}
}

func (a *adder) atMost(bound int64) []Lit {
	if bound < a.base {
		return []Lit{False}
	}
	k := (bound - a.base) / a.unit
	if k>>len(a.bound) > 0 {
		k = 1<<len(a.bound) - 1
	}
	r := make([]Lit, len(a.bound))
	for i, l := range a.bound {
		r[i] = l
		if k>>i&1 == 0 {
			r[i] = -l
		}
	}
	return r
}

func (a *adder) above(bound int64) int64 {
	if bound < a.base {
		return a.base
	}
	return a.base + ((bound-a.base)/a.unit+1)*a.unit
}

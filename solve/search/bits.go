package search

import "math/bits"

// clear64 reports whether no bit of [a, b) is set.
func clear64(w []uint64, a, b int32) bool {
	if b <= a {
		return true
	}
	i, j := a>>6, (b-1)>>6
	lo, hi := ^uint64(0)<<(a&63), ^uint64(0)>>(63-(b-1)&63)
	if i == j {
		return w[i]&lo&hi == 0
	}
	if w[i]&lo != 0 || w[j]&hi != 0 {
		return false
	}
	for i++; i < j; i++ {
		if w[i] != 0 {
			return false
		}
	}
	return true
}

func set64(w []uint64, a, b int32) {
	if b <= a {
		return
	}
	i, j := a>>6, (b-1)>>6
	lo, hi := ^uint64(0)<<(a&63), ^uint64(0)>>(63-(b-1)&63)
	if i == j {
		w[i] |= lo & hi
		return
	}
	w[i] |= lo
	w[j] |= hi
	for i++; i < j; i++ {
		w[i] = ^uint64(0)
	}
}

func unset64(w []uint64, a, b int32) {
	if b <= a {
		return
	}
	i, j := a>>6, (b-1)>>6
	lo, hi := ^uint64(0)<<(a&63), ^uint64(0)>>(63-(b-1)&63)
	if i == j {
		w[i] &^= lo & hi
		return
	}
	w[i] &^= lo
	w[j] &^= hi
	for i++; i < j; i++ {
		w[i] = 0
	}
}

// lastSet is the last set bit of [a, b), -1 if there is none.
func lastSet(w []uint64, a, b int32) int32 {
	for b > a {
		j := (b - 1) >> 6
		x := w[j] & (^uint64(0) >> (63 - (b-1)&63))
		if x != 0 {
			k := j<<6 + 63 - int32(bits.LeadingZeros64(x))
			if k >= a {
				return k
			}
			return -1
		}
		b = j << 6
	}
	return -1
}

// runs gives the bits of lo from which on l bits of the 128-bit number hi:lo
// are set in a row, for l up to 64.
func runs(lo, hi uint64, l int32) uint64 {
	for n := int32(1); n < l; {
		k := uint(min(n, l-n))
		lo &= lo>>k | hi<<(64-k)
		hi &= hi >> k
		n += int32(k)
	}
	return lo
}

// rng is a small splitmix generator.
type rng struct{ s uint64 }

func (r *rng) next() uint64 {
	r.s += 0x9e3779b97f4a7c15
	z := r.s
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// streamOf is where the numbers of the i-th worker begin: far apart for any two
// seeds and workers. (Seeds that differ by a multiple of the generator's step
// would give one stream, shifted by a few numbers.)
func streamOf(seed uint64, i int) uint64 {
	a := rng{seed}
	b := rng{a.next() + uint64(i)}
	return b.next()
}

// n is a number in [0, k), k >= 1.
func (r *rng) n(k int32) int32 { return int32((r.next() >> 32) * uint64(k) >> 32) }

// f is a number in [0, 1).
func (r *rng) f() float64 { return float64(float64(r.next()>>11) / (1 << 53)) }

// one reports true once in k times.
func (r *rng) one(k int32) bool { return r.n(k) == 0 }

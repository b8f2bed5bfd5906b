package bound

import "math"

// level steps prices together that tend to rise and fall together: those of a
// stretch over a part of a day, over the week, those of all stretches of a mix.
// Prices one by one take very many passes to find their common height, since a
// path lays a stretch at one start only. The level takes the sum of their
// gradients as the gradient of one shared summand, with moments of its own.
type level struct {
	of   []int32 // by price: the summand that it takes
	size float64 // of its steps, by the scale of its class of prices
	m, v []float64
	g    []float64
}

// The sizes of the levels' steps beside those of single prices, and the ticks
// of a part of a day. The values come from trials of 200 passes on small,
// medium and large weeks.
const (
	levelMix  = 0.2
	levelWeek = 0.7
	levelPart = 0.7
	partHours = 6
)

// levels lays the levels of the prices of stretches over them.
func (l *lagrangian) levels() []*level {
	part := int32(partHours * 60 / max(l.ax.in.P.TickMinutes, 1))
	return []*level{
		l.level(levelMix, func(k, _ int32) [2]int32 { return [2]int32{l.kinds[k].mix} }),
		l.level(levelWeek, func(k, _ int32) [2]int32 { return [2]int32{k} }),
		l.level(levelPart, func(k, i int32) [2]int32 { return [2]int32{k, l.ax.tick[i] / part} }),
	}
}

// level puts prices of one key, by stretch and start, under one summand.
func (l *lagrangian) level(size float64, key func(k, i int32) [2]int32) *level {
	v := &level{size: size, of: make([]int32, len(l.beta))}
	at := map[[2]int32]int32{}
	for k := range l.kinds {
		x := &l.kinds[k]
		for i := x.lo; i < x.hi; i++ {
			c := key(int32(k), i)
			id, ok := at[c]
			if !ok {
				id = int32(len(at))
				at[c] = id
			}
			v.of[x.off+int(i-x.lo)] = id
		}
	}
	v.m, v.v, v.g = make([]float64, len(at)), make([]float64, len(at)), make([]float64, len(at))
	return v
}

// forget drops the moments.
func (v *level) forget() {
	clear(v.m)
	clear(v.v)
}

// step moves the block's prices that are not zero.
func (v *level) step(b *block, t int, size float64) {
	clear(v.g)
	for i, k := range v.of {
		v.g[k] += b.g[i]
	}
	c1 := 1 - math.Pow(adamMean, float64(t))
	c2 := 1 - math.Pow(adamSquare, float64(t))
	a := size * b.scale * v.size / c1
	for k, g := range v.g {
		v.m[k] = float64(adamMean*v.m[k]) + float64((1-adamMean)*g)
		v.v[k] = float64(adamSquare*v.v[k]) + float64((1-adamSquare)*g*g)
		v.g[k] = a * v.m[k] / (math.Sqrt(v.v[k]/c2) + 1e-8)
	}
	for i, k := range v.of {
		if b.y[i] > 0 {
			b.y[i] = max(b.y[i]+v.g[k], 0)
		}
	}
}

package bound

import (
	"context"
	"math"
)

// block is one class of prices: a slice of the dual vector with one scale.
type block struct {
	scale float64
	price []int64   // where the rounded prices go
	top   []float64 // upper limits in mils, nil for none
	grad  func(g []float64)
	y     []float64 // mils
	m, v  []float64 // Adam's moments of the scaled gradient
	g     []float64
	best  []float64
}

// Adam (Kingma and Ba 2015, "Adam: a method for stochastic optimization"), with
// one step scale per class of prices.
const (
	adamMean   = 0.9
	adamSquare = 0.99
)

func (r *run) blocks() []*block {
	l := r.lag
	var bs []*block
	add := func(scale float64, price []int64, top []float64, grad func(g []float64)) {
		n := len(price)
		f := func() []float64 { return make([]float64, n) }
		bs = append(bs, &block{scale: scale, price: price, top: top, grad: grad, y: f(), m: f(), v: f(), g: f(), best: f()})
	}
	top := make([]float64, len(l.groups))
	for g, x := range l.groups {
		top[g] = float64(min(x.leave, 1<<40)) / scale
	}
	add(scaleU, l.u, top, func(g []float64) {
		for i := range g {
			g[i] = float64(l.groups[i].n - l.useGroup[i])
		}
	})
	for s := range l.crew {
		add(scaleC, l.crew[s], nil, func(g []float64) { l.crewUse(s, g) })
	}
	for s := range l.station {
		add(scaleS, l.station[s], nil, func(g []float64) {
			sumUse(g, l.useStation[s], l.stationCap[s], l.ax.first)
		})
	}
	for k := range l.rack {
		add(scaleR, l.rack[k], nil, func(g []float64) { l.rackUse(k, g) })
	}
	add(scaleB, l.beta, nil, func(g []float64) {
		for i, u := range l.useBeta {
			g[i] = float64(u)
		}
	})
	return bs
}

func sumUse(g []float64, diff []int32, have []int64, first int32) {
	x := int64(0)
	for i := range g {
		x += int64(diff[i])
		g[i] = 0
		if int32(i) >= first {
			g[i] = float64(x - have[i])
		}
	}
}

func (l *lagrangian) crewUse(s int, g []float64) {
	clear(g)
	for c, h := range l.asks[s] {
		if h == 0 {
			continue
		}
		all, reg := l.useAll[c], l.useReg[c]
		a, b := int32(0), int32(0)
		for i := range g {
			a += all[i]
			b += reg[i]
			x := a
			if l.ax.reg[i+1] > l.ax.reg[i] {
				x += b
			}
			g[i] += float64(x * h)
		}
	}
	for i := range g {
		g[i] -= float64(l.sets[s].have[i])
		if int32(i) < l.ax.first {
			g[i] = 0
		}
	}
}

func (l *lagrangian) rackUse(r int, g []float64) {
	clear(g)
	x := int32(0)
	for i, b := range l.bucketOf {
		x += l.useRack[r][i]
		if int32(i) >= l.ax.first {
			g[b] += float64(x)
		}
	}
	for b := range g {
		g[b] -= float64(l.rackCap[r][b])
	}
	if f := l.ax.first; f < l.ax.n {
		for b := range l.bucketOf[f] + 1 {
			g[b] = 0
		}
	}
}

// put rounds the prices and hands them to the relaxation.
func (b *block) put() {
	for i, y := range b.y {
		b.price[i] = int64(math.Round(y * scale))
	}
}

// step moves the prices along the gradient. t is the number of steps of this
// phase so far, from 1; size multiplies the scale.
func (b *block) step(t int, size float64) {
	c1 := 1 - math.Pow(adamMean, float64(t))
	c2 := 1 - math.Pow(adamSquare, float64(t))
	a := size * b.scale / c1
	for i, g := range b.g {
		if g == 0 && b.m[i] == 0 {
			continue
		}
		b.m[i] = adamMean*b.m[i] + (1-adamMean)*g
		b.v[i] = adamSquare*b.v[i] + (1-adamSquare)*g*g
		if math.Abs(b.m[i]) < 1e-9 && g == 0 {
			b.m[i] = 0
			continue
		}
		y := max(b.y[i]+a*b.m[i]/(math.Sqrt(b.v[i]/c2)+1e-8), 0)
		if b.top != nil {
			y = min(y, b.top[i])
		}
		b.y[i] = y
	}
}

// steer looks for good prices until the run ends.
func (r *run) steer(ctx context.Context) {
	bs := r.blocks()
	r.start(bs)
	best := int64(math.MinInt64)
	first := true
	for phase := phaseOne; ; phase *= 2 {
		for _, b := range bs {
			clear(b.m)
			clear(b.v)
			if !first {
				copy(b.y, b.best)
			}
		}
		for t := 1; t <= phase; t++ {
			if r.o.Passes > 0 && r.res.Passes >= r.o.Passes || ctx.Err() != nil || r.closed() {
				return
			}
			for _, b := range bs {
				b.put()
			}
			v := r.lag.pass()
			r.res.Passes++
			if v > best && (!r.lag.guessed || t%proveEvery == 0 || t == phase || first) {
				v = r.lag.prove(v)
			}
			if v > best && (!r.lag.guessed || r.lag.sound) {
				best = v
				for _, b := range bs {
					copy(b.best, b.y)
				}
				src := Lagrangian
				if first {
					src = PerPour
				}
				r.improve(v, src)
			}
			first = false
			size := stepFirst * math.Pow(stepFall, float64(t)/float64(phase))
			for _, b := range bs {
				b.grad(b.g)
				b.step(t, size)
			}
		}
	}
}

// The step size at the start of a phase, and what it falls by in all.
var (
	stepFirst                              = 1.0
	stepFall                               = 0.01
	proveEvery                             = 10
	phaseOne                               = 64
	scaleU, scaleC, scaleS, scaleR, scaleB = 10000.0, 200.0, 2000.0, 120.0, 600.0
)

// packing reports what counting batches proves.
func (r *run) packing() {}

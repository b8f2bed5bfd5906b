package bound

// prices are the multipliers of a pass, in units.
type prices struct {
	u       []int64   // by group, of planning one
	crew    [][]int64 // by set and open tick
	station [][]int64
	rack    [][]int64 // by rack and bucket
	beta    []int64   // by stretch and start

	crewAll, crewReg    [][]int64 // by crew: price and overtime before an open tick; of regular ticks alone
	stationSum, rackSum [][]int64 // price before an open tick
}

// usage is what the cheapest paths use: differences by open tick, to be summed.
type usage struct {
	useAll, useReg      [][]int32 // by crew: times at work
	useStation, useRack [][]int32
	useBeta             []int32 // laid less served
	useGroup            []int64
}

// capacities counts what fixed work leaves of stations and rack places.
func (l *lagrangian) capacities() {
	in, n := l.ax.in, l.ax.n
	for i := range in.Stations {
		c := make([]int64, n)
		for t := range c {
			c[t] = int64(in.Stations[i].Places)
		}
		l.stationCap = append(l.stationCap, c)
	}
	for i := range in.Fixed {
		f := &in.Fixed[i]
		if f.Station < 0 {
			continue
		}
		c := l.stationCap[f.Station]
		for x := in.OpenIndex(f.Start); x < in.OpenIndex(f.End); x++ {
			c[x] = max(c[x]-1, 0)
		}
	}
	hour := int32(max(60/max(in.P.TickMinutes, 1), 1))
	last := int32(-1)
	for _, t := range l.ax.tick[:n] {
		if h := t / hour; h != last {
			last = h
			l.buckets++
		}
		l.bucketOf = append(l.bucketOf, l.buckets-1)
	}
	all := int64(0)
	for i := range in.Pours {
		all += int64(in.Pours[i].Places)
	}
	for i := range in.Racks {
		c := make([]int64, l.buckets)
		for t, b := range l.bucketOf {
			c[b] += min(int64(in.Racks[i].Places[l.ax.tick[t]]), all)
		}
		l.rackCap = append(l.rackCap, c)
	}
}

func grid[T any](n int, m int32) [][]T {
	g := make([][]T, n)
	for i := range g {
		g[i] = make([]T, m)
	}
	return g
}

func (l *lagrangian) newPrices() {
	in, n := l.ax.in, l.ax.n
	off := 0
	for i := range l.kinds {
		k := &l.kinds[i]
		k.off = off
		off += int(k.hi - k.lo)
	}
	l.u, l.useGroup = make([]int64, len(l.groups)), make([]int64, len(l.groups))
	l.crew = grid[int64](len(l.sets), n)
	l.station, l.stationSum = grid[int64](len(in.Stations), n), grid[int64](len(in.Stations), n+1)
	l.rack, l.rackSum = grid[int64](len(in.Racks), l.buckets), grid[int64](len(in.Racks), n+1)
	l.crewAll, l.crewReg = grid[int64](len(l.sh.crews), n+1), grid[int64](len(l.sh.crews), n+1)
	l.beta, l.useBeta = make([]int64, off), make([]int32, off)
	l.useAll, l.useReg = grid[int32](len(l.sh.crews), n+1), grid[int32](len(l.sh.crews), n+1)
	l.useStation, l.useRack = grid[int32](len(in.Stations), n+1), grid[int32](len(in.Racks), n+1)
}

func (l *lagrangian) headsIn(set int, crew int32) int32 { return l.asks[set][crew] }

// stretchPrice is what a stretch pays a batch when its first layer starts at i.
func (l *lagrangian) stretchPrice(k *kind, i int32) int64 {
	if i < k.lo || i >= k.hi {
		return 0
	}
	return l.beta[k.off+int(i-k.lo)]
}

func (l *lagrangian) useStretch(k *kind, i, n int32) {
	if i >= k.lo && i < k.hi {
		l.useBeta[k.off+int(i-k.lo)] += n
	}
}

// sums lays out the prices as sums over time, and the price of each shape.
func (l *lagrangian) sums() {
	n, over := l.ax.n, int64(l.ax.in.Costs.Overtime)*scale
	for c, crew := range l.sh.crews {
		all, reg := l.crewAll[c], l.crewReg[c]
		heads := int64(0)
		for _, h := range crew {
			heads += int64(h.N)
		}
		clear(reg)
		for s := range l.sets {
			if h := int64(l.asks[s][c]); h > 0 {
				for i, y := range l.crew[s] {
					reg[i+1] += h * y
				}
			}
		}
		a, r := int64(0), int64(0)
		for i := int32(0); i < n; i++ {
			p := reg[i+1]
			if l.ax.reg[i+1] > l.ax.reg[i] {
				r += p
				a += p
			} else {
				a += p + heads*over
			}
			all[i+1], reg[i+1] = a, r
		}
	}
	for s := range l.station {
		sum := l.stationSum[s]
		for i, y := range l.station[s] {
			sum[i+1] = sum[i] + y
		}
	}
	for r := range l.rack {
		sum := l.rackSum[r]
		for i, b := range l.bucketOf {
			sum[i+1] = sum[i] + l.rack[r][b]
		}
	}
	for _, x := range l.sh.list {
		x.price(l)
	}
}

func (x *shape) price(l *lagrangian) {
	all, reg := l.crewAll[x.crew], l.crewReg[x.crew]
	st := l.zero
	if x.station >= 0 {
		st = l.stationSum[x.station]
	}
	for i := range x.c1 {
		e := x.e1[i]
		if e == 0 {
			x.c1[i] = inf
			continue
		}
		x.c1[i] = all[e] - all[i] + st[e] - st[i]
	}
	if !x.put {
		for i := range x.c2 {
			x.c2[i] = inf
		}
		return
	}
	for i := range x.c2 {
		x.c2[i] = inf
		if e := x.e2[i]; e > 0 {
			x.c2[i] = reg[e] - reg[i] + st[e] - st[i]
		}
	}
}

// priceOfAll is the price of all capacity less that of planning everything.
func (l *lagrangian) priceOfAll() int64 {
	v := int64(0)
	dot := func(y, c []int64) {
		for i := range y {
			v += y[i] * c[i]
		}
	}
	for s := range l.sets {
		dot(l.crew[s], l.sets[s].have)
	}
	for s := range l.station {
		dot(l.station[s], l.stationCap[s])
	}
	for r := range l.rack {
		dot(l.rack[r], l.rackCap[r])
	}
	for g, u := range l.u {
		v -= u * l.groups[g].n
	}
	return v
}

func (l *lagrangian) clearUse() {
	for _, g := range [][][]int32{l.useAll, l.useReg, l.useStation, l.useRack} {
		for i := range g {
			clear(g[i])
		}
	}
	clear(l.useBeta)
	clear(l.useGroup)
}

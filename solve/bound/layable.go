package bound

// layable returns the least working time, at most longest ticks, in which the
// layers of the stretches can be laid, each stretch in a mold of its own, with
// all people and station places at hand and no pause of the shop; -1 if there
// is none. Draws that may share layers count for their length alone. It may
// return less than the truth where the search is cut off.
func (l *lagrangian) layable(list []int32, longest int32) int32 {
	least := int32(0)
	held := make([]int64, len(l.ax.in.Stations))
	heads := make([]int64, len(l.sets))
	laid := make([]int32, 0, len(list))
	for _, id := range list {
		k := &l.kinds[id]
		least = max(least, k.length)
		g := l.groups[k.group]
		if g.loose {
			continue
		}
		laid = append(laid, id)
		for j := k.a; j <= k.b; j++ {
			sh := g.layers[j].sh
			if sh.station >= 0 {
				held[sh.station] += int64(sh.work)
			}
			for s := range heads {
				heads[s] += int64(l.headsIn(s, sh.crew)) * int64(sh.work)
			}
		}
	}
	for s, h := range held {
		if h > 0 {
			least = max(least, int32(min(ceilDiv(h, max(int64(l.ax.in.Stations[s].Places), 1)), 1<<30)))
		}
	}
	for s, h := range heads {
		if h > 0 {
			least = max(least, int32(min(ceilDiv(h, max(l.sets[s].most, 1)), 1<<30)))
		}
	}
	for w := least; w <= longest; w++ {
		if len(laid) == 0 || l.lays(laid, w) {
			return w
		}
	}
	return -1
}

// laying is the search for one working time.
type laying struct {
	l       *lagrangian
	list    []int32
	window  int32
	station [][]int64 // by station and tick: places held
	heads   [][]int64 // by skill set and tick: heads asked
	left    int
}

// maxLaying cuts the search off; the stretches then count as layable.
const maxLaying = 4000

func (l *lagrangian) lays(list []int32, window int32) bool {
	s := &laying{l: l, list: list, window: window, left: maxLaying}
	for range l.ax.in.Stations {
		s.station = append(s.station, make([]int64, window))
	}
	for range l.sets {
		s.heads = append(s.heads, make([]int64, window))
	}
	return s.place(0, l.kinds[list[0]].a, 0, l.kinds[list[0]].length, 0)
}

// place puts layer j of stretch x at the first tick from `from` on that lets
// the rest follow. tail is the least time from its start to the stretch's end;
// first is the start of layer a.
func (s *laying) place(x int, j, from, tail, first int32) bool {
	k := &s.l.kinds[s.list[x]]
	g := s.l.groups[k.group]
	p := g.pour
	to := s.window - tail
	if j > k.a {
		// from is the end of the layer before plus the least gap.
		to = min(to, from+p.Layers[j].GapMax-p.Layers[j].GapMin)
	}
	for t := from; t <= to; t++ {
		if s.left--; s.left < 0 {
			return true
		}
		if !s.fits(g.layers[j].sh, t) {
			continue
		}
		s.put(g.layers[j].sh, t, 1)
		f := first
		if j == k.a {
			f = t
		}
		ok := false
		if j < k.b {
			next := p.Layers[j].Work + p.Layers[j+1].GapMin
			ok = s.place(x, j+1, t+next, tail-next, f)
		} else {
			ok = s.following(x+1, f)
		}
		s.put(g.layers[j].sh, t, -1)
		if ok {
			return true
		}
	}
	return false
}

// following places stretch x and all after it. Stretches of one kind start in
// the order of the list.
func (s *laying) following(x int, first int32) bool {
	if x == len(s.list) {
		return true
	}
	k := &s.l.kinds[s.list[x]]
	from := int32(0)
	if s.list[x] == s.list[x-1] {
		from = first
	}
	return s.place(x, k.a, from, k.length, 0)
}

func (s *laying) fits(sh *shape, t int32) bool {
	for i := t; i < t+sh.work; i++ {
		if sh.station >= 0 && s.station[sh.station][i] >= int64(s.l.ax.in.Stations[sh.station].Places) {
			return false
		}
		for x := range s.heads {
			if h := s.l.headsIn(x, sh.crew); h > 0 && s.heads[x][i]+int64(h) > s.l.sets[x].most {
				return false
			}
		}
	}
	return true
}

func (s *laying) put(sh *shape, t int32, n int64) {
	for i := t; i < t+sh.work; i++ {
		if sh.station >= 0 {
			s.station[sh.station][i] += n
		}
		for x := range s.heads {
			s.heads[x][i] += n * int64(s.l.headsIn(x, sh.crew))
		}
	}
}

package bound

import (
	"fmt"

	"pourweek/solve/inst"
)

// scale is the number of price units in a mil. Prices are whole units, so that
// all sums are exact.
const scale = 16

// inf is a cost that nothing allowed has; a few of them still add up.
const inf = int64(1) << 52

// axis numbers the open ticks. All work takes open ticks, so every dynamic
// program here runs over their indices 0 .. n-1; n stands for the end.
type axis struct {
	in    *inst.Inst
	n     int32
	first int32   // the first index at or after now
	tick  []int32 // tick[i]; tick[n] = H
	reg   []int64 // regular ticks before tick[i], length n+1
}

func newAxis(in *inst.Inst) *axis {
	a := &axis{in: in, n: int32(len(in.OpenAt))}
	a.tick = append(append([]int32{}, in.OpenAt...), in.H)
	a.reg = make([]int64, a.n+1)
	for i, t := range a.tick {
		a.reg[i] = int64(in.Reg(0, t))
	}
	a.first = in.OpenIndex(in.Now)
	return a
}

// endTick is one past the last tick of w open ticks from index i on; i+w <= n.
func (a *axis) endTick(i, w int32) int32 { return a.tick[i+w-1] + 1 }

// shape is what tasks that cost the same at the same time share.
type shape struct {
	work, crew, station int32
	e1, e2              []int32 // by start: index after the end, straight on and put down; 0 where not allowed
	c1, c2              []int64 // by start: priced cost of this pass, inf where not allowed
	put                 bool    // some put-down start differs from straight on
}

// shapes makes each shape once.
type shapes struct {
	ax    *axis
	list  []*shape
	at    map[string]*shape
	crews [][]inst.Head
	crew  map[string]int32
}

func newShapes(ax *axis) *shapes {
	return &shapes{ax: ax, at: map[string]*shape{}, crew: map[string]int32{}}
}

// crewOf numbers a crew demand.
func (s *shapes) crewOf(c []inst.Head) int32 {
	k := fmt.Sprint(c)
	id, ok := s.crew[k]
	if !ok {
		id = int32(len(s.crews))
		s.crew[k], s.crews = id, append(s.crews, c)
	}
	return id
}

func (s *shapes) of(t *inst.Task) *shape {
	k := fmt.Sprint(t.Work, t.Crew, t.Station, t.Pausable, t.When)
	if x, ok := s.at[k]; ok {
		return x
	}
	ax, n := s.ax, s.ax.n
	x := &shape{work: t.Work, crew: s.crewOf(t.Crew), station: t.Station}
	x.e1, x.e2 = make([]int32, n), make([]int32, n)
	x.c1, x.c2 = make([]int64, n), make([]int64, n)
	for i := ax.first; i < n; i++ {
		at := ax.tick[i]
		if !t.Starts(at) {
			continue
		}
		if !t.Pausable {
			if ax.in.SteadyEnd(at, t.Work) >= 0 {
				x.e1[i] = i + t.Work
			}
			continue
		}
		if i+t.Work <= n {
			x.e1[i] = i + t.Work
		}
		if e := ax.in.PutDownEnd(at, t.Work); e >= 0 {
			if j := ax.in.OpenIndex(e); j != x.e1[i] {
				x.e2[i], x.put = j, true
			}
		}
	}
	s.at[k], s.list = x, append(s.list, x)
	return x
}

// end1 and end2 are the end ticks of the two ways from start i.
func (x *shape) end1(ax *axis, i int32) int32 { return ax.endTick(i, x.work) }

func (x *shape) end2(ax *axis, i int32) int32 { return ax.in.PutDownEnd(ax.tick[i], x.work) }

// window is for each start of one step the range of starts [lo, hi] of the
// next; lo > hi where there is none. Both never decrease. hi is nil where
// there is no upper limit.
type window struct{ lo, hi []int32 }

// lagWindow holds next starts between lo and hi clock ticks after the end
// ticks given by start; hi < 0 means no limit. Starts without an end have an
// empty window placed so that both limits never decrease.
func (a *axis) lagWindow(end func(i int32) int32, lo, hi int32) window {
	w := window{lo: make([]int32, a.n)}
	if hi >= 0 {
		w.hi = make([]int32, a.n)
	}
	pl, ph := a.n, a.n-1
	for i := a.n - 1; i >= 0; i-- {
		if e := end(i); e >= 0 {
			pl = min(pl, a.in.OpenIndex(e+lo))
			if hi >= 0 {
				ph = min(ph, a.in.OpenIndex(e+hi+1)-1)
			}
		}
		w.lo[i] = pl
		if hi >= 0 {
			w.hi[i] = ph
		}
	}
	return w
}

// widest is the most starts that a window holds.
func (w window) widest() int32 {
	n := int32(0)
	for i := range w.hi {
		n = max(n, w.hi[i]-w.lo[i]+1)
	}
	return n
}

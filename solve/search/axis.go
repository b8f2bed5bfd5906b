package search

import (
	"slices"

	"pourweek/solve/inst"
)

// axis numbers the time of a problem in two ways. The open axis has one place
// per open tick; people live on it, as no work is done in a closed shop. The
// cell axis has one cell per open tick and one or more per closed stretch,
// cut where anything may begin or end; stations, racks and mixers, which are
// held overnight, live on it.
type axis struct {
	h, n, words int32 // horizon, open ticks, words of an open bitset (one spare)
	now         int32
	clock       []int32 // by open index, and H behind the last
	oi          []int32 // by tick 0 .. H: open index of the first open tick from there
	reg         []int32 // by tick 0 .. H: regular ticks before it
	run         []int32 // by open index: open ticks in a row by the clock
	ot          []int32 // by open index 0 .. n: overtime ticks before it
	nextOT      []int32 // by open index 0 .. n: first overtime index from there, else n
	nextReg     []int32 // by open index 0 .. n: first regular index from there, else n
	cell        []int32 // by tick 0 .. H-1: the cell it lies in
	cellEnd     []int32 // by cell: the tick it ends at
	dayEnd      []int32 // by open index 0 .. n: the open index behind the last of its day
	cells       int32
	cwords      int32 // words of a set of cells
	blocks      int32 // blocks of a rack
}

func newAxis(in *inst.Inst) axis {
	a := axis{h: in.H, n: int32(len(in.OpenAt)), now: in.Now}
	a.words = (a.n+63)/64 + 2
	a.clock = append(slices.Clone(in.OpenAt), in.H)
	a.oi = make([]int32, a.h+1)
	a.reg = make([]int32, a.h+1)
	for t := int32(0); t <= a.h; t++ {
		a.oi[t] = in.OpenIndex(t)
		a.reg[t] = in.RegIndex(t)
	}
	a.run = make([]int32, a.n+1)
	a.ot = make([]int32, a.n+1)
	a.nextOT = make([]int32, a.n+1)
	a.nextReg = make([]int32, a.n+1)
	a.nextOT[a.n], a.nextReg[a.n] = a.n, a.n
	a.dayEnd = make([]int32, a.n+1)
	a.dayEnd[a.n] = a.n
	night := int32(120 / max(in.P.TickMinutes, 1))
	for i := int32(0); i < a.n; i++ {
		a.run[i] = in.Run[a.clock[i]]
		a.ot[i+1] = a.ot[i]
		if in.Overtime[a.clock[i]] {
			a.ot[i+1]++
		}
	}
	for i := a.n - 1; i >= 0; i-- {
		a.dayEnd[i] = i + 1
		if i+1 < a.n && a.clock[i+1]-a.clock[i] <= night {
			a.dayEnd[i] = a.dayEnd[i+1]
		}
		a.nextOT[i], a.nextReg[i] = a.nextOT[i+1], i
		if a.ot[i+1] > a.ot[i] {
			a.nextOT[i], a.nextReg[i] = i, a.nextReg[i+1]
		}
	}
	a.cut(in)
	return a
}

// cut lays out the cells.
func (a *axis) cut(in *inst.Inst) {
	edge := make([]bool, a.h+1)
	mark := func(t int32) {
		if t >= 0 && t <= a.h {
			edge[t] = true
		}
	}
	for _, t := range in.OpenAt {
		mark(t)
		mark(t + 1)
	}
	for i := range in.Fixed {
		mark(in.Fixed[i].Start)
		mark(in.Fixed[i].End)
	}
	for i := range in.Mixers {
		mark(in.Mixers[i].FreeFrom)
		for _, d := range in.Mixers[i].Down {
			mark(int32(d[0]))
			mark(int32(d[1]))
		}
	}
	for i := range in.Racks {
		for t := int32(1); t < a.h; t++ {
			if in.Racks[i].Places[t] != in.Racks[i].Places[t-1] {
				mark(t)
			}
		}
	}
	for i := range in.Ships {
		for _, t := range in.Ships[i].Trucks {
			mark(t)
		}
	}
	a.cell = make([]int32, a.h+1)
	c := int32(-1)
	for t := int32(0); t < a.h; t++ {
		if t == 0 || edge[t] {
			c++
			a.cellEnd = append(a.cellEnd, t)
		}
		a.cell[t] = c
		a.cellEnd[c] = t + 1
	}
	a.cell[a.h] = c + 1
	a.cells = c + 1
	a.cwords = (a.cells+63)/64 + 1
	a.blocks = a.cells>>blockBits + 1
}

// span gives the cells [lo, hi) of the ticks [s, e).
func (a *axis) span(s, e int32) (lo, hi int32) {
	s, e = max(s, 0), min(e, a.h)
	if e <= s {
		return 0, 0
	}
	return a.cell[s], a.cell[e-1] + 1
}

// regular is the number of regular ticks in [s, e).
func (a *axis) regular(s, e int32) int32 {
	if e <= s {
		return 0
	}
	return a.reg[min(e, a.h)] - a.reg[max(s, 0)]
}

// maxSegs bounds the pieces that a task may be cut into by overtime.
const maxSegs = 12

// segs are the stretches of open ticks that a task takes.
type segs struct {
	n int
	s [maxSegs][2]int32
}

func straight(i, w int32) segs {
	var g segs
	g.n, g.s[0] = 1, [2]int32{i, i + w}
	return g
}

// putDown gives the stretches of a task that is put down for overtime and the
// tick it ends at, n = 0 if it does not fit.
func (a *axis) putDown(i, w int32) (g segs, end int32) {
	for w > 0 {
		if i >= a.n || g.n == maxSegs {
			return segs{}, -1
		}
		b := min(i+w, a.nextOT[i])
		if b > i {
			g.s[g.n] = [2]int32{i, b}
			g.n++
			w -= b - i
			end = a.clock[b-1] + 1
		}
		i = a.nextReg[b]
	}
	return g, end
}

// straightTo is the open index behind a placed task that is done straight on,
// none for one that is put down.
func (a *axis) straightTo(d *task, i, e int32) int32 {
	switch {
	case !d.pausable:
		return i + e - a.clock[i]
	case a.clock[i+d.work-1]+1 == e:
		return i + d.work
	}
	return none
}

// taken gives the stretches of a placed task.
func (a *axis) taken(d *task, i, e int32) segs {
	if b := a.straightTo(d, i, e); b >= 0 {
		return straight(i, b-i)
	}
	g, _ := a.putDown(i, d.work)
	return g
}

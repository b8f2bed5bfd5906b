// Package inst compiles a problem to the form that search and bounds work on:
// indices instead of ids, tables instead of step functions, and the calendar
// as prefix sums. It is read-only after Compile and safe for concurrent use.
package inst

import (
	"math"
	"slices"

	"pourweek/model"
)

// None marks an index that is missing.
const None = -1

// Inst is a compiled problem. All times are ticks.
type Inst struct {
	P *model.Problem
	Cal

	Now, PourUntil int32
	MoveTolerance  int32

	Skills   []string // by skill index
	People   []Person
	Mixers   []Mixer
	Mixes    []Mix
	Molds    []Mold
	Racks    []Rack
	Stations []Station
	Fixed    []Fixed
	Callins  []Callin
	Ships    []Ship
	Pours    []Pour
	Costs    model.Costs
	Groups   [][]int32 // pours alike in everything but id, order and piece
}

// Head is a number of heads of one skill.
type Head struct{ Skill, N int32 }

// Person has the skills of Mask (bit per skill index) and works in On.
type Person struct {
	ID   string
	Mask uint64
	On   []bool // by tick, length H
}

// Task is a piece of work as a pour or batch asks for it.
type Task struct {
	Work     int32
	Crew     []Head // ascending by skill
	Heads    int32  // in all
	Station  int32  // None if it holds none
	Pausable bool
	When     []model.Interval // nil: any tick
}

// Mixer is a compiled mixer. Keep is -1 where any time counts.
type Mixer struct {
	ID       string
	Capacity int64
	FreeFrom int32
	Keep     int32
	Down     []model.Interval
}

// Mix is a compiled mix. PotEnd[s] is the tick by which all layers of a batch
// started at s must have ended. Before[m] is the clean-up length ahead of a
// batch of mix m if that one is soon enough, -1 where nothing is listed.
type Mix struct {
	ID               string
	Mix, Rest, Remix int32
	Ready            int32 // Mix + Rest + Remix
	Wash             int32
	GapMin, GapMax   int32
	Before           []int32
	Crew             []Head
	Heads            int32
	Loss, Min, Step  int64
	PotEnd           []int32
	Mixers           []int32
}

// Mixed is the mass of a batch whose draws weigh net: net plus the loss,
// rounded up to a multiple of the step, at least the smallest batch.
func (m *Mix) Mixed(net int64) int64 {
	g := net + m.Loss
	if m.Step > 1 {
		g = (g + m.Step - 1) / m.Step * m.Step
	}
	return max(g, m.Min)
}

// Mold is a compiled mold.
type Mold struct {
	ID       string
	FreeFrom int32
	Down     []model.Interval
}

// Rack is a compiled rack; Places by tick, length H.
type Rack struct {
	ID     string
	Places []int32
}

// Station is a compiled station.
type Station struct {
	ID     string
	Places int32
}

// Fixed is compiled fixed work.
type Fixed struct {
	ID         string
	Start, End int32
	Crew       []Head
	Station    int32
}

// Callin is a compiled call-in.
type Callin struct {
	From, To int32
	Cost     int64
}

// Ship is a compiled shipment.
type Ship struct {
	ID          string
	Pours       []int32
	Due         int32
	LatePerTick int64
	Trucks      []int32
	Hold        bool
}

// Leaves is when the shipment leaves if its last pour is ready at the tick; h, the
// end of the horizon, where no truck goes after it.
func (s *Ship) Leaves(ready, h int32) int32 {
	if len(s.Trucks) == 0 {
		return ready
	}
	for _, t := range s.Trucks {
		if t >= ready {
			return t
		}
	}
	return h
}

// Stage orders the stages of a pour.
type Stage uint8

// The stages.
const (
	New Stage = iota
	Curing
	Racked
)

// Choice is a mold with its prep task.
type Choice struct {
	Mold int32
	Prep Task
}

// Layer is a coat: a steady task within [GapMin, GapMax] of the end of the one
// before.
type Layer struct {
	Task
	GapMin, GapMax int32
	Draws          []int32 // indices of the draws that feed it
}

// Draw is a part of a batch; its layers ascend.
type Draw struct {
	Mix    int32
	Grams  int64
	Layers []int32
}

// Finish is a step after demolding. RestMax is -1 where there is none.
type Finish struct {
	Task
	Rest, RestMax int32
}

// Moment is a point in a pour's life, as spans name it.
type Moment struct {
	Step MomentStep
	At   int32 // index of the layer or finish step
	End  bool  // its end instead of its start
}

// MomentStep says which step a moment belongs to.
type MomentStep uint8

// The steps of a pour in order.
const (
	AtPrep MomentStep = iota
	AtLayer
	AtCover
	AtDemold
	AtFinish
)

// Span is a place of a station held between two moments.
type Span struct {
	Station  int32
	From, To Moment
}

// Pour is a compiled pour. Optional limits are -1 where there is none.
type Pour struct {
	ID          string
	Stage       Stage
	Group       int32 // pours of one group are interchangeable; index into Inst.Groups
	Due         int32
	LatePerTick int64
	Release     int32
	Carry       int64
	Molds       []Choice // ascending by mold
	PrepMax     int32
	Layers      []Layer
	Draws       []Draw
	Cover       Task
	CoverGapMin int32
	CoverGapMax int32
	CureEnd     []int32 // by the end of the cover, length H+1 (shared between pours of a cure)
	MoldMax     int32
	Demold      Task
	Racks       []int32 // ascending
	Places      int32
	Spans       []Span
	Finish      []Finish
	PinMold     int32 // None: not pinned
	PinStart    int32
	BaseMold    int32 // None: no base
	BaseStart   int32
	Ship        int32 // None: in no shipment

	Mold      int32 // curing: the mold it stands in
	CuredAt   int32 // curing: its cure_end
	MoldUntil int32
	Rack      int32 // racked: the rack it rests on
	Next      int32
	From      int32
	FromMax   int32
}

// LeastWash is the least length of a clean-up of the mix, whatever comes next.
func (m *Mix) LeastWash() int32 {
	w := m.Wash
	for _, b := range m.Before {
		if b >= 0 {
			w = min(w, b)
		}
	}
	return w
}

// WashLengths lists the lengths that a clean-up of the mix may have, the least first.
func (m *Mix) WashLengths() []int32 {
	l := []int32{m.Wash}
	for _, b := range m.Before {
		if b >= 0 {
			l = append(l, b)
		}
	}
	slices.Sort(l)
	return slices.Compact(l)
}

// Instant reports whether a batch of the mix may take no time at all, so that
// another may start at its tick on the same mixer.
func (m *Mix) Instant() bool { return m.Ready+m.LeastWash() == 0 }

// LeastCure is the least number of ticks from the end of the cover to the end of
// the cure, whenever the cover ends; math.MaxInt32 for a pour that is not new.
func (p *Pour) LeastCure() int32 {
	least := int32(math.MaxInt32)
	for e, c := range p.CureEnd {
		least = min(least, c-int32(e))
	}
	return least
}

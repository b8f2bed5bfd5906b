// Package model says what a week is: the integer problem that a shop's files
// compile to and the plan that answers it, as the planning model defines them.
// It is inert: no clock, no randomness, no printing.
package model

// ProblemFormat is the value of Problem.Format.
const ProblemFormat = "pourweek-problem/1"

// MinutesPerDay is the length of a civil day without a clock change.
const MinutesPerDay = 24 * 60

// Tick counts time in units of Problem.TickMinutes from Problem.Start. Tick t
// is the half-open interval [t, t+1).
type Tick int

// Grams is a mass.
type Grams int64

// Mils is money in thousandths of the shop's currency.
type Mils int64

// Interval is the half-open range of ticks [From, To).
type Interval [2]Tick

// From is the first tick of the interval.
func (i Interval) From() Tick { return i[0] }

// To is one past the last tick of the interval.
func (i Interval) To() Tick { return i[1] }

// Len is the number of ticks in the interval, negative if it is reversed.
func (i Interval) Len() Tick { return i[1] - i[0] }

// Step is one entry {from, value} of a step function.
type Step [2]int64

// Steps is a step function: entries ascend by their first number, the first
// entry begins at tick 0, and the value at t is that of the last entry that
// begins at or before t. (Planning model, section 1.)
type Steps []Step

// At returns the value of the step function at tick t, 0 if it has no entry
// at or before t. Cost O(entries), typically one to five.
func (s Steps) At(t Tick) int64 {
	var v int64
	for _, e := range s {
		if e[0] > int64(t) {
			break
		}
		v = e[1]
	}
	return v
}

// Put has the value v from tick t on, which no entry begins after. A value that
// holds already adds no entry.
func (s *Steps) Put(t Tick, v int64) {
	if k := len(*s); k == 0 || (*s)[k-1][1] != v {
		*s = append(*s, Step{int64(t), v})
	}
}

// Crew is a crew demand: heads needed by skill. Heads are at least 1.
type Crew map[string]int

// OptID is an id that may be missing; the empty string is JSON null.
type OptID string

// Problem is a whole week with all physics, calendars and arithmetic already
// worked out. (Planning model, sections 1 to 7.)
type Problem struct {
	Format        string     `json:"format"`
	Name          string     `json:"name"`
	Start         string     `json:"start"`        // RFC 3339 instant of tick 0
	TickMinutes   int        `json:"tick_minutes"` // minutes in a tick, default 5
	Horizon       Tick       `json:"horizon"`      // nothing ends after it
	PourUntil     Tick       `json:"pour_until"`   // first layers start before it
	Now           Tick       `json:"now"`          // nothing planned starts before it
	MoveTolerance Tick       `json:"move_tolerance"`
	Open          []Interval `json:"open"`
	Overtime      []Interval `json:"overtime"` // a subset of Open
	People        []Person   `json:"people"`
	Mixers        []Mixer    `json:"mixers"`
	Mixes         []Mix      `json:"mixes"`
	Molds         []Mold     `json:"molds"`
	Racks         []Rack     `json:"racks"`
	Stations      []Station  `json:"stations"`
	Cures         []Cure     `json:"cures"`
	Fixed         []Fixed    `json:"fixed"`
	Callins       []Callin   `json:"callins,omitempty"`
	Shipments     []Shipment `json:"shipments,omitempty"`
	Pours         []Pour     `json:"pours"`
	Costs         Costs      `json:"costs"`
}

// Person works in the ticks of On, a subset of the open ticks.
type Person struct {
	ID     string     `json:"id"`
	Skills []string   `json:"skills"`
	On     []Interval `json:"on"`
}

// Mixer holds one batch at a time. A clean-up listed in Mix.WashBefore counts
// only if the next batch starts no later than Keep ticks after the batch was
// ready; nil means any time.
type Mixer struct {
	ID       string     `json:"id"`
	Capacity Grams      `json:"capacity_g"`
	FreeFrom Tick       `json:"free_from"`
	Down     []Interval `json:"down"`
	Keep     *Tick      `json:"keep,omitempty"`
}

// Mix is a recipe with its times in ticks. (Planning model, section 4.)
type Mix struct {
	ID         string          `json:"id"`
	Mix        Tick            `json:"mix"`
	Rest       Tick            `json:"rest"`
	Remix      Tick            `json:"remix"`
	Wash       Tick            `json:"wash"`
	WashGap    Interval        `json:"wash_gap"` // closed range [min, max] from ready to the wash's start
	WashBefore map[string]Tick `json:"wash_before,omitempty"`
	Crew       Crew            `json:"crew"`
	Loss       Grams           `json:"loss_g"`
	Min        Grams           `json:"min_g"`
	Step       Grams           `json:"step_g"`
	PotLife    Steps           `json:"pot_life"` // ticks from the batch's start, by its start
	Mixers     []string        `json:"mixers"`
}

// Mold is one reusable tool; it holds one pour at a time.
type Mold struct {
	ID       string     `json:"id"`
	FreeFrom Tick       `json:"free_from"`
	Down     []Interval `json:"down"`
}

// Rack is a place to rest pieces; Places is a step function of ticks.
type Rack struct {
	ID     string `json:"id"`
	Places Steps  `json:"places"`
}

// Station is held by at most Places holders at a time.
type Station struct {
	ID     string `json:"id"`
	Places int    `json:"places"`
}

// Cure is a curing time: Lag gives ticks by the tick in which the cover ends.
// t + Lag(t) never decreases.
type Cure struct {
	ID  string `json:"id"`
	Lag Steps  `json:"lag"`
}

// Fixed is work with a given start and end. It takes the open ticks between
// them and holds its station over the whole of it.
type Fixed struct {
	ID      string `json:"id"`
	Start   Tick   `json:"start"`
	End     Tick   `json:"end"`
	Crew    Crew   `json:"crew"`
	Station OptID  `json:"station"`
}

// Callin is a payment due if any planned task takes a tick in [From, To).
type Callin struct {
	From Tick `json:"from"`
	To   Tick `json:"to"`
	Cost Mils `json:"cost"`
}

// Shipment is a set of pours that leave together. (Planning model, section 6.)
type Shipment struct {
	ID          string   `json:"id"`
	Pours       []string `json:"pours"`
	Due         Tick     `json:"due"`
	LatePerTick Mils     `json:"late_per_tick"`
	Trucks      []Tick   `json:"trucks,omitempty"`
	Hold        bool     `json:"hold,omitempty"`
}

// Stage says how far a pour has come.
type Stage string

// The stages of a pour.
const (
	New    Stage = "new"    // not begun
	Curing Stage = "curing" // in its mold under cover
	Racked Stage = "racked" // demolded, on a rack
)

// Pour is one filling of one mold. Which fields have a meaning depends on
// Stage; the others are zero. (Planning model, section 5.)
type Pour struct {
	ID          string
	Order       string
	Piece       string
	Stage       Stage
	Due         Tick
	LatePerTick Mils

	// Stage New alone.
	Release Tick
	Carry   Mils
	Molds   []MoldChoice
	Prep    Demand
	PrepMax *Tick
	Layers  []Layer
	Draws   []Draw
	Cover   Cover
	Cure    string
	MoldMax *Tick
	Pin     *Spot
	Base    *Spot

	// Stages New and Curing.
	Demold Demolding
	Racks  []string

	// Stage Curing alone.
	Mold      string
	CureEnd   Tick
	MoldUntil *Tick

	// Stage Racked alone.
	Rack    string
	Next    int // index in Finish of the first step still to do
	From    Tick
	FromMax *Tick

	// All stages.
	Places int
	Spans  []Span
	Finish []Finish
}

// MoldChoice is a mold that a pour may take, with its preparing work in ticks.
type MoldChoice struct {
	Mold string `json:"mold"`
	Work Tick   `json:"work"`
}

// Demand is what a pour's prep needs besides time, and when it may start (nil:
// at any time).
type Demand struct {
	Crew    Crew       `json:"crew"`
	Station OptID      `json:"station"`
	When    []Interval `json:"when,omitempty"`
}

// Layer is one coat: a steady task that starts within Gap (closed, [min, max]
// ticks) of the end of the layer before. The Gap of the first says nothing.
type Layer struct {
	ID      string     `json:"id"`
	Work    Tick       `json:"work"`
	Crew    Crew       `json:"crew"`
	Station OptID      `json:"station"`
	Gap     Interval   `json:"gap"`
	When    []Interval `json:"when,omitempty"`
}

// Draw is the part of a batch that goes into one pour, for the layers listed
// by index.
type Draw struct {
	Mix    string `json:"mix"`
	Grams  Grams  `json:"grams"`
	Layers []int  `json:"layers"`
}

// Cover is the steady task that covers a pour, within Gap (closed) of the end
// of its last layer.
type Cover struct {
	Work    Tick       `json:"work"`
	Crew    Crew       `json:"crew"`
	Station OptID      `json:"station"`
	Gap     Interval   `json:"gap"`
	When    []Interval `json:"when,omitempty"`
}

// Demolding is the steady task that takes a piece out of its mold.
type Demolding struct {
	Work    Tick       `json:"work"`
	Crew    Crew       `json:"crew"`
	Station OptID      `json:"station"`
	When    []Interval `json:"when,omitempty"`
}

// Finish is one step after demolding. It starts at least Rest and at most
// RestMax clock ticks after the end of the step before.
type Finish struct {
	ID       string     `json:"id"`
	Work     Tick       `json:"work"`
	Crew     Crew       `json:"crew"`
	Station  OptID      `json:"station"`
	Rest     Tick       `json:"rest"`
	RestMax  *Tick      `json:"rest_max,omitempty"`
	Pausable bool       `json:"pausable"`
	When     []Interval `json:"when,omitempty"`
}

// Span holds a place of a station between two moments of a pour's life, such
// as "cover.start" and "demold.end".
type Span struct {
	Station string `json:"station"`
	From    string `json:"from"`
	To      string `json:"to"`
}

// Spot is a mold and the start of the first layer in it.
type Spot struct {
	Mold  string `json:"mold"`
	Start Tick   `json:"start"`
}

// Costs are the prices of section 6 in mils: per tick (Idle, Held, RackWait),
// per head and tick (Overtime), per batch, per gram (Waste), per pour (Move).
type Costs struct {
	Idle     Mils `json:"idle"`
	Held     Mils `json:"held"`
	RackWait Mils `json:"rack_wait"`
	Overtime Mils `json:"overtime"`
	Batch    Mils `json:"batch"`
	Waste    Mils `json:"waste"`
	Move     Mils `json:"move"`
}

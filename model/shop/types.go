// Package shop reads shop.yaml: what a shop is, in the shop's own words and
// units. It checks all that the file says by itself and against itself; what an
// order or a floor asks of it is for package week to say.
//
// All quantities of a Shop are whole numbers that the reader has rounded to the
// safe side already: work, rests, cures, masses and losses up, windows and pot
// life inward, capacities down. Rounding them on to ticks, in the same
// direction, gives what rounding the exact value once would have given.
package shop

import (
	"time"

	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/unit"
)

// Shop is a shop file that was read and checked. Lists are in the order of the
// file, names in them are unique, and every name that one part uses of another
// exists, unless the reader's list says otherwise.
type Shop struct {
	Source      *diag.Source
	Name        string
	Zone        *time.Location // never nil
	Currency    string         // three capital letters, such as USD
	TickMinutes int            // a divisor of 60, default 5
	Weeks       int            // weeks laid out from the planned Monday on, default 3
	Calendar    Calendar
	Air         Air
	People      []Person
	Mixers      []Mixer
	Mixes       []Mix
	Pieces      []Piece
	Molds       []Mold
	Racks       []Rack
	Stations    []Station
	Cures       []Cure
	Work        []FixedWork
	Urgencies   []Urgency // never empty; one is called "normal"
	Costs       Costs
	Prices      Prices
}

// Calendar says when the shop works.
type Calendar struct {
	Hours    Week       // regular hours, the lunch break taken out
	Lunch    Week       // the break alone, as the file has it; taken out of extra days too
	Overtime []Overtime // windows outside the regular hours
	Closed   []Period   // neither regular hours nor overtime, no trucks, no fixed work
	Extra    []ExtraDay // regular hours of dates, instead of the weekday's; not in Closed
	Trucks   []Truck
	// Hold says that pieces which leave with others, or on a truck, keep their
	// rack places until they leave. Default yes.
	Hold bool
}

// Week is a list of hours for each weekday, Sunday first as in time.Weekday.
// The hours of a day ascend and do not overlap.
type Week [7][]Hours

// Hours is the half-open range [From, To) of one civil day.
type Hours struct{ From, To Clock }

// Clock is a time of day in minutes since midnight, 0 to 1440. It is what the
// clock on the wall shows: on the day of a clock change it is not the number of
// minutes that have passed.
type Clock int

// Date is a civil date in the shop's zone.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// Moment is a time of day of a date.
type Moment struct {
	Date  Date
	Clock Clock
}

// Period is the half-open range [From, To) of moments. Whole days end at 0:00
// of the day after.
type Period struct {
	From, To Moment
	Pos      diag.Pos
}

// Overtime is a named set of windows in which who takes it may work for a
// premium. With CallIn, each of its days in which any task is done costs that
// amount once.
type Overtime struct {
	Name   string
	Hours  Week // lunch not taken out
	Dates  []DayHours
	CallIn model.Mils // 0: none
	Pos    diag.Pos
}

// DayHours are hours on one date.
type DayHours struct {
	Date  Date
	Hours []Hours
	Pos   diag.Pos
}

// ExtraDay gives one date its own regular hours (lunch taken out).
type ExtraDay = DayHours

// Truck leaves each week, or on one date.
type Truck struct {
	Weekday time.Weekday
	Date    *Date // instead of Weekday
	Clock   Clock
	Pos     diag.Pos
}

// Air is the temperature in the shop, a step function over the hours of a day.
// Without any, cures and pot lives by temperature are a mistake.
type Air struct {
	Usual []AirStep // ascending, the first at 0:00; empty: not given
	Days  []AirDay  // dates with their own
}

// AirStep is the temperature from a time of day on, to the next step or
// midnight.
type AirStep struct {
	From Clock
	Temp unit.Temp
}

// AirDay is the temperature of one date.
type AirDay struct {
	Date  Date
	Steps []AirStep
	Pos   diag.Pos
}

// Person is one pair of hands.
type Person struct {
	Name     string
	Skills   []string
	Hours    *Week    // own regular hours, within the shop's; nil: the shop's
	Away     []Period // neither regular hours nor overtime
	Overtime []string // names of the overtime that the person takes
	Pos      diag.Pos
}

// Mixer holds one batch at a time.
type Mixer struct {
	Name     string
	Capacity model.Grams   // of a batch as mixed
	Keep     *unit.Minutes // how long it may stand unwashed before a batch; nil: any time
	Down     []Period
	Pos      diag.Pos
}

// Mix is a recipe.
type Mix struct {
	Name       string
	Color      string // "" when not said
	Family     string // "" when not said
	Mix        unit.Minutes
	Rest       unit.Minutes
	Remix      unit.Minutes
	Wash       unit.Minutes            // the full clean-up
	WashBefore map[string]unit.Minutes // shorter or longer clean-ups, by the next batch's mix
	WashMin    unit.Minutes            // from ready to the start of the clean-up
	WashMax    unit.Minutes
	Crew       model.Crew
	Loss       model.Grams // left in pail and hose, per batch
	Smallest   model.Grams // smallest batch
	Step       model.Grams // batches are mixed in multiples of it, at least 1
	PotLife    PotLife
	Mixers     []string
	Density    Density // of the fresh mix; 0 when not said
	Pos        diag.Pos
}

// Density is a mass per volume in grams per cubic meter.
type Density int64

// PotLife is how long a batch may be worked, counted from the start of its
// mixing, by the temperature of the shop.
type PotLife struct {
	// Points ascend by temperature. One point without a temperature is the same
	// at any; one with a temperature is halved for each 20 F (100/9 C) above it
	// and doubled for each 20 F below; between two of several it follows the law of
	// setting, and the air stays within them.
	Points []PotPoint
	Fixed  bool // no temperature was given
}

// PotPoint is a pot life at a temperature.
type PotPoint struct {
	Temp unit.Temp
	Life unit.Minutes
}

// Task is what a step needs besides its length.
type Task struct {
	Crew    model.Crew
	Station string // "" for none
	When    *Week  // times of day in which it may start; nil: any
}

// Piece is a piece type. Its lengths hold for one piece.
type Piece struct {
	Name    string
	Weight  model.Grams // 0 when not said
	Prep    Task        // its length stands with the mold
	PrepMax *unit.Minutes
	Coats   []Coat // at least one
	Cover   Cover
	Cure    string
	MoldMin unit.Minutes  // from the end of the cover to the demold, at least
	MoldMax *unit.Minutes // at most; nil: any time
	Demold  Step
	Racks   []string // at least one
	Places  int      // places held on the rack, 1 or more
	Finish  []Finish
	Spans   []Span
	Carry   *model.Mils // instead of Costs.Carry
	Pos     diag.Pos
}

// Coat is one coat, in the order of laying. Without Draws it takes no mix (a
// scrim, an anchor).
type Coat struct {
	Name string
	Task
	Work   unit.Minutes
	GapMin unit.Minutes // from the end of the coat before to the start; 0 for the first
	GapMax unit.Minutes
	Draws  []Draw
	// SameBatch: what it takes of a mix comes from the very batch that the coat
	// before took of that mix.
	SameBatch bool
	Pos       diag.Pos
}

// Draw is what a coat takes of one mix, overspray included.
type Draw struct {
	Mix  string
	Mass model.Grams
}

// Cover ends the spraying.
type Cover struct {
	Task
	Work   unit.Minutes
	GapMin unit.Minutes // from the end of the last coat
	GapMax unit.Minutes
	Pos    diag.Pos
}

// Step is a task with its length.
type Step struct {
	Task
	Work unit.Minutes
	Pos  diag.Pos
}

// Finish is one step after the demold.
type Finish struct {
	Name string
	Task
	Work    unit.Minutes
	Rest    unit.Minutes  // clock time from the end of the step before, at least
	RestMax *unit.Minutes // at most; nil: any time
	PutDown bool          // it may be put down overnight and over lunch
	Dust    Dust
	Pos     diag.Pos
}

// Dust says how a step makes dust, for the cautions.
type Dust string

// The kinds of dust.
const (
	NoDust  Dust = ""
	WetDust Dust = "wet" // kept wet
	DryDust Dust = "dry" // dry: shroud, extraction, respirator by local rules
)

// Span holds a place of a station between two moments of a pour's life, named
// as the planning model names them: prep, cover, demold, a coat's or a finish
// step's name, with .start or .end behind it.
type Span struct {
	Station  string
	From, To string
	Pos      diag.Pos
}

// Mold is one reusable tool.
type Mold struct {
	Name  string
	Casts []Cast // at least one
	Down  []Period
	Pos   diag.Pos
}

// Cast is a piece type that a mold can cast and the work to prepare it for that.
type Cast struct {
	Piece string
	Prep  unit.Minutes
}

// Rack is where pieces rest.
type Rack struct {
	Name    string
	Places  int          // until the first change, 0 or more
	Changes []RackChange // ascending
	Pos     diag.Pos
}

// RackChange is the number of places from a moment on.
type RackChange struct {
	From   Moment
	Places int
	Pos    diag.Pos
}

// Station is held by at most Places holders at a time.
type Station struct {
	Name   string
	Places int
	Pos    diag.Pos
}

// Cure is how long a covered piece hardens before it may be demolded. One of
// Hours, ByDay and AtTemp is given.
type Cure struct {
	Name  string
	Hours unit.Minutes     // always the same; 0 when not given
	ByDay *[7]unit.Minutes // by the weekday on which the cover ends, Sunday first
	// AtTemp gives the time at temperatures, ascending; see TimeAt. Each minute
	// counts as one over the time at the temperature of its air, and the piece is
	// ripe when these shares add up to one. The air is never colder than the
	// first point.
	AtTemp []CurePoint
	Early  string // the file's words why it may be under 16 h; "" when it is not
	Pos    diag.Pos
}

// CurePoint is a curing time at a temperature.
type CurePoint struct {
	Temp unit.Temp
	Time unit.Minutes
}

// FixedWork is done at given hours, whatever the plan: a truck to load, a
// calibration.
type FixedWork struct {
	Name    string
	Hours   Week
	Dates   []DayHours
	Crew    model.Crew
	Station string
	Pos     diag.Pos
}

// Urgency is a word of the orders' urgency column and the factor that it puts on
// Costs.Late and on the price of carrying, in thousandths (1000 is once).
type Urgency struct {
	Name   string
	Factor int64
	Pos    diag.Pos
}

// MilsPerHour is money per hour, in thousandths of the currency.
type MilsPerHour int64

// Costs are the prices of planning model section 6, not yet by tick.
type Costs struct {
	Late          MilsPerHour // a piece, by the clock, after its due
	Carry         model.Mils  // a piece left for a later week
	Idle          MilsPerHour // an empty mold, regular hours
	Held          MilsPerHour // a ripe piece in its mold, regular hours
	RackWait      MilsPerHour // a piece that waits between finish steps, regular hours
	Overtime      MilsPerHour // a head
	Batch         model.Mils
	Waste         model.Mils // a kilogram
	Move          model.Mils // a pour moved against the published plan
	MoveTolerance unit.Minutes
}

// Prices are what more of something costs, for package whatif's last sentence.
// Nil where the file says nothing.
type Prices struct {
	Wage  *MilsPerHour // a person
	Mold  *model.Mils
	Place *model.Mils // a rack place
}

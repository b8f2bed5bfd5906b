// Package report turns a week into what people read: a board with a summary,
// the work of each day, what leaves late, the racks, the hours. A Board is data
// first; the files beside this one write it as tables for a terminal, as
// tab-separated rows and as JSON. Everything is a pure function of the week.
package report

import "pourweek/model"

// BoardFormat is the value of Board.Format. Fields are only ever added to it.
const BoardFormat = "pourweek-board/1"

// Board is a week as it is read. Times are civil times of the shop's zone with
// their offset (RFC 3339), dates are civil dates, hours are decimal, masses are
// grams, money is mils (thousandths of Currency). Lists are never null.
type Board struct {
	Format   string    `json:"format"`
	Shop     string    `json:"shop"`
	Zone     string    `json:"zone"`
	Currency string    `json:"currency"`
	Monday   string    `json:"monday"`
	Summary  Summary   `json:"summary"`
	Work     []Work    `json:"work"`     // in the order of the clock
	Late     []Late    `json:"late"`     // the latest first
	Carried  []Carried `json:"carried"`  // in the order of the problem
	Batches  []Batch   `json:"batches"`  // in the order of the clock
	Pieces   []Piece   `json:"pieces"`   // planned and carried, in the order of the problem
	Closings []Closing `json:"closings"` // racks at the end of each working day
	People   []Person  `json:"people"`   // in the order of the problem
	Cautions []Caution `json:"cautions"`
	Notes    []string  `json:"notes"`
	Molds    []MoldUse `json:"molds"`
	Days     []Day     `json:"days"` // those with work

	long bool // the plan's span is so long that dates need their month
}

// Summary holds the week's figures.
type Summary struct {
	Pieces        int         `json:"pieces"`         // new ones, planned or carried
	Planned       int         `json:"planned"`        // new ones that are poured
	Carried       int         `json:"carried"`        // new ones left for a later week
	Underway      int         `json:"underway"`       // begun before this plan
	Late          int         `json:"late"`           // pieces that leave after their due time
	LateHours     float64     `json:"late_hours"`     // clock hours, summed over those pieces
	OvertimeHours float64     `json:"overtime_hours"` // heads x hours
	CallIns       int         `json:"callins"`        // paid call-ins that are used
	IdleHours     float64     `json:"idle_hours"`     // regular hours molds stand empty ahead of a pour
	HeldHours     float64     `json:"held_hours"`     // regular hours cured pieces stay in their molds
	RackWaitHours float64     `json:"rack_wait_hours"`
	Batches       int         `json:"batches"`
	Mixed         model.Grams `json:"mixed_g"`
	Waste         model.Grams `json:"waste_g"`
	Moved         int         `json:"moved"` // pours that differ from the plan they are based on
	Cost          model.Mils  `json:"cost_mils"`
	Terms         model.Terms `json:"terms_mils"`
	Bound         model.Mils  `json:"bound_mils"` // no allowed plan costs less
	BoundSource   string      `json:"bound_source"`
	Status        string      `json:"status"`
	Seed          uint64      `json:"seed"`
	SearchWork    int64       `json:"search_work"`
}

// Kind says what sort of work a row is.
type Kind string

// The kinds of work, in the order in which they stand at the same minute.
const (
	Prep   Kind = "prep"
	Mixing Kind = "mix"
	Remix  Kind = "remix"
	Coat   Kind = "coat"
	Cover  Kind = "cover"
	Strip  Kind = "strip"
	Finish Kind = "finish"
	Wash   Kind = "wash"
	Fixed  Kind = "fixed"
)

// Work is one stretch of work on one day. A task that runs over night has a
// stretch for each day.
type Work struct {
	Date  string    `json:"date"`
	From  Moment    `json:"from"`
	To    Moment    `json:"to"`
	Kind  Kind      `json:"kind"`
	Step  string    `json:"step"` // id of the step: face, polish, ...
	Name  string    `json:"name"` // of the step, as the shop calls it
	Pours []string  `json:"pours"`
	Piece string    `json:"piece"` // name of the piece type, "" for batches and fixed work
	Mold  string    `json:"mold"`
	Batch []string  `json:"batch"`
	Mixer string    `json:"mixer"`
	Mix   string    `json:"mix"`
	Grams int64     `json:"grams"` // mixed, for kind mix; weight of the piece, for kind strip; else 0
	Who   model.Who `json:"who"`
	Heads int       `json:"heads"`
	Part  Part      `json:"part"`
	Over  bool      `json:"overtime"` // some of it is in overtime hours
}

// Part says whether a stretch is the whole of its task.
type Part string

// The parts of a task that is done over several days.
const (
	Whole  Part = "whole"
	Begins Part = "begins"  // goes on the next day
	GoesOn Part = "goes on" // began before and goes on again
	Ends   Part = "ends"    // began before
)

// Late is a piece, or an order that ships whole, that leaves after it is due.
type Late struct {
	Pour     string     `json:"pour"`     // "" for a shipment
	Shipment string     `json:"shipment"` // "" for a piece that leaves by itself
	Order    string     `json:"order"`
	Piece    string     `json:"piece"`
	Due      Moment     `json:"due"`
	Leaves   Moment     `json:"leaves"`
	Hours    float64    `json:"late_hours"`
	Cost     model.Mils `json:"cost_mils"`
	Pieces   int        `json:"pieces"`
	Why      string     `json:"why"`
}

// Carried is a piece that is left for a later week.
type Carried struct {
	Pour  string     `json:"pour"`
	Order string     `json:"order"`
	Piece string     `json:"piece"`
	Due   Moment     `json:"due"`
	Cost  model.Mils `json:"cost_mils"`
	Why   string     `json:"why"`
}

// Batch is one mixer load.
type Batch struct {
	ID     string      `json:"id"`
	Mixer  string      `json:"mixer"`
	Mix    string      `json:"mix"`
	Color  string      `json:"color"`
	From   Moment      `json:"from"`
	Ready  Moment      `json:"ready"`
	UseBy  Moment      `json:"use_by"` // end of its pot life
	Washed *Moment     `json:"washed"` // end of the clean-up; null if none is due
	Net    model.Grams `json:"net_g"`
	Mixed  model.Grams `json:"mixed_g"`
	Waste  model.Grams `json:"waste_g"`
	Full   float64     `json:"full"` // share of the mixer's capacity, 0 to 1
	Pours  []string    `json:"pours"`
}

// Piece is the way of one piece through the week. Moments that have passed
// before the plan, or that never come, are null.
type Piece struct {
	Pour      string   `json:"pour"`
	Order     string   `json:"order"`
	Piece     string   `json:"piece"`
	Stage     string   `json:"stage"` // new, curing, racked or carried
	Mold      string   `json:"mold"`
	Rack      string   `json:"rack"`
	Places    int      `json:"places"`
	Batches   []string `json:"batches"`
	Due       Moment   `json:"due"`
	Prep      *Moment  `json:"prep"`
	Poured    *Moment  `json:"poured"` // start of the first coat
	Covered   *Moment  `json:"covered"`
	NotBefore *Moment  `json:"not_before"` // end of cure
	Stripped  *Moment  `json:"stripped"`   // start of demold
	MoldFree  *Moment  `json:"mold_free"`  // end of demold
	Ready     *Moment  `json:"ready"`
	Leaves    *Moment  `json:"leaves"` // with its shipment; ready if it has none
	LateHours float64  `json:"late_hours"`
	Shipment  string   `json:"shipment"`
	Truck     bool     `json:"truck"`
	IdleHours float64  `json:"idle_hours"` // the mold stood empty ahead of it
	Note      string   `json:"note"`
}

// Closing is what the racks hold at the end of a working day.
type Closing struct {
	Date  string     `json:"date"`
	At    Moment     `json:"at"`
	Racks []RackFill `json:"racks"` // in the order of the problem
}

// RackFill is the use of a rack at one moment.
type RackFill struct {
	Rack   string `json:"rack"`
	Held   int    `json:"held"`
	Places int    `json:"places"`
}

// Person is one person's hours at work.
type Person struct {
	ID       string      `json:"id"`
	Skills   []string    `json:"skills"`
	Hours    float64     `json:"hours"`
	Overtime float64     `json:"overtime_hours"`
	Days     []PersonDay `json:"days"` // those on which the person works
}

// PersonDay is a person's work on one date. Long says why the day is flagged,
// "" if it is not.
type PersonDay struct {
	Date     string  `json:"date"`
	Hours    float64 `json:"hours"`
	Overtime float64 `json:"overtime_hours"`
	From     Moment  `json:"from"`
	To       Moment  `json:"to"`
	Long     string  `json:"long"`

	ticks int64 // of work; Hours in full
}

// Caution is a warning of the trade that applies to this week.
type Caution struct {
	Topic string `json:"topic"`
	Text  string `json:"text"`
}

// MoldUse is the number of pours that stand in a mold in these weeks, and the
// hours it stands empty ahead of them.
type MoldUse struct {
	Mold      string  `json:"mold"`
	Pours     int     `json:"pours"`
	IdleHours float64 `json:"idle_hours"`
}

// Day says when the shop is open on a date and who is not there all the time.
type Day struct {
	Date     string      `json:"date"`
	Open     [][2]Moment `json:"open"`     // regular hours
	Overtime [][2]Moment `json:"overtime"` // hours in which overtime may be worked
	Away     []string    `json:"away"`     // people who are not there in regular hours
	Part     []Presence  `json:"part"`     // people who are there for a part of them
}

// Presence is the time from a person's first regular hour of a day to the last.
type Presence struct {
	Person string `json:"person"`
	From   Moment `json:"from"`
	To     Moment `json:"to"`
}

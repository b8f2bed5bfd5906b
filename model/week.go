package model

// WeekFormat is the value of Week.Format.
const WeekFormat = "pourweek-week/1"

// Week is a plan together with the problem it answers and the facts by which
// it is printed: one document that can be kept, sent, shown and replanned
// from. It holds no wall-clock time, so that equal input gives equal bytes.
type Week struct {
	Format      string   `json:"format"`
	Shop        string   `json:"shop"`     // its name
	Zone        string   `json:"zone"`     // IANA time zone; tick 0 is Problem.Start
	Currency    string   `json:"currency"` // ISO 4217 code, such as USD
	Monday      string   `json:"monday"`   // first civil day of the planned week, 2027-03-01
	Seed        uint64   `json:"seed"`
	Work        int64    `json:"work"`         // counted units of search that were done
	Status      string   `json:"status"`       // a solve.Status
	BoundSource string   `json:"bound_source"` // which argument gave Plan.Bound
	Labels      Labels   `json:"labels"`
	Problem     *Problem `json:"problem"`
	Plan        *Plan    `json:"plan"`
	Log         []string `json:"log,omitempty"` // the lines of log.csv that it was planned with
}

// Labels holds what a printed week says and a solver does not need, by id.
type Labels struct {
	Pieces map[string]PieceLabel `json:"pieces"` // by piece type
	Mixes  map[string]MixLabel   `json:"mixes"`
	Orders map[string]OrderLabel `json:"orders"`
	Steps  map[string]StepLabel  `json:"steps"` // by layer or finish step id
	Notes  []string              `json:"notes"` // what was assumed or rounded, for the lead to read
}

// PieceLabel describes a piece type.
type PieceLabel struct {
	Name  string `json:"name"`
	Grams Grams  `json:"grams"` // finished weight, 0 when the shop gives none
}

// MixLabel describes a mix.
type MixLabel struct {
	Color  string `json:"color"`
	Family string `json:"family"`
}

// OrderLabel describes an order.
type OrderLabel struct {
	Due     string `json:"due"` // as the shop wrote it, made plain: 2027-03-05 15:30
	Urgency string `json:"urgency"`
	Note    string `json:"note"`
	Truck   bool   `json:"truck"`
	Whole   bool   `json:"whole"`
}

// StepLabel describes a coat or a finish step.
type StepLabel struct {
	Name string `json:"name"`
	Dust bool   `json:"dust"` // frees respirable silica dust (grinding, sanding, cutting)
	Wet  bool   `json:"wet"`  // wet slurry on hands
}

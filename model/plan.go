package model

import "slices"

// PlanFormat is the value of Plan.Format.
const PlanFormat = "pourweek-plan/1"

// Plan answers a Problem. (Planning model, section 7.)
type Plan struct {
	Format  string         `json:"format"`
	Problem string         `json:"problem"` // Problem.Name
	Batches []BatchPlan    `json:"batches"`
	Pours   []PourPlan     `json:"pours"`
	Carried []string       `json:"carried"`
	Bound   Mils           `json:"bound"` // no allowed plan costs less; 0 when nothing better is known
	Fixed   map[string]Who `json:"fixed"`
	Cost    Mils           `json:"cost"`
	Terms   Terms          `json:"terms"`
}

// Who names the people of a task by the skill they are asked for.
type Who map[string][]string

// Has reports whether the person is one of them.
func (w Who) Has(id string) bool {
	for _, l := range w {
		if slices.Contains(l, id) {
			return true
		}
	}
	return false
}

// BatchPlan is one mixer load. Wash is empty ([z, z]) where no clean-up is due.
type BatchPlan struct {
	ID    string   `json:"id"`
	Mixer string   `json:"mixer"`
	Mix   string   `json:"mix"`
	Start Tick     `json:"start"`
	Wash  Interval `json:"wash"`
	Who   BatchWho `json:"who"`
}

// BatchWho names the people of a batch's three tasks; a task of no ticks has
// an empty Who.
type BatchWho struct {
	Mix   Who `json:"mix"`
	Remix Who `json:"remix"`
	Wash  Who `json:"wash"`
}

// PourPlan says when, where and by whom the steps of a pour are done. Steps
// that were done before the problem starts are nil (JSON null).
type PourPlan struct {
	ID      string      `json:"id"`
	Mold    OptID       `json:"mold"`
	Rack    string      `json:"rack"`
	Prep    *Interval   `json:"prep"`
	Layers  []Interval  `json:"layers"`
	Cover   *Interval   `json:"cover"`
	CureEnd *Tick       `json:"cure_end"`
	Demold  *Interval   `json:"demold"`
	Finish  []*Interval `json:"finish"`
	Draws   []string    `json:"draws"` // batch id by draw
	Ready   Tick        `json:"ready"`
	Who     PourWho     `json:"who"`
}

// PourWho names the people of a pour's steps.
type PourWho struct {
	Prep   Who   `json:"prep"`
	Layers []Who `json:"layers"`
	Cover  Who   `json:"cover"`
	Demold Who   `json:"demold"`
	Finish []Who `json:"finish"`
}

// Terms is the cost of a plan in mils, term by term. (Planning model,
// section 6.)
type Terms struct {
	Late     Mils `json:"late"`
	Ship     Mils `json:"ship"`
	Carry    Mils `json:"carry"`
	Idle     Mils `json:"idle"`
	Held     Mils `json:"held"`
	RackWait Mils `json:"rack_wait"`
	Overtime Mils `json:"overtime"`
	Callin   Mils `json:"callin"`
	Batch    Mils `json:"batch"`
	Waste    Mils `json:"waste"`
	Move     Mils `json:"move"`
}

// Total is the sum of the terms.
func (t Terms) Total() Mils {
	return t.Late + t.Ship + t.Carry + t.Idle + t.Held + t.RackWait +
		t.Overtime + t.Callin + t.Batch + t.Waste + t.Move
}

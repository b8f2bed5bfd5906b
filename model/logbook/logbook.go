// Package logbook reads log.csv, in which a shop writes what went otherwise
// than planned: one line an event, never rewritten by the tool. An entry says
// when, what, which and, where it takes one, a detail.
package logbook

import (
	"fmt"
	"strings"
	"time"

	"pourweek/model/diag"
	"pourweek/model/unit"
)

// Kind is what an entry tells.
type Kind string

// The kinds of entry.
const (
	Poured    Kind = "poured"     // the first coat of a pour began
	Waiting   Kind = "waiting"    // a step of a pour that was planned has not begun
	Failed    Kind = "failed"     // a pour was given up while casting
	BatchLost Kind = "batch-lost" // a batch was thrown away
	Scrapped  Kind = "scrapped"   // a cast piece was thrown away
	Demolded  Kind = "demolded"   // a piece is out of its mold
	Finished  Kind = "finished"   // a finish step ended
	Longer    Kind = "longer"     // a step takes longer than planned
	MoldDown  Kind = "mold-down"
	MixerDown Kind = "mixer-down"
	Away      Kind = "away"     // a person is not there
	Extra     Kind = "extra"    // a person is there in more hours
	Order     Kind = "order"    // a new order
	Due       Kind = "due"      // an order has another due date
	Quantity  Kind = "quantity" // an order has another number of pieces
	Cancel    Kind = "cancel"
	Places    Kind = "places" // rack places are lost
	Air       Kind = "air"    // the air in the shop is warmer or colder than the file says
)

// rule says what the fields of a kind hold.
type rule struct {
	kind   Kind
	which  subject
	detail string // as the reference writes it, "" for none
	says   string
}

// subject is what the field which names.
type subject string

const (
	aPour   subject = "pour"
	aBatch  subject = "batch"
	aMold   subject = "mold"
	aMixer  subject = "mixer"
	aPerson subject = "person"
	anOrder subject = "order"
	aRack   subject = "rack"
	aTemp   subject = "temperature"
	anyName subject = "order name"
)

var rules = []rule{
	{Poured, aPour, "[in MOLD]", "its first coat began then; the coats after it keep their planned distances"},
	{Waiting, aPour, "[STEP]", "it has not begun; with a step (prep, demold or a finish step), that step has not"},
	{Failed, aPour, "", "given up while casting; it is to be poured again (once covered, it is read as scrapped)"},
	{BatchLost, aBatch, "", "the batch was thrown away; pours that still needed it are poured again"},
	{Scrapped, aPour, "", "the cast piece was thrown away; it is to be poured again"},
	{Demolded, aPour, "[on RACK]", "it was out of its mold then"},
	{Finished, aPour, "STEP", "the finish step ended then"},
	{Longer, aPour, "STEP MINUTES min", "the step takes so much longer than planned"},
	{MoldDown, aMold, "until TIME", "nobody can cast in it until then"},
	{MixerDown, aMixer, "until TIME", "it cannot mix until then"},
	{Away, aPerson, "until TIME", "not there until then"},
	{Extra, aPerson, "until TIME", "there as well, from when to then"},
	{Order, anyName, "PIECE QUANTITY due TIME", "a new order"},
	{Due, anOrder, "TIME", "the order is now due then"},
	{Quantity, anOrder, "[PIECE] QUANTITY", "the order now has so many pieces in all, those that are done too, those of floor.csv not; fewer drops what has not been begun"},
	{Cancel, anOrder, "", "what has not been poured of it is dropped"},
	{Places, aRack, "COUNT until TIME", "so many of its places are lost until then"},
	{Air, aTemp, "until TIME", "the air in the shop is so warm (28 C or 82 F) from when to then: pot lives and cures follow"},
}

func ruleOf(k Kind) *rule {
	for i := range rules {
		if rules[i].kind == k {
			return &rules[i]
		}
	}
	return nil
}

// Known lists what entries can name in the published week.
type Known struct {
	Zone   *time.Location
	Monday time.Time           // the first day of the planned week, for "Tue 11:00"
	Pours  []string            // A-104/1
	Steps  map[string][]string // by pour: prep, its layers, demold, its finish steps
	Finish map[string][]string // by pour: its finish steps
	Casts  map[string][]string // by pour: the molds that cast it; none where no week had it still to be poured
	Asks   map[string][]string // by order: its piece types
	Logged map[string]bool     // by order: an entry brought it, and a week was published with that

	Batches, Molds, Mixers, People, Orders, Racks, Pieces []string

	dated bool // weekdays alone will not do: a log outlives its week
}

func (k *Known) names(s subject) []string {
	switch s {
	case aPour:
		return k.Pours
	case aBatch:
		return k.Batches
	case aMold:
		return k.Molds
	case aMixer:
		return k.Mixers
	case aPerson:
		return k.People
	case anOrder:
		return k.Orders
	case aRack:
		return k.Racks
	}
	return nil
}

// Entry is one event.
type Entry struct {
	When  time.Time
	What  Kind
	Which string

	Step     string    // waiting, finished, longer
	Mold     string    // poured
	Rack     string    // demolded
	Until    time.Time // mold-down, mixer-down, away, extra, places, air; the due time of order and due
	Minutes  int       // longer
	Count    int       // places; the quantity of order and quantity
	Piece    string    // order; quantity, "" for the only one
	Temp     unit.Temp // air
	Was      time.Time // when it really was, where When was moved to the moment from which a week goes on; else zero
	Detail   string    // as written, made plain
	Position diag.Pos
}

// Planned reports whether the entry is known ahead of the time it begins: what
// is down, away, there longer or lost for a while.
func (e Entry) Planned() bool {
	switch e.What {
	case MoldDown, MixerDown, Away, Extra, Places, Air:
		return true
	}
	return false
}

// Row is the entry as the four fields of a line of log.csv.
func (e Entry) Row() []string {
	return []string{e.When.Format(plainTime), string(e.What), e.Which, e.Detail}
}

// Header is the first line of log.csv.
var Header = []string{"when", "what", "which", "detail"}

const plainTime = "2006-01-02 15:04"

// Reference lists the kinds of entry, for help texts: name, which, detail and
// meaning of each.
func Reference() [][4]string {
	var out [][4]string
	for _, r := range rules {
		out = append(out, [4]string{string(r.kind), string(r.which), r.detail, r.says})
	}
	return out
}

// complete finds the one name that equals word, or else begins with it. The
// error says what would be right.
func complete(what, word string, names []string) (string, error) {
	var hits []string
	for _, n := range names {
		if n == word {
			return n, nil
		}
		if word != "" && strings.HasPrefix(strings.ToLower(n), strings.ToLower(word)) {
			hits = append(hits, n)
		}
	}
	switch {
	case len(hits) == 1:
		return hits[0], nil
	case len(hits) > 1:
		return "", fmt.Errorf("%s %q could be %s; write more of it", what, word, diag.Words(hits))
	case len(names) == 0:
		return "", fmt.Errorf("%s %q: the published week has none", what, word)
	}
	return "", fmt.Errorf("%s %q is not in the published week; there are %s", what, word, diag.Words(names))
}

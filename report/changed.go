package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"pourweek/model"
	"pourweek/model/replan"
)

// ChangedFormat is the value of Changed.Format. Fields are only ever added.
const ChangedFormat = "pourweek-changes/1"

// Changed is what a new plan does otherwise than the published one.
type Changed struct {
	Format   string        `json:"format"`
	From     Moment        `json:"from"` // the moment of replanning
	Currency string        `json:"currency"`
	Moved    []MovedPour   `json:"moved"`
	New      []string      `json:"new"`     // now planned
	Carried  []string      `json:"carried"` // no longer planned
	NoRoom   []string      `json:"no_room"` // asked for since, and not planned
	Dropped  []string      `json:"dropped"` // no longer asked for
	Gone     []string      `json:"gone"`    // thrown away, and not asked for again
	Batches  []MovedBatch  `json:"batches"`
	Today    []string      `json:"people_today"`
	Dates    []MovedDate   `json:"dates"`
	Options  []ReplanPrice `json:"options"` // what it costs to touch least, and at best
	Notes    []string      `json:"notes"`
}

// MovedPour is a pour that is cast elsewhere or at another time.
type MovedPour struct {
	Pour     string `json:"pour"`
	FromMold string `json:"from_mold"`
	From     Moment `json:"from"`
	ToMold   string `json:"to_mold"`
	To       Moment `json:"to"`
	Why      string `json:"why"`    // "" where only the note on the whole plan says why
	Slight   bool   `json:"slight"` // no further than what counts as no move
}

// MovedBatch is a batch that comes or goes. One that keeps its mixer and its time
// and feeds other pours is two that stay: as it is now, then dropped as it was.
type MovedBatch struct {
	Mix     string   `json:"mix"`
	Mixer   string   `json:"mixer"`
	Start   Moment   `json:"start"`
	Pours   []string `json:"pours"`
	Dropped bool     `json:"dropped"`
	Stays   bool     `json:"stays"`
	Was     []string `json:"was_for"` // of one that stays, as it is now: the pours that it fed as published
}

// MovedDate is a pour that is ready earlier or later.
type MovedDate struct {
	Pour string `json:"pour"`
	From Moment `json:"from"`
	To   Moment `json:"to"`
	Due  Moment `json:"due"`
	Late bool   `json:"late"`
}

// ReplanPrice is one way to go on.
type ReplanPrice struct {
	Name  string     `json:"name"` // touch-least, best
	Cost  model.Mils `json:"cost_mils"`
	Moves int        `json:"moves"`
}

// BuildChanged takes the changes in the times of the new week w. why says of pours
// that move, by id, why they do.
func BuildChanged(w *model.Week, c *replan.Changes, why map[string]string, notes []replan.Note, options []ReplanPrice) (*Changed, error) {
	k, err := newClock(w.Problem, w.Zone)
	if err != nil {
		return nil, err
	}
	out := &Changed{Format: ChangedFormat, From: k.moment(w.Problem.Now), Currency: w.Currency,
		Moved: []MovedPour{}, New: append([]string{}, c.New...), Carried: append([]string{}, c.Carried...), Dropped: append([]string{}, c.Dropped...),
		NoRoom: append([]string{}, c.NoRoom...), Gone: append([]string{}, c.Gone...),
		Batches: []MovedBatch{}, Today: append([]string{}, c.People...), Dates: []MovedDate{},
		Options: append([]ReplanPrice{}, options...), Notes: []string{}}
	for _, m := range c.Moved {
		out.Moved = append(out.Moved, MovedPour{m.Pour, m.From.Mold, k.moment(m.From.Start), m.To.Mold, k.moment(m.To.Start), why[m.Pour],
			m.Slight(w.Problem.MoveTolerance)})
	}
	for _, b := range c.Batches {
		x := MovedBatch{b.Mix, b.Mixer, k.moment(b.Start), append([]string{}, b.Pours...), b.Dropped, b.Was != nil, append([]string{}, b.Was...)}
		out.Batches = append(out.Batches, x)
		if x.Stays {
			out.Batches = append(out.Batches, MovedBatch{x.Mix, x.Mixer, x.Start, x.Was, true, true, []string{}})
		}
	}
	for _, d := range c.Dates {
		out.Dates = append(out.Dates, MovedDate{d.Pour, k.moment(d.From), k.moment(d.To), k.moment(d.Due), d.To > d.Due})
	}
	for _, n := range notes {
		out.Notes = append(out.Notes, n.String())
	}
	return out, nil
}

// lines says the changes in sentences, the ones that matter most first.
func (c *Changed) lines() []string {
	var l []string
	for _, m := range c.Moved {
		s := fmt.Sprintf("%s moves from %s to %s", m.Pour, m.From.dayHour(), m.To.dayHour())
		switch {
		case m.Slight:
			s = fmt.Sprintf("%s shifts a little, from %s to %s", m.Pour, m.From.dayHour(), m.To.dayHour())
		case m.FromMold != m.ToMold && m.From.Tick == m.To.Tick:
			s = fmt.Sprintf("%s stays at %s and moves from mold %s to %s", m.Pour, m.To.dayHour(), m.FromMold, m.ToMold)
		case m.FromMold != m.ToMold:
			s += fmt.Sprintf(", from mold %s to %s", m.FromMold, m.ToMold)
		}
		if m.Why != "" {
			s += " (" + m.Why + ")"
		}
		l = append(l, s)
	}
	for _, id := range c.New {
		l = append(l, id+" is planned now")
	}
	for _, id := range c.Carried {
		l = append(l, id+" is left for a later week now")
	}
	for _, id := range c.NoRoom {
		l = append(l, id+" is new and left for a later week")
	}
	for _, id := range c.Dropped {
		l = append(l, id+" is not cast any more")
	}
	for _, id := range c.Gone {
		l = append(l, id+" is thrown away, and no order has it cast again")
	}
	for _, b := range c.Batches {
		at, pours := b.Mix+" at "+b.Start.dayHour(), strings.Join(b.Pours, ", ")
		switch {
		case b.Stays && b.Dropped: // told with what it feeds now
		case b.Stays:
			l = append(l, fmt.Sprintf("the batch of %s is for %s now, not for %s", at, pours, strings.Join(b.Was, ", ")))
		case b.Dropped:
			l = append(l, fmt.Sprintf("the batch of %s for %s is dropped", at, pours))
		default:
			l = append(l, fmt.Sprintf("a new batch of %s for %s", at, pours))
		}
	}
	for _, d := range c.Dates {
		how := "earlier"
		if d.To.Tick > d.From.Tick {
			how = "later"
		}
		s := fmt.Sprintf("%s is ready %s: %s, not %s", d.Pour, how, d.To.dayHour(), d.From.dayHour())
		if d.Late {
			s += ", after it is due (" + d.Due.dayHour() + ")"
		}
		l = append(l, s)
	}
	if len(c.Today) > 0 {
		l = append(l, "other work today for "+strings.Join(c.Today, ", "))
	}
	if len(l) == 0 {
		l = append(l, "nothing changes")
	}
	return l
}

func moves(n int) string {
	if n == 1 {
		return "1 move"
	}
	return fmt.Sprintf("%d moves", n)
}

// WriteChangedText says what changes, for reading before the new tables.
func WriteChangedText(w io.Writer, c *Changed, s Screen) error {
	s.Width = max(s.Width, leastWidth)
	d := &drawing{b: &Board{Currency: c.Currency}, s: s}
	d.title("What changes from " + c.From.dateHour() + " on")
	for _, l := range c.lines() {
		d.fact("  -", 4, l, "")
	}
	if len(c.Options) > 1 {
		d.line("")
		for _, o := range c.Options {
			d.fact("  "+o.Name, 15, fmt.Sprintf("%.2f %s with %s", float64(o.Cost)/1000, c.Currency, moves(o.Moves)), "")
		}
	}
	if len(c.Notes) > 0 {
		d.title("What was worked out from the plan and the log")
		for _, n := range c.Notes {
			d.fact("  -", 4, n, "")
		}
	}
	d.line("")
	_, err := w.Write(bytes.TrimPrefix(d.out.Bytes(), []byte("\n")))
	return err
}

// WriteChangedRows writes a row for each change, tab-separated: its kind, then a
// sentence.
func WriteChangedRows(w io.Writer, c *Changed) error {
	var out bytes.Buffer
	out.WriteString("#change\ttext\n")
	for _, l := range c.lines() {
		out.WriteString("change\t" + safe(l) + "\n")
	}
	for _, o := range c.Options {
		fmt.Fprintf(&out, "option\t%s\t%.3f\t%d\n", o.Name, float64(o.Cost)/1000, o.Moves)
	}
	for _, n := range c.Notes {
		out.WriteString("state\t" + safe(n) + "\n")
	}
	_, err := w.Write(out.Bytes())
	return err
}

// replanned is a replanned week as one document: the changes and the board.
type replanned struct {
	Changes *Changed `json:"changes"`
	Board   *Board   `json:"board"`
}

// WriteReplannedJSON writes the changes and the new board as one document.
func WriteReplannedJSON(w io.Writer, c *Changed, b *Board) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	return e.Encode(replanned{c, b})
}

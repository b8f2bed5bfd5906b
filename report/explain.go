package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"pourweek/model"
	"pourweek/model/whatif"
	"pourweek/solve/why"
)

// ExplainedFormat is the value of Explained.Format. Fields are only ever added.
const ExplainedFormat = "pourweek-why/1"

// Explained is the answer to why a pour is ready when it is.
type Explained struct {
	Format   string   `json:"format"`
	Pour     string   `json:"pour"`
	Order    string   `json:"order"`
	Piece    string   `json:"piece"`
	Due      Moment   `json:"due"`
	By       Moment   `json:"by"`       // the time that is asked for: due, or the last truck in time, unless another was named
	Ready    *Moment  `json:"ready"`    // null: carried
	Leaves   *Moment  `json:"leaves"`   // with its order, or its truck; null: carried
	Earliest *Moment  `json:"earliest"` // in an empty shop; null: not before the horizon
	Chain    []Step   `json:"chain"`
	Verdict  string   `json:"verdict"` // the sentence on what makes it late
	Proven   bool     `json:"proven"`
	Proof    string   `json:"proof"` // what proved that it cannot be (why.Proof); "" where nothing did
	Facts    []Fact   `json:"facts"` // the least set, where one is known
	Mends    []Mend   `json:"mends"`
	Tried    []string `json:"tried"`      // the cases that were tried as mends, "today" is to put it first
	Work     int64    `json:"work"`       // counted units of each of them
	Note     string   `json:"mends_note"` // what is known of those tried that are no mends; "" where none were tried
	With     []string `json:"with"`       // pieces that leave with it and are asked about together with it
	truck    bool     // its truck leaves at By
}

// Step is one link of the chain.
type Step struct {
	Step   string  `json:"step"`
	From   Moment  `json:"from"`
	To     Moment  `json:"to"`
	Waited float64 `json:"waited_hours"` // clock hours
	Text   string  `json:"text"`
}

// Fact is one member of the least set.
type Fact struct {
	Kind  string  `json:"kind"`
	Name  string  `json:"name"`
	Text  string  `json:"text"`
	Until *Moment `json:"until"` // of a mold that is down: when that ends; null for other facts
}

// Mend is a single change after which a plan has the pour on time.
type Mend struct {
	Case string     `json:"case"`
	Cost model.Mils `json:"cost_mils"`
	More model.Mils `json:"more_mils"` // than the plan that is explained; less if below 0
}

// Slow lists those of some pours that no allowed plan has ready by a time, as even
// with the shop to itself each would take longer.
func Slow(w *model.Week, pours []string, by model.Tick) []string {
	b, err := newBuilder(w)
	if err != nil {
		return nil
	}
	return b.slow(pours, by)
}

func (b *builder) slow(pours []string, by model.Tick) []string {
	a := newAlone(b)
	var l []string
	for _, id := range pours {
		if q := b.pours[id]; q != nil && a.pour(q).ready > by {
			l = append(l, id)
		}
	}
	return l
}

// Question is what is asked of a pour: why it is not ready by a time.
type Question struct {
	Pour  string
	With  []string // pours that are to be ready by then too, as they leave together
	By    model.Tick
	Cause *why.Cause // nil where it was not asked for, as for a pour that is on time
	Mends []why.Mend
	Tried []whatif.Case // what was tried as a mend
	Work  int64         // counted units of each
}

// Explain puts an answer together.
func Explain(w *model.Week, ask Question) (*Explained, error) {
	pour := ask.Pour
	b, err := newBuilder(w)
	if err != nil {
		return nil, err
	}
	q := b.pours[pour]
	if q == nil {
		return nil, fmt.Errorf("no pour of this week is called %q", pour)
	}
	e := &Explained{Format: ExplainedFormat, Pour: pour, Order: q.Order, Piece: q.Piece,
		Due: b.clock.moment(b.due(q)), By: b.clock.moment(ask.By), Chain: []Step{}, Facts: []Fact{}, Mends: []Mend{}, Tried: []string{}, Work: ask.Work,
		With: append([]string{}, ask.With...)}
	if t := newAlone(b).pour(q).ready; t < never {
		m := b.clock.moment(t)
		e.Earliest = &m
	}
	if x := b.planned[pour]; x != nil {
		m := b.clock.moment(x.Ready)
		e.Ready, e.Leaves = &m, b.momentAt(new(b.out[pour]))
		clock := func(t model.Tick) string { return b.clock.moment(t).dayHour() }
		for _, l := range why.Chain(w.Problem, w.Plan, pour, clock) {
			e.Chain = append(e.Chain, Step{l.Step, b.clock.moment(l.At[0]), b.clock.moment(l.At[1]), b.hours(int64(l.Waited)), l.Text})
		}
	}
	e.truck = b.truckAt(q, ask.By)
	e.judge(b, ask.Cause)
	switch {
	case ask.Cause == nil && ask.By == why.By(b.p, q):
		e.Verdict += b.leavesLater(q)
	case len(e.With) > 0:
		e.Verdict = b.behind(q, ask.By) + e.Verdict
	}
	for _, m := range ask.Mends {
		e.Mends = append(e.Mends, Mend{m.Case.Name(), m.Cost, m.Cost - w.Plan.Cost})
	}
	for _, c := range ask.Tried {
		e.Tried = append(e.Tried, c.Name())
	}
	e.Note = e.note()
	return e, nil
}

// WriteExplainedText writes the answer in sentences, the chain as a table.
func WriteExplainedText(w io.Writer, e *Explained, currency string, s Screen) error {
	s.Width = max(s.Width, leastWidth)
	d := &drawing{b: &Board{Currency: currency}, s: s}
	d.title(fmt.Sprintf("%s, %s of order %s", e.Pour, e.Piece, e.Order))
	ready := "not planned this week"
	if e.Ready != nil {
		ready = "ready " + e.Ready.dayHour()
		if e.Leaves != nil && e.Leaves.Tick > e.Ready.Tick {
			ready += ", leaves " + e.Leaves.dayHour()
		}
	}
	d.fact("  stands", 13, fmt.Sprintf("%s, due %s", ready, e.Due.dayHour()), "")
	alone := "in an empty shop it could not be ready within the weeks that are laid out"
	if e.Earliest != nil {
		alone = "in an empty shop it could not be ready before " + e.Earliest.dayHour()
	}
	d.fact("  soonest", 13, alone, "")
	d.fact("  why", 13, e.Verdict, "")
	t := e.chainTable()
	if err := d.table(&t); err != nil {
		return err
	}
	d.mends(e, currency)
	_, err := w.Write(bytes.TrimPrefix(d.out.Bytes(), []byte("\n")))
	return err
}

func (e *Explained) chainTable() table {
	t := table{kind: "chain", title: "What each step waited for in this plan", columns: []column{
		{name: "step", key: "step"}, {name: "from", key: "from", right: true}, {name: "to", key: "to", right: true},
		{name: "waited h", key: "waited_hours", right: true}, {name: "because", key: "because", flex: true},
	}}
	for _, l := range e.Chain {
		t.rows = append(t.rows, []cell{text(l.Step), when(&l.From), when(&l.To), hours(l.Waited), text(l.Text)})
	}
	return t
}

// WriteExplainedRows writes the answer as rows of a name and its values,
// tab-separated.
func WriteExplainedRows(w io.Writer, e *Explained) error {
	var out bytes.Buffer
	row := func(cells ...string) {
		for i := range cells {
			cells[i] = safe(cells[i])
		}
		out.WriteString(strings.Join(cells, "\t") + "\n")
	}
	moment := func(m *Moment) string {
		if m == nil {
			return ""
		}
		return when(m).row()
	}
	row("#why", "name", "value")
	row("why", "pour", e.Pour)
	row("why", "due", moment(&e.Due))
	row("why", "by", moment(&e.By))
	row("why", "ready", moment(e.Ready))
	row("why", "leaves", moment(e.Leaves))
	row("why", "soonest", moment(e.Earliest))
	row("why", "proven", fmt.Sprint(e.Proven))
	row("why", "proof", e.Proof)
	row("why", "verdict", e.Verdict)
	row("#step", "step", "from", "to", "waited_hours", "because")
	for _, l := range e.Chain {
		row("step", l.Step, moment(&l.From), moment(&l.To), fmt.Sprintf("%.1f", l.Waited), l.Text)
	}
	row("#mend", "case", "more")
	for _, m := range e.Mends {
		row("mend", m.Case, fmt.Sprintf("%.3f", float64(m.More)/1000))
	}
	row("#tried", "work", "case")
	for _, c := range e.Tried {
		row("tried", fmt.Sprint(e.Work), c)
	}
	row("note", e.Note)
	_, err := w.Write(out.Bytes())
	return err
}

// WriteExplainedJSON writes the answer as one document (ExplainedFormat).
func WriteExplainedJSON(w io.Writer, e *Explained) error {
	k := json.NewEncoder(w)
	k.SetEscapeHTML(false)
	k.SetIndent("", " ")
	return k.Encode(e)
}

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

// TightFormat is the value of Tightness.Format. Fields are only ever added.
const TightFormat = "pourweek-tight/1"

// Tightness says what a planned week is short of.
type Tightness struct {
	Format string   `json:"format"`
	Shop   string   `json:"shop"`
	Monday string   `json:"monday"`
	Loads  []Load   `json:"loads"` // what work waited for longest first
	More   *Cases   `json:"more"`  // what one more of each that work waited for would bring; null: nothing was tried
	Left   []string `json:"left"`  // what work waited for as well and was left untried
	Note   string   `json:"note"`  // what was tried and what not
}

// Load is how much of something is used, and how long work waited for it.
type Load struct {
	Name   string  `json:"name"` // crew finisher, mold M3, rack long, mixer drum, station tent
	Used   float64 `json:"used_hours"`
	Of     float64 `json:"of_hours"`
	Share  float64 `json:"share"`         // 0 to 1
	Waited float64 `json:"waited_hours"`  // regular open hours (why.Load)
	Until  *Moment `json:"longest_until"` // of the longest wait; null where nothing waited
	Pour   string  `json:"longest_pour"`  // whose it was
}

// BuildTight takes the loads of a week's plan, what was tried (nil: nothing), and
// what was not.
func BuildTight(w *model.Week, loads []why.Load, more *Cases, left []whatif.Case) (*Tightness, error) {
	k, err := newClock(w.Problem, w.Zone)
	if err != nil {
		return nil, err
	}
	t := &Tightness{Format: TightFormat, Shop: w.Shop, Monday: w.Monday, Loads: []Load{}, More: more, Left: []string{}}
	for _, c := range left {
		t.Left = append(t.Left, c.Name())
	}
	t.Note = t.note()
	for _, l := range loads {
		x := Load{l.Name, k.hours(int64(l.Used)), k.hours(int64(l.Of)), l.Share(), k.hours(int64(l.Waited)), nil, l.Pour}
		if l.Pour != "" {
			until := k.moment(l.Longest[1])
			x.Until = &until
		}
		t.Loads = append(t.Loads, x)
	}
	return t, nil
}

// note says what was tried and what was left.
func (x *Tightness) note() string {
	switch {
	case x.More == nil:
		return "Nothing that the week can have more of was waited for, so that nothing was tried."
	case len(x.Left) == 0:
		return "Tried: one more of each thing that work waited for."
	}
	return "Tried: one more of each kind of thing that work waited for, then of those it waited for longest. Left untried, for want of work: " +
		strings.Join(x.Left, ", ") + "."
}

// leastShare is the share of its hours from which something that nothing
// waited for is listed for a person.
const leastShare = 0.5

func (x *Tightness) table(all bool) table {
	t := table{kind: "load", title: fmt.Sprintf("%s, week of %s: what is tight", x.Shop, x.Monday), columns: []column{
		{name: "what", key: "what", flex: true},
		{name: "used h", key: "used_hours", right: true},
		{name: "of h", key: "of_hours", right: true},
		{name: "used %", key: "used_percent", right: true},
		{name: "waited h", key: "waited_hours", right: true},
		{name: "longest until", key: "longest_until"},
		{name: "by", key: "longest_pour"},
	}}
	for _, l := range x.Loads {
		if all || l.Waited > 0 || l.Share >= leastShare {
			until := cell{}
			if l.Until != nil {
				until = text(l.Until.dayHour())
			}
			t.rows = append(t.rows, []cell{text(l.Name), hours(l.Used), hours(l.Of), number("%.0f", 100*l.Share), hours(l.Waited), until, text(l.Pour)})
		}
	}
	return t
}

// WriteTightText draws the loads that matter, and what more of them would bring.
func WriteTightText(w io.Writer, x *Tightness, s Screen) error {
	s.Width = max(s.Width, leastWidth)
	d := &drawing{b: &Board{}, s: s}
	t := x.table(false)
	if err := d.table(&t); err != nil {
		return err
	}
	d.line("")
	d.paragraph("Hours until the last piece is ready. Molds and racks count day and night, people, mixers and stations the open hours; a person with several skills counts for each. Waited: regular open hours (no closed ones, no overtime) in which a step stood ready and could have begun but for this, summed over steps; then when, and for which piece, the longest wait ended. What several things held up counts for its mold or rack, else its mixer, else people, else the station.")
	d.paragraph(x.Note)
	if _, err := w.Write(bytes.TrimPrefix(d.out.Bytes(), []byte("\n"))); err != nil {
		return err
	}
	if x.More == nil {
		return nil
	}
	if _, err := io.WriteString(w, "\n"); err != nil {
		return err
	}
	return WriteCasesText(w, x.More, s)
}

// WriteTightRows writes a row for each load and each case, tab-separated.
func WriteTightRows(w io.Writer, x *Tightness) error {
	t := x.table(true)
	var out bytes.Buffer
	out.WriteString("#" + t.kind)
	for _, c := range t.columns {
		out.WriteString("\t" + safe(c.key))
	}
	out.WriteByte('\n')
	for _, r := range t.rows {
		cells := []string{t.kind}
		for _, c := range r {
			cells = append(cells, c.row())
		}
		out.WriteString(strings.Join(cells, "\t") + "\n")
	}
	out.WriteString("note\t" + safe(x.Note) + "\n")
	if _, err := w.Write(out.Bytes()); err != nil || x.More == nil {
		return err
	}
	return WriteCasesRows(w, x.More)
}

// WriteTightJSON writes it as one document (TightFormat).
func WriteTightJSON(w io.Writer, x *Tightness) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	return e.Encode(x)
}

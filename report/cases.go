package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"

	"pourweek/model"
	"pourweek/solve"
	"pourweek/solve/compare"
)

// CasesFormat is the value of Cases.Format. Fields are only ever added to it.
const CasesFormat = "pourweek-cases/1"

// Cases sets a week under several changes side by side, today first.
type Cases struct {
	Format   string    `json:"format"`
	Shop     string    `json:"shop"`
	Currency string    `json:"currency"`
	Monday   string    `json:"monday"`
	Rows     []CaseRow `json:"rows"`
	Advice   string    `json:"advice"` // what brings most, "" when nothing does
}

// CaseRow holds the figures of one case, as Summary has them. Where no plan was
// found they are 0.
type CaseRow struct {
	Case          string     `json:"case"`
	People        int        `json:"people"`
	Late          int        `json:"late"`
	LateHours     float64    `json:"late_hours"`
	Carried       int        `json:"carried"`
	OvertimeHours float64    `json:"overtime_hours"`
	IdleHours     float64    `json:"idle_hours"`
	RackWaitHours float64    `json:"rack_wait_hours"`
	Batches       int        `json:"batches"`
	Cost          model.Mils `json:"cost_mils"`
	Bound         model.Mils `json:"bound_mils"`
	Saves         model.Mils `json:"saves_mils"` // today's cost less this one's; 0 where today has no plan
	Told          string     `json:"told"`
	Reason        string     `json:"reason"`     // why there is no plan; "" where there is one
	Price         model.Mils `json:"price_mils"` // of the change, for a week; 0: none, or not given
	Without       []string   `json:"without"`    // the people of today whom the case takes away
	planned       bool
	priced        bool
}

// BuildCases takes the figures from compared rows. w is the week they are
// compared for; price gives what a case costs a week, and whether it is known.
func BuildCases(w *model.Week, rows []compare.Row, price func(compare.Row) (model.Mils, bool)) (*Cases, error) {
	c := &Cases{Format: CasesFormat, Shop: w.Shop, Currency: w.Currency, Monday: w.Monday, Rows: []CaseRow{}}
	for _, r := range rows {
		x := CaseRow{Case: r.Case.Name(), People: len(r.Problem.People), Told: string(r.Told), Saves: r.Saves, Bound: r.Result.Bound,
			Without: without(w.Problem, r.Problem)}
		if x.planned = r.Result.Plan != nil; x.planned {
			v := *w
			v.Problem, v.Plan = r.Problem, r.Result.Plan
			b, err := Build(&v)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", x.Case, err)
			}
			s := b.Summary
			x.Late, x.LateHours, x.Carried, x.OvertimeHours = s.Late, s.LateHours, s.Carried, s.OvertimeHours
			x.IdleHours, x.RackWaitHours, x.Batches, x.Cost = s.IdleHours, s.RackWaitHours, s.Batches, s.Cost
		} else {
			x.Reason = NoPlan(r.Result)
		}
		if p, ok := price(r); ok {
			x.Price, x.priced = p, true
		}
		c.Rows = append(c.Rows, x)
	}
	c.Advice = c.advise()
	return c, nil
}

// NoPlan says that a search found no plan, or that there is none, and why.
func NoPlan(r *solve.Result) string {
	why := r.Reason
	if why == "" {
		why = "no reason is known"
	}
	if r.Status == solve.Infeasible {
		return "no plan is possible: " + why
	}
	return "no plan was found: " + why
}

// reasons says of the cases without a plan why there is none, in a sentence for
// each reason.
func (c *Cases) reasons() []string {
	var l []string
	for i, x := range c.Rows {
		if x.planned || slices.ContainsFunc(c.Rows[:i], func(y CaseRow) bool { return y.Reason == x.Reason }) {
			continue
		}
		var names []string
		for _, y := range c.Rows[i:] {
			if y.Reason == x.Reason {
				names = append(names, y.Case)
			}
		}
		l = append(l, strings.Join(names, ", ")+": "+x.Reason+".")
	}
	return l
}

// without lists the people of one problem who are not in another.
func without(p, q *model.Problem) []string {
	gone := []string{}
	for _, x := range p.People {
		if !slices.ContainsFunc(q.People, func(y model.Person) bool { return x.ID == y.ID }) {
			gone = append(gone, x.ID)
		}
	}
	return gone
}

// absences says in a sentence whom the cases take away where they do not say so
// themselves; "" where there is nobody.
func (c *Cases) absences() string {
	var l []string
	for _, x := range c.Rows {
		if len(x.Without) > 0 && !strings.EqualFold(x.Case, "people-"+x.Without[0]) {
			l = append(l, x.Case+" goes without "+strings.Join(x.Without, ", "))
		}
	}
	if len(l) == 0 {
		return ""
	}
	return strings.Join(l, "; ") + "."
}

// advise names what brings most for its price, of the changes whose price is
// known; else what saves most; and how much of that is proven. Overtime is in
// the cost of a plan, so that its saving needs no price.
func (c *Cases) advise() string {
	if len(c.Rows) > 0 && !c.Rows[0].planned {
		return c.opened()
	}
	const none = "No change that was tried saves anything that can be told from noise."
	best := func(of func(CaseRow) bool, gain func(CaseRow) float64) int {
		top := -1
		for i, x := range c.Rows {
			if i > 0 && x.Saves > 0 && x.Told != string(compare.Noise) && of(x) && (top < 0 || gain(x) > gain(c.Rows[top])) {
				top = i
			}
		}
		return top
	}
	saves := func(x CaseRow) float64 { return float64(x.Saves) }
	ratio := func(x CaseRow) float64 { return float64(x.Saves) / float64(x.Price) }
	var l []string
	if i := best(func(x CaseRow) bool { return x.Price > 0 }, ratio); i >= 0 {
		l = append(l, c.worth(c.Rows[i]))
	}
	if i := best(func(x CaseRow) bool { return x.Price == 0 && x.priced }, saves); i >= 0 {
		l = append(l, fmt.Sprintf("%s saves %s a week, what it costs taken off; %s.", c.Rows[i].Case, c.amount(c.Rows[i].Saves), c.proven(c.Rows[i])))
	}
	if i := best(func(x CaseRow) bool { return !x.priced }, saves); i >= 0 && (len(l) == 0 || saves(c.Rows[i]) > 0) {
		l = append(l, fmt.Sprintf("%s saves %s a week, before what it costs itself; %s.", c.Rows[i].Case, c.amount(c.Rows[i].Saves), c.proven(c.Rows[i])))
	}
	if len(l) == 0 {
		return none
	}
	return strings.Join(l, " ")
}

// opened names the changes with which a week that has no plan has one, and the
// cheapest of these plans; "" where there is none.
func (c *Cases) opened() string {
	var names []string
	best := -1
	for i, x := range c.Rows {
		if x.planned {
			if names = append(names, x.Case); best < 0 || x.Cost < c.Rows[best].Cost {
				best = i
			}
		}
	}
	switch {
	case len(names) == 0:
		return ""
	case len(names) == 1:
		return fmt.Sprintf("There is no plan for today's week. With %s there is one, which costs %s, before what the change costs itself.", names[0], c.amount(c.Rows[best].Cost))
	}
	return fmt.Sprintf("There is no plan for today's week. With each of %s there is one; the cheapest, with %s, costs %s, before what the change costs itself.",
		strings.Join(names, ", "), c.Rows[best].Case, c.amount(c.Rows[best].Cost))
}

// worth says whether a priced change brings what it costs.
func (c *Cases) worth(x CaseRow) string {
	if x.Saves < x.Price {
		return fmt.Sprintf("Nothing with a price brings what it costs: the nearest, %s, saves %s a week and costs %s a week.", x.Case, c.amount(x.Saves), c.amount(x.Price))
	}
	return fmt.Sprintf("%s brings most for its price: it saves %s a week and costs %s a week; %s.", x.Case, c.amount(x.Saves), c.amount(x.Price), c.proven(x))
}

// proven says how much of a saving no better plan of today's week can take away.
func (c *Cases) proven(x CaseRow) string {
	if sure := proven(c.Rows[0].Bound - x.Cost); sure > 0 {
		return c.amount(min(sure, x.Saves)) + " of it is proven"
	}
	return "none of it is proven, since a better plan of today's week is not ruled out"
}

func (c *Cases) amount(m model.Mils) string {
	return fmt.Sprintf("%.2f %s", float64(m)/1000, c.Currency)
}

func (c *Cases) table() table {
	t := table{kind: "case", title: fmt.Sprintf("%s, week of %s, under one change at a time", c.Shop, c.Monday), columns: []column{
		{name: "case", key: "case"},
		{name: "people", key: "people", right: true, extra: true},
		{name: "late", key: "late", right: true},
		{name: "late h", key: "late_hours", right: true},
		{name: "carried", key: "carried", right: true},
		{name: "over h", key: "overtime_hours", right: true, extra: true},
		{name: "idle h", key: "idle_hours", right: true, extra: true},
		{name: "rack h", key: "rack_wait_hours", right: true, extra: true},
		{name: "batches", key: "batches", right: true, extra: true},
		{name: "cost " + c.Currency, key: "cost", right: true},
		{name: "at least", key: "bound", right: true, extra: true},
		{name: "saves", key: "saves", right: true},
		{name: "how sure", key: "told", flex: true},
		{name: "without", key: "without", rows: true},
		{name: "reason", key: "reason", rows: true},
	}}
	for _, x := range c.Rows {
		gone, saves := text(strings.Join(x.Without, ", ")), mils(x.Saves)
		if !c.Rows[0].planned {
			saves = cell{}
		}
		if !x.planned {
			t.rows = append(t.rows, []cell{text(x.Case), number("%d", x.People), {}, {}, {}, {}, {}, {}, {}, {}, {}, {}, text(x.Told), gone, text(x.Reason)})
			continue
		}
		t.rows = append(t.rows, []cell{
			text(x.Case), number("%d", x.People), number("%d", x.Late), lateCell(x.LateHours), number("%d", x.Carried),
			hours(x.OvertimeHours), hours(x.IdleHours), hours(x.RackWaitHours), number("%d", x.Batches),
			mils(x.Cost), mils(proven(x.Bound)), saves, text(x.Told), gone, {},
		})
	}
	return t
}

func mils(m model.Mils) cell { return number("%.2f", float64(m)/1000) }

// WriteCasesText draws the cases as a table, the plot under it where there are
// crew sizes, and the advice.
func WriteCasesText(w io.Writer, c *Cases, s Screen) error {
	s.Width = max(s.Width, leastWidth)
	d := &drawing{b: &Board{Currency: c.Currency}, s: s}
	t := c.table()
	if err := d.table(&t); err != nil {
		return err
	}
	d.line("")
	d.paragraph("Saves is today's cost less that of the case. Told apart: proven by plans and bounds. Likely: every seed finds it. Inside noise: the seeds differ by more.")
	for _, why := range c.reasons() {
		d.paragraph(why)
	}
	if gone := c.absences(); gone != "" {
		d.paragraph(gone)
	}
	d.plot(c)
	d.line("")
	d.strong(c.Advice)
	_, err := w.Write(bytes.TrimPrefix(d.out.Bytes(), []byte("\n")))
	return err
}

// plot draws cost and late hours by crew size, each with its own bars and
// scale, where there are two sizes at least.
func (d *drawing) plot(c *Cases) {
	pts := c.crews()
	if len(pts) < 2 {
		return
	}
	cost, late := bars{name: "cost " + c.Currency}, bars{name: "late h"}
	for _, x := range pts {
		cost.add(float64(x.Cost)/1000, fmt.Sprintf("%.2f", float64(x.Cost)/1000))
		late.add(x.LateHours, lateHours(x.LateHours))
	}
	d.title("Cost and late hours by crew size")
	const people = 8
	room := (d.s.Width - people - cost.wide() - late.wide() - 6) / 2
	row := func(who, a, abar, b, bbar string) {
		line := fmt.Sprintf("%*s  %*s %-*s  %*s %s", people, who, cost.wide(), a, room, abar, late.wide(), b, bbar)
		d.line(strings.TrimRight(line, " "))
	}
	row("people", cost.name, "", late.name, "")
	for i, x := range pts {
		row(fmt.Sprint(x.People), cost.text[i], cost.bar(i, room), late.text[i], late.bar(i, room))
	}
}

// bars are a column of a plot: numbers from 0 on, the largest with a whole bar.
type bars struct {
	name  string
	value []float64
	text  []string
}

func (b *bars) add(v float64, text string) {
	b.value, b.text = append(b.value, v), append(b.text, text)
}

func (b *bars) wide() int {
	n := len(b.name)
	for _, s := range b.text {
		n = max(n, len(s))
	}
	return n
}

// bar is the i-th bar, of at most room characters; all but 0 show one at least.
func (b *bars) bar(i, room int) string {
	if b.value[i] <= 0 {
		return ""
	}
	return strings.Repeat("#", max(1, int(b.value[i]*float64(room)/slices.Max(b.value))))
}

// crews are the rows that ask for a crew size and have a plan, and today, in
// the order of their size.
func (c *Cases) crews() []CaseRow {
	var out []CaseRow
	for i, x := range c.Rows {
		if x.planned && (i == 0 || strings.HasPrefix(x.Case, "people=")) {
			out = append(out, x)
		}
	}
	slices.SortStableFunc(out, func(a, b CaseRow) int { return a.People - b.People })
	return slices.CompactFunc(out, func(a, b CaseRow) bool { return a.People == b.People })
}

// WriteCasesRows writes a row a case, tab-separated.
func WriteCasesRows(w io.Writer, c *Cases) error {
	t := c.table()
	var out bytes.Buffer
	out.WriteString("#case")
	for _, col := range t.columns {
		out.WriteString("\t" + safe(col.key))
	}
	out.WriteByte('\n')
	for _, r := range t.rows {
		out.WriteString(t.kind)
		for _, x := range r {
			out.WriteString("\t" + x.row())
		}
		out.WriteByte('\n')
	}
	fmt.Fprintf(&out, "advice\t%s\n", safe(c.Advice))
	_, err := w.Write(out.Bytes())
	return err
}

// WriteCasesJSON writes the cases as one document (CasesFormat).
func WriteCasesJSON(w io.Writer, c *Cases) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	return e.Encode(c)
}

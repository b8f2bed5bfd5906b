package report

import (
	"encoding/xml"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/model/whatif"
	"pourweek/solve"
	"pourweek/solve/compare"
)

// someCases compares a toy with crews of its size and one more, exhaustively
// answered, and one case without a plan.
func someCases(t *testing.T) *Cases {
	t.Helper()
	p := modeltest.Toy(2)
	plan, cost, ok := oracle.Best(p)
	if !ok || plan == nil {
		t.Fatal("the toy has no plan")
	}
	more, err := whatif.Apply(p, whatif.Case{Kind: whatif.People, Spec: "9"})
	if err != nil {
		t.Fatal(err)
	}
	fewer := *p
	fewer.People = p.People[1:]
	rows := []compare.Row{
		{Case: whatif.Case{Kind: whatif.Today}, Problem: p, Result: &solve.Result{Plan: plan, Bound: cost}, Told: compare.TheBase},
		{Case: whatif.Case{Kind: whatif.People, Spec: "9"}, Problem: more, Result: &solve.Result{Plan: plan, Bound: 5}, Told: compare.Same},
		{Case: whatif.Case{Kind: whatif.People, Spec: "-1:mix"}, Problem: &fewer, Result: &solve.Result{}, Told: compare.NoPlan},
	}
	w := &model.Week{Shop: "A <shop>", Zone: "UTC", Currency: "USD", Monday: "2027-03-01", Problem: p, Plan: plan}
	c, err := BuildCases(w, rows, func(compare.Row) (model.Mils, bool) { return 0, false })
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestCasesInEveryForm(t *testing.T) {
	c := someCases(t)
	for _, width := range []int{80, 160} {
		var b strings.Builder
		if err := WriteCasesText(&b, c, Screen{Width: width}); err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{"today", "people=9", "no plan", "Cost and late hours by crew size", "\n       9  "} {
			if !strings.Contains(b.String(), want) {
				t.Errorf("width %d lacks %q:\n%s", width, want, b.String())
			}
		}
		if want := "people-1:mix goes without " + c.Rows[2].Without[0] + "."; !strings.Contains(b.String(), want) {
			t.Errorf("width %d lacks %q:\n%s", width, want, b.String())
		}
		for l := range strings.Lines(b.String()) {
			if l = strings.TrimSuffix(l, "\n"); len(l) > width || strings.HasSuffix(l, " ") {
				t.Errorf("width %d: %q", width, l)
			}
		}
	}
	var rows strings.Builder
	if err := WriteCasesRows(&rows, c); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(rows.String()), "\n")
	if !strings.HasSuffix(lines[3], "\t"+c.Rows[2].Without[0]+"\tno plan was found: no reason is known") {
		t.Errorf("who is missing, and why there is no plan, does not stand at the end of %q", lines[3])
	}
	if len(lines) != 5 || strings.Count(lines[0], "\t") != strings.Count(lines[1], "\t") {
		t.Errorf("rows are\n%s", rows.String())
	}
	var json strings.Builder
	if err := WriteCasesJSON(&json, c); err != nil || !strings.Contains(json.String(), `"format": "pourweek-cases/1"`) {
		t.Errorf("%v: %s", err, json.String())
	}
}

// Where today's week has no plan, its row says so, the reason stands below, and
// the advice names the changes that give it one, the cheapest plan last.
func TestCasesOfAWeekWithoutAPlan(t *testing.T) {
	c := &Cases{Shop: "Shop", Currency: "USD", Rows: []CaseRow{
		{Case: "today", Told: "no plan", Reason: "no plan is possible: fixed work asks for 2"},
		{Case: "people-Ann", Told: "no plan", Reason: "no plan is possible: fixed work asks for 2"},
		{Case: "people+1:hand", Told: "has a plan", Cost: 5_000, Bound: 3_000, planned: true},
		{Case: "people+2:hand", Told: "has a plan", Cost: 4_000, Bound: 3_000, planned: true},
		{Case: "mixer+1", Told: "no plan", Reason: "no plan was found: no reason is known"},
	}}
	c.Advice = c.advise()
	var b strings.Builder
	if err := WriteCasesText(&b, c, Screen{Width: 160}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"today, people-Ann: no plan is possible: fixed work asks for 2.\n", "mixer+1: no plan was found: no reason is known.\n",
		"With each of people+1:hand, people+2:hand there is one; the cheapest, with people+2:hand, costs 4.00 USD",
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("lacks %q:\n%s", want, b.String())
		}
	}
	if strings.Contains(b.String(), "0.00") {
		t.Errorf("a figure is made up where there is no plan:\n%s", b.String())
	}
	c.Rows = c.Rows[:3]
	if got := c.advise(); got != "There is no plan for today's week. With people+1:hand there is one, which costs 5.00 USD, before what the change costs itself." {
		t.Errorf("one change: %q", got)
	}
}

// Cost and late hours have a column of bars each, by their own scale.
func TestCasesPlotHasBarsForBoth(t *testing.T) {
	row := func(people int, cost model.Mils, late float64) CaseRow {
		return CaseRow{Case: "people=3", People: people, Cost: cost, LateHours: late, planned: true}
	}
	c := &Cases{Currency: "USD", Rows: []CaseRow{row(3, 400_000, 20), row(4, 200_000, 0.1), row(5, 100, 0), row(6, 100, 1.0/60)}}
	d := &drawing{b: &Board{Currency: c.Currency}, s: Screen{Width: 60}}
	d.plot(c)
	want := `
Cost and late hours by crew size
  people  cost USD                   late h
       3    400.00 ################    20.0 ################
       4    200.00 ########             0.1 #
       5      0.10 #                    0.0
       6      0.10 #                   0.02 #
`
	if got := d.out.String(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// A crew that is late by a minute is not drawn as one that is in time, and one
// that is in time not as late.
func TestCasesPlotTellsMinutesFromNone(t *testing.T) {
	c := &Cases{Rows: []CaseRow{
		{Case: "people=3", People: 3, Late: 1, LateHours: 1.0 / 60, planned: true}, {Case: "people=4", People: 4, planned: true},
		{Case: "people=5", People: 5, Late: 1, LateHours: 3.0 / 60, planned: true},
	}}
	var b strings.Builder
	if err := WriteCasesSVG(&b, c); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{">0.02 h late<", ">0.0 h late<", ">0.1 h late<"} {
		if strings.Count(b.String(), want) != 1 {
			t.Errorf("%q does not stand once in\n%s", want, b.String())
		}
	}
	b.Reset()
	if err := WriteCasesRows(&b, c); err != nil || !strings.Contains(b.String(), "people=3\t3\t1\t0.02\t") {
		t.Errorf("%v:\n%s", err, b.String())
	}
}

func TestCasesPlotIsWellFormed(t *testing.T) {
	c := someCases(t)
	var b strings.Builder
	if err := WriteCasesSVG(&b, c); err != nil {
		t.Fatal(err)
	}
	dec, bars := xml.NewDecoder(strings.NewReader(b.String())), 0
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if s, ok := tok.(xml.StartElement); ok && s.Name.Local == "rect" {
			bars++
		}
	}
	if bars != 3 { // the ground and two crews
		t.Errorf("%d rectangles", bars)
	}
	c.Rows = c.Rows[:1]
	if err := WriteCasesSVG(io.Discard, c); err == nil {
		t.Error("a plot of one crew size is drawn")
	}
}

// The words under the crew sizes have room, however many sizes there are.
func TestCasesPlotOfManyCrewsIsWider(t *testing.T) {
	c := &Cases{Shop: "Shop", Currency: "USD"}
	for n := range 20 {
		c.Rows = append(c.Rows, CaseRow{Case: "people=" + strconv.Itoa(n+1), People: n + 1, Cost: 1000, LateHours: 162.4, planned: true})
	}
	var b strings.Builder
	if err := WriteCasesSVG(&b, c); err != nil {
		t.Fatal(err)
	}
	var at []float64
	for _, m := range regexp.MustCompile(`<text x="([0-9.]+)" [^>]*>[0-9]+ people<`).FindAllStringSubmatch(b.String(), -1) {
		x, err := strconv.ParseFloat(m[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		if len(at) > 0 && x-at[len(at)-1] < 75 { // "162.4 h late" of 12 pixels a letter's height is about 70 wide
			t.Errorf("crew sizes stand at %v and %v", at[len(at)-1], x)
		}
		at = append(at, x)
	}
	wide := regexp.MustCompile(`<svg [^>]* width="([0-9]+)"`).FindStringSubmatch(b.String())
	if len(at) != 20 || wide == nil {
		t.Fatalf("%d crew sizes in %s", len(at), b.String()[:200])
	}
	if w, _ := strconv.ParseFloat(wide[1], 64); at[19] > w-75/2 {
		t.Errorf("the last crew size stands at %v of %v", at[19], w)
	}
}

// What compare says is proven is never rounded up.
func TestProvenOfCasesIsRoundedDown(t *testing.T) {
	c := &Cases{Currency: "USD", Rows: []CaseRow{{Case: "today", Bound: 10_017, Cost: 12_000, planned: true}, {Case: "one", Cost: 10_000, Bound: 4_999, Saves: 2_000, planned: true}}}
	if got := c.proven(c.Rows[1]); got != "0.01 USD of it is proven" {
		t.Errorf("of 0.017 USD: %q", got)
	}
	c.Rows[0].Bound = 10_009
	if got := c.proven(c.Rows[1]); !strings.HasPrefix(got, "none") {
		t.Errorf("of 0.009 USD: %q", got)
	}
	var b strings.Builder
	if err := WriteCasesText(&b, c, Screen{Width: 160}); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.String(), "4.99") || strings.Contains(b.String(), "5.00") {
		t.Errorf("a bound of 4.999 USD is not printed as 4.99:\n%s", b.String())
	}
}

package report

import (
	"slices"
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
	"pourweek/model/whatif"
	"pourweek/solve/why"
)

// Whether a change mends a piece or none does, the answer says what was tried,
// and names a mold that is down, and until when.
func TestAnAnswerSaysWhatWasTried(t *testing.T) {
	p := modeltest.Toy(1)
	plan, _, ok := oracle.Best(p)
	for seed := uint64(2); !ok || plan == nil || len(plan.Pours) == 0 || plan.Pours[0].Ready < 9; seed++ {
		p = modeltest.Toy(seed)
		plan, _, ok = oracle.Best(p)
	}
	w := &model.Week{Shop: "A shop", Zone: "UTC", Currency: "USD", Monday: "2027-03-01", Problem: p, Plan: plan}
	p.Molds[0].Down = []model.Interval{{0, 3}, {5, 7}, {90, 99}}
	ask := Question{Pour: plan.Pours[0].ID, By: plan.Pours[0].Ready - 1, Work: 300,
		Cause: &why.Cause{Impossible: why.No, Least: true, Proof: why.Kernel, Facts: []why.Fact{{Kind: why.Down, Name: p.Molds[0].ID}, {Kind: why.Molds}}},
		Tried: []whatif.Case{{Kind: whatif.Today}, {Kind: whatif.Mixer, Spec: "+1"}}}
	down := "mold " + p.Molds[0].ID + " is down until "
	e, text := answer(t, w, ask)
	for _, want := range []string{"None found. Tried, with 300 units of work each: put it first, mixer+1.", "is not proven.", down, " and from "} {
		if !strings.Contains(text, want) {
			t.Errorf("without a mend the answer lacks %q:\n%s", want, text)
		}
	}
	if f := e.Facts[0]; f.Name != p.Molds[0].ID || f.Until == nil || f.Until.Tick != 7 || strings.Count(f.Text, "until") != 2 {
		t.Errorf("the mold that is down: %+v", f)
	}
	if want := "because of these together: " + down; !strings.Contains(text, want) {
		t.Errorf("two facts lack %q:\n%s", want, text)
	}
	ask.Cause.Facts = ask.Cause.Facts[:1]
	if _, text = answer(t, w, ask); !strings.Contains(text, "because of this: "+down) || !strings.Contains(text, "Without that it could be.") {
		t.Errorf("one fact:\n%s", text)
	}
	ask.Mends = []why.Mend{{Case: ask.Tried[1], Cost: plan.Cost + 5}}
	ask.Cause = &why.Cause{Impossible: why.NotProven, Facts: ask.Cause.Facts}
	e, text = answer(t, w, ask)
	if strings.Contains(text, "None found") || !strings.Contains(text, "The others were not shown to have it ready by") || !strings.Contains(text, down) {
		t.Errorf("with a mend:\n%s", text)
	}
	if len(e.Facts) != 0 || e.Proven {
		t.Errorf("%v are named as proven", e.Facts)
	}
	ask.Mends, ask.Tried, ask.Cause = nil, nil, nil
	if _, text = answer(t, w, ask); strings.Contains(text, "Tried") || strings.Contains(text, "None found") {
		t.Errorf("nothing was tried:\n%s", text)
	}
}

// answer is what is explained and its text with single spaces.
func answer(t *testing.T, w *model.Week, ask Question) (*Explained, string) {
	t.Helper()
	e, err := Explain(w, ask)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := WriteExplainedText(&b, e, "USD", Screen{Width: 80}); err != nil {
		t.Fatal(err)
	}
	return e, strings.Join(strings.Fields(b.String()), " ")
}

// The change and its price stand apart, however long the name of the change, and
// a change that costs nothing is not said to cost less.
func TestMendsStandApartFromTheirPrice(t *testing.T) {
	long := "molds+1:" + strings.Repeat("planter-", 10) + "24"
	e := &Explained{Tried: []string{"today"}, Mends: []Mend{{"molds+1:planter-24-white", 0, 5_000}, {"people+1:hand", 0, 0}, {long, 0, -7_250}}}
	d := &drawing{b: &Board{}, s: Screen{Width: 60}}
	d.mends(e, "USD")
	text := strings.Join(strings.Fields(d.out.String()), " ")
	for _, want := range []string{
		"molds+1:planter-24-white the week then costs 5.00 USD more",
		"people+1:hand the week then costs as much ",
		long + " the week then costs 7.25 USD less",
	} {
		if !strings.Contains(text+" ", want) {
			t.Errorf("%q is missing in\n%s", want, d.out.String())
		}
	}
}

// A piece that goes by truck is in time for a truck, and not when it is due: one
// that is ready between the last truck in time and its due leaves late.
func TestInTimeIsForTheTruck(t *testing.T) {
	p := modeltest.Toy(1)
	plan, _, ok := oracle.Best(p)
	for seed := uint64(2); !ok || plan == nil || len(plan.Pours) < 2 || plan.Pours[0].Ready == plan.Pours[1].Ready; seed++ {
		p = modeltest.Toy(seed)
		plan, _, ok = oracle.Best(p)
	}
	first, last := &plan.Pours[0], &plan.Pours[1]
	if first.Ready > last.Ready {
		first, last = last, first
	}
	w := &model.Week{Shop: "A shop", Zone: "UTC", Currency: "USD", Monday: "2027-03-01", Problem: p, Plan: plan}
	r := first.Ready
	for _, c := range []struct {
		name, want string
		ship       model.Shipment
		by         model.Tick
		impossible bool
	}{
		{"a truck before it is ready", "It cannot be ready for the truck", model.Shipment{Pours: []string{first.ID}, Due: r + 1, Trucks: []model.Tick{r - 1, r + 3}}, r - 1, true},
		{"a truck in time", "It is ready for the truck", model.Shipment{Pours: []string{first.ID}, Due: r + 1, Trucks: []model.Tick{r, r + 3}}, r, false},
		{"a truck after it is due", "It is on time. It leaves late, ", model.Shipment{Pours: []string{first.ID}, Due: r + 1, Trucks: []model.Tick{r + 3}}, r + 1, false},
		{"no truck left", "It cannot be ready for the truck", model.Shipment{Pours: []string{first.ID}, Due: r - 9, Trucks: []model.Tick{r - 10}}, r - 10, true},
		{"the order waits", "It is on time. Its order leaves late, ", model.Shipment{Pours: []string{first.ID, last.ID}, Due: r, Trucks: nil}, r, false},
	} {
		p.Shipments = []model.Shipment{c.ship}
		i := slices.IndexFunc(p.Pours, func(q model.Pour) bool { return q.ID == first.ID })
		if got := why.By(p, &p.Pours[i]); got != c.by {
			t.Errorf("%s: it has to be ready by %d, want %d", c.name, got, c.by)
		}
		ask := Question{Pour: first.ID, By: c.by}
		if c.impossible {
			ask.Cause = &why.Cause{Impossible: why.No, Least: true, Alone: true, Proof: why.Steps}
		}
		e, text := answer(t, w, ask)
		if !strings.Contains(text, c.want) || e.Leaves == nil || e.Leaves.Tick < e.Ready.Tick {
			t.Errorf("%s lacks %q:\n%s", c.name, c.want, text)
		}
	}
}

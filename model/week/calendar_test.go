package week

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"pourweek/model"
	"pourweek/model/shop"
)

const tickDay = model.Tick(288)

// at is the tick of a time of day on the n-th day, before any clock change.
func at(n, hour, minute int) model.Tick {
	return model.Tick(n)*tickDay + model.Tick(hour*12+minute/5)
}

// on is the ticks that a person is there on the n-th day.
func on(t testing.TB, p *model.Problem, id string, n int) model.Tick {
	t.Helper()
	for i := range p.People {
		if p.People[i].ID == id {
			return model.TicksIn(p.People[i].On, at(n, 0, 0), at(n+1, 0, 0))
		}
	}
	t.Fatalf("there is no %s", id)
	return 0
}

func moment(n, clock int) shop.Moment {
	return shop.Moment{Date: monday.Add(n), Clock: shop.Clock(clock)}
}

func TestOpenHoursAndOvertime(t *testing.T) {
	p := compiled(t, testShop(t), book(t, oneBench), nil).Problem
	want := []model.Interval{{at(0, 7, 0), at(0, 12, 0)}, {at(0, 12, 30), at(0, 17, 0)}, {at(1, 7, 0), at(1, 12, 0)}}
	if d := cmp.Diff(want, p.Open[:3]); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]model.Interval{{at(0, 15, 30), at(0, 17, 0)}, {at(1, 15, 30), at(1, 17, 0)}}, p.Overtime[:2]); d != "" {
		t.Error(d)
	}
	// A regular day has 8 h, 96 ticks; the evening 18 more; Saturday 60.
	for id, want := range map[string][2]model.Tick{"ada": {114, 60}, "ben": {96, 60}, "cleo": {96, 0}} {
		if got := [2]model.Tick{on(t, p, id, 0), on(t, p, id, 5)}; got != want {
			t.Errorf("%s is there for %v ticks on Monday and on Saturday, want %v", id, got, want)
		}
	}
	var callins []model.Callin
	for _, n := range []int{5, 12} {
		callins = append(callins, model.Callin{From: at(n, 7, 0), To: at(n, 12, 0), Cost: 60_000})
	}
	callins = append(callins, model.Callin{From: at(19, 6, 0), To: at(19, 11, 0), Cost: 60_000}) // an hour less in the zone since 2027-03-14
	if d := cmp.Diff(callins, p.Callins); d != "" {
		t.Error(d)
	}
}

func TestClosedExtraOwnHoursAndDaysAway(t *testing.T) {
	s := testShop(t)
	s.Calendar.Closed = []shop.Period{{From: moment(1, 0), To: moment(2, 0)}, {From: moment(2, 12*60+33), To: moment(2, 14*60+2)}}
	s.Calendar.Extra = []shop.ExtraDay{{Date: monday.Add(5), Hours: day2(clockHours(8*60, 11*60))}}
	person(s, "ben").Hours = &shop.Week{time.Monday: day2(clockHours(6*60, 11*60+2)), time.Wednesday: day2(clockHours(7*60, 15*60+30))}
	person(s, "cleo").Away = []shop.Period{{From: moment(0, 7*60+1), To: moment(0, 8*60+1)}}
	p := compiled(t, s, book(t, oneBench), nil).Problem
	for _, c := range []struct {
		what string
		got  model.Tick
		want model.Tick
	}{
		{"Tuesday is closed", model.TicksIn(p.Open, at(1, 0, 0), at(2, 0, 0)), 0},
		{"Wednesday is closed from 12:30 to 14:05", model.TicksIn(p.Open, at(2, 0, 0), at(3, 0, 0)), 114 - 19},
		{"Saturday has 3 regular hours", model.TicksIn(model.Subtract(p.Open, p.Overtime), at(5, 0, 0), at(6, 0, 0)), 36},
		{"and two of call-in beside them", model.TicksIn(p.Overtime, at(5, 0, 0), at(6, 0, 0)), 24},
		{"ben comes at 7 and goes at 11 on Monday", on(t, p, "ben", 0), 48},
		{"ben is there on Wednesday", on(t, p, "ben", 2), 96 - 19},
		{"ben takes Saturday's overtime alone", on(t, p, "ben", 5), 24},
		{"cleo misses 7:00 to 8:05", on(t, p, "cleo", 0), 96 - 13},
		{"cleo works the extra hours", on(t, p, "cleo", 5), 36},
	} {
		if c.got != c.want {
			t.Errorf("%s: %d ticks, want %d", c.what, c.got, c.want)
		}
	}
	// Regular work on the extra Saturday must not cost a call-in: two windows, two call-ins.
	var n int
	for _, c := range p.Callins {
		if c.From < at(6, 0, 0) {
			n++
			if model.TicksIn(model.Subtract(p.Open, p.Overtime), c.From, c.To) > 0 {
				t.Errorf("call-in %v holds regular hours", c)
			}
		}
	}
	if n != 2 {
		t.Errorf("%d call-ins on Saturday", n)
	}
}

func TestNobodyWorksInTheLunchBreak(t *testing.T) {
	s := testShop(t)
	s.Calendar.Overtime[1].Hours[time.Saturday] = day2(clockHours(7*60, 15*60))
	s.Calendar.Lunch[time.Saturday] = day2(clockHours(12*60+1, 12*60+29))
	p := compiled(t, s, book(t, oneBench), nil).Problem
	want := []model.Interval{{at(5, 7, 0), at(5, 12, 0)}, {at(5, 12, 30), at(5, 15, 0)}}
	if d := cmp.Diff(want, model.Intersect(p.Overtime, []model.Interval{{at(5, 0, 0), at(6, 0, 0)}})); d != "" {
		t.Error(d)
	}
	if got := p.Callins[0]; got != (model.Callin{From: at(5, 7, 0), To: at(5, 15, 0), Cost: 60_000}) {
		t.Errorf("the day is not one call-in: %v", got)
	}
}

// In the middle of a week nothing is planned before now, and fixed work that is
// over is left out.
func TestNowInTheMiddleOfTheWeek(t *testing.T) {
	s := testShop(t)
	s.Work[0].Hours[time.Monday] = day2(clockHours(7*60, 8*60))
	s.Work[0].Hours[time.Tuesday] = day2(clockHours(9*60, 10*60))
	now := time.Date(2027, 3, 2, 9, 31, 0, 0, s.Zone)
	f := floorOf(t, floorHead+"bench-1,A-99,M2,2027-03-03,2027-03-02 9:30,,,\n")
	l, errs := Compile(s, book(t, oneBench), f, Options{Monday: monday, Now: now})
	if errs.Len() > 0 {
		t.Fatal(errs)
	}
	if p := l.Problem; p.Now != at(1, 9, 35) || p.Fixed[0].ID != "load 2027-03-02" || pour(t, p, "A-99/f1").CureEnd != at(2, 1, 30) {
		t.Errorf("now %d, first fixed work %v", p.Now, p.Fixed[0])
	}
	if p := l.Problem; len(p.Validate()) > 0 {
		t.Error(p.Validate())
	}
	f = floorOf(t, floorHead+"bench-1,A-99,M2,2027-03-03,2027-03-02 9:36,,,\n")
	if _, errs := Compile(s, book(t, oneBench), f, Options{Monday: monday, Now: now}); errs.Len() != 1 {
		t.Error(errs)
	}
}

// Spring forward in Berlin, 2027-03-28, and back in New York, 2027-11-07: the
// days after keep their civil hours, and a shift over the change its real length.
func TestCalendarCrossesClockChanges(t *testing.T) {
	for _, c := range []struct {
		zone  string
		start shop.Date
		shift model.Tick // of the days after the change
		night model.Tick // length of Sunday 0:00 to 6:00
	}{
		{"Europe/Berlin", day(2027, 3, 22), -12, 60},
		{"Europe/Berlin", day(2027, 10, 25), 12, 84},
		{"America/New_York", day(2027, 3, 8), -12, 60},
		{"America/New_York", day(2027, 11, 1), 12, 84},
	} {
		s := testShop(t)
		s.Zone = zone(t, c.zone)
		s.Calendar.Hours[time.Sunday] = day2(clockHours(0, 6*60))
		text := "order,piece,quantity,due\nA-1,bench-1,1," + c.start.Add(8).String() + "\n"
		l, errs := Compile(s, book(t, text), nil, Options{Monday: c.start})
		if errs.Len() > 0 {
			t.Fatal(errs)
		}
		p := l.Problem
		if got := model.TicksIn(p.Open, at(6, 0, 0), at(7, 0, 0)+c.shift); got != c.night {
			t.Errorf("%s %s: the night has %d ticks, want %d", c.zone, c.start, got, c.night)
		}
		if got := p.Open[len(p.Open)-1]; got != (model.Interval{at(20, 0, 0) + c.shift, at(20, 6, 0) + c.shift}) {
			t.Errorf("%s %s: the last night is %v", c.zone, c.start, got)
		}
		if got, want := p.Pours[0].Due, at(8, 15, 30)+c.shift; got != want {
			t.Errorf("%s %s: due at %d, want %d", c.zone, c.start, got, want)
		}
		if got, want := p.PourUntil, at(7, 0, 0)+c.shift; got != want {
			t.Errorf("%s %s: pours until %d, want %d", c.zone, c.start, got, want)
		}
		if got, want := p.Horizon, at(21, 0, 0)+c.shift; got != want {
			t.Errorf("%s %s: horizon %d, want %d", c.zone, c.start, got, want)
		}
	}
}

func TestRackPlacesChangeOnTheSafeSide(t *testing.T) {
	s := testShop(t)
	s.Racks[0].Changes = []shop.RackChange{
		{From: moment(1, 7*60+3), Places: 4}, {From: moment(2, 7*60+3), Places: 9},
		{From: moment(3, 9*60), Places: 9}, {From: moment(40, 0), Places: 1},
	}
	p := compiled(t, s, book(t, oneBench), nil).Problem
	want := model.Steps{{0, 6}, {int64(at(1, 7, 0)), 4}, {int64(at(2, 7, 5)), 9}}
	if d := cmp.Diff(want, p.Racks[0].Places); d != "" {
		t.Error(d)
	}
	s.Racks[0].Changes = []shop.RackChange{{From: moment(-3, 0), Places: 2}, {From: moment(0, 0), Places: 3}}
	p = compiled(t, s, book(t, oneBench), nil).Problem
	if d := cmp.Diff(model.Steps{{0, 3}}, p.Racks[0].Places); d != "" {
		t.Error(d)
	}
}

func TestFixedWorkIsLaidOutOrLeftOutWithANote(t *testing.T) {
	s := testShop(t)
	s.Work[0].Hours[time.Friday] = day2(clockHours(13*60+2, 13*60+58))
	s.Calendar.Closed = []shop.Period{{From: moment(11, 0), To: moment(12, 0)}}
	person(s, "ben").Away = []shop.Period{{From: moment(18, 0), To: moment(19, 0)}}
	person(s, "ada").Away = []shop.Period{{From: moment(18, 13*60), To: moment(18, 14*60)}}
	l := compiled(t, s, book(t, oneBench), nil)
	want := []model.Fixed{{ID: "load 2027-03-05", Start: at(4, 13, 0), End: at(4, 14, 0), Crew: model.Crew{"hand": 2}}}
	if d := cmp.Diff(want, l.Problem.Fixed); d != "" {
		t.Error(d)
	}
	note := `"load 2027-03-19" at Fri 2027-03-19 13:00 is left out: it needs 2 with the skill hand, and fewer are there and free`
	if d := cmp.Diff([]string{note}, l.Labels.Notes); d != "" {
		t.Error(d)
	}
}

func TestFixedWorkDoesNotTakeTheSameHandsTwice(t *testing.T) {
	s := testShop(t)
	s.Work = append(s.Work, shop.FixedWork{Name: "meeting", Hours: s.Work[0].Hours, Crew: model.Crew{"hand": 2}},
		shop.FixedWork{Name: "test", Hours: s.Work[0].Hours, Crew: model.Crew{"mix": 1}})
	l := compiled(t, s, book(t, oneBench), nil)
	if len(l.Problem.Fixed) != 6 || len(l.Labels.Notes) != 3 { // load and test in each week; no hands are left for the meeting
		t.Errorf("%d fixed, notes %q", len(l.Problem.Fixed), l.Labels.Notes)
	}
}

func TestTrucksLeaveOnOpenDays(t *testing.T) {
	s := testShop(t)
	s.Calendar.Trucks = append(s.Calendar.Trucks, shop.Truck{Date: ptr(monday.Add(1)), Clock: 10*60 + 4}, shop.Truck{Weekday: time.Friday, Clock: 14 * 60})
	s.Calendar.Closed = []shop.Period{{From: moment(11, 0), To: moment(12, 0)}}
	text := "order,piece,quantity,due,ship,truck\nA-1,bench-1,2,2027-03-05,whole,yes\nA-2,bench-1,2,2027-03-05,,yes\nA-3,bench-1,2,2027-03-05,whole,\n"
	p := compiled(t, s, book(t, text), nil).Problem
	trucks := []model.Tick{at(1, 10, 0), at(4, 14, 0), at(18, 13, 0)} // the third after the clock change
	due := at(4, 15, 30)
	late := model.Mils(500)
	want := []model.Shipment{
		{ID: "A-2/1", Pours: []string{"A-2/1"}, Due: due, LatePerTick: late, Trucks: trucks, Hold: true},
		{ID: "A-2/2", Pours: []string{"A-2/2"}, Due: due, LatePerTick: late, Trucks: trucks, Hold: true},
		{ID: "A-1", Pours: []string{"A-1/1", "A-1/2"}, Due: due, LatePerTick: 2 * late, Trucks: trucks, Hold: true},
		{ID: "A-3", Pours: []string{"A-3/1", "A-3/2"}, Due: due, LatePerTick: 2 * late, Hold: true},
	}
	if d := cmp.Diff(want, p.Shipments); d != "" {
		t.Error(d)
	}
	for _, q := range p.Pours {
		if q.LatePerTick != 0 {
			t.Errorf("%s is charged twice", q.ID)
		}
	}
}

// At ticks of an hour, shifts that change at half past leave no hole; a break does.
func TestShiftsThatTouchLeaveNoHole(t *testing.T) {
	s := testShop(t)
	s.TickMinutes = 60
	s.Calendar.Overtime = nil
	s.Calendar.Hours = shop.Week{
		time.Monday:  day2(clockHours(6*60, 14*60+30), clockHours(14*60+30, 22*60)),
		time.Tuesday: day2(clockHours(14*60+31, 22*60), clockHours(6*60, 14*60+30)),
	}
	c := newCalendar(newClock(s.Zone, monday, 7, s.TickMinutes), s)
	if d := cmp.Diff([]model.Interval{{6, 22}, {30, 38}, {39, 46}}, c.open); d != "" {
		t.Error(d)
	}
	// Nor does a clock change: 1:30 comes twice in the night before 2027-11-07's morning.
	s.TickMinutes = 5
	s.Calendar.Hours = shop.Week{
		time.Saturday: day2(clockHours(22*60, 24*60)),
		time.Sunday:   day2(clockHours(0, 90), clockHours(90, 6*60)),
	}
	c = newCalendar(newClock(s.Zone, day(2027, 11, 1), 7, s.TickMinutes), s)
	if d := cmp.Diff([]model.Interval{{at(5, 22, 0), at(6, 7, 0)}}, c.open); d != "" {
		t.Error(d)
	}
}

func TestHoursInWhichAStepMayStart(t *testing.T) {
	s := testShop(t)
	bench := s.Piece("bench-1")
	bench.Demold.When = &shop.Week{time.Monday: day2(clockHours(7*60+1, 9*60+4), clockHours(9*60+4, 10*60))}
	bench.Cover.When = &shop.Week{time.Tuesday: day2(clockHours(7*60+1, 7*60+6))}
	p := pour(t, compiled(t, s, book(t, oneBench), nil).Problem, "A-1/1")
	if d := cmp.Diff([]model.Interval{{at(0, 7, 5), at(0, 10, 0)}, {at(7, 7, 5), at(7, 10, 0)}}, p.Demold.When[:2]); d != "" {
		t.Error(d)
	}
	// 7:05 is a start, though the tick that begins there ends after 7:06.
	if d := cmp.Diff([]model.Interval{{at(1, 7, 5), at(1, 7, 10)}}, p.Cover.When[:1]); d != "" {
		t.Error(d)
	}
	if p.Prep.When != nil {
		t.Error("no rule reads as a rule")
	}
}

func TestHoursInWhichNoStepCanStart(t *testing.T) {
	never := &shop.Week{time.Tuesday: day2(clockHours(7*60+1, 7*60+4), clockHours(8*60+1, 8*60+5))}
	for what, set := range map[string]func(*shop.Piece){
		`the prep of "bench-1"`:     func(p *shop.Piece) { p.Prep.When = never },
		`coat "body" of "bench-1"`:  func(p *shop.Piece) { p.Coats[0].When = never },
		`the cover of "bench-1"`:    func(p *shop.Piece) { p.Cover.When = never },
		`the demold of "bench-1"`:   func(p *shop.Piece) { p.Demold.When = never },
		`step "grind" of "bench-1"`: func(p *shop.Piece) { p.Finish[0].When = never },
	} {
		s := testShop(t)
		set(s.Piece("bench-1"))
		got := mistakes(t, s, book(t, oneBench), nil)
		if !strings.Contains(got, what+` may start in no hour of these weeks: no tick of 5 min begins in its "when"`) {
			t.Errorf("%s: %s", what, got)
		}
	}
}

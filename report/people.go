package report

import (
	"cmp"
	"fmt"
	"slices"

	"pourweek/model"
)

// What flags a person's day.
const (
	// longDay is in hours of work; longer days are flagged (common practice).
	longDay = 10
	// longWeek is in hours of work in a calendar week (2003/88/EC, article 6:
	// 48 hours on average, overtime included).
	longWeek = 48
	// shortRest is in hours between two days of work (2003/88/EC, article 3: 11
	// hours of rest in 24).
	shortRest = 11
	// longBreak is in hours for which a person is not there: one who is away no
	// longer over midnight has a break and no rest (our judgment: a long meal).
	longBreak = 2
)

// stretch is work of one person without a midnight in it: n ticks of it, over of
// them overtime.
type stretch struct {
	iv      model.Interval
	n, over int64
}

// peopleList gives each person's hours by day. Fixed work counts.
func (b *builder) peopleList() []Person {
	byPerson := make(map[string][]stretch, len(b.p.People))
	for i := range b.tasks {
		t := &b.tasks[i]
		for _, iv := range b.parts(t.iv, t.takes) {
			s := stretch{iv: iv}
			for k := iv.From(); k < iv.To(); k++ {
				if t.takes(k) {
					s.n++
					if b.isOvertime(k) {
						s.over++
					}
				}
			}
			for _, who := range names(t.row.Who) {
				byPerson[who] = append(byPerson[who], s)
			}
		}
	}
	l := []Person{}
	for i := range b.p.People {
		p := &b.p.People[i]
		work := byPerson[p.ID]
		slices.SortStableFunc(work, func(x, y stretch) int { return cmp.Compare(x.iv.From(), y.iv.From()) })
		y := Person{ID: p.ID, Skills: append([]string{}, p.Skills...), Days: b.personDays(work)}
		var n, over int64
		for _, s := range work {
			n, over = n+s.n, over+s.over
		}
		y.Hours, y.Overtime = b.hours(n), b.hours(over)
		b.flag(y.Days, b.shifts(work, b.count(p.On)))
		l = append(l, y)
	}
	return l
}

// personDays adds up stretches, which are in the order of the clock, by date.
func (b *builder) personDays(work []stretch) []PersonDay {
	l := []PersonDay{}
	var over int64
	for _, s := range work {
		date := b.date(s.iv.From())
		if len(l) == 0 || l[len(l)-1].Date != date {
			l = append(l, PersonDay{Date: date, From: b.moment(s.iv.From()), To: b.moment(s.iv.To())})
			over = 0
		}
		d := &l[len(l)-1]
		d.ticks, over = d.ticks+s.n, over+s.over
		d.Hours, d.Overtime = b.hours(d.ticks), b.hours(over)
		if s.iv.To() > d.To.Tick {
			d.To = b.moment(s.iv.To())
		}
	}
	return l
}

// shift is the work of a person from one rest to the next.
type shift struct {
	iv model.Interval
	n  int64 // ticks of work
}

// shifts joins stretches, which are in the order of the clock. Work of one date
// is one shift, as who waits between two tasks does not rest, unless there is a
// full rest in between; a shift goes on over midnight, and ends then, where the
// person is away for no more than a break. here counts the ticks in which the
// person is there before each tick.
func (b *builder) shifts(work []stretch, here []int32) []shift {
	var l []shift
	for _, s := range work {
		if n := len(l); n > 0 {
			last := &l[n-1]
			gap := model.Interval{last.iv.To(), max(s.iv.From(), last.iv.To())}
			away := int64(gap.Len()) - int64(here[b.clamp(gap.To())]-here[b.clamp(gap.From())])
			sameDate := b.date(last.iv.From()) == b.date(s.iv.From())
			if b.hours(int64(gap.Len())) < shortRest && (sameDate || b.hours(away) <= longBreak) {
				last.iv[1], last.n = max(last.iv.To(), s.iv.To()), last.n+s.n
				continue
			}
		}
		l = append(l, shift{s.iv, s.n})
	}
	return l
}

// flag marks long days and shifts, short rests and long weeks in a person's
// days. It counts in ticks, as sums of hours are not exact, and prints so that
// what is too long or too short never looks as if it were at its bound.
func (b *builder) flag(days []PersonDay, shifts []shift) {
	flags := map[string][]string{} // by date
	add := func(date, format string, args ...any) {
		flags[date] = append(flags[date], fmt.Sprintf(format, args...))
	}
	tooLong := func(ticks int64, hours int) bool { return ticks*int64(b.minutes) > int64(hours)*60 }
	up := func(ticks int64) float64 { return float64((ticks*int64(b.minutes)+5)/6) / 10 }
	for _, d := range days {
		if tooLong(d.ticks, longDay) {
			add(d.Date, "%.1f h on one day", up(d.ticks))
		}
	}
	for i, s := range shifts {
		date := b.date(s.iv.From())
		if date != b.date(s.iv.To()-1) && tooLong(s.n, longDay) {
			add(date, "%.1f h in one shift over midnight", up(s.n))
		}
		if i == 0 {
			continue
		}
		if rest := int64(s.iv.From()-shifts[i-1].iv.To()) * int64(b.minutes); rest < shortRest*60 {
			add(date, "%.1f h of rest before it", float64(rest/6)/10)
		}
	}
	week := map[string]int64{}
	for _, d := range days {
		y, w := d.From.t.ISOWeek()
		key := fmt.Sprintf("%d-%d", y, w)
		before := week[key]
		week[key] += d.ticks
		if !tooLong(before, longWeek) && tooLong(week[key], longWeek) {
			add(d.Date, "more than %d h in the week", longWeek)
		}
	}
	for i := range days {
		days[i].Long = list(flags[days[i].Date])
	}
}

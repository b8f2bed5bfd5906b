package report

import (
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
)

// peopleList gives each person's hours by day. Fixed work counts.
func (b *builder) peopleList() []Person {
	byPerson := make(map[string]map[string]*PersonDay, len(b.p.People))
	for i := range b.tasks {
		t := &b.tasks[i]
		for _, iv := range b.parts(t.iv, t.takes) {
			var n, over int64
			for k := iv.From(); k < iv.To(); k++ {
				if t.takes(k) {
					n++
					if b.isOvertime(k) {
						over++
					}
				}
			}
			for _, who := range names(t.row.Who) {
				if byPerson[who] == nil {
					byPerson[who] = map[string]*PersonDay{}
				}
				b.enter(byPerson[who], iv, n, over)
			}
		}
	}
	l := []Person{}
	for i := range b.p.People {
		p := &b.p.People[i]
		y := Person{ID: p.ID, Skills: append([]string{}, p.Skills...), Days: []PersonDay{}}
		for _, d := range byPerson[p.ID] {
			y.Days = append(y.Days, *d)
		}
		slices.SortFunc(y.Days, func(x, z PersonDay) int { return int(x.From.Tick - z.From.Tick) })
		for _, d := range y.Days {
			y.Hours += d.Hours
			y.Overtime += d.Overtime
		}
		b.flag(y.Days)
		l = append(l, y)
	}
	return l
}

// enter adds a stretch of n ticks of work, over of them overtime, to a day.
func (b *builder) enter(days map[string]*PersonDay, iv model.Interval, n, over int64) {
	date := b.date(iv.From())
	d := days[date]
	if d == nil {
		d = &PersonDay{Date: date, From: b.moment(iv.From()), To: b.moment(iv.To())}
		days[date] = d
	}
	d.Hours += b.hours(n)
	d.Overtime += b.hours(over)
	if iv.From() < d.From.Tick {
		d.From = b.moment(iv.From())
	}
	if iv.To() > d.To.Tick {
		d.To = b.moment(iv.To())
	}
}

// flag marks long days, short rests and long weeks in a person's days.
func (b *builder) flag(days []PersonDay) {
	week := map[string]float64{}
	for i := range days {
		d := &days[i]
		y, w := d.From.t.ISOWeek()
		key := fmt.Sprintf("%d-%d", y, w)
		before := week[key]
		week[key] += d.Hours
		switch {
		case d.Hours > longDay:
			d.Long = fmt.Sprintf("%.1f h on one day", d.Hours)
		case i > 0 && b.hours(int64(d.From.Tick-days[i-1].To.Tick)) < shortRest:
			d.Long = fmt.Sprintf("%.1f h of rest before it", b.hours(int64(d.From.Tick-days[i-1].To.Tick)))
		case before <= longWeek && week[key] > longWeek:
			d.Long = fmt.Sprintf("more than %d h in the week", longWeek)
		}
	}
}

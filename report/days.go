package report

import (
	"strings"

	"pourweek/model"
)

// dayList tells of each date with work when the shop is open and who is away.
func (b *builder) dayList(work []Work) []Day {
	l := []Day{}
	here := make([][]int32, len(b.p.People))
	for i := range b.p.People {
		here[i] = b.count(b.p.People[i].On)
	}
	for i := range work {
		if i > 0 && work[i].Date == work[i-1].Date {
			continue
		}
		from := work[i].From.Tick
		for from > 0 && b.date(from-1) == work[i].Date {
			from--
		}
		iv := model.Interval{from, min(b.nextDay(from), b.horizon)}
		d := Day{
			Date: work[i].Date, Away: []string{}, Part: []Presence{},
			Open:     b.stretches(iv, func(t model.Tick) bool { return b.isOpen(t) && !b.isOvertime(t) }),
			Overtime: b.stretches(iv, b.isOvertime),
		}
		for k := range b.p.People {
			b.presence(&d, b.p.People[k].ID, here[k], iv)
		}
		l = append(l, d)
	}
	return l
}

// stretches are the parts of an interval in which a condition holds.
func (b *builder) stretches(iv model.Interval, holds func(model.Tick) bool) [][2]Moment {
	l := [][2]Moment{}
	from := model.Tick(-1)
	for t := iv.From(); t <= iv.To(); t++ {
		in := t < iv.To() && holds(t)
		if in && from < 0 {
			from = t
		}
		if !in && from >= 0 {
			l = append(l, [2]Moment{b.moment(from), b.moment(t)})
			from = -1
		}
	}
	return l
}

// presence adds a person to a day's away or part, if they are not there in all
// regular hours. here counts the person's ticks before each tick.
func (b *builder) presence(d *Day, person string, here []int32, iv model.Interval) {
	first, last := model.Tick(-1), model.Tick(-1)
	missing := false
	for t := iv.From(); t < iv.To(); t++ {
		switch {
		case !b.isOpen(t) || b.isOvertime(t):
		case here[t+1] == here[t]:
			missing = true
		default:
			if first < 0 {
				first = t
			}
			last = t
		}
	}
	switch {
	case !missing:
	case first < 0:
		d.Away = append(d.Away, person)
	default:
		d.Part = append(d.Part, Presence{person, b.moment(first), b.moment(last + 1)})
	}
}

// mostNamed bounds how many people a line about a day names.
const mostNamed = 10

// sentence says when a day is open and who is away.
func (d *Day) sentence() string {
	var parts []string
	if len(d.Open) > 0 {
		parts = append(parts, "open "+d.spans(d.Open))
	} else {
		parts = append(parts, "no regular hours")
	}
	if len(d.Overtime) > 0 {
		parts = append(parts, "overtime "+d.spans(d.Overtime))
	}
	if len(d.Open) > 0 && len(d.Away) > 0 {
		parts = append(parts, "away "+some(d.Away))
	}
	var l []string
	for _, p := range d.Part {
		l = append(l, p.Person+" "+d.spans([][2]Moment{{p.From, p.To}}))
	}
	if len(l) > 0 {
		parts = append(parts, "here for a part: "+some(l))
	}
	return strings.Join(parts, "; ")
}

func (d *Day) spans(l [][2]Moment) string {
	var s []string
	for _, x := range l {
		s = append(s, x[0].hour()+"-"+x[1].hourOf(d.Date))
	}
	return strings.Join(s, ", ")
}

// some joins words, the first of them if there are many.
func some(words []string) string {
	if len(words) <= mostNamed {
		return strings.Join(words, ", ")
	}
	return strings.Join(words[:mostNamed], ", ") + " and " + count(len(words)-mostNamed, "other")
}

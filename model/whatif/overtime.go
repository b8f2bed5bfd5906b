package whatif

import (
	"fmt"
	"slices"
	"time"

	"pourweek/model"
)

// Overtime that a case adds: two hours after the last of each working day,
// and five hours from the usual opening on Saturday.
const (
	dailyOvertime    = 2 * time.Hour
	saturdayOvertime = 5 * time.Hour
)

// overtime takes all overtime from the people, or offers it to everyone on
// working days or on Saturday. Where the week has no such hours open, they are
// added: two hours after the day's last open tick, five on Saturday from the
// earliest opening of the other days.
func overtime(q *model.Problem, spec string) error {
	switch spec {
	case "none":
		q.People = slices.Clone(q.People)
		for i := range q.People {
			q.People[i].On = model.Subtract(q.People[i].On, q.Overtime)
		}
		return nil
	case "daily", "saturday":
	default:
		return fmt.Errorf("overtime %q: allowed are none, daily, saturday", spec)
	}
	start, err := time.Parse(time.RFC3339, q.Start)
	if err != nil {
		return fmt.Errorf("start %q of the week is no date and time", q.Start)
	}
	extra := extraHours(q, start, spec == "saturday")
	added := model.Subtract(extra, q.Open)
	q.Open = model.Union(q.Open, added)
	q.Overtime = model.Union(q.Overtime, added)
	offered := model.Intersect(q.Overtime, extra)
	q.People = slices.Clone(q.People)
	for i := range q.People {
		q.People[i].On = model.Union(q.People[i].On, offered)
	}
	return nil
}

// extraHours are the hours that daily or Saturday overtime may take. Days are
// cut at the offset that the week starts with; a clock change within the week
// moves them by an hour at most.
func extraHours(q *model.Problem, start time.Time, saturday bool) []model.Interval {
	tick := time.Duration(q.TickMinutes) * time.Minute
	day := model.Tick(24 * time.Hour / tick)
	midnight := model.Tick(start.Sub(time.Date(start.Year(), start.Month(), start.Day(), 0, 0, 0, 0, start.Location())) / tick)
	regular := model.Subtract(q.Open, q.Overtime)
	opening := day
	for _, iv := range regular {
		opening = min(opening, (iv[0]+midnight)%day)
	}
	var out []model.Interval
	for d := -midnight; d < q.Horizon; d += day {
		weekday := start.Add(time.Duration(max(d, 0)) * tick).Weekday()
		today := model.Intersect(regular, []model.Interval{{d, d + day}})
		switch {
		case saturday && weekday == time.Saturday && len(today) == 0:
			out = append(out, model.Interval{d + opening, d + opening + model.Tick(saturdayOvertime/tick)})
		case !saturday && len(today) > 0:
			last := today[len(today)-1][1]
			out = append(out, model.Interval{last, min(last+model.Tick(dailyOvertime/tick), d+day)})
		}
	}
	return model.Intersect(out, []model.Interval{{0, q.Horizon}})
}

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
			q.People[i].On = minus(q.People[i].On, q.Overtime)
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
	added := minus(extra, q.Open)
	q.Open = union(q.Open, added)
	q.Overtime = union(q.Overtime, added)
	offered := within(q.Overtime, extra)
	q.People = slices.Clone(q.People)
	for i := range q.People {
		q.People[i].On = union(q.People[i].On, offered)
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
	regular := minus(q.Open, q.Overtime)
	opening := day
	for _, iv := range regular {
		opening = min(opening, (iv[0]+midnight)%day)
	}
	var out []model.Interval
	for d := -midnight; d < q.Horizon; d += day {
		weekday := start.Add(time.Duration(max(d, 0)) * tick).Weekday()
		today := within(regular, []model.Interval{{d, d + day}})
		switch {
		case saturday && weekday == time.Saturday && len(today) == 0:
			out = append(out, model.Interval{d + opening, d + opening + model.Tick(saturdayOvertime/tick)})
		case !saturday && len(today) > 0:
			last := today[len(today)-1][1]
			out = append(out, model.Interval{last, min(last+model.Tick(dailyOvertime/tick), d+day)})
		}
	}
	return within(out, []model.Interval{{0, q.Horizon}})
}

// union, minus and within work on ascending disjoint intervals.
func union(a, b []model.Interval) []model.Interval {
	all := append(slices.Clone(a), b...)
	slices.SortFunc(all, func(x, y model.Interval) int { return int(x[0] - y[0]) })
	out := []model.Interval{}
	for _, iv := range all {
		if n := len(out); n > 0 && iv[0] <= out[n-1][1] {
			out[n-1][1] = max(out[n-1][1], iv[1])
			continue
		}
		out = append(out, iv)
	}
	return out
}

func minus(a, b []model.Interval) []model.Interval {
	out := []model.Interval{}
	for _, iv := range a {
		for _, cut := range b {
			if cut[1] <= iv[0] || cut[0] >= iv[1] {
				continue
			}
			if cut[0] > iv[0] {
				out = append(out, model.Interval{iv[0], cut[0]})
			}
			iv[0] = min(cut[1], iv[1])
		}
		if iv[0] < iv[1] {
			out = append(out, iv)
		}
	}
	return out
}

func within(a, b []model.Interval) []model.Interval {
	out := []model.Interval{}
	for _, x := range a {
		for _, y := range b {
			if lo, hi := max(x[0], y[0]), min(x[1], y[1]); lo < hi {
				out = append(out, model.Interval{lo, hi})
			}
		}
	}
	return out
}

package whatif

import (
	"fmt"
	"slices"
	"strings"

	"pourweek/model"
)

// racks adds places to a rack at all times, or takes some away, down to none.
func racks(q *model.Problem, spec string) error {
	n, id, err := signed(spec)
	if err != nil {
		return fmt.Errorf("racks %w, then the rack: +4:%s", err, q.Racks[0].ID)
	}
	i := slices.IndexFunc(q.Racks, func(r model.Rack) bool { return r.ID == id })
	if i < 0 {
		var ids []string
		for _, r := range q.Racks {
			ids = append(ids, r.ID)
		}
		return fmt.Errorf("rack %q is not in the shop; racks are %s", id, strings.Join(ids, ", "))
	}
	q.Racks = slices.Clone(q.Racks)
	places := slices.Clone(q.Racks[i].Places)
	for j := range places {
		places[j][1] = max(places[j][1]+int64(n), 0)
	}
	q.Racks[i].Places = places
	return nil
}

// stations adds places to a station, or takes some away, down to none.
func stations(q *model.Problem, spec string) error {
	var ids []string
	for _, x := range q.Stations {
		ids = append(ids, x.ID)
	}
	if len(ids) == 0 {
		return fmt.Errorf("stations %q: the shop has none", spec)
	}
	n, id, err := signed(spec)
	if err != nil {
		return fmt.Errorf("stations %w, then the station: +1:%s", err, ids[0])
	}
	i := slices.Index(ids, id)
	if i < 0 {
		return fmt.Errorf("station %q is not in the shop; stations are %s", id, strings.Join(ids, ", "))
	}
	q.Stations = slices.Clone(q.Stations)
	q.Stations[i].Places = max(q.Stations[i].Places+n, 0)
	return nil
}

package logbook

import (
	"fmt"
	"slices"
	"time"

	"pourweek/model"
	"pourweek/model/delim"
)

// KnownOf lists what entries can name in published weeks, the newest first: its
// Monday is the one that weekdays are counted from. It errors when there is no
// week, or the newest has a zone or a Monday that cannot be read.
func KnownOf(weeks ...*model.Week) (*Known, error) {
	if len(weeks) == 0 {
		return nil, fmt.Errorf("no week was published")
	}
	zone, err := time.LoadLocation(weeks[0].Zone)
	if err != nil {
		return nil, fmt.Errorf("time zone %q is not known", weeks[0].Zone)
	}
	monday, err := time.ParseInLocation(time.DateOnly, weeks[0].Monday, zone)
	if err != nil {
		return nil, fmt.Errorf("monday %q is no date", weeks[0].Monday)
	}
	k := &Known{Zone: zone, Monday: monday, Steps: map[string][]string{}, Finish: map[string][]string{},
		Casts: map[string][]string{}, Asks: map[string][]string{}, Logged: map[string]bool{}}
	for _, w := range weeks {
		k.add(w)
	}
	return k, nil
}

// put adds a name that is not there yet.
func put(list *[]string, id string) {
	if id != "" && !slices.Contains(*list, id) {
		*list = append(*list, id)
	}
}

// putIn adds a name to those of a key.
func putIn(m map[string][]string, key, id string) {
	l := m[key]
	put(&l, id)
	m[key] = l
}

// brings takes in an order that an entry brings.
func (k *Known) brings(e Entry) {
	put(&k.Orders, e.Which)
	if k.Asks != nil {
		putIn(k.Asks, e.Which, e.Piece)
	}
}

// Brings takes in the orders that entries bring, so that later ones can name them.
func (k *Known) Brings(log []Entry) {
	for _, e := range log {
		if e.What == Order {
			k.brings(e)
		}
	}
}

// own is a copy of which Brings and Read can change the orders.
func (k *Known) own() *Known {
	c := *k
	c.Orders, c.Asks = slices.Clone(k.Orders), map[string][]string{}
	for id, l := range k.Asks {
		c.Asks[id] = slices.Clone(l)
	}
	return &c
}

// add takes in the names of a week.
func (k *Known) add(w *model.Week) {
	p := w.Problem
	for i := range p.Pours {
		x := &p.Pours[i]
		put(&k.Pours, x.ID)
		put(&k.Orders, x.Order)
		put(&k.Pieces, x.Piece)
		putIn(k.Asks, x.Order, x.Piece)
		for _, m := range x.Molds {
			putIn(k.Casts, x.ID, m.Mold)
		}
		k.steps(x)
	}
	for _, line := range w.Log {
		if f, err := delim.Plain.Reader(line).Read(); err == nil && len(f) > 2 && f[1] == string(Order) {
			k.Logged[f[2]] = true
		}
	}
	for _, b := range w.Plan.Batches {
		put(&k.Batches, b.ID)
	}
	for _, x := range p.Molds {
		put(&k.Molds, x.ID)
	}
	for _, x := range p.Mixers {
		put(&k.Mixers, x.ID)
	}
	for _, x := range p.People {
		put(&k.People, x.ID)
	}
	for _, x := range p.Racks {
		put(&k.Racks, x.ID)
	}
	for id := range w.Labels.Pieces {
		put(&k.Pieces, id)
	}
	slices.Sort(k.Pieces)
}

// steps adds the steps of a pour; a later stage of it has fewer.
func (k *Known) steps(x *model.Pour) {
	var all, finish []string
	if x.Stage == model.New {
		all = append(all, "prep")
		for _, y := range x.Layers {
			all = append(all, y.ID)
		}
		all = append(all, "cover")
	}
	if x.Stage != model.Racked {
		all = append(all, "demold")
	}
	for _, f := range x.Finish {
		finish = append(finish, f.ID)
	}
	all = append(all, finish...)
	if len(all) > len(k.Steps[x.ID]) {
		k.Steps[x.ID], k.Finish[x.ID] = all, finish
	}
}

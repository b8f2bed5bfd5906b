package inst

import (
	"slices"
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
)

// renamed is a pour as another shop would write it: other ids of steps, its
// choices in another order.
func renamed(x model.Pour) model.Pour {
	old := map[string]string{}
	x.Layers, x.Finish, x.Spans = slices.Clone(x.Layers), slices.Clone(x.Finish), slices.Clone(x.Spans)
	for j := range x.Layers {
		old[x.Layers[j].ID] = "L" + x.Layers[j].ID
		x.Layers[j].ID = old[x.Layers[j].ID]
	}
	for j := range x.Finish {
		old[x.Finish[j].ID] = "F" + x.Finish[j].ID
		x.Finish[j].ID = old[x.Finish[j].ID]
	}
	moment := func(m string) string {
		k := strings.LastIndexByte(m, '.')
		if id := old[m[:k]]; id != "" {
			return id + m[k:]
		}
		return m
	}
	for k := range x.Spans {
		x.Spans[k].From, x.Spans[k].To = moment(x.Spans[k].From), moment(x.Spans[k].To)
	}
	x.ID += " again"
	x.Molds, x.Racks = slices.Clone(x.Molds), slices.Clone(x.Racks)
	slices.Reverse(x.Molds)
	slices.Reverse(x.Racks)
	slices.Reverse(x.Spans)
	return x
}

// Ids of steps and the order of choices say nothing about which pours are
// alike; what a plan can tell does.
func TestPoursAlikeAreGroupedWhateverTheirNames(t *testing.T) {
	spans := 0
	for seed := range uint64(60) {
		p := modeltest.Random(seed, modeltest.Options{MinPours: 2, MaxPours: 10})
		p.Shipments = nil
		n := len(p.Pours)
		for i := range n {
			x := p.Pours[i]
			x.Pin, p.Pours[i].Pin = nil, nil
			spans += len(x.Spans)
			again := renamed(x)
			other := renamed(x)
			other.ID += " later"
			other.Due++
			p.Pours = append(p.Pours, again, other)
		}
		in, err := Compile(p)
		if err != nil {
			t.Fatal(err)
		}
		for i := range n {
			again, other := n+2*i, n+2*i+1
			if in.Pours[i].Group != in.Pours[again].Group {
				t.Errorf("seed %d: pour %q and the same by other names are in two groups", seed, in.Pours[i].ID)
			}
			if in.Pours[i].Group == in.Pours[other].Group {
				t.Errorf("seed %d: pour %q is grouped with one that is due later", seed, in.Pours[i].ID)
			}
			if len(in.Pours[i].Molds) != len(in.Pours[again].Molds) {
				continue
			}
			for k, c := range in.Pours[i].Molds {
				if c.Mold != in.Pours[again].Molds[k].Mold {
					t.Errorf("seed %d: pour %q: the choices of equal pours are in another order", seed, in.Pours[i].ID)
				}
			}
		}
	}
	if spans == 0 {
		t.Error("no pour had a span")
	}
}

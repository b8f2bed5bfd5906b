package inst

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"

	"pourweek/model"
)

// group puts pours together that differ in nothing that a plan can tell:
// everything but names and the order of lists is equal, and so is the shipment.
func (c *compiler) group() {
	at := map[string]int32{}
	for i := range c.P.Pours {
		b, err := json.Marshal(c.nameless(i))
		if err != nil {
			c.err = err
			return
		}
		key := fmt.Sprintf("%d %s", c.Pours[i].Ship, b)
		g, ok := at[key]
		if !ok {
			g = int32(len(c.Groups))
			at[key] = g
			c.Groups = append(c.Groups, nil)
		}
		c.Pours[i].Group = g
		c.Groups[g] = append(c.Groups[g], int32(i))
	}
}

// nameless is a copy of a pour without its names, its choices in the order of
// the problem's lists.
func (c *compiler) nameless(i int) model.Pour {
	x := c.P.Pours[i]
	x.ID, x.Order, x.Piece = "", "", ""
	if c.P.Costs.Move == 0 {
		x.Base = nil
	}
	x.Layers, x.Finish = slices.Clone(x.Layers), slices.Clone(x.Finish)
	for j := range x.Layers {
		x.Layers[j].ID = ""
	}
	for j := range x.Finish {
		x.Finish[j].ID = ""
	}
	x.Spans = slices.Clone(x.Spans)
	for k, s := range c.Pours[i].Spans { // their moments name steps
		x.Spans[k].From, x.Spans[k].To = fmt.Sprint(s.From), fmt.Sprint(s.To)
	}
	slices.SortFunc(x.Spans, func(a, b model.Span) int {
		return cmp.Or(cmp.Compare(a.Station, b.Station), cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To))
	})
	x.Molds = slices.SortedFunc(slices.Values(x.Molds), func(a, b model.MoldChoice) int { return cmp.Compare(c.molds[a.Mold], c.molds[b.Mold]) })
	x.Racks = slices.SortedFunc(slices.Values(x.Racks), func(a, b string) int { return cmp.Compare(c.racks[a], c.racks[b]) })
	return x
}

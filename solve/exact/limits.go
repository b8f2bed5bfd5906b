package exact

import (
	"fmt"
	"slices"

	"pourweek/solve/inst"
)

// Sizes up to which a proof is tried.
const (
	provePours = 24
	proveDraws = 24
)

// unprovable says why there is no hope for a proof, nil if there is some.
func unprovable(in *inst.Inst) error {
	draws := 0
	ofMix := make([]int, len(in.Mixes))
	for i := range in.Pours {
		draws += len(in.Pours[i].Draws)
		for _, d := range in.Pours[i].Draws {
			ofMix[d.Mix]++
		}
	}
	for i := range in.Mixes { // it may start in a closed tick, and a sweep has only open ones
		if in.Mixes[i].Ready == 0 {
			return fmt.Errorf("a batch of the mix %s is mixed in no time, for which the exact search has no rule", in.Mixes[i].ID)
		}
	}
	switch {
	case len(in.Pours) > provePours || draws > proveDraws:
		return fmt.Errorf("%d pours with %d draws are too many for an exact search", len(in.Pours), draws)
	case len(ofMix) > 0 && slices.Max(ofMix) > manyDraws:
		return fmt.Errorf("%d draws of one mix are too many for an exact search", slices.Max(ofMix))
	}
	return nil
}

// mostCells is how many numbers of four bytes the tables of a week may hold.
const mostCells = 1 << 26

// tooBig says why a problem does not fit into the states and numbers of a sweep, nil
// if it does.
func tooBig(in *inst.Inst) error {
	draws, heads, cells := 0, int64(1), int64(0)
	for i := range in.Pours {
		q := &in.Pours[i]
		draws += len(q.Draws)
		if len(q.Draws) > 8 || len(q.Layers)+len(q.Finish) > 50 {
			return fmt.Errorf("pour %s has too many steps for an exact search", q.ID)
		}
		if q.Stage == inst.New {
			cells += int64(in.H) * int64(3+2*len(q.Layers)) << len(q.Draws)
		}
		heads = max(heads, int64(q.Demold.Heads), int64(q.Cover.Heads))
		for j := range q.Layers {
			heads = max(heads, int64(q.Layers[j].Heads))
		}
		for j := range q.Molds {
			heads = max(heads, int64(q.Molds[j].Prep.Heads))
		}
		for j := range q.Finish {
			heads = max(heads, int64(q.Finish[j].Heads))
		}
	}
	for i := range in.Mixes { // the sweep has one batch of a mixer at a tick
		if in.Mixes[i].Instant() {
			return fmt.Errorf("a batch of the mix %s takes no time, for which the exact search has no rule", in.Mixes[i].ID)
		}
	}
	grams := int64(0)
	for i := range in.Mixers {
		grams = max(grams, in.Mixers[i].Capacity)
	}
	for i := range in.Mixes {
		heads = max(heads, int64(in.Mixes[i].Heads))
	}
	c := &in.Costs
	rate := max(int64(c.Idle), int64(c.Held), int64(c.RackWait), int64(c.Overtime)*heads)
	switch {
	case len(in.People) > 10:
		return fmt.Errorf("%d people are too many for an exact search", len(in.People))
	case len(in.Pours) > maxPours || draws > maxDraws:
		return fmt.Errorf("%d pours with %d draws are too many for an exact search", len(in.Pours), draws)
	case cells > mostCells:
		return fmt.Errorf("the tables of an exact search would be too big")
	case slices.ContainsFunc(in.Mixes, func(m inst.Mix) bool { return len(m.WashLengths()) > mostLengths }):
		return fmt.Errorf("clean-ups of a mix have too many lengths for an exact search")
	case in.H > 30_000 || len(in.Mixes) > 200 || len(in.Mixers) > 60 || len(in.Racks) > 60:
		return fmt.Errorf("the horizon, mixes, mixers or racks are too many for an exact search")
	case rate*int64(len(in.OpenAt)) > maxCost || int64(c.Batch)+int64(c.Waste)*grams > maxCost || int64(c.Move) > maxCost:
		return fmt.Errorf("the costs are too high for an exact search")
	}
	return nil
}

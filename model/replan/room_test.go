package replan

import (
	"testing"

	"pourweek/model"
)

// A piece that waits for others to leave with keeps its place for as long as they
// may take: room for its own steps alone would leave no plan.
func TestRoomIsMadeForAsLongAsAPieceHoldsItsPlace(t *testing.T) {
	const day = 288
	for _, c := range []struct {
		hold bool
		want int64 // places on the last day
	}{{false, 0}, {true, 1}} {
		q := &model.Problem{TickMinutes: 5, Horizon: 4 * day, Open: []model.Interval{{84, 186}, {84 + day, 186 + day}},
			Racks: []model.Rack{{ID: "short", Places: model.Steps{{0, 0}}}},
			Pours: []model.Pour{{ID: "A-1/1", Stage: model.Racked, Rack: "short", Places: 1, From: 90,
				Finish: []model.Finish{{ID: "seal", Work: 4}}}},
			Shipments: []model.Shipment{{ID: "A-1", Pours: []string{"A-1/1"}, Hold: c.hold}}}
		notes := MakeRoom(q)
		if len(notes) != 1 || notes[0].Pour != "short" || q.Racks[0].Places.At(90) != 1 {
			t.Errorf("hold %v: %v, places %v", c.hold, notes, q.Racks[0].Places)
		}
		if got := q.Racks[0].Places.At(4*day - 1); got != c.want {
			t.Errorf("hold %v: %d places at the end, want %d", c.hold, got, c.want)
		}
	}
}

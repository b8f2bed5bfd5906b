package replan

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"pourweek/model"
	"pourweek/model/logbook"
)

// Quantities changes how many pieces orders have.
type Quantities struct {
	Log   []logbook.Entry // of kind quantity, by time, none of them undone by a cancel since
	Files *model.Problem  // pours and shipments to make new pours like: as the shop's files have them, or had
	Done  []model.Pour    // pours of published weeks that are done and have left
	Known []string        // ids of all pours that ever were: new ones get others
}

// numbered is the number of a pour in its order; false for one that floor.csv
// brought, which no quantity counts.
func numbered(p *model.Pour) (int, bool) {
	n, err := strconv.Atoi(strings.TrimPrefix(p.ID, p.Order+"/"))
	return n, err == nil
}

// counts reports whether the entry counts the pour.
func counts(e logbook.Entry, p *model.Pour) bool {
	_, ok := numbered(p)
	return ok && p.Order == e.Which && (e.Piece == "" || e.Piece == p.Piece)
}

// KeepQuantities has q, fresh from the shop's files, ask for the pours of the
// entries' orders that the published week still asks for, and for no others but
// those that are to be poured again. It is called before Advance, with entries
// that the published week was planned with.
func (x *Quantities) KeepQuantities(q, pub *model.Problem, again map[string]bool) []Note {
	var notes []Note
	for _, e := range x.Log {
		asked := map[string]bool{}
		for i := range pub.Pours {
			p := &pub.Pours[i]
			if !counts(e, p) {
				continue
			}
			asked[p.ID] = true
			if p.Stage == model.New && !slices.ContainsFunc(q.Pours, func(y model.Pour) bool { return y.ID == p.ID }) && !x.add(q, e, p.Piece, p.ID) {
				notes = append(notes, noRecipe(e.Which, p.Piece))
			}
		}
		var gone []string
		dropNew(q, func(p *model.Pour) bool {
			is := counts(e, p) && !asked[p.ID] && !again[p.ID]
			if is {
				gone = append(gone, p.ID)
			}
			return is
		})
		if len(gone) > 0 {
			notes = append(notes, Note{Pour: e.Which, Text: fmt.Sprintf("the log gave it another quantity, so what is asked for besides is left out (%s); log a new quantity to have it",
				strings.Join(gone, ", "))})
		}
	}
	return notes
}

func noRecipe(order, piece string) Note {
	return Note{Pour: order, Text: fmt.Sprintf("no pour of the week is a %s to copy its recipe from: write the order into orders.csv", piece)}
}

// Apply works in entries that are news, after Advance: then it is known what was
// begun. The error is Refused where fewer pieces are asked for than were begun.
func (x *Quantities) Apply(q *model.Problem) ([]Note, error) {
	var notes []Note
	var refused Refused
	for _, e := range x.Log {
		piece := e.Piece
		if like := named(x.Files.Pours, func(p *model.Pour) bool { return counts(e, p) }); like != nil {
			piece = like.Piece
		}
		var begun, open []string
		floor, like := fromFloor(q, e)
		piece = cmp.Or(piece, like)
		for _, p := range x.Done {
			if counts(e, &p) {
				begun, piece = append(begun, p.ID), p.Piece
			}
		}
		for i := range q.Pours {
			switch p := &q.Pours[i]; {
			case !counts(e, p):
			case p.Stage != model.New:
				begun, piece = append(begun, p.ID), p.Piece
			default:
				open, piece = append(open, p.ID), p.Piece
			}
		}
		slices.Sort(begun)
		switch more := e.Count - len(begun) - len(open); {
		case e.Count < len(begun):
			refused = append(refused, Refusal{What: e.What, Which: e.Which,
				Text: fmt.Sprintf("order %q cannot have %s: %d are begun or done (%s)", e.Which, pieces(e.Count), len(begun), strings.Join(begun, ", ")),
				Hint: fmt.Sprintf("write %d or more", len(begun))})
		case more < 0:
			gone := lastPlanned(q, open, -more)
			dropNew(q, func(p *model.Pour) bool { return slices.Contains(gone, p.ID) })
			notes = append(notes, Note{Pour: e.Which, Text: fmt.Sprintf("it has %s now; dropped: %s", pieces(e.Count), strings.Join(gone, ", "))})
		case more > 0:
			var ids []string
			for range more {
				id := x.next(q, e.Which)
				if !x.add(q, e, piece, id) {
					notes = append(notes, noRecipe(e.Which, piece))
					break
				}
				ids = append(ids, id)
			}
			if len(ids) > 0 {
				besides := ""
				if len(floor) > 0 {
					besides = fmt.Sprintf(", besides what the week began with (%s)", strings.Join(floor, ", "))
				}
				notes = append(notes, Note{Pour: e.Which, Text: fmt.Sprintf("it has %s now%s; new: %s", pieces(e.Count), besides, strings.Join(ids, ", "))})
			}
		}
	}
	if len(refused) > 0 {
		return nil, refused
	}
	return notes, nil
}

// fromFloor lists the pours of the entry's order that floor.csv brought, and their
// piece type.
func fromFloor(q *model.Problem, e logbook.Entry) (ids []string, piece string) {
	for i := range q.Pours {
		p := &q.Pours[i]
		if _, ok := numbered(p); !ok && p.Order == e.Which && (e.Piece == "" || e.Piece == p.Piece) {
			ids, piece = append(ids, p.ID), p.Piece
		}
	}
	return ids, piece
}

func pieces(n int) string {
	if n == 1 {
		return "1 piece"
	}
	return fmt.Sprintf("%d pieces", n)
}

// lastPlanned are the n pours that people prepare for least: those that the
// published plan carries, then those that it has last.
func lastPlanned(q *model.Problem, ids []string, n int) []string {
	start := func(id string) model.Tick {
		p := named(q.Pours, func(p *model.Pour) bool { return p.ID == id })
		if p.Base == nil {
			return never
		}
		return p.Base.Start
	}
	ids = slices.Clone(ids)
	slices.Reverse(ids) // of equal ones the last goes
	slices.SortStableFunc(ids, func(a, b string) int { return cmp.Compare(start(b), start(a)) })
	ids = ids[:n]
	slices.Sort(ids)
	return ids
}

// dropNew takes those pours of stage new out of the problem and its shipments.
func dropNew(q *model.Problem, is func(*model.Pour) bool) {
	gone := map[string]bool{}
	q.Pours = slices.DeleteFunc(q.Pours, func(p model.Pour) bool {
		gone[p.ID] = p.Stage == model.New && is(&p)
		return gone[p.ID]
	})
	for i := range q.Shipments {
		q.Shipments[i].Pours = slices.DeleteFunc(q.Shipments[i].Pours, func(id string) bool { return gone[id] })
	}
	q.Shipments = slices.DeleteFunc(q.Shipments, func(s model.Shipment) bool { return len(s.Pours) == 0 })
}

// next is the first id of the order that no pour ever had.
func (x *Quantities) next(q *model.Problem, order string) string {
	last := 0
	see := func(id string) {
		if n, ok := numbered(&model.Pour{ID: id, Order: order}); ok {
			last = max(last, n)
		}
	}
	for _, id := range x.Known {
		see(id)
	}
	for _, l := range [][]model.Pour{q.Pours, x.Files.Pours} {
		for i := range l {
			see(l[i].ID)
		}
	}
	return fmt.Sprintf("%s/%d", order, last+1)
}

// add adds a pour of the order, like another of it or else like any of the piece.
// It goes with the order's shipment if there is one. False: there is none like it.
func (x *Quantities) add(q *model.Problem, e logbook.Entry, piece, id string) bool {
	for _, l := range [][]model.Pour{q.Pours, x.Files.Pours} {
		for i := range l {
			if p := l[i]; p.Order == e.Which && p.Piece == piece && p.Stage == model.New {
				x.put(q, p, id)
				return true
			}
		}
	}
	var due model.Tick
	known := false
	for _, p := range q.Pours {
		if p.Order == e.Which {
			due, known = p.Due, true
		}
	}
	like, ok := likeOf(x.Files, piece)
	if !ok || !known {
		return false
	}
	like.Order, like.Due, like.Release = e.Which, due, 0
	x.put(q, like, id)
	return true
}

// put adds the pour under another id.
func (x *Quantities) put(q *model.Problem, p model.Pour, id string) {
	p.ID, p.Pin, p.Base = id, nil, nil
	p.Molds = fullPrep(x.Files, p)
	of := func(s *model.Shipment, l []model.Pour) bool {
		return slices.ContainsFunc(l, func(y model.Pour) bool { return y.Order == p.Order && slices.Contains(s.Pours, y.ID) })
	}
	if s := named(q.Shipments, func(s *model.Shipment) bool { return of(s, q.Pours) }); s != nil {
		s.Pours = append(slices.Clone(s.Pours), id)
		p.LatePerTick = 0
	} else if s := named(x.Files.Shipments, func(s *model.Shipment) bool { return of(s, x.Files.Pours) }); s != nil && p.LatePerTick == 0 {
		p.LatePerTick = s.LatePerTick
	}
	q.Pours = append(q.Pours, p)
}

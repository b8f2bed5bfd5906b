package orders

import "pourweek/model/diag"

// Place is one row of a floor file: a piece and where it stands at the start.
// Which of the columns it needs depends on whether it stands in a mold or on a
// rack, which the shop knows.
type Place struct {
	At      diag.Pos
	Piece   Cell[string]
	Order   Cell[string]
	Where   Cell[string] // a mold or a rack
	Due     Cell[Moment] // zero: as the orders file has it
	Since   Cell[Moment] // in a mold: when it was covered; on a rack: end of the step before
	Next    Cell[string] // on a rack: the next finish step, "" the first, "done" none: it waits to leave
	Ready   Cell[Moment] // in a mold: a measured strip time; on a rack: when the next step may start; zero: worked out from since
	Urgency Cell[string] // as in an orders file
	Note    Cell[string]
}

// Floor is what a floor file says.
type Floor struct {
	Source *diag.Source
	Places []Place
	Notes  []string
}

var floorColumns = columns{
	names:    []string{"piece", "order", "where", "due", "since", "next", "ready", "urgency", "note"},
	required: 3,
}

// ReadFloor reads a floor file as ReadOrders reads an orders file. A floor file
// with a header and no row is an empty floor.
func ReadFloor(name string, data []byte) (*Floor, *diag.List) {
	errs := &diag.List{}
	t := readTable(name, data, errs)
	f := &Floor{Source: t.src, Notes: t.notes}
	cols, ok := floorColumns.find(t, errs)
	f.Notes = append(f.Notes, cols.notes...)
	if !ok {
		return f, errs
	}
	for _, r := range t.rows {
		p := rowReader{row: r, cols: cols, errs: errs}
		place := p.place()
		if !p.bad {
			f.Places = append(f.Places, place)
		}
	}
	return f, errs
}

func (p *rowReader) place() Place {
	return Place{
		At:      p.row.at,
		Piece:   p.id("piece", "name one of the shop's piece types"),
		Order:   p.id("order", "name the order that the piece belongs to, such as A-104"),
		Where:   p.id("where", "name the mold or the rack in which it stands"),
		Due:     p.moment("due", false),
		Since:   p.moment("since", false),
		Next:    p.text("next"),
		Ready:   p.moment("ready", false),
		Urgency: p.word("urgency"),
		Note:    p.text("note"),
	}
}

package report

import (
	"fmt"
	"slices"
	"strings"
)

// weekBoard is the board on the wall: a row for each mold, a column for each
// day, in it the pieces that are poured.
func (b *Board) weekBoard() table {
	t := table{kind: "board", title: "The board: what is poured when", columns: []column{{name: "mold", key: "mold"}}, screen: true, empty: "nothing is poured"}
	var dates []string
	for _, p := range b.Pieces {
		if p.Poured != nil && !slices.Contains(dates, p.Poured.date()) {
			dates = append(dates, p.Poured.date())
		}
	}
	slices.Sort(dates)
	for _, d := range dates {
		t.columns = append(t.columns, column{name: b.shortDay(d), key: d, flex: true})
	}
	for _, m := range b.Molds {
		row := []cell{text(m.Mold)}
		any := false
		for _, d := range dates {
			var l []string
			for _, p := range b.Pieces {
				if p.Mold == m.Mold && p.Poured != nil && p.Poured.date() == d {
					l = append(l, p.Pour)
					any = true
				}
			}
			row = append(row, text(strings.Join(l, ", ")))
		}
		if any {
			t.rows = append(t.rows, row)
		}
	}
	return t
}

func (b *Board) moldTable() table {
	t := table{kind: "mold", title: "Molds", columns: []column{
		{name: "mold", key: "mold", flex: true}, {name: "piece", key: "piece", flex: true},
		{name: "prep", key: "prep", right: true}, {name: "first coat", key: "poured", right: true},
		{name: "covered", key: "covered", right: true, extra: true}, {name: "not before", key: "not_before", right: true},
		{name: "strip", key: "stripped", right: true}, {name: "free", key: "free", right: true, extra: true},
		{name: "empty h", key: "idle_hours", right: true},
	}, empty: "no mold is in use"}
	for _, m := range b.Molds {
		var in []*Piece
		for i := range b.Pieces {
			if p := &b.Pieces[i]; p.Mold == m.Mold && p.MoldFree != nil {
				in = append(in, p)
			}
		}
		slices.SortStableFunc(in, func(x, y *Piece) int { return int(x.MoldFree.Tick - y.MoldFree.Tick) })
		for _, p := range in {
			t.rows = append(t.rows, []cell{text(m.Mold), p.cell(), when(p.Prep), when(p.Poured),
				when(p.Covered), when(p.NotBefore), when(p.Stripped), when(p.MoldFree), hours(p.IdleHours)})
		}
	}
	return t
}

func (b *Board) batchTable() table {
	unit := b.massUnit()
	t := table{kind: "batch", title: "Batches", columns: []column{
		{name: "batch", key: "batch"}, {name: "mixer", key: "mixer", extra: true}, {name: "mix", key: "mix", flex: true}, {name: "color", key: "color", extra: true},
		{name: "start", key: "start", right: true}, {name: "ready", key: "ready", right: true}, {name: "use by", key: "use_by", right: true},
		{name: "washed", key: "washed", right: true, extra: true},
		{name: unit, key: "mixed_" + unit, right: true}, {name: "waste " + unit, key: "waste_" + unit, right: true},
		{name: "full %", key: "full_percent", right: true, extra: true}, {name: "for", key: "pours", flex: true},
	}, empty: "no batch is mixed"}
	for _, x := range b.Batches {
		washed := cell{}
		if x.Washed != nil {
			washed = both(x.Washed.hour(), x.Washed.iso())
		}
		t.rows = append(t.rows, []cell{text(x.ID), text(x.Mixer), text(x.Mix), text(x.Color),
			both(x.From.dayHour(), x.From.iso()), both(x.Ready.hour(), x.Ready.iso()), both(x.UseBy.hour(), x.UseBy.iso()), washed,
			b.mixed(int64(x.Mixed)), b.grams(int64(x.Waste)), number("%.0f", 100*x.Full), text(strings.Join(x.Pours, ", "))})
	}
	return t
}

// rackTables is one table a rack, of pieces in the order in which they come.
func (b *Board) rackTables() []table {
	var l []table
	if len(b.Closings) == 0 {
		return l
	}
	for i, r := range b.Closings[0].Racks {
		most := 0
		for _, c := range b.Closings {
			most = max(most, c.Racks[i].Held)
		}
		t := table{kind: "rack", title: fmt.Sprintf("Rack %s, at most %d held at closing", r.Rack, most), columns: []column{
			{name: "rack", key: "rack", rows: true}, {name: "piece", key: "piece", flex: true}, {name: "order", key: "order", extra: true},
			{name: "places", key: "places", right: true}, {name: "in", key: "in", right: true}, {name: "ready", key: "ready", right: true},
			{name: "leaves", key: "leaves", right: true},
		}, empty: "nothing rests here"}
		var on []*Piece
		for i := range b.Pieces {
			if p := &b.Pieces[i]; p.Rack == r.Rack && p.Ready != nil {
				on = append(on, p)
			}
		}
		slices.SortStableFunc(on, func(x, y *Piece) int { return int(x.onRack() - y.onRack()) })
		for _, p := range on {
			in := when(p.MoldFree)
			if p.MoldFree == nil {
				in = text("there")
			}
			t.rows = append(t.rows, []cell{text(r.Rack), p.cell(), text(p.Order), number("%d", p.Places),
				in, when(p.Ready), when(p.Leaves)})
		}
		l = append(l, t)
	}
	return l
}

// cell names a piece: A-101/1 planter-24, or A-101/1 alone where that is too
// wide.
func (p *Piece) cell() cell { return cell{text: p.Pour + " " + p.Piece, short: p.Pour} }

// onRack is the tick from which a piece is on its rack, -1 for one that is
// there from the start.
func (p *Piece) onRack() int {
	if p.MoldFree == nil {
		return -1
	}
	return int(p.MoldFree.Tick)
}

func (b *Board) orderTable() table {
	t := table{kind: "order", title: "Orders", columns: []column{
		{name: "order", key: "order"}, {name: "piece", key: "piece", flex: true}, {name: "mold", key: "mold", extra: true},
		{name: "poured", key: "poured", right: true}, {name: "strip", key: "stripped", right: true, extra: true},
		{name: "ready", key: "ready", right: true}, {name: "leaves", key: "leaves", right: true},
		{name: "due", key: "due", right: true}, {name: "late h", key: "late_hours", right: true}, {name: "note", key: "note", flex: true, extra: true},
	}, empty: "no orders"}
	var orders []string
	for i := range b.Pieces {
		if o := b.Pieces[i].Order; !slices.Contains(orders, o) {
			orders = append(orders, o)
		}
	}
	for _, o := range orders {
		for i := range b.Pieces {
			if p := &b.Pieces[i]; p.Order == o {
				t.rows = append(t.rows, b.orderRow(p))
			}
		}
	}
	return t
}

func (b *Board) orderRow(p *Piece) []cell {
	leaves, late := when(p.Leaves), cell{}
	if p.LateHours > 0 {
		late = lateCell(p.LateHours)
	}
	if p.Stage == "carried" {
		leaves = text("carried")
	}
	return []cell{text(p.Order), p.cell(), text(p.Mold), when(p.Poured), when(p.Stripped),
		when(p.Ready), leaves, both(p.Due.dateHour(), p.Due.iso()), late, text(p.Note)}
}

func (b *Board) lateTable() table {
	t := table{kind: "late", title: "Leaves late", columns: []column{
		{name: "what", key: "what", flex: true}, {name: "due", key: "due", right: true, say: "due %s"}, {name: "leaves", key: "leaves", right: true, say: "leaves %s"},
		{name: "late h", key: "late_hours", right: true, say: "%s h late"}, {name: "cost " + b.Currency, key: "cost", right: true, extra: true, say: "costs %s " + b.Currency}, {name: "why", key: "why", flex: true},
	}, empty: "nothing leaves late"}
	for _, x := range b.Late {
		what := x.Pour + " " + x.Piece
		if x.Shipment != "" {
			what = fmt.Sprintf("%s, ships whole, %s", x.Shipment, count(x.Pieces, "piece"))
		}
		t.rows = append(t.rows, []cell{text(what), both(x.Due.dateHour(), x.Due.iso()), both(x.Leaves.dateHour(), x.Leaves.iso()),
			lateCell(x.Hours), b.money(x.Cost), text(x.Why)})
	}
	return t
}

// together joins carried pieces that are due together and have the same reason;
// their costs add up.
func together(l []Carried) []Carried {
	var out []Carried
	for _, x := range l {
		if n := len(out) - 1; n >= 0 && out[n].Why == x.Why && out[n].Piece == x.Piece && out[n].Due.Tick == x.Due.Tick {
			out[n].Pour += ", " + x.Pour
			out[n].Cost += x.Cost
			continue
		}
		out = append(out, x)
	}
	return out
}

func (b *Board) carriedTable(carried []Carried) table {
	t := table{kind: "carried", title: "Carried to a later week", columns: []column{
		{name: "piece", key: "piece", flex: true}, {name: "due", key: "due", right: true, say: "due %s"},
		{name: "cost " + b.Currency, key: "cost", right: true, extra: true, say: "costs %s " + b.Currency}, {name: "why", key: "why", flex: true},
	}, empty: "nothing is carried to a later week"}
	for _, x := range carried {
		t.rows = append(t.rows, []cell{text(x.Pour + " " + x.Piece), both(x.Due.dateHour(), x.Due.iso()), b.money(x.Cost), text(x.Why)})
	}
	return t
}

// closingTable is what the racks hold at each closing time.
func (b *Board) closingTable() table {
	t := table{kind: "closing", title: "Racks at closing time, places held of those there are", empty: "no racks", columns: []column{
		{name: "day", key: "date"}, {name: "closes", key: "closes", right: true},
	}}
	if len(b.Closings) == 0 {
		return t
	}
	for _, r := range b.Closings[0].Racks {
		t.columns = append(t.columns, column{name: r.Rack, key: r.Rack, right: true, flex: true})
	}
	for _, c := range b.Closings {
		row := []cell{both(dayMonth(c.Date), c.Date), both(c.At.hourOf(c.Date), c.At.iso())}
		for _, r := range c.Racks {
			s := fmt.Sprintf("%d/%d", r.Held, r.Places)
			full := ""
			if r.Held >= r.Places && r.Held > 0 {
				full = "full "
			}
			row = append(row, both(full+s, s))
		}
		t.rows = append(t.rows, row)
	}
	return t
}

// hoursTables gives each person's hours by day, one table for each calendar
// week. A mark tells the days that are flagged.
func (b *Board) hoursTables() []table {
	var l []table
	for _, dates := range b.workWeeks() {
		t := table{kind: "hours", title: "Hours at work, week of " + dayTitle(dates[0]), columns: []column{{name: "person", key: "person", flex: true}}}
		for _, d := range dates {
			t.columns = append(t.columns, column{name: shortDay(d), key: d, right: true})
		}
		t.columns = append(t.columns, column{name: "sum", key: "sum", right: true}, column{name: "overtime", key: "overtime", right: true})
		flagged := false
		for _, p := range b.People {
			var sum, over float64
			row := []cell{text(p.ID)}
			for _, d := range dates {
				c := cell{}
				for _, x := range p.Days {
					if x.Date != d {
						continue
					}
					sum, over = sum+x.Hours, over+x.Overtime
					c = hours(x.Hours)
					if x.Long != "" {
						c.raw, c.text = c.text, c.text+"!"
						flagged = true
					}
				}
				row = append(row, c)
			}
			t.rows = append(t.rows, append(row, hours(sum), hours(over)))
		}
		if flagged {
			t.title += " (! long, see below)"
		}
		l = append(l, t)
	}
	return l
}

// workWeeks are the dates on which somebody works, by calendar week (ISO 8601).
func (b *Board) workWeeks() [][]string {
	var dates []string
	at := map[string]string{}
	for _, p := range b.People {
		for _, d := range p.Days {
			if _, known := at[d.Date]; !known {
				y, w := d.From.t.ISOWeek()
				at[d.Date] = fmt.Sprintf("%04d-%02d", y, w)
				dates = append(dates, d.Date)
			}
		}
	}
	slices.Sort(dates)
	var weeks [][]string
	for i, d := range dates {
		if i == 0 || at[d] != at[dates[i-1]] {
			weeks = append(weeks, nil)
		}
		weeks[len(weeks)-1] = append(weeks[len(weeks)-1], d)
	}
	return weeks
}

func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

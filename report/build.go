package report

import (
	"errors"
	"fmt"
	"slices"

	"pourweek/model"
)

// builder makes a Board. Maps are by id; nothing walks over them, so that equal
// weeks give equal boards.
type builder struct {
	*clock
	w *model.Week
	p *model.Problem

	pours    map[string]*model.Pour
	planned  map[string]*model.PourPlan
	batches  map[string]*model.BatchPlan
	mixes    map[string]*model.Mix
	mixers   map[string]*model.Mixer
	molds    map[string]*model.Mold
	shipment map[string]*model.Shipment // by pour
	unfit    map[string]string          // by pour, of a step that is too long; nil until it is asked for
	fed      map[string][]string        // pours by batch, in the order of the plan
	tasks    []task
	orderIn  map[string][]inMold // by mold, in the order of time
	out      map[string]model.Tick
	idle     map[string]int64 // regular ticks a mold stands empty ahead of a pour
}

// inMold is the stay of a pour in its mold.
type inMold struct {
	pour       string
	from, free model.Tick
}

// Build makes the board of a week. The week's plan must be allowed (the checker
// says so); of one that is not, the figures mean nothing, and a plan that names
// what its problem does not have is an error.
func Build(w *model.Week) (*Board, error) {
	b, err := newBuilder(w)
	if err != nil {
		return nil, err
	}
	board := &Board{
		Format: BoardFormat, Shop: w.Shop, Zone: w.Zone, Currency: w.Currency, Monday: b.monday(),
		Notes: append([]string{}, w.Labels.Notes...), long: b.long(),
	}
	board.Work = b.work()
	board.Days = b.dayList(board.Work)
	board.Batches = b.batchList()
	board.Pieces = b.pieceList()
	board.Late = b.lateList()
	board.Carried = b.carriedList()
	board.People = b.peopleList()
	board.Closings = b.closings()
	board.Molds = b.moldUse()
	board.Summary = b.summary(board)
	board.Cautions = b.cautions(board)
	return board, nil
}

// newBuilder indexes a week and collects its tasks.
func newBuilder(w *model.Week) (*builder, error) {
	if w == nil || w.Problem == nil || w.Plan == nil {
		return nil, errors.New("the week holds no plan")
	}
	c, err := newClock(w.Problem, w.Zone)
	if err != nil {
		return nil, err
	}
	b := &builder{clock: c, w: w, p: w.Problem}
	b.index()
	if err := b.known(); err != nil {
		return nil, err
	}
	b.fill()
	b.collect()
	return b, nil
}

func (b *builder) monday() string {
	if b.w.Monday != "" {
		return b.w.Monday
	}
	return b.date(0)
}

func byID[T any](list []T, id func(*T) string) map[string]*T {
	m := make(map[string]*T, len(list))
	for i := range list {
		m[id(&list[i])] = &list[i]
	}
	return m
}

func (b *builder) index() {
	b.pours = byID(b.p.Pours, func(x *model.Pour) string { return x.ID })
	b.planned = byID(b.w.Plan.Pours, func(x *model.PourPlan) string { return x.ID })
	b.batches = byID(b.w.Plan.Batches, func(x *model.BatchPlan) string { return x.ID })
	b.mixes = byID(b.p.Mixes, func(x *model.Mix) string { return x.ID })
	b.mixers = byID(b.p.Mixers, func(x *model.Mixer) string { return x.ID })
	b.molds = byID(b.p.Molds, func(x *model.Mold) string { return x.ID })
	b.shipment = map[string]*model.Shipment{}
	for i := range b.p.Shipments {
		for _, id := range b.p.Shipments[i].Pours {
			b.shipment[id] = &b.p.Shipments[i]
		}
	}
}

// known makes sure that all ids lead somewhere and that each planned pour has
// the steps that its stage needs, so that what follows need not ask again.
func (b *builder) known() error {
	for i := range b.w.Plan.Batches {
		x := &b.w.Plan.Batches[i]
		if b.mixes[x.Mix] == nil || b.mixers[x.Mixer] == nil {
			return fmt.Errorf("batch %q is of a mix or in a mixer that the week does not have", x.ID)
		}
	}
	for i := range b.w.Plan.Pours {
		x := &b.w.Plan.Pours[i]
		q := b.pours[x.ID]
		if q == nil {
			return fmt.Errorf("the plan has a pour %q, which the week does not have", x.ID)
		}
		if err := b.complete(q, x); err != nil {
			return err
		}
	}
	for _, id := range b.w.Plan.Carried {
		if b.pours[id] == nil {
			return fmt.Errorf("the plan carries a pour %q, which the week does not have", id)
		}
	}
	return nil
}

func (b *builder) complete(q *model.Pour, x *model.PourPlan) error {
	ok := len(x.Finish) == len(q.Finish) && len(x.Who.Finish) >= len(q.Finish)
	for j := range q.Finish {
		ok = ok && (x.Finish[j] != nil || (q.Stage == model.Racked && j < q.Next))
	}
	if q.Stage != model.Racked {
		ok = ok && x.Demold != nil && b.molds[b.moldOf(q, x)] != nil
	}
	if q.Stage == model.New {
		ok = ok && x.Prep != nil && x.Cover != nil && x.CureEnd != nil && len(x.Layers) == len(q.Layers) &&
			len(x.Layers) > 0 && len(x.Who.Layers) >= len(q.Layers) && len(x.Draws) == len(q.Draws)
		for _, id := range x.Draws {
			ok = ok && b.batches[id] != nil
		}
	}
	if !ok {
		return fmt.Errorf("the plan of pour %q lacks some of its steps", q.ID)
	}
	return nil
}

// moldOf is the mold that a planned pour stands in, "" for one on a rack.
func (b *builder) moldOf(q *model.Pour, x *model.PourPlan) string {
	switch q.Stage {
	case model.New:
		return string(x.Mold)
	case model.Curing:
		return q.Mold
	}
	return ""
}

// fill works out what several parts of the board need: who feeds from a batch,
// the order in each mold, the idle time ahead of each pour, and when each
// piece leaves.
func (b *builder) fill() {
	b.fed = map[string][]string{}
	b.orderIn = map[string][]inMold{}
	for i := range b.w.Plan.Pours {
		x := &b.w.Plan.Pours[i]
		q := b.pours[x.ID]
		for j, id := range x.Draws {
			if j < len(q.Draws) && !slices.Contains(b.fed[id], x.ID) {
				b.fed[id] = append(b.fed[id], x.ID)
			}
		}
		if m := b.moldOf(q, x); m != "" {
			from := model.Tick(0)
			if x.Prep != nil && q.Stage == model.New {
				from = x.Prep.From()
			}
			b.orderIn[m] = append(b.orderIn[m], inMold{x.ID, from, x.Demold.To()})
		}
	}
	b.idle = map[string]int64{}
	for i := range b.p.Molds {
		m := &b.p.Molds[i]
		stays := b.orderIn[m.ID]
		slices.SortStableFunc(stays, func(x, y inMold) int { return int(x.from - y.from) })
		free := m.FreeFrom
		for _, s := range stays {
			if b.pours[s.pour].Stage == model.New {
				x := b.planned[s.pour]
				b.idle[s.pour] = b.reg(max(free, b.p.Now), s.from) + b.reg(x.Prep.To(), x.Layers[0].From())
			}
			free = max(free, s.free)
		}
	}
	b.leave()
}

// leave sets when each planned pour leaves: at its ready, or with its shipment
// (section 6).
func (b *builder) leave() {
	b.out = map[string]model.Tick{}
	for i := range b.w.Plan.Pours {
		b.out[b.w.Plan.Pours[i].ID] = b.w.Plan.Pours[i].Ready
	}
	for i := range b.p.Shipments {
		s := &b.p.Shipments[i]
		if out, any := b.shipOut(s); any {
			for _, id := range s.Pours {
				if b.planned[id] != nil {
					b.out[id] = out
				}
			}
		}
	}
}

// shipOut is when a shipment leaves; false if all its pours are carried.
func (b *builder) shipOut(s *model.Shipment) (out model.Tick, any bool) {
	for _, id := range s.Pours {
		if x := b.planned[id]; x != nil {
			out, any = max(out, x.Ready), true
		}
	}
	if len(s.Trucks) == 0 {
		return out, any
	}
	for _, t := range s.Trucks {
		if t >= out {
			return t, any
		}
	}
	return b.p.Horizon, any
}

// due is when a pour is to leave: its own due, or that of its shipment.
func (b *builder) due(q *model.Pour) model.Tick {
	if s := b.shipment[q.ID]; s != nil {
		return s.Due
	}
	return q.Due
}

// pieceName is the name of a piece type as the shop calls it, or its id.
func (b *builder) pieceName(q *model.Pour) string {
	if l := b.w.Labels.Pieces[q.Piece]; l.Name != "" {
		return l.Name
	}
	return q.Piece
}

func (b *builder) stepName(id string) string {
	if l := b.w.Labels.Steps[id]; l.Name != "" {
		return l.Name
	}
	return id
}

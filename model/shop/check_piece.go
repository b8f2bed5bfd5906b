package shop

import (
	"strings"

	"pourweek/model"
	"pourweek/model/diag"
	"pourweek/model/unit"
)

func (r *reader) checkPieces() {
	cast := map[string]bool{}
	for _, m := range r.shop.Molds {
		for _, c := range m.Casts {
			cast[c.Piece] = true
		}
	}
	for i := range r.shop.Pieces {
		p := &r.shop.Pieces[i]
		if !cast[p.Name] && !r.moldsDoubtful && !r.doubt("molds") {
			r.fail(p.Pos, "add "+p.Name+" to the casts of a mold, or take the piece type out", "piece type %s has no mold that can cast it", diag.Quote(p.Name))
		}
		if r.doubt("pieces/" + p.Name) {
			continue
		}
		r.checkSteps(p)
		r.checkTasks(p)
		r.checkTimes(p)
		r.checkRacks(p)
		r.checkSpans(p)
		for j := range p.Coats {
			r.checkCoat(p, j)
		}
	}
}

// checkSteps reports step names that cannot tell the steps apart.
func (r *reader) checkSteps(p *Piece) {
	seen := map[string]bool{"prep": true, "cover": true, "demold": true}
	once := func(name string, pos diag.Pos) {
		if name != "" && seen[name] {
			r.fail(pos, "give each coat and each finish step of a piece type its own name, other than prep, cover and demold",
				"piece type %s has two steps called %s", diag.Quote(p.Name), diag.Quote(name))
		}
		seen[name] = true
	}
	for _, c := range p.Coats {
		once(c.Name, c.Pos)
	}
	for _, f := range p.Finish {
		once(f.Name, f.Pos)
	}
}

// checkTasks reports crews, start hours and lengths that can never be.
func (r *reader) checkTasks(p *Piece) {
	long := r.longestOpen()
	task := func(t *Task, work unit.Minutes, name string, pos diag.Pos) {
		what := "step " + diag.Quote(name) + " of piece type " + diag.Quote(p.Name)
		r.crewFits(t.Crew, what, pos)
		r.fitsDay(long, work, what, pos)
		if t.When != nil && !r.hoursDoubt() && !r.everOpen(t.When) {
			r.fail(pos, "look at when and at the shop's hours", "%s may start only when the shop is closed", what)
		}
	}
	task(&p.Prep, 0, "prep", r.place("pieces", p.Name, "prep", "crew"))
	for i := range p.Coats {
		task(&p.Coats[i].Task, p.Coats[i].Work, p.Coats[i].Name, p.Coats[i].Pos)
	}
	task(&p.Cover.Task, p.Cover.Work, "cover", r.place("pieces", p.Name, "cover", "crew"))
	task(&p.Demold.Task, p.Demold.Work, "demold", r.place("pieces", p.Name, "demold"))
	for i := range p.Finish {
		f := &p.Finish[i]
		work := f.Work
		if f.PutDown {
			work = 0
		}
		task(&f.Task, work, f.Name, f.Pos)
	}
}

// everOpen says that some hours of a week are open in some week.
func (r *reader) everOpen(w *Week) bool {
	for d, h := range w {
		if len(meet(h, r.open[d])) > 0 {
			return true
		}
	}
	return false
}

// checkTimes reports times in the mold and between steps that contradict each
// other.
func (r *reader) checkTimes(p *Piece) {
	if p.MoldMax != nil {
		least := p.MoldMin
		if c := r.shop.Cure(p.Cure); c != nil {
			least = max(least, c.Shortest())
		}
		if *p.MoldMax < least && !r.doubt("cures/"+p.Cure) {
			r.fail(r.place("pieces", p.Name, "mold max"), "make mold max longer than the cure and mold min",
				"piece type %s may stay in its mold for %s, and its cure takes %s", diag.Quote(p.Name), minutes(*p.MoldMax), minutes(least))
		}
	}
	for _, f := range p.Finish {
		if f.RestMax != nil && *f.RestMax < f.Rest {
			r.fail(f.Pos, "make rest max longer than rest", "finish step %s waits at least %s and at most %s", diag.Quote(f.Name), minutes(f.Rest), minutes(*f.RestMax))
		}
	}
}

func (r *reader) checkRacks(p *Piece) {
	most, found := 0, false
	for _, name := range p.Racks {
		if r.doubt("racks/" + name) {
			return
		}
		if x := r.shop.Rack(name); x != nil {
			found = true
			most = max(most, x.Places)
			for _, c := range x.Changes {
				most = max(most, c.Places)
			}
		}
	}
	if found && most > 0 && most < p.Places {
		r.fail(r.place("pieces", p.Name, "racks"), "name a larger rack, or make places smaller", "a piece of type %s takes %d places, and the largest of its racks has %d",
			diag.Quote(p.Name), p.Places, most)
	}
}

func (r *reader) checkSpans(p *Piece) {
	steps := []string{"prep"}
	for _, c := range p.Coats {
		steps = append(steps, c.Name)
	}
	steps = append(steps, "cover", "demold")
	for _, f := range p.Finish {
		steps = append(steps, f.Name)
	}
	var moments []string
	for _, s := range steps {
		moments = append(moments, s+".start", s+".end")
	}
	for _, s := range p.Spans {
		from, to := indexOf(moments, s.From), indexOf(moments, s.To)
		for _, m := range []string{s.From, s.To} {
			if indexOf(moments, m) < 0 && m != "" {
				r.fail(s.Pos, r.near(m, "moments", moments), "a span of piece type %s names %s, which is no moment of it", diag.Quote(p.Name), diag.Quote(m))
			}
		}
		if from >= 0 && to >= 0 && to <= from {
			r.fail(s.Pos, "the moments come in the order "+strings.Join(steps, ", "), "a span of piece type %s goes from %s to %s, which is not later",
				diag.Quote(p.Name), diag.Quote(s.From), diag.Quote(s.To))
		}
	}
}

func indexOf(words []string, w string) int {
	for i, x := range words {
		if x == w {
			return i
		}
	}
	return -1
}

// checkCoat reports a coat that no mixer can feed, or that outlives its mix.
func (r *reader) checkCoat(p *Piece, j int) {
	c := &p.Coats[j]
	for _, d := range c.Draws {
		m := r.shop.Mix(d.Mix)
		if m == nil || r.loads[d.Mix] <= 0 {
			continue
		}
		full := r.loads[d.Mix]
		total := d.Mass
		lifts := max(1, (d.Mass+full-1)/full)
		if c.SameBatch {
			total += r.before(p, j, d.Mix)
		}
		what := "coat " + diag.Quote(c.Name) + " of piece type " + diag.Quote(p.Name)
		switch {
		case c.SameBatch && total > full:
			r.fail(c.Pos, "take out same batch, or name a larger mixer", "%s and the coats before it in the same batch take %s of %s, and a batch gives at most %s",
				what, kilograms(total), diag.Quote(d.Mix), kilograms(full))
			continue
		case lifts > maxLifts:
			r.fail(c.Pos, "look at the coat's mass and the mixer's capacity, or name a larger mixer",
				"%s takes %s of %s, and a batch gives at most %s: it would be laid in %d lifts, at most %d are planned",
				what, kilograms(d.Mass), diag.Quote(d.Mix), kilograms(full), lifts, maxLifts)
			continue
		}
		ready := m.Mix + m.Rest + m.Remix
		work := (c.Work + unit.Minutes(lifts) - 1) / unit.Minutes(lifts)
		if life := m.PotLife.longest(&r.shop.Air); !r.doubt("air") && life > ready && work > life-ready {
			r.fail(c.Pos, "make the coat quicker with more hands, split it, or look at the pot life of the mix",
				"%s takes %s, and %s can be laid for %s after it is ready", what, minutes(work), diag.Quote(d.Mix), minutes(life-ready))
		}
	}
	if len(c.Draws) > 1 {
		r.checkSeveral(p, c)
	}
}

// checkSeveral reports a coat of several mixes of which one does not fit a load:
// such a coat is not split.
func (r *reader) checkSeveral(p *Piece, c *Coat) {
	for _, d := range c.Draws {
		if full := r.loads[d.Mix]; full > 0 && d.Mass > full {
			r.fail(c.Pos, "make two coats of it, or name a larger mixer", "coat %s of piece type %s takes %s of %s, and a batch gives at most %s",
				diag.Quote(c.Name), diag.Quote(p.Name), kilograms(d.Mass), diag.Quote(d.Mix), kilograms(full))
		}
	}
}

// before is what the coats before the j-th take of a mix out of the batch that
// it shares.
func (r *reader) before(p *Piece, j int, mix string) model.Grams {
	total := model.Grams(0)
	for i := j - 1; i >= 0; i-- {
		for _, d := range p.Coats[i].Draws {
			if d.Mix == mix {
				total += d.Mass
			}
		}
		if !p.Coats[i].SameBatch {
			break
		}
	}
	return total
}

func (r *reader) checkMolds() {
	if r.doubt("molds", "defaults") {
		return
	}
	for i, m := range r.shop.Molds {
		if i > 0 && m.Pos == r.shop.Molds[i-1].Pos {
			continue // of the same range
		}
		for _, c := range m.Casts {
			if c.Prep == 0 && c.Piece != "" {
				r.fail(m.Pos, "give the mold prep: 30 min, or defaults: {mold: {prep: 30 min}}", "mold %s has no %q for %s", diag.Quote(m.Name), "prep", diag.Quote(c.Piece))
				break
			}
		}
	}
}

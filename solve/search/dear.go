package search

// A pour that is left out is easy to leave out at any time, but hard to bring
// in once the week around it is tight. So leaving out costs more than it does
// at the beginning of an anneal, and less and less until it costs what it does.
const dearest = 12 // eighths by which it costs more at first

// outCost is what leaving a pour out costs for now.
func (w *worker) outCost(p *pour) int64 { return p.out + p.out*w.dear/8 }

// extra is by how much a state's cost is above what it is.
func (w *worker) extra(s *state) int64 {
	if w.dear == 0 {
		return 0
	}
	var c int64
	for i := range w.q.pours {
		if p := &w.q.pours[i]; s.stage[i] == away && !p.must {
			c += p.out * w.dear / 8
		}
	}
	return c
}

// setDear sets by how many eighths leaving out costs more.
func (w *worker) setDear(d int64) {
	w.cur.cost -= w.extra(w.cur)
	w.dear = d
	w.cur.cost += w.extra(w.cur)
}

package bound

// keepPrices puts the best prices into the result.
func (s *steering) keepPrices() {
	for _, b := range s.blocks {
		copy(b.y, b.best)
		b.put()
	}
	l := s.lag
	in, n := l.ax.in, l.ax.n
	p := &s.res.Prices
	p.Skill, p.Station, p.Rack = grid[float64](len(in.Skills), n), grid[float64](len(in.Stations), n), grid[float64](len(in.Racks), n)
	for k, row := range p.Skill {
		for i := range l.sets {
			if l.sets[i].per != 1 || l.sets[i].mask>>k&1 == 0 {
				continue
			}
			for t, y := range l.crew[i] {
				row[t] += float64(float64(y) / scale)
			}
		}
	}
	for i, row := range p.Station {
		for t, y := range l.station[i] {
			row[t] = float64(y) / scale
		}
	}
	for r, row := range p.Rack {
		for t, b := range l.bucketOf {
			row[t] = float64(l.rack[r][b]) / scale
		}
	}
	p.Planned = make([]float64, len(in.Pours))
	for g, x := range l.groups {
		for _, i := range in.Groups[x.in] {
			p.Planned[i] = float64(l.u[g]) / scale
		}
	}
}

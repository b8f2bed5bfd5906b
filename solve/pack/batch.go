package pack

// Draw is what a stretch of a pour takes of a batch.
type Draw struct {
	Mass    int64 // >= 0
	Seconds int64 // of working the batch, >= 0
}

// Batches bounds from below how many batches serve all draws when a batch
// gives at most mass and, between leaving the mixer and the end of its pot
// life, teams work it at once for at most potLife seconds each. It is the
// greatest of
//
//   - Bound by mass;
//   - with one team, Bound by seconds; with more, the seconds over
//     teams*potLife, rounded up;
//   - with one team, Bound of both taken together: in any batch the sum of
//     mass_i/mass + seconds_i/potLife is at most 2.
//
// A draw that fits no batch makes the answer math.MaxInt. potLife <= 0 means
// that time plays no part. Teams below 1 count as 1.
func Batches(draws []Draw, mass, potLife int64, teams int) int {
	var byMass, byTime, both []int64
	for _, d := range draws {
		byMass, byTime = append(byMass, d.Mass), append(byTime, d.Seconds)
	}
	n := Bound(byMass, mass)
	if potLife <= 0 || len(draws) == 0 {
		return n
	}
	if teams > 1 {
		var sum int64
		for _, s := range byTime {
			sum += s
			if s > potLife {
				return Bound(byTime, potLife)
			}
		}
		room := int64(teams) * potLife
		return max(n, int((sum+room-1)/room))
	}
	n = max(n, Bound(byTime, potLife))
	if mass > 30_000_000_000/potLife { // the common denominator would be too large
		return n
	}
	for _, d := range draws {
		both = append(both, d.Mass*potLife+d.Seconds*mass)
	}
	return max(n, Bound(both, 2*mass*potLife))
}

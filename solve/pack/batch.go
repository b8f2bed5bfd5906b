package pack

// Draw is what a draw takes of a batch.
type Draw struct {
	Mass int64 // >= 0
	Work int64 // of what lays it, such as head ticks, >= 0
}

// Batches bounds from below how many batches serve all draws when a batch gives
// at most mass, and there is so much work to lay it within its pot life. It is
// the greatest of Bound by mass, Bound by work, and Bound of both taken
// together: in any batch the sum of mass_i/mass + work_i/work is at most 2.
//
// A draw that fits no batch makes the answer math.MaxInt. work <= 0 means that
// work plays no part.
func Batches(draws []Draw, mass, work int64) int {
	var byMass, byWork, both []int64
	for _, d := range draws {
		byMass, byWork = append(byMass, d.Mass), append(byWork, d.Work)
	}
	n := Bound(byMass, mass)
	if work <= 0 || len(draws) == 0 {
		return n
	}
	n = max(n, Bound(byWork, work))
	if mass > 30_000_000_000/work { // the common denominator would be too large
		return n
	}
	for _, d := range draws {
		both = append(both, d.Mass*work+d.Work*mass)
	}
	return max(n, Bound(both, 2*mass*work))
}

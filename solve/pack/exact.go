package pack

// Result is a packing and what is proven about it.
type Result struct {
	Bins  [][]int // indices of the items of each bin
	Lower int     // no packing has fewer bins; equal to len(Bins) when optimal
	Nodes int     // items placed by the search
}

// Solve looks for a packing of fewest bins by depth-first search: greatest
// item first, into each bin that it can share up to bins of equal room, or a
// new one. It places at most limit items (a count, so that a run is
// reproducible); then Lower is Bound. Sizes must be >= 0 and at most the
// capacity, else the result is empty with Lower as in Bound.
func Solve(sizes []int64, capacity int64, limit int) Result {
	lower := Bound(sizes, capacity)
	for _, s := range sizes {
		if s > capacity || s < 0 {
			return Result{Lower: lower}
		}
	}
	x := &search{sizes: sizes, order: descending(sizes), capacity: capacity, limit: limit, lower: lower}
	x.best = FirstFit(sizes, capacity)
	for _, s := range sizes {
		x.left += s
	}
	if len(x.best) > lower {
		x.place(0)
	}
	if x.nodes < limit { // searched to the end
		lower = len(x.best)
	}
	return Result{Bins: x.best, Lower: lower, Nodes: x.nodes}
}

type search struct {
	sizes    []int64
	order    []int
	capacity int64
	left     int64 // size of what is not yet placed
	limit    int
	lower    int
	nodes    int
	bins     [][]int
	room     []int64
	best     [][]int
}

// place tries the places of the at-th item and goes on; it leaves the state as
// it was.
func (x *search) place(at int) {
	if at == len(x.order) {
		x.best = nil
		for _, b := range x.bins {
			x.best = append(x.best, append([]int(nil), b...))
		}
		return
	}
	i := x.order[at]
	s := x.sizes[i]
	x.left -= s
	for b := range x.bins {
		if s > x.room[b] || x.seen(b) {
			continue
		}
		x.bins[b], x.room[b] = append(x.bins[b], i), x.room[b]-s
		if !x.step(at) {
			x.bins[b], x.room[b] = x.bins[b][:len(x.bins[b])-1], x.room[b]+s
			break
		}
		x.bins[b], x.room[b] = x.bins[b][:len(x.bins[b])-1], x.room[b]+s
	}
	if len(x.bins)+1 < len(x.best) {
		x.bins, x.room = append(x.bins, []int{i}), append(x.room, x.capacity-s)
		x.step(at)
		x.bins, x.room = x.bins[:len(x.bins)-1], x.room[:len(x.room)-1]
	}
	x.left += s
}

// seen says whether an earlier bin has the same room as b.
func (x *search) seen(b int) bool {
	for a := range b {
		if x.room[a] == x.room[b] {
			return true
		}
	}
	return false
}

// step goes on to the next item when that may lead to fewer bins; false when
// the search is over.
func (x *search) step(at int) bool {
	if x.nodes >= x.limit || len(x.best) <= x.lower {
		return false
	}
	x.nodes++
	free := int64(0)
	for _, r := range x.room {
		free += r
	}
	more := 0
	if x.left > free {
		more = int((x.left - free + x.capacity - 1) / x.capacity)
	}
	if len(x.bins)+more < len(x.best) {
		x.place(at + 1)
	}
	return true
}

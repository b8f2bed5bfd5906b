package exact

import "math"

// The ascent's step is a part lambda of Polyak's, along a direction that keeps
// ascentMomentum of the last one. After ascentStale steps without a better bound
// lambda falls to ascentFade of it; below ascentLeast the ascent ends. (Values
// from trials on the small weeks.)
const (
	ascentMomentum = 0.7
	ascentStale    = 15
	ascentFade     = 0.6
	ascentLeast    = 0.01
)

// ascend improves the prices by at most steps subgradient steps towards upper
// and leaves the best prices, with their tables, in place. It returns their
// bound.
func (w *week) ascend(steps int, upper int64) int64 {
	y := make([][]float64, len(w.y))
	dir := make([][]float64, len(w.y))
	use := make([][]float64, len(w.y))
	for r := range y {
		y[r], dir[r], use[r] = make([]float64, w.open), make([]float64, w.open), make([]float64, w.open)
		for i := range y[r] {
			y[r][i] = float64(w.y[r][i])
		}
	}
	best, bestY := int64(math.MinInt64), clone(w.y)
	lambda, stale := 1.0, 0
	w.limitPrices()
	for range steps {
		w.reprice()
		w.fillAll(false)
		v := w.bound()
		if v > best {
			best, stale = v, 0
			copyInto(bestY, w.y)
		} else if stale++; stale > ascentStale {
			lambda, stale = lambda*ascentFade, 0
		}
		if v >= upper || lambda < ascentLeast {
			break
		}
		for r := range use {
			clear(use[r])
		}
		(&usage{w, use}).collect()
		// Without a plan in hand the aim is a guess.
		w.climb(y, dir, use, lambda*float64(min(upper-v, max(v, -v)/8+100*w.unit)))
	}
	copyInto(w.y, bestY)
	w.reprice()
	return best
}

// limitPrices sets the highest price: all people at it, and any sum of prices
// that a crew pays, are worth no more than half the highest cost.
func (s *shop) limitPrices() {
	sum := int64(1)
	for r := range s.have {
		most := int32(0)
		for _, c := range s.crews {
			most = max(most, c.need[r])
		}
		for _, n := range s.have[r] {
			sum += int64(max(n, most))
		}
	}
	s.yMost = float64(maxCost / 2 / sum)
}

// climb is one deflected subgradient step of Polyak's length.
func (w *week) climb(y, dir, use [][]float64, gain float64) {
	norm := 0.0
	first := w.in.OpenIndex(w.in.Now)
	for r := range y {
		for i := range y[r] {
			g := use[r][i] - float64(w.have[r][i])
			if y[r][i] <= 0 && g < 0 || int32(i) < first {
				g = 0
			}
			dir[r][i] = float64(ascentMomentum*dir[r][i]) + g
			if y[r][i] <= 0 && dir[r][i] < 0 {
				dir[r][i] = 0
			}
			norm += float64(dir[r][i] * dir[r][i])
		}
	}
	if norm == 0 {
		return
	}
	step := gain / norm
	for r := range y {
		for i := range y[r] {
			y[r][i] = min(max(0, y[r][i]+float64(step*dir[r][i])), w.yMost)
			w.y[r][i] = int32(y[r][i])
		}
	}
}

func clone(y [][]int32) [][]int32 {
	out := make([][]int32, len(y))
	for r := range y {
		out[r] = append([]int32{}, y[r]...)
	}
	return out
}

func copyInto(dst, src [][]int32) {
	for r := range dst {
		copy(dst[r], src[r])
	}
}

package search

import "math"

// payback is what a neighborhood gained and cost lately.
type payback struct{ gain, work float64 }

// adapt moves the weights of the neighborhoods toward those that gained most for
// their work in the last rounds, within bounds around where they began.
func (w *worker) adapt() {
	var all payback
	for h := range w.lately {
		x, s := &w.lately[h], &w.stats[h]
		x.gain = float64(x.gain/2) + float64(s.gain-w.before[h].gain)
		x.work = float64(x.work/2) + float64(s.work-w.before[h].work)
		w.before[h] = *s
		all.gain += x.gain
		all.work += x.work
	}
	if all.gain <= 0 || all.work <= 0 {
		return
	}
	for h := range w.lately {
		x := &w.lately[h]
		// A neighborhood that worked little is taken to be as good as all.
		few := float64(0.02 * all.work)
		rate := (x.gain + float64(few*all.gain)/all.work) / (x.work + few) * all.work / all.gain
		w.weight[h] = w.base[h] * min(max(math.Sqrt(rate), 0.3), 2.5)
	}
}

package search

import (
	"slices"
	"testing"
)

// A pour that was left out lately goes in first more often than before. In a
// large week that changes nothing.
func TestWhoWasLeftOutGoesInFirst(t *testing.T) {
	const draws = 500
	weeks, before, after := 0, 0, 0
	for w := range builtWorkers(t, 40) {
		news := w.ruin.news
		if len(news) < 5 || slices.ContainsFunc(news, func(p int32) bool { return w.q.hard[p] != w.q.hard[news[0]] }) {
			continue
		}
		weeks++
		p := &w.q.pours[news[len(news)-1]]
		seed := w.r
		before += w.firsts(news, p.id, draws)
		w.r, w.ruin.news = seed, slices.Repeat(news, squeaky)
		large := w.firsts(news, p.id, draws)
		w.s.stage[p.id] = away
		for range 20 {
			w.noteLeft(p)
		}
		w.r = seed
		if x := w.firsts(news, p.id, draws); x != large {
			t.Errorf("in a large week it is first %d times of %d, and %d times after it was left out", large, draws, x)
		}
		w.r, w.ruin.news = seed, news
		after += w.firsts(news, p.id, draws)
	}
	t.Logf("%d weeks of %d draws: first %d times, after it was left out %d times", weeks, draws, before, after)
	if weeks < 10 {
		t.Fatalf("only %d weeks were looked at", weeks)
	}
	if after < before+weeks*draws/10 {
		t.Errorf("first %d times, after it was left out only %d times", before, after)
	}
}

// firsts counts how often a pour of the list is its first in so many orders.
func (w *worker) firsts(list []int32, p int32, draws int) int {
	n := 0
	for range draws {
		l := slices.Clone(list)
		w.order(l)
		if l[0] == p {
			n++
		}
	}
	return n
}

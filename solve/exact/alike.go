package exact

import (
	"bytes"
	"fmt"
	"slices"

	"pourweek/solve/inst"
)

// alike knows which parts of a state may change places: pours of one group that
// are out of their molds, and molds alike with the same groups still to come.
// States that differ in that alone are kept once.
type alike struct {
	at    []int     // place of a pour's bytes in a state
	size  []int     // and their number
	tails [][]int32 // pours of one group, two or more
	molds [][]chain // molds alike, two or more
	buf   []byte
}

// chain is the pours of a mold, the curing one apart, -1 if none.
type chain struct {
	curing int32
	pours  []int32
}

func (w *week) newAlike() *alike {
	a := &alike{}
	n := 0
	for i := range w.pours {
		a.at = append(a.at, n)
		a.size = append(a.size, 3+2*len(w.pours[i].draws))
		n += a.size[i]
	}
	a.buf = make([]byte, n)
	for _, ps := range w.in.Groups {
		var v []int32
		for _, i := range ps {
			if w.tables[i] != nil && w.pours[i].Stage == inst.New {
				v = append(v, i)
			}
		}
		if len(v) > 1 {
			a.tails = append(a.tails, v)
		}
	}
	byKey := map[string]int{}
	for m, c := range w.st.chains {
		if len(c) == 0 || w.isNamed(int32(m)) {
			continue
		}
		x := &w.in.Molds[m]
		key := fmt.Sprint(x.FreeFrom, x.Down)
		for _, i := range c {
			key += fmt.Sprint(" ", w.pours[i].Group, w.tables[i].prepTask.work)
		}
		k, ok := byKey[key]
		if !ok {
			k = len(a.molds)
			byKey[key] = k
			a.molds = append(a.molds, nil)
		}
		a.molds[k] = append(a.molds[k], chain{w.before[c[0]], c})
	}
	a.molds = slices.DeleteFunc(a.molds, func(c []chain) bool { return len(c) < 2 })
	return a
}

// isNamed reports whether a pour's pin or base names the mold.
func (w *week) isNamed(m int32) bool {
	return slices.ContainsFunc(w.pours, func(p pour) bool { return p.PinMold == m || p.BaseMold == m })
}

// blank stands in for the bytes of a pour that is out while molds are sorted.
const blank = 0xff

// settle puts the parts of a state's bytes that may change places into order.
func (x *sweep) settle(key []byte) {
	a := x.alike
	if len(a.tails) == 0 {
		return
	}
	copy(a.buf, key)
	for _, ps := range a.tails { // out pours to the fore of the buffer's places, sorted
		n := 0
		for _, i := range ps {
			if !x.isOut(key, i) {
				continue
			}
			part := key[a.at[i] : a.at[i]+a.size[i]]
			k := n
			for ; k > 0 && bytes.Compare(part, a.part(ps[k-1])) < 0; k-- {
				copy(a.part(ps[k]), a.part(ps[k-1]))
			}
			copy(a.part(ps[k]), part)
			n++
		}
		for _, i := range ps {
			if x.isOut(key, i) {
				for k := range a.size[i] {
					key[a.at[i]+k] = blank
				}
			}
		}
	}
	for _, cs := range a.molds {
		x.settleMolds(key, cs)
	}
	for _, ps := range a.tails {
		n := 0
		for _, i := range ps {
			if key[a.at[i]] == blank {
				copy(key[a.at[i]:a.at[i]+a.size[i]], a.part(ps[n]))
				n++
			}
		}
	}
}

// part is the buffer's place for a pour.
func (a *alike) part(i int32) []byte { return a.buf[a.at[i] : a.at[i]+a.size[i]] }

// isOut reports whether a pour is out of its mold.
func (x *sweep) isOut(key []byte, i int32) bool {
	k := key[x.alike.at[i]]
	return k != blank && int(k>>2) > x.pours[i].dem()
}

// settleMolds sorts the pours in molds alike whose curing pour is out.
func (x *sweep) settleMolds(key []byte, cs []chain) {
	for n := range cs {
		if !x.mayMove(key, &cs[n]) {
			continue
		}
		for k := n; k > 0; k-- {
			p := k - 1
			for p >= 0 && !x.mayMove(key, &cs[p]) {
				p--
			}
			if p < 0 || !x.swapMolds(key, &cs[p], &cs[k]) {
				break
			}
			k = p + 1
		}
	}
}

func (x *sweep) mayMove(key []byte, c *chain) bool {
	return c.curing < 0 || x.isOut(key, c.curing)
}

// swapMolds swaps the bytes of the pours of two molds if those of the first are
// greater.
func (x *sweep) swapMolds(key []byte, c, d *chain) bool {
	a := x.alike
	for k := range c.pours {
		p := key[a.at[c.pours[k]] : a.at[c.pours[k]]+a.size[c.pours[k]]]
		q := key[a.at[d.pours[k]] : a.at[d.pours[k]]+a.size[d.pours[k]]]
		switch bytes.Compare(p, q) {
		case -1:
			return false
		case 1:
			for ; k < len(c.pours); k++ {
				p := key[a.at[c.pours[k]] : a.at[c.pours[k]]+a.size[c.pours[k]]]
				q := key[a.at[d.pours[k]] : a.at[d.pours[k]]+a.size[d.pours[k]]]
				for b := range p {
					p[b], q[b] = q[b], p[b]
				}
			}
			return true
		}
	}
	return false
}

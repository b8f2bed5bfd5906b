package exact

import "pourweek/solve/inst"

// hall is a set of racks, and the pours that may rest nowhere else: at no tick do
// they hold more places than those racks have. (Necessary by Hall's theorem; a
// piece does not change racks, so that it is not enough.)
type hall struct {
	racks []int32
	only  []bool // by pour
}

// maxHalls ends the making of unions; the set of all racks is always there.
const maxHalls = 32

// findHalls lists the sets of racks that are just what some pour may use, and the
// unions of such.
func (s *shop) findHalls() {
	may := make([]uint64, len(s.pours))
	all := uint64(0)
	for i := range s.pours {
		p := s.pours[i].Pour
		if p.Stage == inst.Racked {
			may[i] = 1 << p.Rack
		} else {
			for _, k := range p.Racks {
				may[i] |= 1 << k
			}
		}
		all |= may[i]
	}
	for _, m := range unions([]uint64{all}, may, maxHalls) {
		s.halls = append(s.halls, s.hallOf(m, may))
	}
}

func (s *shop) hallOf(racks uint64, may []uint64) hall {
	h := hall{}
	for k := range s.in.Racks {
		if racks>>k&1 != 0 {
			h.racks = append(h.racks, int32(k))
		}
	}
	for _, m := range may {
		h.only = append(h.only, m&^racks == 0)
	}
	return h
}

// rackRoom reports whether a pour that is demolded now finds a place, as far as
// sets of racks tell.
func (x *sweep) rackRoom(c *cand) bool {
	if int(x.cur.step[c.pour]) != x.pours[c.pour].dem() {
		return true
	}
	for k := range x.halls {
		if h := &x.halls[k]; h.only[c.pour] && x.resting(h)+x.pours[c.pour].Places > x.placesOf(h) {
			return false
		}
	}
	return true
}

// resting is how many places the pours that may rest only there hold now.
func (x *sweep) resting(h *hall) (n int32) {
	for i := range x.pours {
		p, step := &x.pours[i], int(x.cur.step[i])
		if !h.only[i] || x.tables[i] == nil {
			continue
		}
		if step >= x.ends[i] {
			if x.near != nil && x.t < x.near.heldTo[i] {
				n += p.Places
			}
			continue
		}
		if step > p.dem() || step == p.dem() && x.cur.run[i] != waiting {
			n += p.Places
		}
	}
	return n
}

func (x *sweep) placesOf(h *hall) (n int32) {
	for _, k := range h.racks {
		n += x.in.Racks[k].Places[x.t]
	}
	return n
}

package exact

import (
	"bytes"
	"cmp"
	"hash/maphash"
	"math"
	"slices"
)

// bucket holds the states at one tick, each once with its least cost.
type bucket struct {
	keys  []byte // settled
	raw   []byte // as reached, nil where keys will do
	cost  []int64
	value []int64 // the least that is still to come, as far as the tables know
	from  []int32
	acts  []uint32
	table []int32
	ways  []way   // into the bucket, if recorded
	rest  []int64 // by state: the least that is still to come
	track int32   // the state that the plan in hand passes through, -1: none
}

// way is a step from a state, place slot of the bucket at tick t, to place to.
type way struct {
	t, slot, to int32
	cost        int32
}

// reached notes how the state at place to was reached.
func (b *bucket) reached(x *sweep, to int, cost int64) {
	if x.toTrack {
		b.track = int32(to)
	}
	if x.record {
		b.ways = append(b.ways, way{x.t, x.slot, int32(to), int32(cost - x.base)})
	}
}

// put adds the state x.next at tick t unless an equal one is as cheap.
func (x *sweep) put(t int32, cost, value int64, acts uint32) {
	x.encode(x.key, &x.next)
	if x.alike != nil {
		copy(x.raw, x.key)
		x.settle(x.key)
	}
	b := x.buckets[t]
	if b == nil {
		b = &bucket{table: make([]int32, 64), track: -1}
		x.buckets[t] = b
	}
	if 2*len(b.cost) >= len(b.table) {
		b.grow(len(x.key))
	}
	stride := len(x.key)
	h := hash(x.key) & uint64(len(b.table)-1)
	for b.table[h] != 0 {
		k := int(b.table[h] - 1)
		if bytes.Equal(b.keys[k*stride:(k+1)*stride], x.key) {
			if cost < b.cost[k] {
				b.cost[k], b.value[k], b.from[k], b.acts[k] = cost, value, x.from, acts
				if x.alike != nil {
					copy(b.raw[k*stride:], x.raw)
				}
			}
			b.reached(x, k, cost)
			return
		}
		h = (h + 1) & uint64(len(b.table)-1)
	}
	b.keys = append(b.keys, x.key...)
	if x.alike != nil {
		b.raw = append(b.raw, x.raw...)
	}
	b.cost, b.value = append(b.cost, cost), append(b.value, value)
	b.from, b.acts = append(b.from, x.from), append(b.acts, acts)
	b.table[h] = int32(len(b.cost))
	b.reached(x, len(b.cost)-1, cost)
}

// state is the k-th state as it was reached.
func (b *bucket) state(k int32, stride int) []byte {
	v := b.keys
	if b.raw != nil {
		v = b.raw
	}
	return v[int(k)*stride : (int(k)+1)*stride]
}

func (b *bucket) grow(stride int) {
	b.table = make([]int32, 4*len(b.table))
	for k := range b.cost {
		h := hash(b.keys[k*stride:(k+1)*stride]) & uint64(len(b.table)-1)
		for b.table[h] != 0 {
			h = (h + 1) & uint64(len(b.table)-1)
		}
		b.table[h] = int32(k + 1)
	}
}

var hashSeed = maphash.MakeSeed()

// hash differs from process to process, which changes how fast a state is found and
// nothing else.
func hash(key []byte) uint64 { return maphash.Bytes(hashSeed, key) }

// pickBeam lists the states of a bucket that are gone on from.
func (x *sweep) pickBeam(b *bucket, t int32) []int32 {
	order := make([]int32, len(b.cost))
	for k := range order {
		order[k] = int32(k)
	}
	if x.record { // what is dropped for another at prices may be the cheaper one without
		return order
	}
	if x.beam == 0 {
		return x.outrun(b, t, x.undominated(b, t, order))
	}
	least := func(k int32) int64 {
		if k == b.track {
			return math.MinInt64
		}
		return b.cost[k] + b.value[k]
	}
	rank := func(p, q int32) int { return cmp.Or(cmp.Compare(least(p), least(q)), cmp.Compare(p, q)) }
	if len(order) > spareBeam*x.beam { // the others are hardly ever needed
		slices.SortFunc(order, rank)
		order = order[:spareBeam*x.beam]
		slices.Sort(order)
	}
	order = x.undominated(b, t, order)
	if b.track >= 0 && !slices.Contains(order, b.track) {
		order = append(order, b.track)
	}
	slices.SortFunc(order, rank)
	return order[:min(len(order), x.beam)]
}

// spareBeam is how many times as many states as a beam follows are looked at.
const spareBeam = 3

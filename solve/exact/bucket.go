package exact

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"slices"
)

// bucket holds the states at one tick, each once with its least cost.
type bucket struct {
	keys  []byte
	cost  []int64
	from  []int32
	acts  []uint32
	table []int32
}

// put adds the state x.next at tick t unless an equal one is as cheap.
func (x *sweep) put(t int32, cost int64, acts uint32) {
	x.encode(x.key, &x.next)
	b := x.buckets[t]
	if b == nil {
		b = &bucket{table: make([]int32, 64)}
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
				b.cost[k], b.from[k], b.acts[k] = cost, x.from, acts
			}
			return
		}
		h = (h + 1) & uint64(len(b.table)-1)
	}
	b.keys = append(b.keys, x.key...)
	b.cost, b.from, b.acts = append(b.cost, cost), append(b.from, x.from), append(b.acts, acts)
	b.table[h] = int32(len(b.cost))
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

func hash(key []byte) uint64 {
	h := uint64(0x9e3779b97f4a7c15)
	for len(key) >= 8 {
		h = (h ^ binary.LittleEndian.Uint64(key)) * 0xff51afd7ed558ccd
		h ^= h >> 32
		key = key[8:]
	}
	for _, c := range key {
		h = (h ^ uint64(c)) * 0xff51afd7ed558ccd
		h ^= h >> 29
	}
	return h ^ h>>31
}

// pickBeam lists the states of a bucket that are gone on from.
func (x *sweep) pickBeam(b *bucket, t int32) []int32 {
	order := make([]int32, len(b.cost))
	for k := range order {
		order[k] = int32(k)
	}
	order = x.undominated(b, t, order)
	if x.beam == 0 || len(order) <= x.beam {
		return order
	}
	stride := len(x.key)
	f := make([]int64, len(b.cost))
	for _, k := range order {
		x.decode(b.keys[int(k)*stride:(int(k)+1)*stride], &x.cur)
		f[k] = b.cost[k] + x.value(&x.cur, t)
	}
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(f[a], f[b]) })
	return order[:x.beam]
}

package benchset

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Packing is a bin packing instance.
type Packing struct {
	Name     string
	Capacity int64
	Sizes    []int64
}

// ReadBPP reads a Scholl file: items, capacity, sizes.
func ReadBPP(name, text string) (*Packing, error) {
	in := newNumbers(text)
	p := &Packing{Name: name}
	n := in.next()
	p.Capacity = int64(in.next())
	for range n {
		p.Sizes = append(p.Sizes, int64(in.next()))
	}
	return p, in.err
}

// ReadFalkenauer reads an OR-Library file: several instances, some with sizes
// of one decimal; all are multiplied by 10 then.
func ReadFalkenauer(text string) ([]*Packing, error) {
	in := newNumbers(text)
	scale := 1.0
	if strings.ContainsRune(text, '.') {
		scale = 10
	}
	size := func() int64 {
		w := in.word()
		v, err := strconv.ParseFloat(w, 64)
		if err != nil && in.err == nil {
			in.err = fmt.Errorf("%q is not a size", w)
		}
		return int64(math.Round(v * scale))
	}
	list := make([]*Packing, in.next())
	for i := range list {
		p := &Packing{Name: in.word(), Capacity: size()}
		n := in.next()
		in.next()
		for range n {
			p.Sizes = append(p.Sizes, size())
		}
		list[i] = p
	}
	return list, in.err
}

// ReadHard28 reads instances with a quoted name, the number of size classes,
// the capacity, and lines of size and count.
func ReadHard28(text string) ([]*Packing, error) {
	var list []*Packing
	parts := strings.Split(text, "'")
	for i := 1; i+1 < len(parts); i += 2 {
		in := newNumbers(parts[i+1])
		p := &Packing{Name: strings.ReplaceAll(parts[i], " ", "")}
		classes := in.next()
		p.Capacity = int64(in.next())
		for range classes {
			size := int64(in.next())
			for range in.next() {
				p.Sizes = append(p.Sizes, size)
			}
		}
		if in.err != nil {
			return nil, fmt.Errorf("%s: %w", p.Name, in.err)
		}
		list = append(list, p)
	}
	return list, nil
}

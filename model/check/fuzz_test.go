package check

import (
	"bytes"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"pourweek/model"
)

// FuzzCheck judges plans of any kind: read from a file, and with values that no
// file can hold put in. The checker must neither panic nor hang, and what it
// allows must still be allowed, at the same cost, when written and read again.
func FuzzCheck(f *testing.F) {
	var b bytes.Buffer
	if err := model.WritePlan(&b, benchPlan()); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes(), uint64(0))
	for seed := range uint64(32) {
		f.Add(b.Bytes(), seed)
	}
	p := benchProblem()
	f.Fuzz(func(t *testing.T, data []byte, seed uint64) {
		plan, err := model.ReadPlan("plan.json", bytes.NewReader(data))
		if err != nil {
			return
		}
		if seed > 0 {
			spoil(reflect.ValueOf(plan).Elem(), rand.New(rand.NewPCG(seed, 1)), 1+int(seed%4))
		}
		v := Check(p, plan)
		if v.Allowed != (len(v.Broken) == 0) || v.Cost != v.Terms.Total() {
			t.Fatalf("allowed %v, cost %d, terms %+v, broken %v", v.Allowed, v.Cost, v.Terms, v.Broken)
		}
		for _, broken := range v.Broken {
			if broken.Text == "" || broken.Rule == "" {
				t.Fatalf("a rule without words: %+v", broken)
			}
		}
		if !reflect.DeepEqual(v, Check(p, plan)) {
			t.Fatal("two judgments differ")
		}
		if v.Allowed && seed == 0 {
			again(t, p, plan, v)
		}
	})
}

func again(t *testing.T, p *model.Problem, plan *model.Plan, v *Verdict) {
	var b bytes.Buffer
	if err := model.WritePlan(&b, plan); err != nil {
		t.Fatal(err)
	}
	back, err := model.ReadPlan("again", &b)
	if err != nil {
		t.Fatal(err)
	}
	if w := Check(p, back); !reflect.DeepEqual(v, w) {
		t.Fatalf("%+v became %+v", v, w)
	}
}

// spoil changes n values at random places.
func spoil(v reflect.Value, r *rand.Rand, n int) {
	for range n {
		spoilOne(v, r)
	}
}

func spoilOne(v reflect.Value, r *rand.Rand) {
	switch v.Kind() {
	case reflect.Struct:
		spoilOne(v.Field(r.IntN(v.NumField())), r)
	case reflect.Pointer:
		if v.IsNil() {
			v.Set(reflect.New(v.Type().Elem()))
		} else if r.IntN(4) == 0 {
			v.SetZero()
		} else {
			spoilOne(v.Elem(), r)
		}
	case reflect.Slice:
		switch k := r.IntN(6); {
		case v.Len() == 0 || k == 0:
			v.Set(reflect.Append(v, reflect.Zero(v.Type().Elem())))
		case k == 1:
			v.Set(v.Slice(0, v.Len()-1))
		default:
			spoilOne(v.Index(r.IntN(v.Len())), r)
		}
	case reflect.Array:
		spoilOne(v.Index(r.IntN(v.Len())), r)
	case reflect.Map:
		if v.IsNil() || r.IntN(2) == 0 {
			v.Set(reflect.MakeMap(v.Type()))
		}
		v.SetMapIndex(reflect.ValueOf([]string{"hand", "mix", "nobody"}[r.IntN(3)]), reflect.Zero(v.Type().Elem()))
	case reflect.String:
		v.SetString([]string{"", "A", "B", "b1", "m2", "r2", "ann", "\xff"}[r.IntN(8)])
	default:
		v.SetInt([]int64{math.MinInt64, math.MaxInt64, 0, -1, 1 << 40, 13, 52, v.Int() + 1, v.Int() - 1}[r.IntN(9)])
	}
}

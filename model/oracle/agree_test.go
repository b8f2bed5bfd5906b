package oracle_test

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/check"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
)

// agree fails the test when the checker and the judge differ on a plan, and
// reports whether it is allowed.
func agree(t *testing.T, name string, p *model.Problem, plan *model.Plan) bool {
	t.Helper()
	v := check.Check(p, plan)
	terms, broken := oracle.Terms(p, plan)
	if v.Allowed != oracle.Allowed(p, plan) {
		text, _ := json.Marshal(plan)
		t.Errorf("%s: the checker says %v %v, the judge %q\n%s", name, v.Allowed, v.Broken, broken, text)
	} else if v.Allowed && (v.Terms != terms || v.Cost != terms.Total()) {
		t.Errorf("%s: the checker finds %+v, the judge %+v", name, v.Terms, terms)
	}
	return v.Allowed
}

func copyOf(t *testing.T, plan *model.Plan) *model.Plan {
	data, err := json.Marshal(plan)
	if err != nil {
		t.Fatal(err)
	}
	var out model.Plan
	if err := json.Unmarshal(data, &out); err != nil {
		t.Fatal(err)
	}
	return &out
}

// mutate changes a plan in one to three places, a little or a lot.
func mutate(r *rand.Rand, p *model.Problem, plan *model.Plan) {
	plan.Cost, plan.Terms, plan.Bound = model.Unstated, model.Terms{}, 0
	for range 1 + r.IntN(3) {
		if len(plan.Batches) > 0 && r.IntN(3) == 0 {
			mutateBatch(r, p, plan)
		} else if len(plan.Pours) > 0 {
			mutatePour(r, p, plan, &plan.Pours[r.IntN(len(plan.Pours))])
		}
	}
}

func nudge(r *rand.Rand) model.Tick {
	return []model.Tick{1, 1, -1, -1, 2, -2, 24, -24}[r.IntN(8)]
}

func move(iv *model.Interval, by model.Tick) { iv[0], iv[1] = iv[0]+by, iv[1]+by }

func mutateBatch(r *rand.Rand, p *model.Problem, plan *model.Plan) {
	k := r.IntN(len(plan.Batches))
	b := &plan.Batches[k]
	switch r.IntN(8) {
	case 0:
		by := nudge(r)
		b.Start += by
		move(&b.Wash, by)
	case 1:
		move(&b.Wash, nudge(r))
	case 2:
		b.Start += nudge(r)
	case 3:
		b.Mixer = p.Mixers[r.IntN(len(p.Mixers))].ID
	case 4:
		b.Wash[1] += nudge(r)
	case 5:
		rename(r, p, b.Who.Mix)
		rename(r, p, b.Who.Wash)
	case 6:
		b.Mix = p.Mixes[r.IntN(len(p.Mixes))].ID
	case 7: // feed a draw from another batch; this one may run empty
		for i := range plan.Pours {
			for d := range plan.Pours[i].Draws {
				if plan.Pours[i].Draws[d] == b.ID && r.IntN(2) == 0 {
					plan.Pours[i].Draws[d] = plan.Batches[r.IntN(len(plan.Batches))].ID
				}
			}
		}
	}
}

func mutatePour(r *rand.Rand, p *model.Problem, plan *model.Plan, x *model.PourPlan) {
	last := func() {
		for _, f := range x.Finish {
			if f != nil {
				x.Ready = f[1]
			}
		}
	}
	switch r.IntN(14) {
	case 0, 1: // one finish step
		k := r.IntN(len(x.Finish))
		if f := x.Finish[k]; f != nil {
			move(f, nudge(r))
			last()
		}
	case 2: // the last step
		if f := x.Finish[len(x.Finish)-1]; f != nil {
			move(f, nudge(r))
			last()
		}
	case 3:
		if x.Demold != nil {
			move(x.Demold, nudge(r))
		}
	case 4, 5:
		if x.Prep != nil {
			move(x.Prep, nudge(r))
		}
	case 6:
		if x.Prep != nil {
			x.Prep[1] += nudge(r) // put down, or not
		}
	case 7:
		if x.Cover != nil {
			by := nudge(r)
			move(x.Cover, by)
			*x.CureEnd += by
		}
	case 8:
		x.Rack = p.Racks[r.IntN(len(p.Racks))].ID
	case 9:
		x.Mold = model.OptID(p.Molds[r.IntN(len(p.Molds))].ID)
	case 10:
		if len(x.Layers) > 0 {
			move(&x.Layers[r.IntN(len(x.Layers))], nudge(r))
		}
	case 11:
		rename(r, p, x.Who.Demold)
		for _, w := range x.Who.Finish {
			rename(r, p, w)
		}
	case 12: // all of the pour
		by := nudge(r)
		for _, iv := range append(append([]*model.Interval{}, x.Finish...), x.Prep, x.Cover, x.Demold) {
			if iv != nil {
				move(iv, by)
			}
		}
		for k := range x.Layers {
			move(&x.Layers[k], by)
		}
		if x.CureEnd != nil {
			*x.CureEnd += by
		}
		last()
	case 13:
		for k := range plan.Pours {
			if plan.Pours[k].ID == x.ID {
				plan.Carried = append(plan.Carried, x.ID)
				plan.Pours = append(plan.Pours[:k:k], plan.Pours[k+1:]...)
				break
			}
		}
		used := map[string]bool{}
		for _, y := range plan.Pours {
			for _, b := range y.Draws {
				used[b] = true
			}
		}
		var keep []model.BatchPlan
		for _, b := range plan.Batches {
			if used[b.ID] || r.IntN(4) == 0 {
				keep = append(keep, b)
			}
		}
		plan.Batches = keep
	}
}

func rename(r *rand.Rand, p *model.Problem, w model.Who) {
	for _, x := range p.People { // in a fixed order, maps have none
		for s := range w {
			for k := range w[s] {
				if w[s][k] == x.ID && r.IntN(3) == 0 {
					w[s][k] = p.People[r.IntN(len(p.People))].ID
				}
			}
			break
		}
	}
}

// TestCheckerAndJudgeAgreeOnToys holds two readings of the contract against each
// other on optimal plans of toys and on changes of them.
func TestCheckerAndJudgeAgreeOnToys(t *testing.T) {
	toys := uint64(60)
	if testing.Short() {
		toys = 10
	}
	if os.Getenv("POURWEEK_LONG") != "" {
		toys = 3000
	}
	plans, allowed := 0, 0
	for seed := range toys {
		p := modeltest.Toy(seed)
		best, _, ok := oracle.Best(p)
		if !ok || best == nil {
			continue
		}
		if !agree(t, p.Name, p, best) {
			t.Errorf("%s: the best plan is refused", p.Name)
		}
		r := rand.New(rand.NewPCG(seed, 1))
		for range 300 {
			plan := copyOf(t, best)
			mutate(r, p, plan)
			plans++
			if agree(t, p.Name, p, plan) {
				allowed++
				if c := check.Check(p, plan).Cost; c < best.Cost {
					t.Errorf("%s: a plan costs %d, the best %d", p.Name, c, best.Cost)
				}
			}
			if t.Failed() {
				return
			}
		}
	}
	t.Logf("%d plans, %d of them allowed", plans, allowed)
	if allowed*50 < plans {
		t.Errorf("only %d of %d plans are allowed: too few to tell", allowed, plans)
	}
}

// TestCheckerAndJudgeAgreeOnWeeks does the same on plans of whole weeks with
// all optional rules.
func TestCheckerAndJudgeAgreeOnWeeks(t *testing.T) {
	dir := modeltest.Shared(t, "verdicts")
	files, _ := filepath.Glob(filepath.Join(dir, "*.jsonl"))
	times := 5
	if testing.Short() {
		times = 1
	}
	if os.Getenv("POURWEEK_LONG") != "" {
		times = 300
	}
	plans, allowed := 0, 0
	for n, file := range files {
		f, err := os.Open(filepath.Join(dir, "..", "weeks", strings.TrimSuffix(filepath.Base(file), ".jsonl")+".json"))
		if err != nil {
			t.Fatal(err)
		}
		p, err := model.ReadProblem(file, f)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		r := rand.New(rand.NewPCG(uint64(n), 2))
		for line := range bytes.Lines(data) {
			var v struct{ Plan *model.Plan }
			if err := json.Unmarshal(line, &v); err != nil {
				t.Fatal(err)
			}
			for range times {
				plan := copyOf(t, v.Plan)
				mutate(r, p, plan)
				plans++
				if agree(t, filepath.Base(file), p, plan) {
					allowed++
				}
				if t.Failed() {
					return
				}
			}
		}
	}
	t.Logf("%d plans, %d of them allowed", plans, allowed)
	if allowed == 0 {
		t.Error("no plan is allowed")
	}
}

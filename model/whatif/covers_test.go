package whatif

import (
	"os"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
	"pourweek/model/oracle"
)

// Where one week covers another, the best plan of the narrow one is allowed in
// the wide one at the same cost, whatever the two changes are.
func TestCoversHoldsForEveryPairOfCases(t *testing.T) {
	told, seeds := map[string]int{}, uint64(8)
	if os.Getenv("POURWEEK_LONG") != "" {
		seeds = 200
	}
	for seed := uint64(1); seed <= seeds; seed++ {
		p := modeltest.Toy(seed)
		skill, rack := p.People[0].Skills[0], p.Racks[0].ID
		cases := []Case{
			{Kind: Today}, {People, "+1:" + skill}, {People, "+2:" + skill}, {People, "-1:" + skill}, {People, "1"}, {People, "2"}, {People, "4"},
			{Racks, "+1:" + rack}, {Racks, "-1:" + rack}, {Stations, "+1:rig"}, {Stations, "-1:booth"}, {Mixer, "+1"}, {Overtime, "none"}, {Overtime, "daily"},
		}
		for _, x := range p.Pours {
			if x.Stage == model.New {
				cases = append(cases, Case{Molds, "+1:" + x.Piece}, Case{Molds, "-1:" + x.Piece})
				break
			}
		}
		var weeks []*model.Problem
		var of []Case
		for _, c := range cases {
			if q, err := Apply(p, c); err == nil {
				weeks, of = append(weeks, q), append(of, c)
			}
		}
		for i, narrow := range weeks {
			plan, cost, ok := oracle.Best(narrow)
			if !ok || plan == nil {
				continue
			}
			for j, wide := range weeks {
				if i == j || !Covers(wide, narrow) {
					continue
				}
				told[of[i].Name()+" < "+of[j].Name()]++
				if c, broken := oracle.Judge(wide, plan); broken != "" || c != cost {
					t.Errorf("seed %d: %s is said to cover %s, and a plan that costs %d costs %d there %s",
						seed, of[j].Name(), of[i].Name(), cost, c, broken)
				}
			}
		}
		if Covers(p, weeks[1]) || !Covers(weeks[1], p) || !Covers(weeks[2], weeks[1]) {
			t.Errorf("seed %d: a person more is not told from one less", seed)
		}
	}
	n := 0
	for _, k := range told {
		n += k
	}
	if n < 150 || told["today < overtime=daily"] == 0 || told["overtime=none < today"] == 0 || told["today < mixer+1"] == 0 || told["today < stations+1:rig"] == 0 {
		t.Errorf("%d pairs: %v", n, told)
	}
	t.Logf("%d pairs", n)
}

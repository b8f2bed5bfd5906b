package check

import (
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strconv"
	"testing"

	"pourweek/model"
)

// TestBenchPlan works the cost of the plan out by hand (section 6).
func TestBenchPlan(t *testing.T) {
	p := benchProblem()
	if is := p.Validate(); len(is) > 0 {
		t.Fatal(is)
	}
	want := model.Terms{
		Late:     31*(60-55) + 37*(24-20), // A and C
		Ship:     3 * (65 - 50),           // AB leaves by the truck at 65
		Carry:    1000,                    // B
		Idle:     11 * (0 + 3),            // m1 is free at 12 and prepared from 14 to 17
		Held:     13 * (0 + 2),            // A at 50, the first regular tick after 42; C from 12 to 14
		RackWait: 17 * (0 + 0 + 0 + 0 + 1),
		Batch:    23,
		Waste:    5000, // 21 kg are rounded up to 25 kg
		Move:     29,   // B is carried; A is a tick from its base
	}
	v := Check(p, benchPlan())
	if !v.Allowed || v.Terms != want || v.Cost != want.Total() {
		t.Fatalf("cost %d, terms %+v, want %+v; broken %v", v.Cost, v.Terms, want, v.Broken)
	}
}

type change func(p *model.Problem, plan *model.Plan)

// batch2 adds a batch of the mix at start with its wash, without people clashing.
func batch2(plan *model.Plan, mix string, start, z, length model.Tick) {
	b := plan.Batches[0]
	b.ID, b.Mix, b.Start, b.Wash = "b2", mix, start, model.Interval{z, z + length}
	plan.Batches = append(plan.Batches, b)
}

// brokenCases has a plan for every rule. The sentence is that of the first
// broken rule; also lists the rules that break with it.
var brokenCases = []struct {
	name string
	do   change
	rule Rule
	text string
	also []Rule
}{
	{"pour unknown", func(p *model.Problem, x *model.Plan) { x.Carried = append(x.Carried, "Z") }, Known, `the plan carries the pour "Z", which the problem does not have`, nil},
	{"person unknown", func(p *model.Problem, x *model.Plan) { x.Pours[0].Who.Cover["hand"][0] = "zoe" }, Known, `cover of pour "A" names the person "zoe", whom the problem does not have`, nil},
	{"fixed unknown", func(p *model.Problem, x *model.Plan) { x.Fixed["dig"] = nil }, Known, `the plan names people for the fixed work "dig", which the problem does not have`, nil},
	{"mix unknown", func(p *model.Problem, x *model.Plan) { x.Batches[0].Mix = "pink" }, Known, `batch "b1" is of the mix "pink", which the problem does not have`, []Rule{DrawMix}},
	{"mixer unknown", func(p *model.Problem, x *model.Plan) { x.Batches[0].Mixer = "mz" }, Known, `batch "b1" is in the mixer "mz", which the problem does not have`, nil},
	{"batch twice", func(p *model.Problem, x *model.Plan) { x.Batches = append(x.Batches, x.Batches[0]) }, Twice, `batch "b1" stands twice in the plan`, nil},
	{"pour twice", func(p *model.Problem, x *model.Plan) { x.Pours = append(x.Pours, x.Pours[0]) }, Twice, `pour "A" stands twice in the plan`, nil},
	{"carried twice", func(p *model.Problem, x *model.Plan) { x.Carried = []string{"B", "B"} }, Twice, `pour "B" stands twice among the carried`, nil},
	{"reversed interval", func(p *model.Problem, x *model.Plan) { x.Pours[0].Demold = iv(52, 50) }, Ticks, `demold of pour "A" runs from tick 52 to tick 50, which is no time that can be`, nil},
	{"after the horizon", func(p *model.Problem, x *model.Plan) {
		p.Horizon = 59
		p.PourUntil = 59
		p.Open[1][1] = 59
		p.Open = p.Open[:2]
		p.Fixed = nil
		x.Fixed = nil
	},
		Horizon, `seal of pour "A" ends at Mon Mar 1 15:00 (tick 60), after the horizon, Mon Mar 1 14:45 (tick 59)`, []Rule{Steady}},
	{"before now", func(p *model.Problem, x *model.Plan) { p.Now = 13 }, Now, `prep of pour "A" starts at Mon Mar 1 03:00 (tick 12), before now, Mon Mar 1 03:15 (tick 13)`, []Rule{Now}},
	{"steady and too long", func(p *model.Problem, x *model.Plan) {
		x.Pours[0].Cover[1] = 23
		x.Pours[0].CureEnd = ptr(model.Tick(43))
	}, Steady, `cover of pour "A" takes 2 ticks from Mon Mar 1 05:15 (tick 21) to Mon Mar 1 05:45 (tick 23); it is 1 tick of work without a pause`, nil},
	{"steady in closed ticks", func(p *model.Problem, x *model.Plan) { p.Open[1][0] = 51; p.Open = slices.Clone(p.Open) }, Steady, `demold of pour "A" goes on from Mon Mar 1 12:30 (tick 50) to Mon Mar 1 13:00 (tick 52) without a pause, but the shop is closed at Mon Mar 1 12:30 (tick 50)`, nil},
	{"pausable in closed ticks", func(p *model.Problem, x *model.Plan) { p.Open[0][0] = 13 }, Pausable, `prep of pour "A" starts at Mon Mar 1 03:00 (tick 12), when the shop is closed`, []Rule{Steady}},
	{"pausable and too long", func(p *model.Problem, x *model.Plan) {
		x.Pours[0].Finish[0][1] = 55
		x.Pours[0].Finish[1] = iv(59, 61)
		x.Pours[0].Ready = 61
		x.Pours[0].Who.Finish[1]["hand"][0] = "bo"
	}, Pausable, `grind of pour "A" runs from Mon Mar 1 13:00 (tick 52) to Mon Mar 1 13:45 (tick 55), which is 3 open ticks, 3 of them regular; its 2 ticks of work end there neither straight on nor put down for overtime`, nil},
	{"when", func(p *model.Problem, x *model.Plan) { p.Pours[0].Layers[0].When = []model.Interval{{18, 30}} }, When, `face of pour "A" starts at Mon Mar 1 04:15 (tick 17), outside the times in which it may start`, nil},
	{"station", func(p *model.Problem, x *model.Plan) { p.Fixed[0].Start = 51; x.Fixed["load"]["hand"][0] = "cy" }, Station, `station "hoist" has 1 place at Mon Mar 1 12:45 (tick 51), and 2 held: by fixed work "load", demold of pour "A"`, nil},
	{"station of spans", func(p *model.Problem, x *model.Plan) { p.Stations[2].Places = 0 }, Station, `station "tent" has 0 places at Mon Mar 1 00:00 (tick 0), and 1 held: by pour "C"`, nil},
	{"too few heads", func(p *model.Problem, x *model.Plan) { x.Pours[0].Who.Demold["hand"] = []string{"ann"} }, Heads, `demold of pour "A" asks 2 for the skill "hand", and the plan names 1`, nil},
	{"heads for another skill", func(p *model.Problem, x *model.Plan) { x.Pours[0].Who.Cover["mix"] = []string{"cy"} }, Heads, `cover of pour "A" asks nobody for the skill "mix", and the plan names 1`, nil},
	{"heads for no task", func(p *model.Problem, x *model.Plan) { x.Pours[1].Who.Cover = model.Who{"hand": {"cy"}} }, Heads, `cover of pour "C" asks nobody for the skill "hand", and the plan names 1`, nil},
	{"skill", func(p *model.Problem, x *model.Plan) { x.Pours[0].Who.Finish[0]["finish"][0] = "cy" }, Skill, `grind of pour "A" names "cy" for the skill "finish", which they do not have`, nil},
	{"once", func(p *model.Problem, x *model.Plan) { x.Pours[0].Who.Demold["hand"] = []string{"ann", "ann"} }, Once, `demold of pour "A" names "ann" twice`, nil},
	{"present", func(p *model.Problem, x *model.Plan) { p.People[1].On = []model.Interval{{10, 40}, {51, 80}} }, Present, `demold of pour "A" needs "bo" at Mon Mar 1 12:30 (tick 50), when they are not present`, nil},
	{"busy", func(p *model.Problem, x *model.Plan) { x.Pours[0].Who.Layers[1]["hand"][0] = "cy" }, Busy, `"cy" is at Mon Mar 1 04:45 (tick 19) in both washing of batch "b1" and back of pour "A"`, nil},
	{"mixer", func(p *model.Problem, x *model.Plan) { x.Batches[0].Mixer = "my" }, Mixer, `batch "b1" of the mix "gray" is in the mixer "my", which that mix does not allow`, nil},
	{"mixing", func(p *model.Problem, x *model.Plan) {
		p.Open = append([]model.Interval{{10, 15}, {16, 40}}, p.Open[1:]...)
	}, Mixing, `batch "b1" is mixed from Mon Mar 1 03:30 (tick 14) to Mon Mar 1 04:15 (tick 17), but the shop is closed at Mon Mar 1 03:45 (tick 15)`, []Rule{Steady}},
	{"wash length", func(p *model.Problem, x *model.Plan) { x.Batches[0].Wash = model.Interval{18, 19} }, WashLength, `washing of batch "b1" takes 1 tick from Mon Mar 1 04:30 (tick 18); with its mix it is 2`, nil},
	{"wash of nothing", func(p *model.Problem, x *model.Plan) {
		p.Mixes[0].Wash = 0
		x.Batches[0].Wash = model.Interval{18, 18}
		x.Batches[0].Who.Wash = nil
	}, WashLength, `washing of batch "b1" is stated at Mon Mar 1 04:30 (tick 18); there is none, so that it is stated at ready, Mon Mar 1 04:15 (tick 17)`, nil},
	{"wash gap", func(p *model.Problem, x *model.Plan) { p.Mixes[0].WashGap = model.Interval{2, 4} }, WashGap, `washing of batch "b1" starts at Mon Mar 1 04:30 (tick 18), 1 tick after the batch is ready at Mon Mar 1 04:15 (tick 17); 2 to 4 are allowed`, nil},
	{"mixer held", func(p *model.Problem, x *model.Plan) {
		batch2(x, "white", 23, 26, 2)
		x.Batches[0].Wash = model.Interval{21, 23}
		x.Batches[1].Start = 22
		x.Batches[1].Wash = model.Interval{25, 27}
	}, MixerHeld, `batch "b2" starts in the mixer "mx" at Mon Mar 1 05:30 (tick 22), which batch "b1" holds until Mon Mar 1 05:45 (tick 23)`, []Rule{EmptyBatch, Busy}},
	{"mixer free", func(p *model.Problem, x *model.Plan) { p.Mixers[0].FreeFrom = 15 }, MixerFree, `batch "b1" starts at Mon Mar 1 03:30 (tick 14), before the mixer "mx" is free at Mon Mar 1 03:45 (tick 15)`, nil},
	{"mixer down", func(p *model.Problem, x *model.Plan) { p.Mixers[0].Down = []model.Interval{{19, 25}} }, MixerDown, `batch "b1" holds the mixer "mx" from Mon Mar 1 03:30 (tick 14) to Mon Mar 1 05:00 (tick 20), but it is down from Mon Mar 1 04:45 (tick 19) to Mon Mar 1 06:15 (tick 25)`, nil},
	{"capacity", func(p *model.Problem, x *model.Plan) { p.Mixers[0].Capacity = 24000 }, Capacity, `batch "b1" is 25000 g for 20000 g of draws; the mixer "mx" holds 24000 g`, nil},
	{"batch ready", func(p *model.Problem, x *model.Plan) {
		x.Batches[0].Start = 15
		x.Batches[0].Wash = model.Interval{18, 20}
	}, BatchReady, `face of pour "A" starts at Mon Mar 1 04:15 (tick 17), before batch "b1" is ready at Mon Mar 1 04:30 (tick 18)`, nil},
	{"pot life", func(p *model.Problem, x *model.Plan) { p.Mixes[0].PotLife = model.Steps{{0, 8}, {14, 6}} }, PotLife, `back of pour "A" ends at Mon Mar 1 05:15 (tick 21), but batch "b1" can be worked until Mon Mar 1 05:00 (tick 20)`, nil},
	{"too many draws", func(p *model.Problem, x *model.Plan) { x.Pours[0].Draws = []string{"b1", "b1"} }, Draws, `pour "A" names 2 batches for its draws; there are 1 draws`, nil},
	{"no such batch", func(p *model.Problem, x *model.Plan) { x.Pours[0].Draws = []string{"b9"} }, Draws, `draw 1 of pour "A" comes from the batch "b9", which the plan does not have`, []Rule{EmptyBatch}},
	{"draw of another mix", func(p *model.Problem, x *model.Plan) { x.Batches[0].Mix = "white" }, DrawMix, `draw 1 of pour "A" is of the mix "gray" and comes from batch "b1" of the mix "white"`, nil},
	{"empty batch", func(p *model.Problem, x *model.Plan) { batch2(x, "gray", 25, 28, 2) }, EmptyBatch, `batch "b2" feeds no pour`, nil},
	{"neither planned nor carried", func(p *model.Problem, x *model.Plan) { x.Carried = nil }, Planned, `pour "B" is neither planned nor carried`, nil},
	{"planned and carried", func(p *model.Problem, x *model.Plan) { x.Carried = []string{"A", "B"} }, Planned, `pour "A" is both planned and carried`, nil},
	{"carried while curing", func(p *model.Problem, x *model.Plan) {
		x.Carried = []string{"B", "C"}
		x.Pours = append(x.Pours[:1], x.Pours[2:]...)
	}, Carried, `pour "C" is carried, but it is curing and cannot wait`, nil},
	{"carried with a pin", func(p *model.Problem, x *model.Plan) { p.Pours[1].Pin = &model.Spot{Mold: "m2", Start: 40} }, Carried, `pour "B" is carried, but it is pinned`, nil},
	{"step missing", func(p *model.Problem, x *model.Plan) { x.Pours[0].Cover = nil }, Steps, `pour "A" has no cover`, nil},
	{"step done already", func(p *model.Problem, x *model.Plan) { x.Pours[1].Prep = iv(12, 14) }, Steps, `pour "C" has a prep, which is done already: it is curing`, nil},
	{"finish step missing", func(p *model.Problem, x *model.Plan) { x.Pours[1].Finish = x.Pours[1].Finish[:1] }, Steps, `pour "C" has 1 entry in finish; 2 are due`, nil},
	{"cure_end of a racked pour", func(p *model.Problem, x *model.Plan) { x.Pours[2].CureEnd = ptr(model.Tick(3)) }, Steps, `pour "D" has a cure_end, which is done already: it is racked`, nil},
	{"mold choice", func(p *model.Problem, x *model.Plan) { p.Pours[0].Molds = p.Pours[0].Molds[1:] }, MoldChoice, `pour "A" is in the mold "m1", which is none of its molds`, nil},
	{"mold of a curing pour", func(p *model.Problem, x *model.Plan) { x.Pours[1].Mold = "m1" }, MoldChoice, `pour "C" is stated in the mold "m1"; it is curing in "m2"`, nil},
	{"mold of a racked pour", func(p *model.Problem, x *model.Plan) { x.Pours[2].Mold = "m1" }, MoldChoice, `pour "D" is stated in the mold "m1"; it has been demolded`, nil},
	{"rack choice", func(p *model.Problem, x *model.Plan) { x.Pours[0].Rack = "r2" }, RackChoice, `pour "A" is on the rack "r2", which is none of its racks`, nil},
	{"rack of a racked pour", func(p *model.Problem, x *model.Plan) { x.Pours[2].Rack = "r2" }, RackChoice, `pour "D" is stated on the rack "r2"; it is on "r"`, nil},
	{"release", func(p *model.Problem, x *model.Plan) { p.Pours[0].Release = 13 }, Release, `prep of pour "A" starts at Mon Mar 1 03:00 (tick 12), before its release at Mon Mar 1 03:15 (tick 13)`, nil},
	{"prepared", func(p *model.Problem, x *model.Plan) {
		x.Pours[0].Prep = iv(16, 18)
		x.Pours[0].Who.Prep["hand"][0] = "ann"
		x.Pours[0].Who.Layers[0]["spray"][0] = "ann"
	}, Prepared, `face of pour "A" starts at Mon Mar 1 04:15 (tick 17), before prep ends at Mon Mar 1 04:30 (tick 18)`, []Rule{Busy}},
	{"prep max", func(p *model.Problem, x *model.Plan) { p.Pours[0].PrepMax = ptr(model.Tick(2)) }, PrepMax, `face of pour "A" starts at Mon Mar 1 04:15 (tick 17), 3 ticks after prep ends at Mon Mar 1 03:30 (tick 14); at most 2 are allowed`, nil},
	{"pour until", func(p *model.Problem, x *model.Plan) { p.PourUntil = 17 }, PourUntil, `face of pour "A" starts at Mon Mar 1 04:15 (tick 17); a first layer starts before Mon Mar 1 04:15 (tick 17)`, nil},
	{"gap of a layer", func(p *model.Problem, x *model.Plan) { p.Pours[0].Layers[1].Gap = model.Interval{2, 3} }, Gap, `back of pour "A" starts at Mon Mar 1 04:45 (tick 19), 1 tick after the step before ends at Mon Mar 1 04:30 (tick 18); 2 to 3 are allowed`, nil},
	{"gap of the cover", func(p *model.Problem, x *model.Plan) { p.Pours[0].Cover.Gap = model.Interval{1, 3} }, Gap, `cover of pour "A" starts at Mon Mar 1 05:15 (tick 21), 0 ticks after the step before ends at Mon Mar 1 05:15 (tick 21); 1 to 3 are allowed`, nil},
	{"cure end", func(p *model.Problem, x *model.Plan) { x.Pours[0].CureEnd = ptr(model.Tick(41)) }, CureEnd, `pour "A" is stated cured at Mon Mar 1 10:15 (tick 41); it is at Mon Mar 1 10:30 (tick 42)`, nil},
	{"cured", func(p *model.Problem, x *model.Plan) {
		p.Cures[0].Lag = model.Steps{{0, 30}}
		x.Pours[0].CureEnd = ptr(model.Tick(52))
	}, Cured, `demold of pour "A" starts at Mon Mar 1 12:30 (tick 50), before it is cured at Mon Mar 1 13:00 (tick 52)`, nil},
	{"mold max", func(p *model.Problem, x *model.Plan) { p.Pours[0].MoldMax = ptr(model.Tick(27)) }, MoldMax, `demold of pour "A" starts at Mon Mar 1 12:30 (tick 50), 28 ticks after the cover ends at Mon Mar 1 05:30 (tick 22); at most 27 are allowed`, nil},
	{"mold until", func(p *model.Problem, x *model.Plan) { p.Pours[2].MoldUntil = ptr(model.Tick(13)) }, MoldUntil, `demold of pour "C" starts at Mon Mar 1 03:30 (tick 14); it may start until Mon Mar 1 03:15 (tick 13)`, nil},
	{"rest", func(p *model.Problem, x *model.Plan) {
		p.Pours[0].Finish = slices.Clone(p.Pours[0].Finish)
		p.Pours[0].Finish[1].Rest = 5
	}, Rest, `seal of pour "A" starts at Mon Mar 1 14:30 (tick 58), 4 ticks after the step before ends at Mon Mar 1 13:30 (tick 54); it rests at least 5`, nil},
	{"rest max", func(p *model.Problem, x *model.Plan) {
		p.Pours[0].Finish = slices.Clone(p.Pours[0].Finish)
		p.Pours[0].Finish[1].RestMax = ptr(model.Tick(3))
	}, RestMax, `seal of pour "A" starts at Mon Mar 1 14:30 (tick 58), 4 ticks after the step before ends at Mon Mar 1 13:30 (tick 54); at most 3 are allowed`, nil},
	{"from", func(p *model.Problem, x *model.Plan) { p.Pours[3].From = 13 }, From, `seal of pour "D" starts at Mon Mar 1 03:00 (tick 12); it may not start before Mon Mar 1 03:15 (tick 13)`, nil},
	{"from max", func(p *model.Problem, x *model.Plan) { p.Pours[3].FromMax = ptr(model.Tick(11)) }, FromMax, `seal of pour "D" starts at Mon Mar 1 03:00 (tick 12); it may start until Mon Mar 1 02:45 (tick 11)`, nil},
	{"ready", func(p *model.Problem, x *model.Plan) { x.Pours[0].Ready = 61 }, Ready, `pour "A" is stated ready at Mon Mar 1 15:15 (tick 61); its last step ends at Mon Mar 1 15:00 (tick 60)`, nil},
	{"mold held", func(p *model.Problem, x *model.Plan) {
		x.Pours[0].Mold = "m2"
		x.Pours[0].Prep = iv(12, 15)
		x.Pours[0].Who.Prep["hand"][0] = "cy"
		x.Batches[0].Who.Mix["mix"][0] = "ann"
		x.Pours[1].Who.Demold["hand"][0] = "ann"
		x.Pours[1].Demold = iv(15, 17)
		x.Pours[1].Finish[0] = iv(17, 19)
		x.Pours[1].Finish[1] = iv(23, 25)
		x.Pours[1].Ready = 25
	}, MoldHeld, `pour "A" is in the mold "m2" from Mon Mar 1 03:00 (tick 12) on, which pour "C" holds until Mon Mar 1 04:15 (tick 17)`, nil},
	{"two curing pours in a mold", func(p *model.Problem, x *model.Plan) {
		p.Pours[0].Molds = p.Pours[0].Molds[:1]
		c := p.Pours[2]
		c.ID = "E"
		c.Spans = nil
		p.Pours = append(p.Pours, c)
		e := x.Pours[1]
		e.ID = "E"
		e.Demold = iv(62, 64)
		e.Finish = []*model.Interval{iv(64, 66), iv(70, 72)}
		e.Ready = 72
		x.Pours = append(x.Pours, e)
	}, MoldUntil, `demold of pour "E" starts at Mon Mar 1 15:30 (tick 62); it may start until Mon Mar 1 05:00 (tick 20)`, []Rule{MoldHeld}},
	{"mold free", func(p *model.Problem, x *model.Plan) { p.Molds[0].FreeFrom = 13 }, MoldFree, `pour "A" takes the mold "m1" at Mon Mar 1 03:00 (tick 12), before it is free at Mon Mar 1 03:15 (tick 13)`, nil},
	{"mold down", func(p *model.Problem, x *model.Plan) { p.Molds[0].Down = []model.Interval{{51, 60}} }, MoldDown, `pour "A" is in the mold "m1" from Mon Mar 1 03:00 (tick 12) to Mon Mar 1 13:00 (tick 52), but it is down from Mon Mar 1 12:45 (tick 51) to Mon Mar 1 15:00 (tick 60)`, nil},
	{"rack places", func(p *model.Problem, x *model.Plan) { p.Racks[0].Places = model.Steps{{0, 2}, {55, 0}} }, RackPlaces, `rack "r" has 0 places at Mon Mar 1 13:45 (tick 55), and 1 held: by pour "A"`, nil},
	{"rack places held to the truck", func(p *model.Problem, x *model.Plan) { p.Racks[0].Places = model.Steps{{0, 2}, {64, 0}} }, RackPlaces, `rack "r" has 0 places at Mon Mar 1 16:00 (tick 64), and 1 held: by pour "A"`, nil},
	{"pin", func(p *model.Problem, x *model.Plan) { p.Pours[0].Pin = &model.Spot{Mold: "m1", Start: 18} }, Pin, `face of pour "A" is in the mold "m1" at Mon Mar 1 04:15 (tick 17); it is pinned to "m1" at Mon Mar 1 04:30 (tick 18)`, nil},
	{"cost", func(p *model.Problem, x *model.Plan) { v := Check(p, x); x.Cost, x.Terms = v.Cost+1, v.Terms }, Cost, `the plan states a cost of 6477 mils; it costs 6476`, nil},
	{"terms", func(p *model.Problem, x *model.Plan) {
		v := Check(p, x)
		x.Cost, x.Terms = v.Cost, v.Terms
		x.Terms.Held--
		x.Terms.Late++
	}, Terms, `the plan states 304 mils for the term late; it is 303`, []Rule{Terms}},
	{"bound", func(p *model.Problem, x *model.Plan) { x.Bound = 1_000_000 }, Bound, `the plan states that no plan costs less than 1000000 mils, and costs 6476 itself`, nil},
}

func TestBrokenRules(t *testing.T) {
	seen := map[Rule]bool{}
	for _, c := range brokenCases {
		p, plan := benchProblem(), benchPlan()
		c.do(p, plan)
		v := Check(p, plan)
		if v.Allowed || len(v.Broken) == 0 {
			t.Errorf("%s: allowed", c.name)
			continue
		}
		var rules []Rule
		for _, b := range v.Broken {
			rules = append(rules, b.Rule)
			seen[b.Rule] = true
		}
		want := append([]Rule{c.rule}, c.also...)
		if !slices.Equal(rules, want) {
			t.Errorf("%s: broke %v, want %v", c.name, rules, want)
		}
		if v.Broken[0].Text != c.text {
			t.Errorf("%s: said %q, want %q", c.name, v.Broken[0].Text, c.text)
		}
	}
	for _, r := range Rules {
		if !seen[r] {
			t.Errorf("no case breaks the rule %s", r)
		}
	}
}

// TestRulesListsEveryRule reads the constants from the source, so that none can
// be left out of Rules and with it of TestBrokenRules.
func TestRulesListsEveryRule(t *testing.T) {
	file, err := parser.ParseFile(token.NewFileSet(), "rule.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var rules []Rule
	ast.Inspect(file, func(n ast.Node) bool {
		if v, ok := n.(*ast.ValueSpec); ok && len(v.Values) == 1 {
			if id, ok := v.Type.(*ast.Ident); ok && id.Name == "Rule" {
				text, err := strconv.Unquote(v.Values[0].(*ast.BasicLit).Value)
				if err != nil {
					t.Fatal(err)
				}
				rules = append(rules, Rule(text))
			}
		}
		return true
	})
	if len(rules) == 0 || !slices.Equal(rules, Rules) {
		t.Fatalf("the source has %v, Rules has %v", rules, Rules)
	}
}

// TestNilPlan: no plan at all leaves every pour unanswered.
func TestNilPlan(t *testing.T) {
	v := Check(benchProblem(), nil)
	if v.Allowed || len(v.Broken) != 5 { // four pours, and nobody for the fixed work
		t.Fatal(v.Broken)
	}
}

// TestPutDownForOvertime has both ways of doing a pausable task (section 2),
// with what they cost.
func TestPutDownForOvertime(t *testing.T) {
	for _, c := range []struct {
		name     string
		grind    model.Interval
		allowed  bool
		overtime model.Mils
	}{
		{"straight on into overtime", model.Interval{29, 31}, true, 19},
		{"put down for overtime", model.Interval{29, 51}, true, 0},
		{"put down without need", model.Interval{26, 29}, false, 0},
		{"put down half through the overtime", model.Interval{29, 50}, false, 0},
		{"begun in overtime, straight on", model.Interval{39, 51}, true, 19},
		{"begun in overtime and put down", model.Interval{39, 52}, false, 0},
	} {
		p, plan := benchProblem(), benchPlan()
		x := &plan.Pours[1]
		x.Finish = []*model.Interval{&c.grind, iv(c.grind.To()+4, c.grind.To()+6)}
		x.Ready = c.grind.To() + 6
		x.Who.Finish[0]["finish"][0] = "bo"
		x.Who.Finish[1]["hand"][0] = "cy"
		p.Fixed, plan.Fixed = nil, nil
		if c.grind.To() > 50 { // bo demolds A at 50: let another do it
			plan.Pours[0].Who.Demold["hand"] = []string{"ann", "cy"}
			plan.Pours[0].Finish[0] = iv(53, 55)
			plan.Pours[0].Finish[1] = iv(62, 64)
			plan.Pours[0].Ready = 64
		}
		if c.grind.To() == 31 { // the seal is at 35, in overtime of its own
			x.Finish[1], x.Ready = iv(60, 62), 62
		}
		v := Check(p, plan)
		if v.Allowed != c.allowed || v.Terms.Overtime != c.overtime {
			t.Errorf("%s: allowed %v, overtime %d, broken %v", c.name, v.Allowed, v.Terms.Overtime, v.Broken)
		}
		if !c.allowed && v.Broken[0].Rule != Pausable {
			t.Errorf("%s: broken %v", c.name, v.Broken)
		}
	}
}

// BenchmarkCheck judges the largest allowed plan among the verdicts.
func BenchmarkCheck(b *testing.B) {
	p, plan := largestVerdict(b)
	b.ReportMetric(float64(len(plan.Pours)), "pours")
	for b.Loop() {
		if v := Check(p, plan); !v.Allowed {
			b.Fatal(v.Broken)
		}
	}
}

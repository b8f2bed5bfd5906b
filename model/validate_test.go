package model_test

import (
	"errors"
	"strconv"
	"strings"
	"testing"

	"pourweek/model"
)

// smallProblem is a valid problem with every field. All data invented.
const smallProblem = `{
 "format": "pourweek-problem/1",
 "name": "small",
 "start": "2027-03-01T00:00:00Z",
 "tick_minutes": 15,
 "horizon": 100,
 "pour_until": 60,
 "now": 5,
 "move_tolerance": 2,
 "open": [[5, 30], [40, 70]],
 "overtime": [[25, 30]],
 "people": [
  {"id": "ann", "skills": ["hand", "mix"], "on": [[5, 30], [40, 70]]},
  {"id": "bo", "skills": ["hand"], "on": [[5, 20]]}
 ],
 "mixers": [
  {"id": "mx", "capacity_g": 50000, "free_from": 0, "down": [[40, 42]], "keep": 4}
 ],
 "mixes": [
  {"id": "gray", "mix": 1, "rest": 0, "remix": 1, "wash": 2, "wash_gap": [0, 4], "wash_before": {"gray": 0}, "crew": {"mix": 1}, "loss_g": 1000, "min_g": 10000, "step_g": 5000, "pot_life": [[0, 8]], "mixers": ["mx"]}
 ],
 "molds": [
  {"id": "m1", "free_from": 0, "down": []},
  {"id": "m2", "free_from": 0, "down": []}
 ],
 "racks": [
  {"id": "r", "places": [[0, 3]]}
 ],
 "stations": [
  {"id": "hoist", "places": 1}
 ],
 "cures": [
  {"id": "night", "lag": [[0, 20], [25, 19]]}
 ],
 "fixed": [
  {"id": "load", "start": 10, "end": 12, "crew": {"hand": 1}, "station": "hoist"}
 ],
 "callins": [
  {"from": 60, "to": 70, "cost": 5}
 ],
 "shipments": [
  {"id": "s1", "pours": ["A"], "due": 50, "late_per_tick": 3, "trucks": [50, 60], "hold": true},
  {"id": "s2", "pours": ["B"], "due": 50, "late_per_tick": 3}
 ],
 "pours": [
  {"id": "A", "order": "o", "piece": "slab", "stage": "new", "release": 0, "due": 50, "late_per_tick": 9, "carry": 99, "molds": [{"mold": "m1", "work": 2}], "prep": {"crew": {"hand": 1}, "station": null}, "prep_max": 8, "layers": [{"id": "face", "work": 1, "crew": {"hand": 1}, "station": null, "gap": [0, 0]}, {"id": "back", "work": 1, "crew": {"hand": 1}, "station": null, "gap": [1, 3]}], "draws": [{"mix": "gray", "grams": 20000, "layers": [0, 1]}], "cover": {"work": 1, "crew": {"hand": 1}, "station": null, "gap": [0, 2]}, "cure": "night", "mold_max": 50, "demold": {"work": 2, "crew": {"hand": 1}, "station": "hoist"}, "racks": ["r"], "places": 1, "spans": [{"station": "hoist", "from": "face.start", "to": "cover.end"}], "finish": [{"id": "seal", "work": 2, "crew": {"hand": 1}, "station": null, "rest": 4, "rest_max": 40, "pausable": true, "when": [[5, 60]]}], "pin": {"mold": "m1", "start": 20}},
  {"id": "B", "order": "o", "piece": "slab", "stage": "curing", "due": 50, "late_per_tick": 9, "mold": "m2", "cure_end": 3, "mold_until": 40, "demold": {"work": 2, "crew": {"hand": 1}, "station": "hoist"}, "racks": ["r"], "places": 1, "spans": [{"station": "hoist", "from": "face.start", "to": "demold.start"}], "finish": [{"id": "seal", "work": 2, "crew": {"hand": 1}, "station": null, "rest": 4, "pausable": false}]},
  {"id": "C", "order": "o", "piece": "slab", "stage": "racked", "due": 50, "late_per_tick": 9, "rack": "r", "places": 1, "next": 0, "from": 4, "from_max": 40, "finish": [{"id": "seal", "work": 2, "crew": {"hand": 1}, "station": null, "rest": 4, "pausable": false}]}
 ],
 "costs": {"idle": 1, "held": 1, "rack_wait": 1, "overtime": 1, "batch": 1, "waste": 1, "move": 1}
}
`

// problemCases change smallProblem at one place (the first that holds the old
// text behind after) and give what the reader then says, without the file's
// name.
var problemCases = []struct {
	after, old, new string
	want            string // lines; empty for a valid problem
}{
	// valid at the bounds
	{"", `"tick_minutes": 15,`, `"tick_minutes": 1440,`, ""},
	{"", `"now": 5`, `"now": 0`, ""},
	{"", `"move_tolerance": 2`, `"move_tolerance": 0`, ""},
	{"", `"open": [[5, 30], [40, 70]]`, `"open": [[5, 30], [30, 40], [40, 70]]`, ""},
	{"", `"down": [[40, 42]]`, `"down": [[-9, 42], [42, 900]]`, ""},
	{"", `[25, 19]`, `[32, 14]`, ""}, // no cover ends from 31 to 40
	{"", `"start": 20}`, `"start": 5}`, ""},
	{"", `"start": 20}`, `"start": 59}`, ""},
	{"", `"end": 12`, `"end": 100`, ""},
	{"", `"from": "face.start"`, `"from": "face.end"`, ""},
	{`"id": "B"`, `"face.start"`, `"bottom.end"`, ""}, // a layer of long ago
	{"", `"when": [[5, 60]]`, `"when": []`, ""},
	{"", `"rest_max": 40`, `"rest_max": 4`, ""},
	{"", `"trucks": [50, 60]`, `"trucks": []`, ""},
	{"", `"callins": [
  {"from": 60, "to": 70, "cost": 5}
 ]`, `"callins": null`, ""},

	// the form
	{"", `"horizon": 100,`, ``, `1:1: field "horizon" is missing in a problem`},
	{"", `"horizon"`, `"horizen"`, `1:1: field "horizon" is missing in a problem
6:2: unknown field "horizen" in a problem (did you mean "horizon"?); its fields are format, name, start, tick_minutes, horizon, pour_until, now, move_tolerance, open, overtime, people, mixers, mixes, molds, racks, stations, cures, fixed, callins, shipments, pours, costs`},
	{"", `"now": 5,`, `"now": 5, "now": 6,`, `8:12: field "now" stands twice in a problem`},
	{"", `"now": 5`, `"now": 5.5`, `8:9: "5.5" where a whole number is due, without point or exponent, from -1000000000000000 to 1000000000000000`},
	{"", `"now": 5`, `"now": "5"`, `8:9: the text "5" where a whole number is due`},
	{"", `"now": 5`, `"now": null`, `8:9: null where a whole number is due`},
	{"", `"now": 5`, `"now": 1e3`, `8:9: "1e3" where a whole number is due, without point or exponent, from -1000000000000000 to 1000000000000000`},
	{"", `"now": 5`, `"now": 9999999999999999999`, `8:9: "9999999999999999999" where a whole number is due, without point or exponent, from -1000000000000000 to 1000000000000000`},
	{"", `pourweek-problem/1`, `pourweek-problem/2`, `2:12: format "pourweek-problem/2" where "pourweek-problem/1" is due`},
	{"", `"move_tolerance": 2,`, `"move_tolerance": 2`, `10:2: "open" where a comma or "}" in an object is due`},
	{"", `[[5, 30], [40, 70]]`, `[[5, 30, 7], [40, 70]]`, `10:11: a list of 3 where [from, to], two ticks, is due`},
	{"", `"hold": true`, `"hold": 1`, `42:91: "1" where true or false is due`},
	{"", `"small"`, `"smäll", "nom": 1`, `3:19: unknown field "nom" in a problem (did you mean "now"?); its fields are format, name, start, tick_minutes, horizon, pour_until, now, move_tolerance, open, overtime, people, mixers, mixes, molds, racks, stations, cures, fixed, callins, shipments, pours, costs`},
	{"\n}", "\n", "\n{}", `51:1: "{" where a comma or "}" in an object is due`},
	{`"id": "A"`, `"carry": 99, `, ``, `46:3: field "carry" is missing in a new pour`},
	{`"id": "C"`, `"next": 0`, `"next": 0, "cure": "night"`, `48:141: field "cure" does not belong to a racked pour; its fields are id, order, piece, stage, due, late_per_tick, rack, places, next, from, from_max, spans, finish`},
	{`"id": "C"`, `"racked"`, `"dry"`, `48:55: stage "dry" of pour "C"; stages are new, curing, racked`},
	{`"id": "C"`, `"stage": "racked", `, ``, `48:3: field "stage" is missing in a pour; stages are new, curing, racked`},

	// time
	{"", `2027-03-01T00:00:00Z`, `2027-03-01`, `4:11: start "2027-03-01"; it is an instant such as 2027-03-01T00:00:00Z (RFC 3339)`},
	{"", `"tick_minutes": 15`, `"tick_minutes": 0`, `5:18: tick_minutes 0; it is at least 1 and at most 1440`},
	{"", `"horizon": 100`, `"horizon": 0`, `6:13: horizon 0; it is at least 1 and at most 200000`},
	{"", `"horizon": 100`, `"horizon": 200001`, `6:13: horizon 200001; it is at least 1 and at most 200000`},
	{"", `"pour_until": 60`, `"pour_until": 101`, `7:16: pour_until 101; it is at least 0 and at most 100`},
	{"", `"now": 5`, `"now": -1`, `8:9: now -1; it is at least 0 and at most 100`},
	{"", `"move_tolerance": 2`, `"move_tolerance": -1`, `9:20: move_tolerance -1; it is at least 0 and at most 1000000000`},
	{"", `[40, 70]]`, `[29, 70]]`, `10:20: the interval [29, 70] starts before the one before it ends at 30; intervals ascend and do not overlap`},
	{"", `[40, 70]]`, `[40, 101]]`, `10:20: the interval [40, 101] reaches out of the problem; it lies from 0 to the horizon 100`},
	{"", `[40, 70]]`, `[70, 70]]`, `10:20: the interval [70, 70] ends where it starts or before; it is [from, to] with from < to
13:60: the presence [40, 70] holds tick 40, in which the shop is not open`},
	{"", `[[25, 30]]`, `[[25, 31]]`, `11:15: overtime [25, 31] holds tick 30, in which the shop is not open`},

	// people, batches and things
	{"", `"id": "bo"`, `"id": "ann"`, `14:10: id "ann" stands twice; every person has its own`},
	{"", `"id": "bo"`, `"id": ""`, `14:10: an empty id; every person has one`},
	{"", `[[5, 20]]`, `[[4, 20]]`, `14:43: the presence [4, 20] holds tick 4, in which the shop is not open`},
	{"", `"capacity_g": 50000`, `"capacity_g": -1`, `17:30: a capacity in grams of -1; it is at least 0 and at most 1000000000000`},
	{"", `"keep": 4`, `"keep": -1`, `17:81: keep -1; it is at least 0 and at most 1000000000`},
	{"", `[[40, 42]]`, `[[42, 40]]`, `17:62: the interval [42, 40] ends where it starts or before; it is [from, to] with from < to`},
	{"", `"rest": 0`, `"rest": -1`, `20:36: rest -1; it is at least 0 and at most 1000000000`},
	{"", `"wash_gap": [0, 4]`, `"wash_gap": [4, 0]`, `20:74: a wash_gap [4, 0]; it is [min, max] with 0 <= min <= max <= 1000000000 ticks`},
	{"", `"wash_before": {"gray": 0}`, `"wash_before": {"pink": 0}`, `20:97: unknown mix "pink"; there is only "gray"`},
	{"", `"crew": {"mix": 1}`, `"crew": {"mix": 0}`, `20:118: 0 heads for the skill "mix"; they are at least 1 and at most 5000`},
	{"", `"step_g": 5000`, `"step_g": 0`, `20:172: step_g 0; it is at least 1 and at most 1000000000000`},
	{"", `"pot_life": [[0, 8]]`, `"pot_life": []`, `20:190: the first entry of the step function is missing; it is [0, value]`},
	{"", `"pot_life": [[0, 8]]`, `"pot_life": [[1, 8]]`, `20:190: the first entry of the step function is [1, 8]; it is [0, value]`},
	{"", `"pot_life": [[0, 8]]`, `"pot_life": [[0, 8], [5, 7], [5, 6]]`, `20:207: the entry from tick 5 follows the one from tick 5; entries ascend`},
	{"", `"mixers": ["mx"]`, `"mixers": ["mx", "mx"]`, `20:217: mixer "mx" stands twice in a list`},
	{"", `"mixers": ["mx"]`, `"mixers": ["my"]`, `20:211: unknown mixer "my"; there is only "mx"`},
	{"", `"places": [[0, 3]]`, `"places": [[0, -3]]`, `27:26: the value -3; it is at least 0 and at most 1000000000`},
	{"", `"places": 1}`, `"places": -1}`, `30:29: places -1; it is at least 0 and at most 1000000000`},
	{"", `[25, 19]`, `[25, 18]`, `33:36: a cover that ends at tick 25 is cured at 43, but one that ends at 24 not before 44; a later end is not cured sooner`},

	// fixed work, call-ins and shipments
	{"", `"end": 12`, `"end": 10`, `36:3: fixed work "load" from tick 10 to 10; it starts at 0 or later, ends after that and not after the horizon 100`},
	{"", `"end": 12`, `"end": 101`, `36:3: fixed work "load" from tick 10 to 101; it starts at 0 or later, ends after that and not after the horizon 100`},
	{"", `"station": "hoist"`, `"station": "crane"`, `36:74: unknown station "crane"; there is only "hoist"`},
	{"", `"station": "hoist"`, `"station": ""`, `36:74: an empty id; leave the field out or write null where there is none`},
	{"", `"crew": {"hand": 1}`, `"crew": {"hand": 3}`, `35:11: fixed work asks 3 heads of the skill "hand" at tick 10, with 2 present`},
	{"", `"crew": {"hand": 1}`, `"crew": {"hand": 1, "mix": 2}`, `35:11: fixed work asks 2 heads of the skill "mix" at tick 10, with 1 present
35:11: fixed work asks 3 heads of the skills that it needs at tick 10, with 2 present`},
	{"", `"places": 1}`, `"places": 0}`, `35:11: fixed work holds 1 place of station "hoist" at tick 10; it has 0`},
	{"", `"from": 60, "to": 70`, `"from": 70, "to": 70`, `39:3: a call-in from tick 70 to 70; it ends after it starts`},
	{"", `"cost": 5`, `"cost": -5`, `39:34: a cost of -5; it is at least 0 and at most 1000000000000000`},
	{"", `"pours": ["B"]`, `"pours": ["A"]`, `43:26: pour "A" stands in the shipments "s1" and "s2"; it stands in one at most`},
	{"", `"pours": ["B"]`, `"pours": ["Z"]`, `43:26: unknown pour "Z"; there are "A", "B", "C"`},
	{"", `"trucks": [50, 60]`, `"trucks": [60, 50]`, `42:78: a truck at tick 50 follows one at 60; trucks ascend`},

	// pours
	{"", `{"id": "B"`, `{"id": "A"`, `43:26: unknown pour "B"; there are "A", "C"
47:10: id "A" stands twice; every pour has its own`},
	{"", `"late_per_tick": 9`, `"late_per_tick": -9`, `46:104: late_per_tick -9; it is at least 0 and at most 1000000000000000`},
	{"", `"late_per_tick": 9`, `"late_per_tick": 1000000000000000`, ""},
	{"", `"late_per_tick": 9, "carry": 99`, `"late_per_tick": 1000000000000000, "carry": 1000000000000000`, ""},
	{"", `"due": 50, "late_per_tick": 9`, `"due": -999999999, "late_per_tick": 1000000000000000`, `50:11: the costs of a plan may come to 1e+24 mils, more than 4e+18, which is the most that is counted`},
	{"", `"molds": [{"mold": "m1", "work": 2}]`, `"molds": [{"mold": "m1", "work": 2}, {"mold": "m1", "work": 0}]`, `46:166: mold "m1" stands twice in a list
46:180: work 0; it is at least 1 and at most 1000000000`},
	{"", `"molds": [{"mold": "m1", "work": 2}]`, `"molds": [{"mold": "m9", "work": 2}]`, `46:139: unknown mold "m9"; there are "m1", "m2"
46:887: pour "A" is pinned to the mold "m1", which is none of its molds`},
	{"", `"prep_max": 8`, `"prep_max": -8`, `46:218: prep_max -8; it is at least 0 and at most 1000000000`},
	{"", `"gap": [1, 3]`, `"gap": [3, 1]`, `46:383: a gap [3, 1]; it is [min, max] with 0 <= min <= max <= 1000000000 ticks`},
	{"", `"gap": [0, 2]`, `"gap": [-1, 2]`, `46:521: a gap [-1, 2]; it is [min, max] with 0 <= min <= max <= 1000000000 ticks`},
	{"", `"layers": [0, 1]`, `"layers": [0, 2, 0]`, `46:449: layer 2; pour "A" has 2 layers, counted from 0
46:452: layer 0 stands twice in a draw`},
	{"", `"mix": "gray"`, `"mix": "pink"`, `46:411: unknown mix "pink"; there is only "gray"`},
	{"", `"grams": 20000`, `"grams": 0`, `46:428: grams 0; it is at least 1 and at most 1000000000000`},
	{"", `"cure": "night"`, `"cure": "day"`, `46:538: unknown cure "day"; there is only "night"`},
	{"", `"racks": ["r"]`, `"racks": ["s"]`, `46:637: unknown rack "s"; there is only "r"`},
	{"", `"id": "back"`, `"id": "face"`, `46:319: id "face" stands twice in pour "A"; every step has its own`},
	{"", `"id": "back"`, `"id": "cover"`, `46:319: id "cover" of a step of pour "A"; prep, cover and demold are steps that every pour has`},
	{"", `"id": "back"`, `"id": ""`, `46:319: an empty id; every step of pour "A" has one`},
	{"", `"to": "cover.end"`, `"to": "cover.middle"`, `46:715: no moment "cover.middle" in pour "A"; moments are the .start and .end of "prep", "face", "back", "cover", "demold", "seal"`},
	{"", `"to": "cover.end"`, `"to": "prep.end"`, `46:666: a span from face.start to prep.end, which comes before it; the first moment comes first`},
	{"", `"rest_max": 40`, `"rest_max": 3`, `46:828: rest_max 3; it is at least the rest, 4, and at most 1000000000`},
	{"", `"when": [[5, 60]]`, `"when": [[5, 60], [50, 70]]`, `46:868: the interval [50, 70] starts before the one before it ends at 60; intervals ascend and do not overlap`},
	{"", `"mold": "m1", "start": 20`, `"mold": "m2", "start": 20`, `46:887: pour "A" is pinned to the mold "m2", which is none of its molds`},
	{"", `"mold": "m1", "start": 20`, `"mold": "m1", "start": 4`, `46:902: pour "A" is pinned to tick 4; a pin lies from now, 5, to before pour_until, 60`},
	{"", `"mold": "m1", "start": 20`, `"mold": "m1", "start": 60`, `46:902: pour "A" is pinned to tick 60; a pin lies from now, 5, to before pour_until, 60`},
	{`"id": "B"`, `"mold": "m2"`, `"mold": "m9"`, `47:104: unknown mold "m9"; there are "m1", "m2"`},
	{`"id": "C"`, `"next": 0`, `"next": 1`, `48:130: next 1; it is the index of a step still to do, and pour "C" has 1 finish step, counted from 0`},
	{`"id": "C"`, `"rack": "r"`, `"rack": "s"`, `48:104: unknown rack "s"; there is only "r"`},
	{"", `"waste": 1`, `"waste": -1`, `50:86: waste -1; it is at least 0 and at most 1000000000000000`},
}

func TestReadProblem(t *testing.T) {
	for _, c := range problemCases {
		at := strings.Index(smallProblem, c.after)
		if at < 0 || !strings.Contains(smallProblem[at:], c.old) {
			t.Fatalf("the problem does not hold %q behind %q", c.old, c.after)
		}
		text := smallProblem[:at] + strings.Replace(smallProblem[at:], c.old, c.new, 1)
		_, err := model.ReadProblem("p", strings.NewReader(text))
		if got := errText(t, err); got != c.want {
			t.Errorf("%s for %s:\ngot  %s\nwant %s", c.new, c.old, got, c.want)
		}
	}
}

// errText is the text of a reader's error without the file's name, empty for
// none.
func errText(t *testing.T, err error) string {
	t.Helper()
	if err == nil {
		return ""
	}
	var read *model.ReadError
	if !errors.As(err, &read) {
		t.Fatalf("no ReadError: %v", err)
	}
	var lines []string
	for _, f := range read.Faults {
		lines = append(lines, strings.TrimPrefix(f.String(), f.File+":"))
	}
	return strings.Join(lines, "\n")
}

// TestValidateTakesLargeProblems has lists as long as a reader takes. It
// compares no time: work that grows with the square of them would not end.
func TestValidateTakesLargeProblems(t *testing.T) {
	p, err := model.ReadProblem("p", strings.NewReader(smallProblem))
	if err != nil {
		t.Fatal(err)
	}
	p.Horizon = 200_000
	p.Open, p.Overtime, p.Cures[0].Lag = nil, nil, nil
	for i := range model.Tick(100_000) {
		p.Open = append(p.Open, model.Interval{i, i + 1})
		p.Overtime = append(p.Overtime, model.Interval{0, 100_000 + i%2})
		p.Cures[0].Lag = append(p.Cures[0].Lag, model.Step{int64(2 * i), 20})
		p.Pours[0].Racks = append(p.Pours[0].Racks, "nowhere")
	}
	for range 20_000 {
		f := p.Fixed[0]
		f.ID = strconv.Itoa(len(p.Fixed))
		p.Fixed = append(p.Fixed, f)
	}
	is := p.Validate()
	if len(is) != 1000 || is[0].Path != "overtime[1]" {
		t.Fatalf("%d issues, the first %v", len(is), is[0])
	}
}

package model_test

import (
	"strings"
	"testing"

	"pourweek/model"
	"pourweek/model/modeltest"
)

const smallPlan = `{
 "format": "pourweek-plan/1",
 "problem": "small",
 "batches": [
  {"id": "b1", "mixer": "mx", "mix": "gray", "start": 14, "wash": [18, 20], "who": {"mix": {"mix": ["ann"]}, "remix": null, "wash": {}}}
 ],
 "pours": [
  {"id": "A", "mold": "m1", "rack": "r", "prep": [12, 14], "layers": [[17, 18]], "cover": [21, 22], "cure_end": 42, "demold": [50, 52], "finish": [null, [58, 60]], "draws": ["b1"], "ready": 60, "who": {"prep": {"hand": ["bo"]}, "layers": [null], "cover": null, "demold": null, "finish": [null, null]}}
 ],
 "carried": [],
 "bound": 0,
 "fixed": {"load": {"hand": ["ann"]}},
 "cost": 0,
 "terms": {"late": 0, "ship": 0, "carry": 0, "idle": 0, "held": 0, "rack_wait": 0, "overtime": 0, "callin": 0, "batch": 0, "waste": 0, "move": 0}
}
`

func TestReadPlan(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{``, ``, ``},
		{` "cost": 0,`, ``, ``},
		{` "bound": 0,`, ` "bound": null,`, ``},
		{`"cover": [21, 22]`, `"cover": null`, ``},
		{`pourweek-plan/1`, `pourweek-problem/1`, `2:12: format "pourweek-problem/1" where "pourweek-plan/1" is due`},
		{`"problem": "small",`, ``, `1:1: field "problem" is missing in a plan`},
		{`"carried"`, `"caried"`, `1:1: field "carried" is missing in a plan
10:2: unknown field "caried" in a plan (did you mean "carried"?); its fields are format, problem, batches, pours, carried, bound, fixed, cost, terms`},
		{`[12, 14]`, `[12]`, `8:50: a list of 1 where [from, to], two ticks, is due`},
		{`[12, 14]`, `12`, `8:50: "12" where [from, to], two ticks, is due`},
		{`[12, 14]`, `[12, 14.5]`, `8:55: "14.5" where a whole number is due, without point or exponent, from -1000000000000000 to 1000000000000000`},
		{`"draws": ["b1"]`, `"draws": [1]`, `8:175: "1" where a text is due`},
		{`"mold": "m1"`, `"mold": ""`, `8:23: an empty id; leave the field out or write null where there is none`},
		{`{"hand": ["bo"]}`, `["bo"]`, `8:211: a list where an object (who, people by skill) is due`},
		{`{"hand": ["bo"]}`, `{"hand": ["bo"], "hand": []}`, `8:228: "hand" stands twice in who, people by skill`},
		{`"move": 0`, `"moves": 0`, `14:11: field "move" is missing in the terms
14:136: unknown field "moves" in the terms (did you mean "move"?); its fields are late, ship, carry, idle, held, rack_wait, overtime, callin, batch, waste, move`},
		{`"late": 0, `, ``, `14:11: field "late" is missing in the terms`},
		{`"ready": 60`, `"ready": 60`, ``},
		{`"id": "b1"`, `"id": "b1`, `5:16: "mixer" where a comma or "}" in an object is due`},
		{"}\n", ``, `15:1: the end of the file where a comma or "}" in an object is due`},
		{`"small"`, "\"a\x01\"", `3:15: a text holds a raw control character (0x01); write it as \u0001`},
		{`"small"`, "\"a\xff\"", `3:13: the text "a\xff" is not UTF-8`},
		{`"small"`, `"\q"`, `3:13: the text "\\q" has a bad escape`},
		{`"small"`, `nil`, `3:13: "nil" where a text is due
3:13: "nil" is no JSON value`},
	} {
		text := smallPlan
		if c.old != "" {
			if !strings.Contains(text, c.old) {
				t.Fatalf("the plan does not hold %q", c.old)
			}
			i := strings.LastIndex(text, c.old)
			text = text[:i] + c.new + text[i+len(c.old):]
		}
		_, err := model.ReadPlan("p", strings.NewReader(text))
		if got := errText(t, err); got != c.want {
			t.Errorf("%q for %q:\ngot  %s\nwant %s", c.new, c.old, got, c.want)
		}
	}
}

func TestReadWeek(t *testing.T) {
	week := string(weekBytes(t, sampleWeek(modeltest.Toy(3))))
	for _, c := range []struct{ old, new, want string }{
		{``, ``, ``},
		{`"seed": 18446744073709551615`, `"seed": 0`, ``},
		{`pourweek-week/1`, `pourweek-week/2`, `2:12: format "pourweek-week/2" where "pourweek-week/1" is due`},
		{`"seed": 18446744073709551615`, `"seed": 18446744073709551616`, `7:10: "18446744073709551616" where a seed is due, a whole number from 0 to 18446744073709551615`},
		{`"seed": 18446744073709551615`, `"seed": -1`, `7:10: "-1" where a seed, a whole number from 0 on, is due`},
		{`"seed": 18446744073709551615`, `"seed": 01`, `7:10: "01" where a seed is due, a whole number from 0 to 18446744073709551615`},
		{`"monday": "2027-03-01"`, `"monday": "2027-02-30"`, `6:12: "2027-02-30" where a date such as 2027-03-01 is due`},
		{`"monday": "2027-03-01"`, `"monday": "2027-03-02"`, `6:12: "2027-03-02", a Tuesday, where a Monday is due`},
		{`"status": "feasible"`, `"status": "optimal"`, `9:12: "optimal" where the plan costs 7 and 3 is proven`},
		{`"zone": "Europe/Paris"`, `"zone": "Nowhere/Land"`, `4:10: "Nowhere/Land" where an IANA time zone such as America/Denver is due`},
		{`"work": 12345,`, ``, `1:1: field "work" is missing in a week`},
		{`"wet": true`, `"wet": true, "hot": true`, `21:60: unknown field "hot" in the label of a step; its fields are name, dust, wet`},
		{`"tick_minutes": 60`, `"tick_minutes": 0`, `32:19: tick_minutes 0; it is at least 1 and at most 1440`},
		{`"start": "2027-03-01T00:00:00Z"`, `"start": "Monday"`, `31:12: start "Monday"; it is an instant such as 2027-03-01T00:00:00Z (RFC 3339)`},
		{`"problem": "toy-3"`, `"problem": 3`, `74:14: "3" where a text is due`},
		{`"notes": [`, `"notes": {`, `23:12: an object where a list is due
24:16: "," where a colon after the field name "rounded up" is due`},
	} {
		if !strings.Contains(week, c.old) {
			t.Fatalf("the week does not hold %q: %s", c.old, week[:600])
		}
		text := strings.Replace(week, c.old, c.new, 1)
		_, err := model.ReadWeek("w", strings.NewReader(text))
		if got := errText(t, err); got != c.want {
			t.Errorf("%q for %q:\ngot  %s\nwant %s", c.new, c.old, got, c.want)
		}
	}
}

// TestReadErrorShowsTwenty: the rest is counted.
func TestReadErrorShowsTwenty(t *testing.T) {
	text := strings.Replace(smallPlan, `"carried": []`, `"carried": [`+strings.Repeat("1,", 29)+`1]`, 1)
	_, err := model.ReadPlan("plan.json", strings.NewReader(text))
	if err == nil {
		t.Fatal("read")
	}
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != 21 || lines[0] != `plan.json:10:14: "1" where a text is due` || lines[20] != "and 10 more" {
		t.Fatalf("%d lines: %s", len(lines), err)
	}
}

// TestReadersAreBounded: hostile files end soon, with an error.
func TestReadersAreBounded(t *testing.T) {
	deep := strings.Replace(smallPlan, `"bound": 0`, `"bond": `+strings.Repeat("[", 100_000), 1)
	if _, err := model.ReadPlan("p", strings.NewReader(deep)); errText(t, err) == "" {
		t.Error("read what is nested too deep")
	}
	long := strings.Replace(smallPlan, `"carried": []`, `"carried": [`+strings.Repeat(`"",`, 250_001)+`""]`, 1)
	if _, err := model.ReadPlan("p", strings.NewReader(long)); !strings.Contains(errText(t, err), "more than 250000 entries in a list") {
		t.Errorf("read a list that is too long: %v", err)
	}
	if _, err := model.ReadPlan("p", strings.NewReader(strings.Repeat(" ", 17<<20))); errText(t, err) != "1:1: the file is larger than 16 MB, the most that is read" {
		t.Errorf("read a file that is too large: %v", err)
	}
}

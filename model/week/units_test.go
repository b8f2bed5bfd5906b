package week

import (
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// twoUnits is a shop whose quantities are written <US|metric>. The pairs are
// exact by definition (1 lb = 453.59237 g, 1 in = 25.4 mm, 1 ft = 304.8 mm;
// international yard and pound agreement of 1959), but for densities, rates by
// area and the price of waste, whose metric numbers do not end; those are given
// to the nine digits that the reader takes.
const twoUnits = `
shop: Two Units
zone: America/Denver
hours: {mon-fri: "7:00-15:30"}
lunch: 12:00-12:30
overtime: {evening: {hours: {mon-thu: 15:30-17:30}}}
trucks: [thu 14:00]
air: {usual: {0:00: <59 F|15 C>, 9:00: <64.4 F|18 C>, 14:00: <69.8 F|21 C>}, dates: {2027-03-04: <51.8 F|11 C>}}
colors: [white, sand]
people:
  Ana: [mixer, sprayer, hand]
  Ben: [sprayer, hand, finisher]
  Cleo: {skills: [hand, mixer], overtime: all}
mixers:
  drum: {drum: <9 ft3|254.851619 L>, fill: 50 %, keep: <2 h|120 min>}
  pail: {capacity: <95 lb|43.09127515 kg>}
mixes:
  sand-spray:
    color: sand
    mix: 4 min
    rest: 5 min
    pot life: 55 min at <68 F|20 C>
    wash: 25 min
    crew: mixer
    mixers: [drum, pail]
    loss: <6.6 lb|2993.709642 g>
    smallest: <44 lb|19.95806428 kg>
    step: <11 lb|4.98951607 kg>
    density: <130 lb/ft3|2082.40024 kg/m3>
  white-spray: {like: sand-spray, color: white, pot life: {<50 F|10 C>: 80 min, <68 F|20 C>: 55 min, <86 F|30 C>: 35 min}}
cures:
  overnight: <16 h|960 min>
  cold: {at: {<41 F|5 C>: 39 h, <50 F|10 C>: 29 h, <59 F|15 C>: 21 h, <68 F|20 C>: 16 h}}
racks: {long: 20}
pieces:
  panel:
    weight: <190 lb|86.1825503 kg>
    area: <13.5 ft2|1.25419104 m2>
    mix: sand-spray
    prep: {crew: hand}
    coats:
      - {name: face, thick: <1/8 in|3.175 mm>, overspray: 12 %, work: <0.6 min/ft2|6.45834625 min/m2>, crew: sprayer}
      - {name: backer, thick: <5/8 in|15.875 mm>, overspray: 8 %, work: <17.6 lb/min|7.983225712 kg/min>, crew: {sprayer: 1, hand: 1}, gap: 15 min to 45 min}
    cover: {work: 10 min, gap: 0 min to 40 min, crew: hand}
    cure: overnight
    mold min: <18 h|1080 min>
    mold max: <4 d|96 h>
    demold: {work: 25 min, crew: {hand: 2}}
    racks: long
    finish: [{name: hone, work: <5 min/ft2|53.8195521 min/m2>, crew: finisher, rest: <24 h|1 d>, put down: yes, dust: wet}]
  panel-white: {like: panel, mix: white-spray, cure: cold}
  block:
    prep: {crew: hand}
    coats: [{name: fill, mix: sand-spray, mass: <700 lb|317.514659 kg>, work: 15 min, crew: hand}]
    cover: {work: 5 min, crew: hand}
    cure: cold
    demold: {work: 15 min, crew: {hand: 2}}
    racks: long
    finish: none
molds:
  P1..P3: {casts: [panel, panel-white], prep: 35 min}
  B1: {casts: block, prep: <0.5 h|30 min>}
costs: {waste: <0.45 USD/lb|0.99208018 USD/kg>}
`

func TestSameWeekInBothUnitsIsTheSameProblem(t *testing.T) {
	pair := regexp.MustCompile(`<([^|>]*)\|([^|>]*)>`)
	if n := len(pair.FindAllString(twoUnits, -1)); n < 30 {
		t.Fatalf("only %d quantities are written in both units", n)
	}
	const text = "order,piece,quantity,due\nA-1,panel,2,2027-03-05\nA-2,panel-white,1,2027-03-05\nA-3,block,2,2027-03-08\n"
	const stands = "piece,order,where,due,since\npanel-white,A-0,P1,2027-03-02,2027-02-26 13:10\n"
	var got []string
	for _, side := range []string{"$1", "$2"} {
		l, errs := Load(folder(ShopFile, pair.ReplaceAllString(twoUnits, side), OrdersCSV, text, FloorFile, stands), Options{Monday: monday})
		if errs.Len() > 0 {
			t.Fatal(errs)
		}
		if n := len(pour(t, l.Problem, "A-3/1").Layers); n != 2 {
			t.Errorf("the block is laid in %d lifts", n)
		}
		got = append(got, written(t, l.Problem)+strings.Join(l.Labels.Notes, "\n"))
	}
	if d := cmp.Diff(got[0], got[1]); d != "" {
		t.Error(d)
	}
}

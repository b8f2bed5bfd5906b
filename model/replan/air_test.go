package replan

import (
	"reflect"
	"testing"
	"time"

	"pourweek/model/logbook"
	"pourweek/model/shop"
)

func TestAirOfTheLogGoesOverThatOfTheFile(t *testing.T) {
	date := func(d int) shop.Date { return shop.Date{Year: 2027, Month: time.March, Day: d} }
	at := func(d, h int) time.Time { return time.Date(2027, 3, d, h, 0, 0, 0, time.UTC) }
	air := shop.Air{
		Usual: []shop.AirStep{{From: 0, Temp: 10}, {From: 9 * 60, Temp: 20}, {From: 17 * 60, Temp: 15}},
		Days:  []shop.AirDay{{Date: date(3), Steps: []shop.AirStep{{From: 0, Temp: 12}}}},
	}
	got, changed := ChangeAir(air, time.UTC, []logbook.Entry{{When: at(1, 12), What: logbook.Air, Until: at(3, 8), Temp: 30}})
	if !changed {
		t.Fatal("nothing changed")
	}
	for d, want := range map[int][]shop.AirStep{
		1: {{From: 0, Temp: 10}, {From: 9 * 60, Temp: 20}, {From: 12 * 60, Temp: 30}},
		2: {{From: 0, Temp: 30}},
		3: {{From: 0, Temp: 30}, {From: 8 * 60, Temp: 12}},
		4: air.Usual,
	} {
		if steps := got.Temps(date(d)); !reflect.DeepEqual(steps, want) {
			t.Errorf("March %d: %v, want %v", d, steps, want)
		}
	}
	if len(air.Days) != 1 || air.Days[0].Steps[0].Temp != 12 {
		t.Error("the air that was given is changed")
	}
	within, _ := ChangeAir(air, time.UTC, []logbook.Entry{{When: at(1, 10), What: logbook.Air, Until: at(1, 11), Temp: 30}})
	want := []shop.AirStep{{From: 0, Temp: 10}, {From: 9 * 60, Temp: 20}, {From: 10 * 60, Temp: 30}, {From: 11 * 60, Temp: 20}, {From: 17 * 60, Temp: 15}}
	if steps := within.Temps(date(1)); !reflect.DeepEqual(steps, want) {
		t.Errorf("an hour: %v, want %v", steps, want)
	}
	if _, changed := ChangeAir(shop.Air{}, time.UTC, []logbook.Entry{{What: logbook.Air}}); changed {
		t.Error("a shop without air has changed air")
	}
}

package shop

import (
	"testing"

	"pourweek/model/unit"
)

func fahrenheit(t *testing.T, text string) unit.Temp {
	t.Helper()
	q, err := unit.Reader{}.Parse(text, unit.Temperature)
	if err != nil {
		t.Fatal(err)
	}
	v, _ := q.Up()
	return unit.Temp(v)
}

// Half the window for each 20 F more, twice for each 20 F less: check values,
// section 4, "half rule" (there as a limit read on a page).
func TestPotLifeAtOneTemperatureFollowsTheHalfRule(t *testing.T) {
	p := PotLife{Points: []PotPoint{{fahrenheit(t, "68 F"), 60}}}
	for text, want := range map[string]unit.Minutes{
		"68 F": 60, "88 F": 30, "108 F": 15, "48 F": 120, "20 C": 60,
		"78 F": 42, // 60 / sqrt 2 = 42.43, rounded down
	} {
		if got := p.At(fahrenheit(t, text)); got != want {
			t.Errorf("%s: %d, want %d", text, got, want)
		}
	}
}

// Between two temperatures the pot life follows the law of setting: check values,
// section 4, "pot life 45 min @20 C, Ea 40" (there a computed value).
func TestPotLifeBetweenTemperaturesFollowsTheLawOfSetting(t *testing.T) {
	// In seconds, to see more than whole minutes; within the 0.2 of the check value
	// and never above it.
	p := PotLife{Points: []PotPoint{{fahrenheit(t, "10 C"), 80.3 * 60}, {fahrenheit(t, "35 C"), 20.2 * 60}}}
	for text, want := range map[string]float64{"15 C": 59.8, "20 C": 45, "25 C": 34.2, "30 C": 26.2} {
		if got := float64(p.At(fahrenheit(t, text))) / 60; got > want+0.05 || got < want-0.2 {
			t.Errorf("%s: %.2f, want %.1f", text, got, want)
		}
	}
}

// It rounds down, and is never above the straight line between two temperatures,
// not even where a file has it grow with the warmth.
func TestPotLifeBetweenTemperaturesIsOnTheSafeSide(t *testing.T) {
	p := PotLife{Points: []PotPoint{{fahrenheit(t, "50 F"), 80}, {fahrenheit(t, "68 F"), 55}, {fahrenheit(t, "86 F"), 35}}}
	odd := PotLife{Points: []PotPoint{{fahrenheit(t, "50 F"), 40}, {fahrenheit(t, "86 F"), 44}}}
	if got := odd.At(fahrenheit(t, "68 F")); got > 42 {
		t.Errorf("growing from 40 to 44 it is %d half way", got)
	}
	for text, want := range map[string]unit.Minutes{
		"50 F": 80, "59 F": 66, // 66.05
		"68 F": 55, "77 F": 43, "86 F": 35, "95 F": 35, "32 F": 80,
	} {
		if got := p.At(fahrenheit(t, text)); got != want {
			t.Errorf("%s: %d, want %d", text, got, want)
		}
	}
	if got := (PotLife{Fixed: true, Points: []PotPoint{{0, 40}}}).At(fahrenheit(t, "95 F")); got != 40 {
		t.Errorf("a fixed pot life is %d", got)
	}
}

// Between two temperatures the straight line is never quicker than the curve of
// hardening: the times by the age factors of check values, section 1.3 (Ea 40
// kJ/mol, Tr 20 C), 16 h at 20 C over the factor.
func TestCureBetweenTemperaturesIsOnTheSafeSide(t *testing.T) {
	factor := map[string]float64{"5 C": 0.4127, "10 C": 0.5601, "15 C": 0.7522, "20 C": 1, "25 C": 1.3168}
	hours := func(text string) float64 { return 16 / factor[text] }
	c := Cure{AtTemp: []CurePoint{
		{fahrenheit(t, "5 C"), unit.Minutes(hours("5 C")*60 + 1)},
		{fahrenheit(t, "15 C"), unit.Minutes(hours("15 C")*60 + 1)},
		{fahrenheit(t, "25 C"), unit.Minutes(hours("25 C")*60 + 1)},
	}}
	for text := range factor {
		if got := c.TimeAt(fahrenheit(t, text)); got < hours(text)*60 {
			t.Errorf("%s: %.1f min, and the curve says %.1f", text, got, hours(text)*60)
		}
	}
	if got, coldest := c.TimeAt(fahrenheit(t, "0 C")), c.TimeAt(fahrenheit(t, "5 C")); got != coldest {
		t.Errorf("below the coldest point it is %.1f, want %.1f", got, coldest)
	}
}

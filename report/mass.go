package report

import (
	"fmt"
	"math"
)

// mass writes grams in the unit the shop weighs in. The week does not say which
// that is: pounds where its money is the US dollar, kilograms elsewhere.
func (b *builder) mass(grams int64) string { return mass(grams, b.w.Currency) }

// gramsPerPound is exact by definition (international pound, 1959).
const gramsPerPound = 453.59237

func mass(grams int64, currency string) string {
	n, unit := massIn(grams, currency)
	return fmt.Sprintf("%s %s", n, unit)
}

func massIn(grams int64, currency string) (number, unit string) {
	if currency == "USD" {
		return fmt.Sprintf("%.0f", float64(grams)/gramsPerPound), "lb"
	}
	return fmt.Sprintf("%.1f", float64(grams)/1000), "kg"
}

// batchMass writes what is mixed: rounded up, so that who mixes as much as is
// printed has enough.
func batchMass(grams int64, currency string) string {
	n, unit := batchMassIn(grams, currency)
	return fmt.Sprintf("%s %s", n, unit)
}

// batchMassIn rounds up to tenths, pounds from 100 on to whole ones. A pound is
// no whole number of grams: one gram, less than a scale tells, is forgiven, so
// that 40 lb of the file are not 40.1.
func batchMassIn(grams int64, currency string) (number, unit string) {
	if currency != "USD" {
		return fmt.Sprintf("%.1f", math.Ceil(float64(grams)/100)/10), "kg"
	}
	lb := max(float64(grams-1), 0) / gramsPerPound
	if tenths := math.Ceil(lb * 10); tenths < 1000 {
		return fmt.Sprintf("%.1f", tenths/10), "lb"
	}
	return fmt.Sprintf("%.0f", math.Ceil(lb)), "lb"
}

// limit writes a mass that is not to be passed: rounded down.
func (b *builder) limit(grams int64) string {
	if b.w.Currency == "USD" {
		return fmt.Sprintf("%d lb", int(float64(grams)/gramsPerPound))
	}
	return fmt.Sprintf("%.1f kg", math.Floor(float64(grams)/100)/10)
}

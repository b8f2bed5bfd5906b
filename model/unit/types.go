// Package unit reads quantities with their units (45 lb, 3/4 in, 16 h, 68 F,
// 5 min/ft2), converts them exactly and rounds them to the side that is asked.
package unit

// Minutes is a length of time in whole minutes.
type Minutes int64

// TicksUp is the least number of ticks of the given length that is not shorter.
func (m Minutes) TicksUp(tickMinutes int) int64 { return ceilDiv(int64(m), int64(tickMinutes)) }

// TicksDown is the greatest number of ticks of the given length that is not
// longer.
func (m Minutes) TicksDown(tickMinutes int) int64 { return floorDiv(int64(m), int64(tickMinutes)) }

// Temp is a temperature in 1/9000 of a degree Celsius above the freezing point
// of water, so that both scales are exact to a thousandth: 1 F is 5000 of it,
// 1 C is 9000.
type Temp int64

// Celsius is the temperature in degrees Celsius.
func (t Temp) Celsius() float64 { return float64(t) / 9000 }

// Fahrenheit is the temperature in degrees Fahrenheit.
func (t Temp) Fahrenheit() float64 { return float64(t)/5000 + 32 }

// floorDiv is a/b rounded down, for b > 0.
func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// ceilDiv is a/b rounded up, for b > 0.
func ceilDiv(a, b int64) int64 { return -floorDiv(-a, b) }

// Package quantity holds the units of the house as types. Inside, everything
// is in °C, mm and °C·d; other units are converted once on the way in (here)
// and once on the way out (here too).
package quantity

import "math"

// Celsius is a temperature in °C.
type Celsius float64

// DegreeDays is a heat sum in °C·d.
type DegreeDays float64

// Millimetres is a depth of rain in mm.
type Millimetres float64

// Tenths is a measured value in tenths: of °C for temperatures, of mm for
// rain. Station records are kept in it because publishers measure in it.
type Tenths int16

// Missing marks a day without a value.
const Missing Tenths = math.MinInt16

// Celsius returns the temperature in °C; Missing becomes NaN.
func (t Tenths) Celsius() Celsius {
	if t == Missing {
		return Celsius(math.NaN())
	}
	return Celsius(float64(t) / 10)
}

// ToTenths rounds v (in whole units) to tenths, halves away from zero. NaN and
// values that do not fit become Missing.
func ToTenths(v float64) Tenths {
	r := Round(v * 10)
	if math.IsNaN(r) || r <= math.MinInt16 || r > math.MaxInt16 {
		return Missing
	}
	return Tenths(r)
}

// FromFahrenheit converts °F to °C. The definition is exact: (f - 32) / 1.8.
func FromFahrenheit(f float64) Celsius { return Celsius((f - 32) / 1.8) }

// Fahrenheit converts °C to °F.
func (c Celsius) Fahrenheit() float64 { return float64(c)*1.8 + 32 }

// FahrenheitDifference converts a difference of temperature in °C to °F.
func (c Celsius) FahrenheitDifference() float64 { return float64(c) * 1.8 }

// Fahrenheit converts °C·d to °F·d.
func (d DegreeDays) Fahrenheit() float64 { return float64(d) * 1.8 }

// MillimetresPerInch is exact by definition.
const MillimetresPerInch = 25.4

// nearlyHalf is how near below a half a number counts as one.
const nearlyHalf = 1e-9

// Round rounds to a whole number, halves away from zero. Processors differ in
// the last digits of a sum of products (some multiply and add in one step,
// which the Go specification allows), so that a half may come out as a little
// less on one of them: what lies so near counts as a half, and every machine
// prints the same. NaN and infinities stay.
func Round(v float64) float64 {
	if v < 0 {
		return math.Round(v - nearlyHalf)
	}
	return math.Round(v + nearlyHalf)
}

// Step rounds v to the nearest multiple of step, halves away from zero, and
// drops the sign of a zero. It is the one rounding of a published number.
func Step(v, step float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	n := Round(v / step)
	if n == 0 {
		return 0
	}
	if step < 1 {
		// Dividing by the whole number of steps in 1 gives the nearest
		// float to the decimal, where multiplying by 0.1 would not.
		return n / math.Round(1/step)
	}
	return n * step
}

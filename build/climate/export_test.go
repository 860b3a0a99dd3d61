package climate

import "slices"

// What the tests outside look into, on the steps that the figures take.

// UtahUnit returns the chill of an hour at t °C in Utah units, from -1 to 1
// (Richardson, Seeley & Walker 1974, HortScience 9:331-332): 0 up to 1.4 °C, ½
// to 2.4, 1 to 9.1, ½ to 12.4, 0 to 15.9, -½ to 18.0, -1 above.
func UtahUnit(t float64) float64 { return float64(utahHalfUnits(10*t)) / 2 }

// ChillPortions returns the chill portions of hourly temperatures in °C by the
// Dynamic Model, from an empty intermediate product. Each hour moves by the
// temperature of the hour before, 0 °C being 273 K, so the last temperature has
// no say; the indexing is that of the published R implementation.
func ChillPortions(hourly []float64) float64 {
	sum, x := 0.0, 0.0
	for i := range len(hourly) - 1 {
		var portion float64
		x, portion = dynamicAt(hourly[i]).step(x)
		sum += portion
	}
	return sum
}

// TheilSen returns the median of the slopes between all pairs of points of
// different x, and the intercept median(y) - slope·median(x) (Theil 1950; Sen
// 1968, J. Am. Stat. Assoc. 63:1379-1389). x and y have the same length; with
// no such pair both results are NaN.
func TheilSen(x, y []float64) (slope, intercept float64) {
	slope = medianInPlace(pairSlopes(x, y, nil))
	return slope, Median(y) - slope*Median(x)
}

// Median returns the median of values in any order; it does not change them.
// An empty sample gives NaN.
func Median(values []float64) float64 {
	s := slices.Clone(values)
	return medianInPlace(s)
}

package climate

import (
	"fmt"
	"math"

	"ripeward/build/quantity"
)

// zoneTolerance, in °F, lets a mean that is a zone's limit but for rounding to
// thousandths of a °C count as the limit.
const zoneTolerance = 0.0005

// HardinessZone returns the USDA half-zone ("6b") of a mean winter minimum in
// °C: 13 zones of 10 °F from -60 °F, halves of 5 °F, lower limit inclusive
// (USDA-ARS Plant Hardiness Zone Map 2012 and 2023). Means colder than zone 1a
// give "below 1a", those of 70 °F or more "above 13b", NaN the empty string.
// The mean must not have been rounded.
func HardinessZone(meanWinterMinC float64) string {
	if math.IsNaN(meanWinterMinC) {
		return ""
	}
	half := math.Floor((quantity.Celsius(meanWinterMinC).Fahrenheit() + zoneTolerance + 60) / 5)
	switch {
	case half < 0:
		return "below 1a"
	case half > 25:
		return "above 13b"
	}
	return fmt.Sprintf("%d%c", int(half)/2+1, 'a'+rune(int(half)%2))
}

package climate

import "math"

// Latitude is where a record was taken, north positive. Its zero value is an
// unknown latitude, so that a place that was never set gives no day length and
// no chill instead of those of the equator.
type Latitude struct {
	degrees float64
	known   bool
}

// AtLatitude returns the latitude of so many degrees, -90 to 90; anything else,
// NaN too, is unknown.
func AtLatitude(degrees float64) Latitude {
	if !(math.Abs(degrees) <= 90) {
		return Latitude{}
	}
	return Latitude{degrees, true}
}

// Degrees returns the latitude in degrees, and whether it is known.
func (l Latitude) Degrees() (degrees float64, known bool) {
	if !l.known {
		return math.NaN(), false
	}
	return l.degrees, true
}

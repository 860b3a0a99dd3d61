package climate

import "math"

// SineDegreeDays returns the degree-days of one day, °C·d, by the single sine
// method with a horizontal upper cut-off (Baskerville & Emin 1969; Allen 1976;
// the six cases of Zalom et al. 1983, UC Leaflet 21373, table 5). tmin, tmax,
// base and upper are in °C; upper is math.Inf(1) for no cut-off and must not be
// below base. Where tmin exceeds tmax the two change places. NaN gives NaN.
func SineDegreeDays(tmin, tmax, base, upper float64) float64 {
	if tmin > tmax {
		tmin, tmax = tmax, tmin
	}
	m, a := (tmax+tmin)/2, (tmax-tmin)/2
	if tmax <= upper {
		return sineAbove(m, a, base)
	}
	// The cut-off takes away what the sine has above upper, which is the same
	// integral over a higher base.
	return sineAbove(m, a, base) - sineAbove(m, a, upper)
}

// sineAbove is the mean over a day of the part above base of a sine of mean m
// and half range a.
func sineAbove(m, a, base float64) float64 {
	switch d := m - base; {
	case d >= a: // the whole day at or above base
		return d
	case d <= -a: // the whole day at or below it
		return 0
	default:
		// With θ = asin(-d/a): π/2-θ = acos(-d/a), a·cos θ = sqrt(a²-d²). Where
		// the sine only just reaches base the two cancel to within 1e-8.
		return max(0, (d*math.Acos(-d/a)+math.Sqrt(a*a-d*d))/math.Pi)
	}
}

// MeanDegreeDays returns the degree-days of one day, °C·d, by the mean method:
// average first, then hold the average between base and upper (method 1 of
// McMaster & Wilhelm 1997, Agric. For. Meteorol. 87:291-300). Arguments as for
// SineDegreeDays.
func MeanDegreeDays(tmin, tmax, base, upper float64) float64 {
	return max(base, min((tmin+tmax)/2, upper)) - base
}

// HeatOptions says how the heat sum of a season is formed.
type HeatOptions struct {
	Base  float64 // °C
	Upper float64 // °C, horizontal cut-off; +Inf for none
	Mean  bool    // Season.Heat by daily means instead of the single sine
}

// DefaultHeat is base 10 °C without an upper cut-off, single sine.
func DefaultHeat() HeatOptions { return HeatOptions{Base: 10, Upper: math.Inf(1)} }

package climate

import "math"

// Differs tells whether the median of the recent years lies outside the 90 %
// interval of the median of the reference years: by more than so few years let
// a median wander. Both normals are of one measure, both rounded or neither. It
// is false where either has too few valid years (Normal.Enough) or no median;
// an end that the reference cannot bound is passed by nothing. A median of
// seasons without a freeze lies before all dates in spring and after all in
// autumn.
func Differs(ref, recent Normal) bool {
	const half = 4 // the 50 % point
	if !ref.Enough || !recent.Enough || !ref.P[half].OK || !recent.P[half].OK {
		return false
	}
	m := recent.P[half].on(recent.Kind)
	low, high := ref.Low[half], ref.High[half]
	return low.OK && m < low.on(ref.Kind) || high.OK && m > high.on(ref.Kind)
}

// on is the point on the line of all values, None at its end.
func (p Point) on(k Kind) float64 {
	switch {
	case !p.None:
		return p.V
	case k == SpringFreeze:
		return math.Inf(-1)
	}
	return math.Inf(1)
}

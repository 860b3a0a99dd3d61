package climate

import "math"

// Declination returns the sun's declination in rad on day yearDay of the
// calendar year (1-366), FAO-56 eq. 24 (Allen et al. 1998).
func Declination(yearDay int) float64 {
	return 0.409 * math.Sin(2*math.Pi*float64(yearDay)/365-1.39)
}

// SunsetHourAngle returns the hour angle of sunset in rad, FAO-56 eq. 25, at a
// latitude in degrees (south negative) and a declination in rad. The argument
// of the arc cosine is clamped: polar night gives 0, polar day π.
func SunsetHourAngle(latitude, declination float64) float64 {
	phi := latitude * math.Pi / 180
	return math.Acos(min(max(-math.Tan(phi)*math.Tan(declination), -1), 1))
}

// DayLength returns the hours between geometric sunrise and sunset, FAO-56 eq.
// 34, at a latitude in degrees on day yearDay of the calendar year. Without
// refraction it is 10-15 minutes shorter than an almanac's day at middle
// latitudes.
func DayLength(latitude float64, yearDay int) float64 {
	return 24 / math.Pi * SunsetHourAngle(latitude, Declination(yearDay))
}

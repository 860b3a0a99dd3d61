package climate

import "math"

// There are two days here. The geometric one of FAO-56 goes with radiation,
// evaporation and the rule of the last ripening day; Sunlight, with refraction
// and the sun's disc, is the day that thermometers see and that an almanac
// prints, and goes with hourly temperatures.

// SolarConstant is FAO-56's Gsc, MJ m-2 min-1.
const SolarConstant = 0.0820

// Declination returns the sun's declination in rad on day yearDay of the
// calendar year (1-366), FAO-56 eq. 24 (Allen et al. 1998).
func Declination(yearDay int) float64 {
	return 0.409 * math.Sin(2*math.Pi*float64(yearDay)/365-1.39)
}

// RelativeDistance returns FAO-56's inverse relative distance Earth-Sun, eq.
// 23, on day yearDay of the calendar year (1-366).
func RelativeDistance(yearDay int) float64 {
	return 1 + 0.033*math.Cos(2*math.Pi*float64(yearDay)/365)
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

// ExtraterrestrialRadiation returns the sun's radiation on a level surface
// above the air, MJ m-2 d-1, FAO-56 eq. 21-25, at a latitude in degrees (south
// negative) on day yearDay of the calendar year (1-366). Polar night gives 0.
func ExtraterrestrialRadiation(latitude float64, yearDay int) float64 {
	phi, delta := latitude*math.Pi/180, Declination(yearDay)
	omega := SunsetHourAngle(latitude, delta)
	ra := 24 * 60 / math.Pi * SolarConstant * RelativeDistance(yearDay) *
		(omega*math.Sin(phi)*math.Sin(delta) + math.Cos(phi)*math.Cos(delta)*math.Sin(omega))
	return max(0, ra)
}

// Sunlight is one day's sun, in hours of solar time: noon is 12.
type Sunlight struct{ Rise, Set float64 }

// Length returns the hours of daylight.
func (s Sunlight) Length() float64 { return s.Set - s.Rise }

// Polar tells whether the sun neither rises nor sets that day.
func (s Sunlight) Polar() bool { return s.Set <= s.Rise || s.Length() >= 24 }

// sunAltitude is the height of the sun's centre, in degrees, when its upper rim
// is seen to touch the horizon: half a disc and refraction.
const sunAltitude = -0.833

// SpencerDeclination returns the sun's declination in rad on day yearDay of the
// calendar year (1-366) by the Fourier series of Spencer 1971 (Search 2:172).
func SpencerDeclination(yearDay int) float64 {
	g := 2 * math.Pi / 365 * float64(yearDay-1)
	return 0.006918 - 0.399912*math.Cos(g) + 0.070257*math.Sin(g) -
		0.006758*math.Cos(2*g) + 0.000907*math.Sin(2*g) -
		0.002697*math.Cos(3*g) + 0.00148*math.Sin(3*g)
}

// SunlightAt returns sunrise and sunset as seen, the sun's centre 0.833° below
// the horizon, at a latitude in degrees on day yearDay of the calendar year
// (Almorox, Hontoria & Benito 2005, Energy Convers. Manage. 46:1465-1471, with
// the declination of Spencer 1971). A polar day runs from 0 to 24, a polar
// night has both at 12.
func SunlightAt(latitude float64, yearDay int) Sunlight {
	phi, delta := latitude*math.Pi/180, SpencerDeclination(yearDay)
	c := (math.Sin(sunAltitude*math.Pi/180) - math.Sin(phi)*math.Sin(delta)) / (math.Cos(phi) * math.Cos(delta))
	half := math.Acos(min(max(c, -1), 1)) * 12 / math.Pi
	return Sunlight{12 - half, 12 + half}
}

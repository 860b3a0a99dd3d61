package climate

import (
	"math"

	"ripeward/build/quantity"
)

// EvaporationPerMJ is the water that 1 MJ m-2 evaporates, mm (FAO-56 eq. 20).
const EvaporationPerMJ = 0.408

// Coefficients kRs of SolarRadiation (FAO-56, text of eq. 50).
const (
	RadiationInterior = 0.16 // where land masses dominate
	RadiationCoastal  = 0.19 // on or near a coast
)

// SolarRadiation returns the sun's radiation at the ground, MJ m-2 d-1, from
// the daily range of temperature, FAO-56 eq. 50 (Hargreaves). tmin and tmax are
// in °C, ra is ExtraterrestrialRadiation, k one of the coefficients above.
// Where tmin exceeds tmax there is no range.
func SolarRadiation(tmin, tmax, ra, k float64) float64 {
	return k * math.Sqrt(max(0, tmax-tmin)) * ra
}

// Hargreaves returns the reference evapotranspiration of a day, mm, FAO-56 eq.
// 52 (Hargreaves & Samani 1985). tmin, tmax and tmean are in °C; tmean is their
// mean where nothing better is known. ra is ExtraterrestrialRadiation in MJ m-2
// d-1: eq. 52 itself wants it as mm of water, and this turns it. Never negative
// (below -17.8 °C the equation would be).
func Hargreaves(tmin, tmax, tmean, ra float64) float64 {
	return max(0, 0.0023*(tmean+17.8)*math.Sqrt(max(0, tmax-tmin))*EvaporationPerMJ*ra)
}

// MonthlyEvaporation returns the mean reference evapotranspiration of each
// calendar month, mm a day, January first, over the days of the seasons of span
// that have Tmin and Tmax. A month is OK with at least 80 % of its days, as a
// normal needs of its years, and where the latitude is known.
func MonthlyEvaporation(d *Daily, span Span) (months [12]Value) {
	latitude, known := d.Latitude.Degrees()
	if !known {
		return months
	}
	var sum [12]float64
	var have, all [12]int
	for at := d.Hemisphere.Start(span.First); at <= d.Hemisphere.End(span.Last); at++ {
		_, m, _ := at.YMD()
		all[m-1]++
		i := int(at - d.First)
		if i < 0 || i >= len(d.TMin) || d.TMin[i] == quantity.Missing || d.TMax[i] == quantity.Missing {
			continue
		}
		lo, hi := float64(d.TMin[i])/10, float64(d.TMax[i])/10
		sum[m-1] += Hargreaves(lo, hi, (lo+hi)/2, ExtraterrestrialRadiation(latitude, at.YearDay()))
		have[m-1]++
	}
	for m := range months {
		if have[m] > 0 && have[m]*100 >= NormalPercent*all[m] {
			months[m] = Value{sum[m] / float64(have[m]), true}
		}
	}
	return months
}

// The temperatures of growing degree hours, °C (Anderson et al. 1986).
const (
	GrowthBase     = 4  // no growth at or below
	GrowthOptimum  = 25 // fastest
	GrowthCritical = 36 // none at or above
)

// GrowingDegreeHours returns the growing degree hours of one hour at t °C,
// °C·h, by the asymmetric curve of Anderson, Richardson & Kesner 1986 (Acta
// Hort. 184:71-78): a cosine that rises from the base to the optimum and falls
// to the critical temperature, 0 outside. At the optimum an hour gives 21.
func GrowingDegreeHours(t float64) float64 {
	const height = float64(GrowthOptimum - GrowthBase) // untyped, half of it would be whole
	switch {
	case !(t > GrowthBase) || t >= GrowthCritical:
		return 0
	case t <= GrowthOptimum:
		return height / 2 * (1 + math.Cos(math.Pi+math.Pi*(t-GrowthBase)/height))
	default:
		return height * (1 + math.Cos(math.Pi/2+math.Pi/2*(t-GrowthOptimum)/(GrowthCritical-GrowthOptimum)))
	}
}

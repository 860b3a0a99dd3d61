package almanac

import (
	"ripeward/build/climate"
	"ripeward/build/quantity"
)

// Published steps. Every number of the book is rounded to one of these, once.
const (
	stepTemperature = 0.1   // °C
	stepHeat        = 1     // °C·d
	stepRain        = 0.1   // mm
	stepDays        = 0.1   // mean and percentiles of counts of days
	stepOdds        = 0.01  // shares and odds
	stepTrend       = 0.01  // per decade
	stepP           = 0.001 // Mann-Kendall p
	stepNeed        = 5     // heat needs, °C·d
)

func stepOf(unit string) float64 {
	switch unit {
	case "°C":
		return stepTemperature
	case "°C·d":
		return stepHeat
	case "mm":
		return stepRain
	case "date", "hours":
		return 1
	}
	return stepDays
}

func roundValue(v climate.Value, step float64) climate.Value {
	v.V = quantity.Step(v.V, step)
	return v
}

func roundPoint(p climate.Point, step float64) climate.Point {
	p.V = quantity.Step(p.V, step)
	return p
}

// roundNormals rounds each measure to its step, in place. Dates arrive whole,
// rounded to the cautious side where they were made.
func roundNormals(ns []climate.Normal) []climate.Normal {
	for i := range ns {
		n := &ns[i]
		step := stepOf(n.Unit)
		n.Mean = roundValue(n.Mean, step)
		for k := range n.P {
			n.P[k] = roundPoint(n.P[k], step)
		}
		for k := range n.Low {
			n.Low[k], n.High[k] = roundPoint(n.Low[k], step), roundPoint(n.High[k], step)
		}
		n.Trend = roundValue(n.Trend, stepTrend)
		n.TrendP = roundValue(n.TrendP, stepP)
	}
	return ns
}

// roundSeasons returns the seasons at their published steps; freeze dates and
// counts are whole already.
func roundSeasons(seasons []climate.Season) []climate.Season {
	out := make([]climate.Season, len(seasons))
	for i, s := range seasons {
		s.Heat, s.HeatMean = roundValue(s.Heat, stepHeat), roundValue(s.HeatMean, stepHeat)
		s.WinterMin = roundValue(s.WinterMin, stepTemperature)
		s.Chill, s.Utah = roundValue(s.Chill, stepOf("portions")), roundValue(s.Utah, stepOf("units"))
		s.ChillHours = roundValue(s.ChillHours, stepOf("hours"))
		s.Precip = roundValue(s.Precip, stepRain)
		for m := range 12 {
			s.MonthMin[m] = roundValue(s.MonthMin[m], stepTemperature)
			s.MonthMax[m] = roundValue(s.MonthMax[m], stepTemperature)
			s.MonthPrecip[m] = roundValue(s.MonthPrecip[m], stepRain)
		}
		out[i] = s
	}
	return out
}

func roundLeftOut(l climate.LeftOut) climate.LeftOut {
	l.DistanceKm, l.HeightM = quantity.Step(l.DistanceKm, 0.1), quantity.Step(l.HeightM, 1)
	for _, c := range []struct {
		to   *climate.Comparison
		step float64
	}{{&l.LastFreeze, stepDays}, {&l.FirstFreeze, stepDays}, {&l.Heat, stepHeat}, {&l.WinterMin, stepTemperature}} {
		c.to.Bias, c.to.MAE = quantity.Step(c.to.Bias, c.step), quantity.Step(c.to.MAE, c.step)
	}
	return l
}

package page_test

import (
	"math"

	"ripeward/build/almanac"
	"ripeward/build/day"
)

// What the script of a garden's page reckons, once more: with these the script
// and the book are compared.

// gardenPost is what is believed of a garden's effect: weights of z, in
// standard deviations between gardens, z > 0 a cool one.
type gardenPost struct{ z, w []float64 }

func (g gardenPost) mean() float64 {
	sum := 0.0
	for i := range g.z {
		sum += g.z[i] * g.w[i]
	}
	return sum
}

func (g gardenPost) sd() float64 {
	m, sum := g.mean(), 0.0
	for i := range g.z {
		sum += g.w[i] * (g.z[i] - m) * (g.z[i] - m)
	}
	return math.Sqrt(sum)
}

func normalCDF(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }

func gardenNoise(l almanac.GardenLine) float64 {
	return math.Sqrt(l.YearSd*l.YearSd + l.SE*l.SE + almanac.GardenStartSd*almanac.GardenStartSd)
}

// gardenPrior is the garden of which nothing is known.
func gardenPrior() gardenPost {
	return gardenAfter(almanac.GardenLine{}, func(float64) float64 { return 1 })
}

func gardenAfter(l almanac.GardenLine, likelihood func(need float64) float64) gardenPost {
	var g gardenPost
	sum := 0.0
	for k := -120; k <= 120; k++ {
		z := float64(k) / 20
		w := math.Exp(-z*z/2) * likelihood(l.Mu+z*l.GardenSd)
		g.z, g.w, sum = append(g.z, z), append(g.w, w), sum+w
	}
	for i := range g.w {
		g.w[i] /= sum
	}
	return g
}

// gardenRipe and gardenNot are the gardens after a report of so much heat.
func gardenRipe(l almanac.GardenLine, heat float64) gardenPost {
	s := gardenNoise(l)
	return gardenAfter(l, func(need float64) float64 { return math.Exp(-(need - heat) * (need - heat) / s / s / 2) })
}

func gardenNot(l almanac.GardenLine, heat float64) gardenPost {
	s := gardenNoise(l)
	return gardenAfter(l, func(need float64) float64 { return normalCDF((need - heat) / s) })
}

func gardenOdds(l almanac.GardenLine, w *almanac.GardenWay, g gardenPost) float64 {
	sum, kill := 0.0, w.Kill[l.Cultivar]
	for i, heat := range w.Heat {
		if l.OnOldWood && w.SetBack[i] {
			continue
		}
		dead := 0.0
		if kill != nil {
			dead = float64(kill[i]) / 100
		}
		for k, z := range g.z {
			gap := heat - l.Mu - l.Delay - w.ExtraNeed - z*l.GardenSd
			p := (1 - dead) * normalCDF(gap/math.Max(l.YearSd, 1e-6))
			if !l.OnOldWood {
				p += dead * normalCDF((gap-l.DiebackDelay)/math.Max(l.YearSd, 1e-6))
			}
			sum += g.w[k] * p
		}
	}
	return sum / float64(len(w.Heat))
}

// gardenHeat is the heat of a report, less its delays.
func gardenHeat(l almanac.GardenLine, w *almanac.GardenWay, s *almanac.GardenSeason, d day.Date, not bool) float64 {
	heat := gardenHeatOn(s, d)
	if !not {
		heat = (heat + gardenHeatOn(s, d-1)) / 2
	}
	return heat - l.Delay - w.ExtraNeed
}

// gardenHeatOn is the heat of a season kept for gardens by the end of a day, °C·d.
func gardenHeatOn(s *almanac.GardenSeason, d day.Date) float64 {
	sum := 0
	for i := range min(int(d-s.From)+1, len(s.Gain)) {
		sum += int(s.Gain[i])
	}
	return float64(sum) * almanac.GainStep
}

package needs

import (
	"math"
	"math/rand/v2"
)

// A made club: its priors, the truth drawn for it and the reports.
type madeClub struct {
	priors []Prior
	truth  []float64 // heat needs, °C·d
	obs    []Observation
}

// clubPlan says how a club is made.
type clubPlan struct {
	needs, growers, each int     // reports a grower
	shift                float64 // of every true need from its prior, °C·d
	reported             float64 // chance that a failure is reported
}

// makeClub draws a club of one crop with two classes: truths from the priors,
// gardens and years from the truth. The reports are exact, a week, already
// ripe or not ripe by the season's end; half the starts are only planned.
func makeClub(plan clubPlan, rng *rand.Rand) madeClub {
	classes := [2]Prior{{SE: 50, GardenSd: 105, YearSd: 75}, {SE: 80, GardenSd: 130, YearSd: 85}}
	a, b := lnScatterSd*rng.NormFloat64(), lnScatterSd*rng.NormFloat64()
	var m madeClub
	for c := range plan.needs {
		p := classes[c%2]
		p.Mu = 1100 + 500*rng.Float64()
		m.priors = append(m.priors, p)
		m.truth = append(m.truth, p.Mu+p.SE*rng.NormFloat64()+plan.shift)
	}
	for g := range plan.growers {
		z := rng.NormFloat64()
		for range plan.each {
			c := rng.IntN(plan.needs)
			p := m.priors[c]
			o := Observation{Need: c, Grower: g, Supply: 1350 + 150*rng.NormFloat64()}
			o.StartSd = [4]float64{0, 0, 40, 80}[rng.IntN(4)]
			y := p.YearSd * math.Exp(b)
			h := m.truth[c] + z*p.GardenSd*math.Exp(a) + math.Hypot(y, o.StartSd)*rng.NormFloat64()
			tell, seen := rng.Float64(), rng.Float64()
			if h > o.Supply {
				if seen >= plan.reported {
					continue // nobody hears of it
				}
				o.Kind, o.Lo = Above, o.Supply
			} else {
				o.record(h, tell, rng)
			}
			m.obs = append(m.obs, o)
		}
	}
	return m
}

// record sets how a success was reported: already ripe where the first look,
// on a day of its own, came after it; else exact, or in a week.
func (o *Observation) record(h, tell float64, rng *rand.Rand) {
	look := o.Supply - 200*rng.Float64()
	// A week is cut at fixed days: the heat's place in it is even.
	week := h - 60*rng.Float64()
	switch {
	case tell < 0.3 && h <= look:
		o.Kind, o.Hi = Below, look
	case tell < 0.65:
		o.Kind, o.Lo, o.Hi = Exact, h, h
	default:
		o.Kind, o.Lo, o.Hi = Between, week, math.Min(week+60, o.Supply)
	}
}

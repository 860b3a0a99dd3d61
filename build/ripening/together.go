package ripening

import (
	"ripeward/build/day"
)

// GardenNodes are the garden effects, in garden standard deviations, and the
// weights by which chances given the garden are averaged into chances over all
// gardens: the 5-point Gauss-Hermite rule for the standard normal (Abramowitz &
// Stegun 25.4.46, scaled by √2).
var GardenNodes = [...]struct{ Z, Weight float64 }{
	{-2.856970013872806, 0.011257411327720691},
	{-1.355626179974266, 0.22207592200561266},
	{0, 0.5333333333333333},
	{1.355626179974266, 0.22207592200561266},
	{2.856970013872806, 0.011257411327720691},
}

// RipeGivenGarden is the chance that a question's fruit ripens in a year, in a
// garden whose need lies z garden standard deviations above the middle one
// (z > 0: a cool spot). Only the year's scatter is left.
func RipeGivenGarden(y YearOf, q Question, z float64) float64 {
	if y.Lost {
		return 0
	}
	gap := y.Heat - q.Need.Mu - q.Delay - z*q.Need.GardenSd
	p := (1 - y.Kill) * phi(gap, q.Need.YearSd)
	if !q.OnOldWood && y.Kill > 0 {
		p += y.Kill * phi(gap-q.DiebackDelay, q.Need.YearSd)
	}
	return p
}

// Span is the days of season on which a cultivar is picked in one year, both
// included; OK is false where nothing ripens.
type Span struct {
	From, Until day.Rank
	OK          bool
}

// killedForSure is the chance of winter kill from which a year is told as one
// of dead wood where a single story must be told.
const killedForSure = 0.5

// Picking returns, for each year, the days from the first ripe fruit at the
// middle need to its last one (need + Spread), or to the last ripening day if
// that comes first.
func Picking(supplies []Supply, years []YearOf, q Question) []Span {
	out := make([]Span, len(supplies))
	for i := range supplies {
		s, need := &supplies[i], q.Need.Mu+q.Delay
		if years[i].Kill >= killedForSure {
			if q.OnOldWood {
				continue
			}
			need += q.DiebackDelay
		}
		from, ok := s.RankWhen(need)
		if !ok || years[i].Lost {
			continue
		}
		until, all := s.RankWhen(need + q.Spread)
		if !all {
			until = s.LastDay
		}
		out[i] = Span{from, until, true}
	}
	return out
}

package ripening

import "math"

// Need is the heat from leaf-out to the first ripe fruit, °C·d: its mean over
// gardens and years, the doubt of that mean, and how it scatters between
// gardens and between years.
type Need struct {
	Mu, SE           float64
	GardenSd, YearSd float64
	// VarLnSd and CovMuLnSd are the doubt of ln sd and its covariance with mu
	// (°C·d), learned from reports; where Learned is false the priors stand.
	VarLnSd, CovMuLnSd float64
	Learned            bool
}

// Sd is the scatter of a single garden's single year.
func (n Need) Sd() float64 { return math.Hypot(n.GardenSd, n.YearSd) }

// Split returns garden and year scatter whose root of squares is sd, in the
// proportion of a class's own two.
func Split(sd, classGarden, classYear float64) (garden, year float64) {
	t := math.Hypot(classGarden, classYear)
	if t == 0 {
		return sd, 0
	}
	return sd * classGarden / t, sd * classYear / t
}

// YearOf is one season's part in the odds: the heat supplied, and the chance that winter
// killed the wood before it.
type YearOf struct {
	Heat float64 // °C·d by the last ripening day
	Kill float64 // 0-1; zero where winter takes nothing
	Lost bool    // no such fruit this year whatever the heat: brebas after a set-back
}

// Question is one crop part of one cultivar under one method.
type Question struct {
	Need         Need
	Delay        float64 // °C·d added to the need: brebas kept, the method's extra need
	DiebackDelay float64 // °C·d added in the share of years when the wood was killed
	OnOldWood    bool    // brebas: killed wood bears none
	Spread       float64 // °C·d from first to last fruit, for the crop share
}

// coolGarden is how many garden standard deviations a cool or a warm garden
// lies from the middle one: the 1 in 10 and 9 in 10 gardens.
const coolGarden = 1.28

// Answer is how likely fruit ripens. Shares 0-1.
type Answer struct {
	N          int
	Odds       float64
	Low, High  float64 // 90 % interval: what more data would shrink
	Cool, Warm float64 // the same odds in a cool and in a warm garden
	RipeYears  float64 // sum of the yearly chances
	CropShare  float64 // of a full crop, mean of years
}

// Ask answers a question over years.
//
// Each year's chance is p = Φ((S − mu)/sd), with wood killed with chance k:
// (1−k)·Φ + k·Φ delayed by the dieback. The odds are the mean of p. It asks for
// no memory, and may be called from many goroutines.
func Ask(years []YearOf, q Question) Answer { return ask(years, &q, true) }

// AskOdds is Ask without the gardens and the crop share, at about half the
// time: what a page of all head starts needs.
func AskOdds(years []YearOf, q Question) Answer { return ask(years, &q, false) }

// Share is the odds alone, without their interval.
func Share(years []YearOf, q Question) float64 {
	if len(years) == 0 {
		return 0
	}
	var room [64]float64
	t := newTally(years, &q, room[:0])
	mu, sd := q.Need.Mu+q.Delay, q.Need.Sd()
	if o, ok := t.plainly(mu, sd, coolGarden*q.Need.GardenSd); ok {
		return o
	}
	return t.mean(mu, sd)
}

func ask(years []YearOf, q *Question, whole bool) Answer {
	n := len(years)
	if n == 0 {
		return Answer{}
	}
	var room [64]float64 // for as many years as most records have
	t := newTally(years, q, room[:0])
	mu, sd, garden := q.Need.Mu+q.Delay, q.Need.Sd(), coolGarden*q.Need.GardenSd
	a := Answer{N: n}
	if o, ok := t.plainly(mu, sd, garden); ok {
		a.Odds, a.Low, a.High, a.RipeYears = o, o, o, o*float64(n)
		if whole {
			a.Cool, a.Warm, a.CropShare = o, o, o
		}
		return a
	}
	centre := t.chances(mu, sd)
	a.Odds, a.RipeYears = centre.mean, centre.mean*float64(n)
	a.Low, a.High = t.interval(centre, sd)
	if !whole {
		return a
	}
	a.Cool, a.Warm = t.mean(mu+garden, q.Need.YearSd), t.mean(mu-garden, q.Need.YearSd)
	a.CropShare = a.Odds
	if q.Spread > 0 && sd > 0 {
		// Fruit number u needs H + u, u uniform on 0...spread: the share is
		// (sd/c)[g(gap/sd) − g((gap−c)/sd)] (SCIENCE 6).
		a.CropShare = sd / q.Spread * (centre.g - t.g(mu+q.Spread, sd))
	}
	return a
}

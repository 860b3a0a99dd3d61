package ripening

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"ripeward/build/day"
)

// Need is the heat from leaf-out to the first ripe fruit, °C·d: its mean over
// gardens and years, the doubt of that mean, and how it scatters between
// gardens and between years.
type Need struct {
	Mu, SE           float64
	GardenSd, YearSd float64
}

// Sd is the scatter of a single garden's single year.
func (n Need) Sd() float64 { return math.Hypot(n.GardenSd, n.YearSd) }

// LogSdPrior is the prior doubt of ln garden_sd and of ln year_sd, each
// (SCIENCE 6).
const LogSdPrior = 0.35

// varLnSd is the variance of ln sd that follows from independent doubts of
// ln garden_sd and ln year_sd: d ln sd / d ln g = g²/sd², likewise for y.
func (n Need) varLnSd() float64 {
	g, y := n.GardenSd*n.GardenSd, n.YearSd*n.YearSd
	if g+y == 0 {
		return 0
	}
	wg, wy := g/(g+y), y/(g+y)
	return (wg*wg + wy*wy) * LogSdPrior * LogSdPrior
}

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

// Level is the level of every interval of the odds.
const Level = 0.90

// z90 is the standard normal quantile of 0.95.
const z90 = 1.6448536269514722

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
// (1−k)·Φ + k·Φ delayed by the dieback. The odds are the mean of p. The
// interval is a delta method on the probit scale: the variance of the yearly
// chances over n, plus the doubts of mu and of ln sd carried through the
// derivatives of the odds (the terms of SCIENCE 6; it names the logit scale).
func Ask(years []YearOf, q Question) Answer {
	n := len(years)
	if n == 0 {
		return Answer{}
	}
	need := q.Need
	mu, sd := need.Mu+q.Delay, need.Sd()
	a := Answer{N: n}
	var sum, sumSq, dMu, dLnSd, share, cool, warm float64
	for _, y := range years {
		if y.Lost {
			continue
		}
		w1, w2 := 1-y.Kill, y.Kill
		if q.OnOldWood {
			w2 = 0
		}
		p := 0.0
		for _, part := range [2]struct{ w, mu float64 }{{w1, mu}, {w2, mu + q.DiebackDelay}} {
			if part.w == 0 {
				continue
			}
			gap := y.Heat - part.mu
			z := gap / sd
			p += part.w * phi(gap, sd)
			if d := distuv.UnitNormal.Prob(z); d > 0 {
				dMu -= part.w * d / sd
				dLnSd -= part.w * d * z
			}
			share += part.w * cropShare(gap, sd, q.Spread)
			cool += part.w * phi(gap-coolGarden*need.GardenSd, need.YearSd)
			warm += part.w * phi(gap+coolGarden*need.GardenSd, need.YearSd)
		}
		sum += p
		sumSq += p * p
	}
	f := float64(n)
	a.RipeYears = sum
	a.Odds, a.CropShare, a.Cool, a.Warm = sum/f, share/f, cool/f, warm/f
	dMu, dLnSd = dMu/f, dLnSd/f
	variance := dMu*dMu*need.SE*need.SE + dLnSd*dLnSd*need.varLnSd()
	if n > 1 {
		variance += math.Max(0, (sumSq-sum*sum/f)/(f-1)) / f
	}
	a.Low, a.High = probitInterval(a.Odds, variance)
	return a
}

// probitInterval is the delta-method interval on the probit scale. The odds are
// a mean of normal probabilities, so their probit is nearly linear in mu where
// their logit is not: against draws the error is less than half that of the
// logit's.
func probitInterval(o, variance float64) (low, high float64) {
	if o <= 0 || o >= 1 {
		return o, o
	}
	centre := distuv.UnitNormal.Quantile(o)
	density := distuv.UnitNormal.Prob(centre)
	if density == 0 {
		return o, o
	}
	half := z90 * math.Sqrt(variance) / density
	return distuv.UnitNormal.CDF(centre - half), distuv.UnitNormal.CDF(centre + half)
}

// phi is Φ(gap/sd); without scatter it is a step.
func phi(gap, sd float64) float64 {
	if sd == 0 {
		if gap >= 0 {
			return 1
		}
		return 0
	}
	return distuv.UnitNormal.CDF(gap / sd)
}

// cropShare is the share of fruit ripened where fruit number u needs H + u,
// u uniform on 0...spread: (sd/c)[g(gap/sd) − g((gap−c)/sd)] with
// g(z) = zΦ(z) + φ(z) (SCIENCE 6).
func cropShare(gap, sd, spread float64) float64 {
	if spread == 0 || sd == 0 {
		return phi(gap, sd)
	}
	g := func(z float64) float64 { return z*distuv.UnitNormal.CDF(z) + distuv.UnitNormal.Prob(z) }
	return sd / spread * (g(gap/sd) - g((gap-spread)/sd))
}

// RipeBy returns the share of all years (and scatter) in which the first fruit
// is ripe by the end of a day, given each year's heat to that day.
func RipeBy(years []YearOf, heat []float64, q Question) float64 {
	sum := 0.0
	mu, sd := q.Need.Mu+q.Delay, q.Need.Sd()
	for i, y := range years {
		if y.Lost {
			continue
		}
		sum += (1 - y.Kill) * phi(heat[i]-mu, sd)
		if !q.OnOldWood && y.Kill > 0 {
			sum += y.Kill * phi(heat[i]-mu-q.DiebackDelay, sd)
		}
	}
	return sum / float64(len(years))
}

// FirstRipe returns the first day of season by which share of all years has
// ripened, and false where that never happens.
func FirstRipe(supplies []Supply, years []YearOf, q Question, share float64) (day.Rank, bool) {
	heat := make([]float64, len(supplies))
	at := func(r day.Rank) float64 {
		for i := range supplies {
			heat[i] = supplies[i].HeatAt(r)
		}
		return RipeBy(years, heat, q)
	}
	lo, hi := day.Rank(0), day.Rank(365)
	if len(years) == 0 || at(hi) < share {
		return 0, false
	}
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		if at(mid) >= share {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi, true
}

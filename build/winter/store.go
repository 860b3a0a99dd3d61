package winter

import (
	"math"

	"ripeward/build/day"
)

// Store is a place where pots spend the winter, as one body of heat.
type Store struct {
	// TimeConstantH is the time constant, h: how slowly the store follows what
	// pulls at it. 0: at once.
	TimeConstantH float64
	// HouseShare (0-1) is how far the store is pulled from the outdoor
	// temperature towards the house's, HouseC (°C; no say where the share is 0).
	HouseShare, HouseC float64
	// GroundShare (0-1) is how far it is pulled towards the ground, which has
	// the mean temperature of the year.
	GroundShare float64
	// HeaterFloorC is the temperature (°C) that a heater holds; NaN: none.
	HeaterFloorC float64
	// WrapTimeConstantH is the time constant of a wrapped pot, h. A bare pot
	// has its store's temperature.
	WrapTimeConstantH float64
}

// Target returns the temperature (°C) that the store would come to if it stayed
// out °C outdoors; annualMean is the mean temperature of the year, °C:
//
//	T_out + house_share·(house - T_out) + ground_share·(annual mean - T_out)
//
// The steady state of an unheated room between indoors and outdoors (SCIENCE 9;
// house_share is 1 - b of EN 12831), with the ground as a third neighbour.
func (s *Store) Target(out, annualMean float64) float64 {
	t := out
	if s.HouseShare != 0 {
		t += s.HouseShare * (s.HouseC - out)
	}
	if s.GroundShare != 0 {
		t += s.GroundShare * (annualMean - out)
	}
	return t
}

// Lag is a body that follows a temperature by dT/dt = (target - T)/τ (lumped
// capacity, Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, ch. 5).
type Lag struct {
	T              float64 // its temperature, °C
	keep, from, to float64 // what an hour leaves of T and takes of the target before and after
}

// NewLag returns a body of time constant tau (h; 0 or less follows at once) that
// starts at t °C.
func NewLag(tau, t float64) Lag {
	if !(tau > 0) {
		return Lag{T: t, to: 1}
	}
	keep, slope := math.Exp(-1/tau), -tau*math.Expm1(-1/tau)
	return Lag{T: t, keep: keep, from: slope - keep, to: 1 - slope}
}

// Hour moves the body on by an hour in which its target goes in a straight line
// from one temperature to another, exactly:
//
//	T(1) = to - s·τ + (T(0) - from + s·τ)·e^(-1/τ), s = to - from
//
// Where the target stands still this is the exact step
// target + (T - target)·e^(-1/τ).
func (l *Lag) Hour(from, to float64) { l.T = l.keep*l.T + l.from*from + l.to*to }

// Days is the lowest and highest temperature (°C) of each day from First on,
// NaN for days that are not known.
type Days struct {
	First     day.Date
	Low, High []float64
}

func newDays(first day.Date, n int) Days {
	both := make([]float64, 2*n)
	return Days{first, both[:n:n], both[n:]}
}

// Follow returns the days of a bare and of a wrapped pot in the store, from the
// outdoor temperatures (°C) at the whole hours 0-23 of the days from first on
// and the mean temperature of the year. The store follows its target and the
// wrapped pot follows the store, each by the exact step; then a heater's floor
// is laid under both (SCIENCE 9). At the first hour both have the temperature of
// the target, so the first days, a few time constants long, are not to be used.
// A day with an hour that is NaN is not known, and after it the store starts as
// at first.
func (s *Store) Follow(first day.Date, hours []float64, annualMean float64) (bare, wrapped Days) {
	n := len(hours) / 24
	bare, wrapped = newDays(first, n), newDays(first, n)
	floor := math.Inf(-1)
	if s.HeaterFloorC == s.HeaterFloorC {
		floor = s.HeaterFloorC
	}
	air, pot := NewLag(s.TimeConstantH, 0), NewLag(s.WrapTimeConstantH, 0)
	before := math.NaN() // target of the hour before
	for i := range n {
		airLow, airHigh := math.Inf(1), math.Inf(-1)
		potLow, potHigh := airLow, airHigh
		for _, out := range hours[24*i : 24*i+24] {
			target, was := s.Target(out, annualMean), air.T
			if before != before {
				air.T, pot.T = target, target
			} else {
				air.Hour(before, target)
				pot.Hour(was, air.T)
			}
			before = target
			// NaN stays NaN in min and max.
			airLow, airHigh = min(airLow, air.T), max(airHigh, air.T)
			potLow, potHigh = min(potLow, pot.T), max(potHigh, pot.T)
		}
		bare.Low[i], bare.High[i] = max(airLow, floor), max(airHigh, floor)
		wrapped.Low[i], wrapped.High[i] = max(potLow, floor), max(potHigh, floor)
	}
	return bare, wrapped
}

func gap(hours []float64) bool {
	for _, t := range hours {
		if t != t {
			return true
		}
	}
	return false
}

// Package pots is the arithmetic of container growing: what a pot holds, weighs
// and drinks, what goes into a mix, and how much feed into the water. It is pure
// and knows no towns, tables or pages; blank table cells come in as NaN and give
// NaN.
package pots

import "math"

// Pot is a size of pot with a tree in it.
type Pot struct {
	Litres     float64 // of mix
	DiameterCm float64 // across the top
	CanopyM2   float64 // ground that the tree's leaves shade
	WetKgPerL  float64 // weight of a litre of wet mix
	Usable     float64 // share (0-1) of the volume that is water a tree can use, when wet
}

// WetKg returns what the mix in the pot weighs after watering, kg; pot and tree
// come on top.
func (p Pot) WetKg() float64 { return p.Litres * p.WetKgPerL }

// UsableLitres returns the water that the tree can take from the wet pot, L.
func (p Pot) UsableLitres() float64 { return p.Litres * p.Usable }

// NeedLitres returns what the tree drinks in so many days of a mean reference
// evapotranspiration of et0 mm a day, L: ET0 × canopy, for 1 mm on 1 m² is a
// litre. That is FAO-56 eq. 58 with a crop coefficient of 1 for a tree in full
// leaf (judgement).
func (p Pot) NeedLitres(et0, days float64) float64 { return max(0, et0) * p.CanopyM2 * days }

// LastsDays returns the days that the wet pot lasts without rain at et0 mm a
// day; +Inf where nothing is drunk.
func (p Pot) LastsDays(et0 float64) float64 {
	need := p.NeedLitres(et0, 1)
	if need == 0 {
		return math.Inf(1)
	}
	return p.UsableLitres() / need
}

// The share of a mix's volume that should be air after it has drained: at least
// 10 %, generally not above 25 % (UC ANR Nursery & Flower Grower, Soil mixes
// part 3).
const (
	AirLow  = 0.10
	AirHigh = 0.25
)

// AirLitres returns the least and the most air that the drained pot should hold,
// L.
func (p Pot) AirLitres() (low, high float64) { return AirLow * p.Litres, AirHigh * p.Litres }

// The usual step to a larger pot: at most 2 inches of diameter or 5 US gallons
// (growers' advice, common practice).
const (
	StepCm     = 5.1
	StepLitres = 19
)

// Next returns the index of the next larger size by volume, or -1 if there is
// none, and whether it is a usual step.
func Next(from Pot, sizes []Pot) (index int, usual bool) {
	index = -1
	for i, p := range sizes {
		if p.Litres > from.Litres && (index < 0 || p.Litres < sizes[index].Litres) {
			index = i
		}
	}
	if index < 0 {
		return -1, false
	}
	to := sizes[index]
	return index, to.DiameterCm-from.DiameterCm <= StepCm || to.Litres-from.Litres <= StepLitres
}
